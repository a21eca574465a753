"""What passes between plies keeps every ply in balance, for any load and any number of plies."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from girderply.jobfile.job import Role
from girderply.model.girder import Girder, HungLoad, Member
from girderply.strength.demand import entering, interface_shears
from girderply.strength.zones import zones

plies = st.integers(2, 6)
forces = st.floats(-1e5, 1e5)


def _load(load_id: str, face: str, station: float, reached: int = 1) -> HungLoad:
    return HungLoad(
        id=load_id,
        chord="BC1",
        face=face,
        station=station,
        x=station,
        y=0.0,
        permanent=1000.0,
        variable=None,
        uplift=None,
        design=None,
        plies_reached=reached,
        bracket=None,
        footprint=None,
    )


def _girder(loads: tuple[HungLoad, ...]) -> Girder:
    chord = Member(
        "BC1", Role.BOTTOM_CHORD, 195.0, (0.0, 97.5), (6000.0, 97.5), np.zeros((0, 2)), ()
    )
    return Girder("G1", 1, 3, 45.0, "C24", (chord,), (), (), (), loads)


@given(plies.flatmap(lambda n: st.lists(forces, min_size=n, max_size=n)))
def test_every_ply_is_left_with_its_share(into):
    """What enters a ply, plus what the interface before passes on, less what the next takes."""
    n, whole = len(into), sum(into)
    shear = (0.0, *interface_shears(tuple(into)), 0.0)
    for i, own in enumerate(into):
        kept = own + shear[i] - shear[i + 1]
        assert kept == pytest.approx(whole / n, abs=1e-6)


@given(plies, st.integers(1, 6), forces, st.sampled_from(["front", "back", "top"]))
def test_all_of_a_load_enters_and_faces_mirror(n, reached, force, face):
    load = _load("L1", face, 500.0, reached)
    into = entering(load, force, n)
    assert len(into) == n
    assert sum(into) == pytest.approx(force)
    other = {"front": "back", "back": "front", "top": "top"}[face]
    mirrored = entering(_load("L1", other, 500.0, reached), force, n)
    assert mirrored == pytest.approx(into[::-1])
    assert interface_shears(mirrored) == pytest.approx(
        [-v for v in interface_shears(into)[::-1]], abs=1e-6
    )


@given(plies, forces)
def test_one_face_passes_the_share_of_the_plies_behind(n, force):
    shear = interface_shears(entering(_load("L1", "front", 0.0), force, n))
    expected = [force * (n - k) / n for k in range(1, n)]
    assert shear == pytest.approx(expected, abs=1e-6)


@given(
    st.lists(st.floats(0.0, 6000.0), min_size=1, max_size=12),
    st.floats(50.0, 2000.0),
)
def test_zones_never_overlap_and_hold_their_loads(stations, reach):
    loads = tuple(_load(f"L{i}", "front", s) for i, s in enumerate(stations))
    found = zones(_girder(loads), reach)
    assert sorted(x.id for z in found for x in z.loads) == sorted(x.id for x in loads)
    for zone in found:
        assert 0.0 <= zone.start <= zone.station <= zone.end <= 6000.0
        assert zone.station - zone.start <= reach + 1e-9
        assert zone.end - zone.station <= reach + 1e-9
    for left, right in pairwise(found):
        assert left.end <= right.start + 1e-9
