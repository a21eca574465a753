"""Fasteners that yield: what the static (lower-bound) theorem asks of every state on the way.

Equilibrium in every ply with no fastener beyond its strength; for one cluster of fasteners at the
load the transfer ends at the sum of their strengths, which is the equal-share capacity.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sharing_girders import E_MODULUS, columns, on_ply, points, truss

from girderply.strength.sharing import Laws, make_model, plastic, solve

FEW = settings(max_examples=8, deadline=None)
LENGTHS = {m.id: m.length for m in truss(2).members}
PLACES = st.tuples(
    st.sampled_from(["BC1", "BC1", "TC1", "TC2", "W3"]), st.floats(0.05, 0.95), st.booleans()
)


@st.composite
def cases(draw: st.DrawFn):
    """Model, laws, loads on the front ply, strengths, columns."""
    n = draw(st.integers(2, 4))
    girder = truss(n)
    rows = []
    for member, part, whole in draw(st.lists(PLACES, min_size=3, max_size=15)):
        k = draw(st.integers(1, n - 1))
        rows.append((member, part * LENGTHS[member], 20.0, *((1, n) if whole else (k, k + 1))))
    m = len(rows)
    K = np.array(draw(st.lists(st.floats(200, 5000), min_size=m, max_size=m)))
    strength = np.array(draw(st.lists(st.floats(300, 3000), min_size=m, max_size=m)))
    loads = on_ply(girder, 0, (draw(st.floats(1e3, 2e4)), draw(st.floats(1e3, 2e4))))
    cols = columns(rows)
    return girder, cols, Laws(K, np.zeros(m)), loads, strength


@FEW
@given(cases())
def test_every_state_is_safe_in_the_sense_of_the_static_theorem(case):
    girder, cols, laws, loads, strength = case
    model = make_model(girder, cols, E_MODULUS)
    path = plastic(model, laws, loads, strength)
    state, scale = path.final, 1e-6 * path.factors[-1] * loads.sum()
    assert (state.force_size <= strength[:, None] * (1 + 1e-6)).all()
    at = points(girder, cols)
    for ply in range(girder.plies):
        into = np.zeros((len(at), 2))
        if ply > 0:
            into += state.force[:, ply - 1]
        if ply < girder.plies - 1:
            into -= state.force[:, ply]
        up = state.reactions[ply].sum() + into[:, 1].sum()
        assert up == pytest.approx(path.factors[-1] * loads[:, ply].sum(), abs=scale)
        assert into[:, 0].sum() + state.thrust[ply] == pytest.approx(0.0, abs=scale)


@FEW
@given(cases())
def test_the_path_before_and_after_the_first_yield(case):
    girder, cols, laws, loads, strength = case
    model = make_model(girder, cols, E_MODULUS)
    elastic = solve(model, laws, loads)
    path = plastic(model, laws, loads, strength)
    assert path.first_yield == pytest.approx(1 / elastic.utilisation(strength).max(), rel=1e-6)
    assert path.passed[0] == pytest.approx(path.first_yield * elastic.passed, rel=1e-5, abs=1.0)
    row, k = elastic.hardest(strength)
    ties = np.isclose(path.at, path.at[0], rtol=1e-6)
    assert (row, k) in set(zip(path.fastener[ties], path.interface[ties], strict=True))
    assert (np.diff(path.at) >= -1e-9).all()
    assert (np.diff(path.yielded) >= 0).all()
    assert path.ended_by in {"transfer", "slip", "steps"}
    assert path.factor >= path.first_yield * (1 - 1e-9)


@FEW
@given(st.integers(2, 5), st.integers(1, 6), st.floats(500, 3000), st.floats(2e3, 3e4))
def test_one_cluster_ends_at_the_sum_of_its_strengths(n, count, strength, size):
    """Stiff fasteners at the load, all alike: elastic and plastic agree."""
    girder = truss(n, at=(("BC1", 0.5),))
    rows = [("BC1", girder.loads[0].station, 0.0, 1, n)] * count
    cols, held = columns(rows), np.full(count, strength)
    laws = Laws(np.full(count, 1e7), np.zeros(count))
    loads = on_ply(girder, 0, (size,))
    model = make_model(girder, cols, E_MODULUS)
    path = plastic(model, laws, loads, held)
    assert path.ended_by == "transfer"
    assert path.final.passed[0] == pytest.approx(count * strength, rel=1e-4)
    by_hand = count * strength / (size * (n - 1) / n)
    assert path.factor == pytest.approx(by_hand, rel=2e-2)


@FEW
@given(cases(), st.floats(0.5, 4.0))
def test_a_larger_load_gives_smaller_factors(case, scale):
    """The loads times a factor: every factor divided by it."""
    girder, cols, laws, loads, strength = case
    model = make_model(girder, cols, E_MODULUS)
    one = plastic(model, laws, loads, strength)
    two = plastic(model, laws, scale * loads, strength)
    assert two.factors * scale == pytest.approx(one.factors, rel=1e-6)
    assert two.ended_by == one.ended_by
    assert two.factor * scale == pytest.approx(one.factor, rel=1e-4)
