"""The spring model against PyNiteFEA 3.2, an independent solver of space frames, spring for spring.

Its model is built from the girder alone (tests/support/pynite_plies.py): plies in parallel planes,
fasteners as short members of the same stiffness. Tolerance 1e-6 of the largest force: both solve
the same linear equations in double precision. With fasteners off the centreline a stiff member
stands for a rigid arm, a thousand million times as stiff as a fastener; on a whole sample with arms
at every heel and row, that leaves 2e-6. Its shortest piece has 0.9 mm between a joint and a
fastener: 3e12 N/mm beside springs of 600, which left 5e-4 before solutions were corrected by what
they leave out of balance (the program itself gives places within 10 mm one node, but for joints).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pynite_plies import PynitePlies
from sharing_girders import E_MODULUS, columns, truss

from girderply.bases.en1995 import BASIS as EN1995
from girderply.catalogue import timber
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.strength.demand import entering
from girderply.strength.sharing import Laws, laws_of, share

ROWS = {
    2: [
        ("BC1", 420.0, 0.0, 1, 2), ("BC1", 2100.0, 0.0, 1, 2), ("BC1", 2190.0, 0.0, 2, 1),
        ("BC1", 2900.0, 0.0, 1, 2), ("BC1", 4526.0, 0.0, 1, 2), ("BC1", 6100.0, 0.0, 1, 2),
        ("TC1", 700.0, 0.0, 1, 2), ("TC1", 3300.0, 0.0, 1, 2), ("TC2", 900.0, 0.0, 1, 2),
        ("W1", 500.0, 0.0, 1, 2), ("W3", 300.0, 0.0, 1, 2), ("W3", 1500.0, 0.0, 1, 2),
    ],
    3: [
        ("BC1", 400.0, 0.0, 1, 2), ("BC1", 650.0, 0.0, 3, 1), ("BC1", 2190.0, 0.0, 1, 3),
        ("BC1", 2350.0, 0.0, 2, 3), ("BC1", 4526.0, 0.0, 1, 2), ("BC1", 4700.0, 0.0, 3, 2),
        ("BC1", 6900.0, 0.0, 1, 3), ("TC1", 1900.0, 0.0, 1, 3), ("TC2", 2400.0, 0.0, 2, 3),
        ("W2", 800.0, 0.0, 1, 2), ("W4", 600.0, 0.0, 3, 2),
    ],
}  # fmt: skip
NEAR = 8.0  # mm
SIZES = {2: (4000.0, 9000.0), 3: (7000.0, 2500.0)}


def loads_of(plies: int) -> np.ndarray:
    """The first load hangs on ply 1, the second on the last one."""
    loads = np.zeros((2, plies))
    loads[0, 0], loads[1, -1] = SIZES[plies]
    return loads


def stiffness(count: int) -> np.ndarray:
    return 600.0 + 130.0 * np.arange(count)


@pytest.mark.parametrize("plies", [2, 3])
def test_every_fastener_force_and_reaction(plies):
    girder, cols, loads = truss(plies), columns(ROWS[plies]), loads_of(plies)
    K = stiffness(len(cols.member))
    ours = share(girder, cols, Laws(K, np.zeros_like(K)), loads, E=E_MODULUS)
    theirs = PynitePlies(girder, cols, K, E_MODULUS).build(loads).solve()
    scale = ours.force_size.max()
    compared = 0
    for f, k in zip(*np.nonzero(ours.modulus), strict=True):
        assert ours.force[f, k] == pytest.approx(theirs.force(f, k), abs=1e-6 * scale)
        compared += 1
    assert compared == sum(abs(row[3] - row[4]) for row in ROWS[plies])
    for b, bearing in enumerate(girder.bearings):
        for ply in range(plies):
            expected = theirs.reaction(bearing.x, ply)
            assert ours.reactions[ply, b] == pytest.approx(expected, abs=1e-6 * loads.sum())
    node = ours.mesh.loads.node[1]
    for ply in range(plies):
        fall = theirs.fall("BC1", girder.loads[1].station, ply)
        assert -ours.displacements[ply, node, 1] == pytest.approx(fall, rel=1e-6)


@pytest.mark.parametrize("plies", [2, 3])
def test_forces_of_every_member_and_ply(plies):
    """Axial force, shear and moment of each ply, as they go back to the truss designer."""
    girder, cols, loads = truss(plies), columns(ROWS[plies]), loads_of(plies)
    K = stiffness(len(cols.member))
    ours = share(girder, cols, Laws(K, np.zeros_like(K)), loads, E=E_MODULUS)
    theirs = PynitePlies(girder, cols, K, E_MODULUS).build(loads).solve()
    member = ours.mesh.member[ours.mesh.ends[:, 0]]
    scale = np.array([1.0, 1.0, 1000.0]) * 1e-6 * loads.sum()
    for i, m in enumerate(girder.members):
        for ply in range(plies):
            mine = ours.pieces[ply, member == i]
            expected = theirs.pieces(m.id, ply)
            found = np.stack([-mine[:, 0], mine[:, 1], -mine[:, 2]], axis=1)
            assert found.shape == expected.shape
            if abs(np.cos(m.angle)) < 1e-9:  # its sign is PyNite's rounding
                found, expected = np.abs(found), np.abs(expected)
            assert (np.abs(found - expected) <= scale).all(), (m.id, ply)


@pytest.mark.parametrize("plies", [2, 3])
def test_fasteners_off_the_centreline(plies):
    shift = (35.0, -52.0, 18.0)
    rows = [
        (m, s, shift[i % 3] if m != "W1" else 12.0, a, b)
        for i, (m, s, _, a, b) in enumerate(ROWS[plies])
    ]
    girder, cols, loads = truss(plies), columns(rows), loads_of(plies)
    K = stiffness(len(cols.member))
    ours = share(girder, cols, Laws(K, np.zeros_like(K)), loads, E=E_MODULUS)
    centred = share(girder, columns(ROWS[plies]), Laws(K, np.zeros_like(K)), loads, E=E_MODULUS)
    theirs = PynitePlies(girder, cols, K, E_MODULUS, arm=1e5).build(loads).solve()
    scale = ours.force_size.max()
    for f, k in zip(*np.nonzero(ours.modulus), strict=True):
        assert ours.force[f, k] == pytest.approx(theirs.force(f, k), abs=1e-6 * scale)
    # the arms matter, or this would prove nothing
    assert np.abs(ours.force - centred.force).max() > 1e-2 * scale


def test_a_whole_sample_with_its_own_fasteners():
    """Three plies, heel joints off the rafters' lines, two rows, nails through all plies."""
    path = Path(__file__).parents[2] / "sample_jobs" / "three-ply-pratt.toml"
    schedule = build_schedule(read_job(path))
    girder = schedule.girder
    f = schedule.fasteners
    laws = laws_of(f, schedule.nails, schedule.bolts, timber(girder.timber).rho_mean, by=EN1995)
    loads = np.array([entering(v, 1000.0 + v.station, girder.plies) for v in girder.loads])
    ours = share(girder, f, laws, loads, E=E_MODULUS, merge=0.05)
    theirs = PynitePlies(girder, f, laws.modulus, E_MODULUS, arm=1e5).build(loads).solve()
    scale = ours.force_size.max()
    for i, k in zip(*np.nonzero(ours.modulus), strict=True):
        assert ours.force[i, k] == pytest.approx(theirs.force(i, int(k)), abs=2e-6 * scale)
