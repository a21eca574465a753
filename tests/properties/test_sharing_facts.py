"""What must hold for any girder, any fasteners and any stiffness.

The facts are those of linear elastic structures: superposition, reciprocity, equilibrium, and the
modes of a chain of equal parts joined by equal springs (eigenvalues 2 - 2 cos(k pi / n), free ends;
common knowledge, no source). That the share falls with the distance from the loaded ply, or changes
one way with the stiffness, is not a fact and is not asserted.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sharing_girders import E_MODULUS, Columns, columns, points, truss

from girderply.model.girder import Girder
from girderply.strength.sharing import Laws, Sharing, make_model, relief, share, solve

FEW = settings(max_examples=20, deadline=None)
LENGTHS = {m.id: m.length for m in truss(2).members}


@st.composite
def girders(draw: st.DrawFn, plies: int | None = None) -> Girder:
    """A random triangular truss with two or three loads on its chords."""
    n = plies or draw(st.integers(2, 5))
    chord = st.sampled_from(["BC1", "TC1", "TC2"])
    at = draw(st.lists(st.tuples(chord, st.floats(0.05, 0.95)), min_size=2, max_size=3))
    return truss(
        n, draw(st.floats(4000, 12000)), draw(st.floats(900, 3000)), draw(st.floats(0.4, 0.65)),
        tuple(at),
    )  # fmt: skip


@st.composite
def fastened(draw: st.DrawFn, through: bool = False) -> tuple[Girder, Columns, Laws]:
    """A girder, random fasteners and their moduli."""
    girder = draw(girders())
    n, rows = girder.plies, []
    for _ in range(draw(st.integers(1, 14))):
        member = draw(st.sampled_from(girder.members))
        first = 1 if through else draw(st.integers(1, n - 1))
        last = n if through else draw(st.integers(first + 1, n))
        ends = (first, last) if draw(st.booleans()) else (last, first)
        station = draw(st.floats(0.03, 0.97)) * member.length
        rows.append((member.id, station, draw(st.floats(-0.4, 0.4)) * member.depth, *ends))
    K = draw(st.lists(st.floats(1.0, 1e5), min_size=len(rows), max_size=len(rows)))
    return girder, columns(rows), Laws(np.array(K), np.zeros(len(K)))


@st.composite
def loaded(draw: st.DrawFn, girder: Girder) -> np.ndarray:
    """Loads of either sign on any ply, not all zero."""
    size = st.floats(-9e3, 9e3).map(lambda v: round(v, 1))
    rows = draw(
        st.lists(
            st.lists(size, min_size=girder.plies, max_size=girder.plies),
            min_size=len(girder.loads),
            max_size=len(girder.loads),
        )
    )
    loads = np.array(rows)
    loads[0, 0] += 12e3
    return loads


def found(data: st.DataObject, case: tuple[Girder, Columns, Laws]) -> tuple[Sharing, np.ndarray]:
    girder, cols, laws = case
    loads = data.draw(loaded(girder))
    return share(girder, cols, laws, loads, E=E_MODULUS), loads


def one_ply(girder: Girder, cols: Columns, loads: np.ndarray) -> Sharing:
    """A single ply, cut at the same places, under the whole load."""
    ones = np.ones(len(cols.member), np.int64)
    same = replace(cols, from_ply=ones, to_ply=ones)
    none = Laws(np.zeros(len(ones)), np.zeros(len(ones)))
    whole = loads.sum(axis=1, keepdims=True)
    return share(replace(girder, plies=1), same, none, whole, E=E_MODULUS)


def equal_share_passed(found):
    """(n - 1,) what would pass if each ply kept 1/n of the whole, N."""
    entering = found.loads.sum(axis=0)
    return np.cumsum(entering - entering.mean())[:-1]


def passed_by(found, girder, member_id):
    """(n - 1,) load that the fasteners of a member pass on, N, downward positive."""
    index = [m.id for m in girder.members].index(member_id)
    own = found.mesh.member[found.mesh.fasteners.node] == index
    return -found.force[own, :, 1].sum(axis=0)


@FEW
@given(fastened(), st.data())
def test_the_plies_together_move_as_one_ply_under_the_whole_load(case, data):
    ours, loads = found(data, case)
    single = one_ply(case[0], case[1], loads)
    scale = np.abs(ours.displacements[..., :2]).max()
    total = ours.displacements.sum(axis=0)
    assert total[:, :2] == pytest.approx(single.displacements[0, :, :2], abs=1e-6 * scale)
    assert ours.reactions.sum(axis=0) == pytest.approx(single.reactions[0], abs=1e-3)


@FEW
@given(fastened(), st.data())
def test_each_ply_is_in_equilibrium(case, data):
    girder, cols, _ = case
    ours, loads = found(data, case)
    at, scale = points(girder, cols), np.abs(loads).sum()
    hang = np.array([(v.x, v.y) for v in girder.loads])
    for ply in range(girder.plies):
        into = np.zeros((len(at), 2))  # what fasteners give this ply
        if ply > 0:
            into += ours.force[:, ply - 1]
        if ply < girder.plies - 1:
            into -= ours.force[:, ply]
        up = ours.reactions[ply]
        assert into[:, 1].sum() + up.sum() == pytest.approx(loads[:, ply].sum(), abs=1e-6 * scale)
        assert into[:, 0].sum() + ours.thrust[ply] == pytest.approx(0.0, abs=1e-6 * scale)
        turn = at[:, 0] @ into[:, 1] - at[:, 1] @ into[:, 0]
        turn += np.array([b.x for b in girder.bearings]) @ up - hang[:, 0] @ loads[:, ply]
        assert turn == pytest.approx(0.0, abs=1e-6 * scale * girder.bearings[-1].x)


@FEW
@given(fastened(), st.data())
def test_no_stiffness_shares_nothing(case, data):
    girder, cols, laws = case
    loads = data.draw(loaded(girder))
    loads[:, 1:] = 0.0
    none = Laws(np.zeros_like(laws.modulus), laws.gap)
    ours = share(girder, cols, none, loads, E=E_MODULUS)
    assert np.abs(ours.displacements[1:]).max() == 0.0
    assert not ours.force.any()
    single = one_ply(girder, cols, loads)
    assert ours.reactions[0] == pytest.approx(single.reactions[0], abs=1e-3)


@FEW
@given(girders(), st.data())
def test_endless_stiffness_at_the_loads_shares_equally(girder, data):
    """Fasteners exactly at every load keep the plies alike everywhere, when nothing there slips."""
    n = girder.plies
    cols = columns([(v.chord, v.station, 0.0, 1, n) for v in girder.loads])
    # places that share a node by design hang together by rigid arms: take the loads apart
    places = [(v.chord, v.station) for v in girder.loads]
    apart = all(
        abs(a[1] - b[1]) > 50 or a[0] != b[0] for i, a in enumerate(places) for b in places[:i]
    )
    if not apart:
        return
    loads = np.abs(data.draw(loaded(girder)))
    laws = Laws(np.full(len(cols.member), 1e9), np.zeros(len(cols.member)))
    ours = share(girder, cols, laws, loads, E=E_MODULUS)
    equal = np.broadcast_to(ours.reactions.mean(axis=0), ours.reactions.shape)
    assert ours.reactions == pytest.approx(equal, abs=2e-3 * loads.sum())
    assert ours.passed == pytest.approx(equal_share_passed(ours), abs=4e-3 * loads.sum())


@FEW
@given(fastened(), st.data())
def test_maxwell_betti(case, data):
    """A load here moves the place there as much as the same load there moves the place here."""
    girder, cols, laws = case
    model = make_model(girder, cols, E_MODULUS)
    plies = st.integers(0, girder.plies - 1)
    a, b = data.draw(plies), data.draw(plies)
    fall = {}
    for load, ply in ((0, a), (1, b)):
        loads = np.zeros((len(girder.loads), girder.plies))
        loads[load, ply] = 1e4
        places = model.frame.mesh.loads
        ours = solve(model, laws, loads)
        other, there = (1, b) if load == 0 else (0, a)
        u = ours.displacements[there, places.node[other]]
        fall[load] = u[1] + u[2] * places.arm[other, 0]
    assert fall[0] == pytest.approx(fall[1], rel=1e-6, abs=1e-9)


@FEW
@given(fastened(through=True), st.data())
def test_equal_plies_decouple_into_single_plies_on_springs(case, data):
    """Loads in the shape of a mode: one ply on ground springs of (2 - 2 cos(k pi / n)) K."""
    girder, cols, laws = case
    n = girder.plies
    mode = data.draw(st.integers(0, n - 1))
    shape = np.cos(mode * np.pi * (np.arange(n) + 0.5) / n)
    size = 1e3 * np.arange(1, len(girder.loads) + 1)
    ours = share(girder, cols, laws, size[:, None] * shape, E=E_MODULUS)
    two = make_model(replace(girder, plies=2), replace(cols, **_two(cols)), E_MODULUS)
    K = two.frame.full()
    whole = np.eye(2 * len(K)).reshape(-1, 2 * len(K))
    move = two.springs.slip(whole).reshape(-1, 2 * len(K))[:, 0::2]  # of ply 1 at the fasteners
    ground = (2 - 2 * np.cos(mode * np.pi / n)) * np.repeat(laws.modulus, 2)
    K += move.T @ (ground[:, None] * move)
    free = two.frame.free
    u = np.zeros(len(K))
    vector = two.load_vector(np.stack([size, 0 * size], axis=1))[0::2]
    u[free] = np.linalg.solve(K[np.ix_(free, free)], vector[free])
    single = u[two.frame.mesh.dof][:, :2]
    scale = max(np.abs(single).max(), 1e-12)
    for ply in range(n):
        expected = shape[ply] * single
        assert ours.displacements[ply, :, :2] == pytest.approx(expected, abs=1e-5 * scale)


def _two(cols: Columns) -> dict[str, np.ndarray]:
    ones = np.ones(len(cols.member), np.int64)
    return {"from_ply": ones, "to_ply": 2 * ones}


@FEW
@given(fastened(), st.data())
def test_relief_is_the_derivative_of_the_reaction(case, data):
    """Against a difference quotient: make one fastener stiffer by a little."""
    girder, cols, laws = case
    loads = data.draw(loaded(girder))
    model = make_model(girder, cols, E_MODULUS)
    i = data.draw(st.integers(0, len(cols.member) - 1))
    ply = data.draw(st.integers(0, girder.plies - 1))
    h, falls = 1e-3, []
    for sign in (-1.0, 1.0):
        K = laws.modulus.copy()
        K[i] *= 1 + sign * h
        falls.append(solve(model, Laws(K, laws.gap), loads).reactions[ply])
    quotient = -(falls[1] - falls[0]) / (2 * h)
    scale = 1e-5 * np.abs(loads).sum()
    assert relief(model, laws, loads, ply)[i] == pytest.approx(quotient.sum(), abs=scale)
    for b in (0, 1):
        assert relief(model, laws, loads, ply, b)[i] == pytest.approx(quotient[b], abs=scale)


@FEW
@given(fastened(), st.data())
def test_what_passes_is_what_the_fasteners_pass(case, data):
    """Vertical forces of all fasteners of an interface, added up two other ways."""
    girder = case[0]
    ours, loads = found(data, case)
    scale = 1e-6 * np.abs(loads).sum()
    down = -ours.force[..., 1].sum(axis=0)
    assert ours.passed == pytest.approx(down, abs=scale)
    by_member = sum(passed_by(ours, girder, m.id) for m in girder.members)
    assert by_member == pytest.approx(down, abs=scale)
    total = np.zeros((girder.plies - 1, 2))
    for m in girder.members:
        flow = ours.flow(girder, m.id)
        sums = (flow.force * np.diff(flow.edges)[:, None]).sum(axis=1)
        c, s = np.cos(m.angle), np.sin(m.angle)
        total += sums @ np.array([[c, s], [-s, c]])
    assert total == pytest.approx(ours.force.sum(axis=0), abs=scale)
