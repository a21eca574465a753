"""The stack's limit analysis against a linear programme of the same dowel (second method).

The programme: p constant in each of `CELLS` cells of a ply, V its sum, M the sum of V, |p| <= q,
|M| <= M_y at the cell faces; scipy's HiGHS maximises the multiplier.

Its error. A switch of p inside a cell h moves the moment by at most q h^2/4, a peak of M between
two faces overshoots by at most q h^2/8. So each bound on the moment is off by no more than
e = sum over the plies of q h^2 (3/8). With lambda the answer, a bound with room g at lambda = 0 is
concave in lambda, so an error of e in it moves the answer by e / g at most, relatively. The least
room is 2 M_y (two hinges), M_y + w (one hinge) or sum of w (none), w = q t^2 / 4 of a ply.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from interface_shears import one_face_pattern, shears_of
from scipy.optimize import linprog
from scipy.sparse import bmat, csr_matrix, diags, eye

from girderply.bases.dowel.mechanisms import BARE, factored_box
from girderply.bases.dowel.stack import Stack, limit

CELLS = 48


def programme(stack: Stack, pattern: tuple[float, ...]) -> float:
    """Largest multiplier by linear programme; unknowns p (N/mm), M at cell ends, lambda."""
    h = np.repeat(np.array(stack.t) / CELLS, CELLS)
    q = np.repeat(stack.q, CELLS)
    size = len(h)
    scale = max(stack.M_y, float(np.max(q * h)))
    # V at the end of a cell: running sum of p h. M_i = M_(i-1) + V_(i-1) h + p h^2 / 2.
    running = csr_matrix(np.tril(np.ones((size, size)))) @ diags(h)
    before = running - diags(h)
    step = diags(h) @ before + diags(h**2 / 2)
    difference = eye(size) - eye(size, k=-1)
    column = csr_matrix((size, 1))
    moments = bmat([[step / scale, -difference, column]])
    ends = np.arange(1, stack.plies + 1) * CELLS - 1
    shear = bmat([[running[ends], csr_matrix((stack.plies, size)), -np.array([[*pattern, 0.0]]).T]])
    bound_M = np.full(size, stack.M_y / scale)
    bound_M[-1] = 0.0
    upper = np.concatenate([q, bound_M, [np.inf]])
    lower = np.concatenate([-q, -bound_M, [0.0]])
    cost = np.zeros(2 * size + 1)
    cost[-1] = -1.0
    result = linprog(
        cost,
        A_eq=bmat([[moments], [shear]]).tocsr(),
        b_eq=np.zeros(size + stack.plies),
        bounds=np.column_stack([lower, upper]),
        method="highs",
    )
    assert result.status == 0, result.message
    return -float(result.fun)


def stated_error(stack: Stack) -> float:
    """Largest relative difference that the cells account for (text above)."""
    w = [q * t**2 / 4 for q, t in zip(stack.q, stack.t, strict=True)]
    e = sum(w) * 4 / CELLS**2 * 3 / 8
    return e / min(2 * stack.M_y, stack.M_y + min(w[0], w[-1]), sum(w))


def _random_stack(rng: np.random.Generator, plies: int) -> Stack:
    d = rng.uniform(3.0, 20.0)
    t = d * np.exp(rng.uniform(np.log(1.5), np.log(9.0), plies))
    q = rng.uniform(8.0, 40.0, plies) * d
    return Stack(tuple(t), tuple(q), 0.3 * rng.uniform(300.0, 800.0) * d**2.6)


@pytest.mark.parametrize("plies", [3, 4, 5, 6])
def test_one_face_pattern_agrees_with_the_programme(plies):
    rng = np.random.default_rng(plies)
    for _ in range(3):
        stack = _random_stack(rng, plies)
        exact = limit(stack, one_face_pattern(plies)).multiplier
        tolerance = stated_error(stack) + 1e-6  # the solver's own feasibility tolerance
        assert programme(stack, one_face_pattern(plies)) == pytest.approx(exact, rel=tolerance)


@pytest.mark.parametrize("plies", [3, 4, 6])
def test_any_pattern_agrees_with_the_programme(plies):
    rng = np.random.default_rng(100 + plies)
    for _ in range(3):
        stack = _random_stack(rng, plies)
        loads = rng.uniform(-1.0, 1.0, plies)
        pattern = shears_of(tuple(float(v) for v in loads - loads.mean()))
        exact = limit(stack, pattern).multiplier
        tolerance = stated_error(stack) + 1e-6
        assert programme(stack, pattern) == pytest.approx(exact, rel=tolerance)


def test_three_plies_of_45_with_m16_by_programme():
    """The design note's 11 % (section 7), once more by the programme, to the cells' error."""
    q = 0.082 * 0.84 * 350 * 16
    stack = Stack((45.0,) * 3, (q,) * 3, 0.3 * 400 * 16**2.6)
    first = programme(stack, one_face_pattern(3)) * 2 / 3
    assert programme(stack, (1.0, -1.0)) / first == pytest.approx(1.11, abs=0.005)


def test_six_plies_of_38_with_m12_by_programme():
    """The design note's 2 % (section 7), once more by the programme."""
    q = 0.082 * 0.88 * 350 * 12
    M_y = 0.3 * 400 * 12**2.6
    first = programme(Stack((38.0,) * 6, (q,) * 6, M_y), one_face_pattern(6)) * 5 / 6
    single = programme(Stack((38.0,) * 2, (q,) * 2, M_y), (1.0,))
    assert single / first == pytest.approx(1.02, abs=0.005)


