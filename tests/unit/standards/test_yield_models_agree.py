"""Three methods for one mechanics: EN 1995 modes, NDS modes, a plain linear programme.

With M_y = F_yb D^3 / 6 and before either document's own factors the modes are the same; both are
the largest load that a rigid-plastic dowel on rigid-plastic embedment can be in equilibrium with.
Nothing here is symmetric: thicknesses and strengths differ.
"""

import random

import numpy as np
import pytest
from scipy.optimize import linprog

from girderply.errors import RangeError
from girderply.standards.en1995_1_1_2014 import johansen
from girderply.standards.nds_2018 import yield_modes
from girderply.units.exact import MM_PER_IN, MPA_PER_PSI, N_PER_LB

SINGLE = {"a": "Is", "b": "Im", "c": "II", "d": "IIIs", "e": "IIIm", "f": "IV"}
DOUBLE = {"g": "Is", "h": "Im", "j": "IIIs", "k": "IV"}  # NDS: both planes together


def _cases(count, seed):
    draw = random.Random(seed)
    for _ in range(count):
        d = draw.uniform(2.5, 24)
        yield {
            "t_1": draw.uniform(1.5, 14) * d,
            "t_2": draw.uniform(1.5, 14) * d,
            "f_h_1_k": draw.uniform(8, 45),
            "f_h_2_k": draw.uniform(8, 45),
            "d": d,
            "M_y_Rk": draw.uniform(0.1, 0.35) * 600 * d**2.6,
        }


def _nds(function, case):
    F_yb = case["M_y_Rk"] * 6 / case["d"] ** 3
    loads = function(
        case["d"] / MM_PER_IN,
        case["t_2"] / MM_PER_IN,
        case["t_1"] / MM_PER_IN,
        case["f_h_2_k"] / MPA_PER_PSI,
        case["f_h_1_k"] / MPA_PER_PSI,
        F_yb / MPA_PER_PSI,
    )
    return {mode: load * N_PER_LB for mode, load in loads.items()}


def test_single_shear_modes_are_the_same_in_both_documents():
    seen = set()
    for case in _cases(1000, seed=1):
        ours = johansen.single_shear(**case, factored=False)
        theirs = _nds(yield_modes.yield_loads_single_lb, case)
        assert ours == pytest.approx({k: theirs[v] for k, v in SINGLE.items()}, rel=1e-9)
        seen.add(min(ours, key=ours.__getitem__))
    assert seen >= {"c", "d", "e", "f"}


def test_double_shear_modes_are_the_same_in_both_documents():
    seen = set()
    for case in _cases(1000, seed=2):
        ours = johansen.double_shear(**case, factored=False)
        theirs = _nds(yield_modes.yield_loads_double_lb, case)
        assert ours == pytest.approx({k: theirs[v] / 2 for k, v in DOUBLE.items()}, rel=1e-9)
        seen.add(min(ours, key=ours.__getitem__))
    assert seen == {"g", "h", "j", "k"}


def test_factors_of_the_standard_are_5_and_15_percent():
    case = next(_cases(1, seed=3))
    for function in (johansen.single_shear, johansen.double_shear):
        bare, factored = function(**case, factored=False), function(**case)
        ratios = {m: factored[m] / bare[m] for m in bare}
        expected = {
            m: {"d": 1.05, "e": 1.05, "j": 1.05, "f": 1.15, "k": 1.15}.get(m, 1.0) for m in bare
        }
        assert ratios == pytest.approx(expected)


def _limit_load(thicknesses, strengths, pattern, d, M_y, cells=120):
    """Largest multiplier of `pattern` (force per member) that the dowel can be in equilibrium with.

    Unknown: pressure in each cell, within +-f_h d; free ends; bending within +-M_y.
    """
    width = np.repeat(np.array(thicknesses) / cells, cells)
    bound = np.repeat(np.array(strengths) * d, cells)
    m = len(width)
    right = np.cumsum(width)
    centre = right - width / 2
    arm = np.clip(right[:, None] - centre[None, :], 0, None)
    moment = np.where(centre[None, :] < right[:, None], arm * width[None, :], 0.0)
    members = np.repeat(np.arange(len(thicknesses)), cells)
    totals = np.array([np.where(members == k, width, 0.0) for k in range(len(thicknesses))])
    equal = np.vstack([np.hstack([totals, -np.array(pattern, float)[:, None]]),
                       np.append(moment[-1], 0.0)])  # fmt: skip
    inner = np.hstack([moment[:-1], np.zeros((m - 1, 1))])
    solved = linprog(
        np.append(np.zeros(m), -1.0),
        A_ub=np.vstack([inner, -inner]),
        b_ub=np.full(2 * (m - 1), M_y),
        A_eq=equal,
        b_eq=np.zeros(len(equal)),
        bounds=[*((-b, b) for b in bound), (0, None)],
    )
    assert solved.status == 0
    return -solved.fun


