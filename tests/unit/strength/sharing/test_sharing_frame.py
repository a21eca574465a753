from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sharing_girders import E_MODULUS, beam, columns, on_ply, truss

from girderply.errors import RangeError, Severity
from girderply.jobfile.job import Role
from girderply.model.girder import Joint
from girderply.strength.sharing import FrameError, Laws, make_model, share
from girderply.wording import english

NONE = Laws(np.zeros(0), np.zeros(0))


def test_a_beam_bends_as_the_book_says():
    """P a b (l^2 - a^2 - b^2) / 6 E I l under the load's mirror image; here under the load itself:
    P a^2 b^2 / (3 E I l). Textbook value, from memory."""
    girder = beam(2, 4000.0, (1000.0,), depth=200.0)
    found = share(girder, columns([]), NONE, on_ply(girder, 1, (3000.0,)), E=E_MODULUS)
    EI = E_MODULUS * 45.0 * 200.0**3 / 12
    down = -found.displacements[1, found.mesh.loads.node[0], 1]
    assert down == pytest.approx(3000 * 1000**2 * 3000**2 / (3 * EI * 4000), rel=1e-9)
    assert found.reactions == pytest.approx(np.array([[0, 0], [2250, 750]]), abs=1e-6)
    (chord,) = found.chord_shares(girder)
    assert chord.moment_station == 1000.0
    assert chord.moment == pytest.approx([0.0, 2250 * 1000], abs=1e-3)  # sagging is positive
    assert chord.worst_moment == pytest.approx([0.0, 2250 * 1000], abs=1e-3)


def test_a_triangle_carries_by_its_chords():
    """Joint at the right heel, by hand: the tension of the bottom chord is R over the slope.

    Chords as slender as laths, so that what their continuity takes by bending is below 0.1 %.
    """
    girder = truss(2, at=(("BC1", 0.74),))
    laths = tuple(replace(m, depth=m.depth / 10) for m in girder.members)
    girder = replace(girder, members=laths)
    found = share(girder, columns([]), NONE, on_ply(girder, 0, (8000.0,)), E=E_MODULUS)
    assert found.reactions[0] == pytest.approx([8000 * 0.26, 8000 * 0.74])
    bottom, left, right = found.chord_shares(girder)
    tension = 8000 * 0.74 / (1900 / (0.45 * 7300))
    assert bottom.axial_station > 0.74 * 7300
    assert bottom.axial[0] == pytest.approx(tension, rel=1e-3)
    assert bottom.axial[1] == pytest.approx(0.0, abs=1e-6)
    assert right.axial[0] == pytest.approx(-np.hypot(tension, 8000 * 0.74), rel=1e-3)
    other = 8000 * 0.26 / (1900 / (0.55 * 7300))
    assert left.axial[0] == pytest.approx(-np.hypot(other, 8000 * 0.26), rel=1e-3)


def queen_post(continuous: bool):
    """Posts at the thirds, no diagonal between them; the bottom chord in one piece or in three."""
    joints = {"A": (0, 0), "B": (2000, 0), "C": (4500, 0), "D": (6500, 0),
              "E": (2000, 1500), "F": (4500, 1500)}  # fmt: skip
    chords = {"TC1": ("A", "E"), "TC2": ("E", "F"), "TC3": ("D", "F")}
    chords |= {"BC1": tuple("ABCD")} if continuous else {"BC1": tuple("AB"), "BC2": tuple("BC"),
                                                         "BC3": tuple("CD")}  # fmt: skip
    base = truss(2)
    made = []
    for name, run in {**chords, "W1": ("B", "E"), "W2": ("C", "F")}.items():
        role = {"T": Role.TOP_CHORD, "B": Role.BOTTOM_CHORD, "W": Role.WEB}[name[0]]
        one = replace(base.members[0], id=name, role=role, joints=run,
                      hook=joints[run[0]], far=joints[run[-1]])  # fmt: skip
        made.append(one)
    found = tuple(
        Joint(k, float(x), float(y), tuple(m.id for m in made if k in m.joints))
        for k, (x, y) in joints.items()
    )
    ends = (replace(base.bearings[0], x=0.0), replace(base.bearings[1], x=6500.0))
    return replace(base, members=tuple(made), joints=found, bearings=ends, loads=())


def test_the_middle_of_a_queen_post_stands_by_its_chord():
    assert make_model(queen_post(continuous=True), columns([]), E_MODULUS).plies == 2


def test_a_queen_post_with_a_chord_in_pieces_falls():
    with pytest.raises(FrameError, match=r"can move without resistance near joint [BCEF]"):
        make_model(queen_post(continuous=False), columns([]), E_MODULUS)


def test_the_finding_of_a_mechanism_is_for_a_person():
    with pytest.raises(FrameError) as caught:
        make_model(queen_post(continuous=False), columns([]), E_MODULUS)
    finding = caught.value.finding
    assert (finding.code, finding.severity) == ("sharing-mechanism", Severity.WARNING)
    assert "diagonal" in english(finding.message)
    assert finding.tip


def test_a_girder_without_bearings_is_told():
    with pytest.raises(FrameError, match="has no bearing"):
        make_model(replace(truss(2), bearings=()), columns([]), E_MODULUS)


def test_one_bearing_is_a_mechanism():
    with pytest.raises(FrameError, match="can move without resistance"):
        make_model(replace(truss(2), bearings=truss(2).bearings[:1]), columns([]), E_MODULUS)


@pytest.mark.parametrize("E", [0.0, -1.0, float("nan"), float("inf")])
def test_stiffness_must_be_a_number_above_zero(E):
    with pytest.raises(RangeError, match="E must be"):
        make_model(truss(2), columns([]), E)


def test_a_long_beam_cut_fine_is_no_mechanism():
    """12 m in pieces of 11 mm: soft beside its pieces, and still not loose."""
    rows = [("BC1", s, 0.0, 1, 2) for s in np.arange(11.0, 12000.0, 11.0)]
    girder = beam(2, 12000.0, (5000.0,))
    K = np.full(len(rows), 500.0)
    found = share(girder, columns(rows), Laws(K, 0 * K), on_ply(girder, 0, (900.0,)), E=E_MODULUS)
    assert found.reactions.sum() == pytest.approx(900.0, rel=1e-4)