stacks = st.integers(2, 6).flatmap(
    lambda n: st.builds(
        Stack,
        st.tuples(*[st.floats(5.0, 200.0)] * n),
        st.tuples(*[st.floats(20.0, 800.0)] * n),
        st.floats(1e3, 1e6),
    )
)


@given(stacks, st.floats(0.01, 100.0))
@settings(max_examples=100, deadline=None)
def test_scales_with_strength_and_ignores_which_end_is_the_head(stack, factor):
    pattern = one_face_pattern(stack.plies)
    base = limit(stack, pattern).multiplier
    stronger = Stack(stack.t, tuple(factor * q for q in stack.q), factor * stack.M_y)
    assert limit(stronger, pattern).multiplier == pytest.approx(factor * base, rel=1e-9)
    turned = Stack(stack.t[::-1], stack.q[::-1], stack.M_y)
    assert limit(turned, pattern[::-1]).multiplier == pytest.approx(base, rel=1e-9)
    opposite = tuple(-v for v in pattern)
    assert limit(stack, opposite).multiplier == pytest.approx(base, rel=1e-9)


@given(stacks, st.data())
@settings(max_examples=100, deadline=None)
def test_never_weaker_for_more_steel_or_harder_wood(stack, data):
    pattern = one_face_pattern(stack.plies)
    base = limit(stack, pattern).multiplier
    ply = data.draw(st.integers(0, stack.plies - 1))
    q = tuple(1.5 * v if i == ply else v for i, v in enumerate(stack.q))
    assert limit(Stack(stack.t, q, stack.M_y), pattern).multiplier >= base * (1 - 1e-10)
    assert limit(Stack(stack.t, stack.q, 2 * stack.M_y), pattern).multiplier >= base * (1 - 1e-10)


@given(stacks, st.data())
@settings(max_examples=60, deadline=None)
def test_every_point_of_the_box_is_safe(stack, data):
    pattern = one_face_pattern(stack.plies)
    box = factored_box(stack, pattern, BARE)
    assert box.multiplier <= limit(stack, pattern).multiplier * (1 + 1e-12)
    shares = data.draw(
        st.tuples(*[st.floats(0.0, 1.0)] * len(pattern)).filter(lambda v: max(v) > 1e-3)
    )
    inside = tuple(v * share for v, share in zip(box.shears, shares, strict=True))
    assert limit(stack, inside).multiplier >= 1 - 1e-9


def test_slender_bolts_lose_more_than_the_design_note_says():
    """M8 of grade 4.6 in six plies of 38 mm: the single-shear value is 16 % too much, both ways.

    The design note's 2 % (section 7) is for an M12; the programme shows that it is not the most.
    """
    q = 0.082 * 0.92 * 350 * 8
    stack = Stack((38.0,) * 6, (q,) * 6, 0.3 * 400 * 8**2.6)
    exact = limit(stack, one_face_pattern(6)).multiplier
    by_programme = programme(stack, one_face_pattern(6))
    assert by_programme == pytest.approx(exact, rel=stated_error(stack) + 1e-6)
    single = programme(stack.pair(1), (1.0,))
    assert single / (by_programme * 5 / 6) == pytest.approx(1.16, abs=0.01)


@pytest.mark.parametrize(
    "stack",
    [
        Stack((34.0, 9.0, 18.0, 9.0, 10.0), (309.0, 35.0, 526.0, 250.0, 256.0), 6800.0),
        Stack((26.0, 14.0, 113.0, 48.0, 44.0), (377.0, 39.0, 370.0, 262.0, 38.0), 17400.0),
        Stack((104.0, 22.0, 28.0), (568.0, 25.0, 157.0), 27300.0),
    ],
    ids=["thin soft second ply", "soft second and last ply", "three plies"],
)
def test_shear_that_runs_through_a_thin_soft_ply(stack):
    """The shear is more than q t of that ply, so it cannot turn inside it (H beyond q t)."""
    pattern = one_face_pattern(stack.plies)
    exact = limit(stack, pattern).multiplier
    assert programme(stack, pattern) == pytest.approx(exact, rel=stated_error(stack) + 1e-6)
    assert exact * pattern[0] > stack.q[1] * stack.t[1]