def test_single_shear_is_the_limit_load_of_a_linear_programme():
    """120 cells a member: the discrete load is within 1 % (a cell is 0.8 % of a thickness)."""
    for case in _cases(12, seed=4):
        c = case
        found = _limit_load(
            (c["t_1"], c["t_2"]), (c["f_h_1_k"], c["f_h_2_k"]), (1, -1), c["d"], c["M_y_Rk"]
        )
        exact = min(johansen.single_shear(**case, factored=False).values())
        assert found == pytest.approx(exact, rel=0.01)


def test_double_shear_is_the_limit_load_of_a_linear_programme():
    for case in _cases(8, seed=5):
        c = case
        found = _limit_load(
            (c["t_1"], c["t_2"], c["t_1"]),
            (c["f_h_1_k"], c["f_h_2_k"], c["f_h_1_k"]),
            (1, -2, 1),
            c["d"],
            c["M_y_Rk"],
        )
        exact = min(johansen.double_shear(**case, factored=False).values())
        assert found == pytest.approx(exact, rel=0.01)


def test_modes_trade_places_when_the_members_do():
    case = next(_cases(1, seed=6))
    turned = {**case, "t_1": case["t_2"], "t_2": case["t_1"],
              "f_h_1_k": case["f_h_2_k"], "f_h_2_k": case["f_h_1_k"]}  # fmt: skip
    one, other = johansen.single_shear(**case), johansen.single_shear(**turned)
    swap = {"a": "b", "b": "a", "c": "c", "d": "e", "e": "d", "f": "f"}
    assert one == pytest.approx({m: other[swap[m]] for m in one})
    assert one["a"] != pytest.approx(one["b"])


def test_rope_effect_is_capped_mode_by_mode_and_left_out_of_embedment_modes():
    """100 N of withdrawal: 25 N at most; 15 % of 100 N is 15 N, of 400 N it would be 60."""
    modes = johansen.with_rope({"a": 90.0, "c": 100.0, "f": 400.0}, F_ax_Rk=100.0, limit=0.15)
    assert modes.rope == {"a": 0.0, "c": 15.0, "f": 25.0}
    assert modes.total == {"a": 90.0, "c": 115.0, "f": 425.0}
    assert (modes.governing, modes.F_v_Rk) == ("a", 90.0)


def test_equal_modes_are_named_in_order_of_the_alphabet():
    assert johansen.with_rope({"f": 5.0, "d": 5.0, "e": 5.0}).governing == "d"


def test_a_mode_that_is_no_number_is_refused():
    with pytest.raises(RangeError, match=r"^f must be a finite number"):
        johansen.with_rope({"f": float("nan")})


@pytest.mark.parametrize(
    ("D", "K_D"), [(0.099, 2.2), (0.17, 2.2), (0.192, 2.42), (0.207, 2.57), (0.2499, 2.999)]
)
def test_reduction_of_thin_fasteners(D, K_D):
    """NDS Table 12.3.1B: 2.2 to 0.17 in, then 10 D + 0.5, whatever the angle; from memory."""
    assert yield_modes.R_d("IV", D, 1.0) == pytest.approx(K_D)


@pytest.mark.parametrize(
    ("mode", "R_d"),
    [("Im", 4.0), ("Is", 4.0), ("II", 3.6), ("IIIm", 3.2), ("IIIs", 3.2), ("IV", 3.2)],
)
def test_reduction_of_bolts_by_mode_and_angle(mode, R_d):
    """NDS Table 12.3.1B: K_theta is 1 along and 1.25 across the grain; from memory."""
    assert yield_modes.R_d(mode, 0.5, 0.0) == pytest.approx(R_d)
    assert yield_modes.R_d(mode, 0.5, np.pi / 2) == pytest.approx(1.25 * R_d)
    assert yield_modes.R_d(mode, 0.5, np.pi / 4) == pytest.approx(1.125 * R_d)
