from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sharing_girders import E_MODULUS, beam, columns, on_ply, truss

from girderply.errors import RangeError, Severity
from girderply.strength.sharing import (
    Laws,
    findings_of,
    make_model,
    plastic,
    solve,
)
from girderply.units.show import Show
from girderply.wording import english

SHOW = Show("metric")


def case(K: float, plies: int = 2, size: float = 6000.0):
    """A beam with one fastener at the load on ply 1."""
    girder = beam(plies, 5000.0, (2000.0,))
    cols = columns([("BC1", 2000.0, 0.0, 1, plies)])
    laws = Laws(np.array([K]), np.zeros(1))
    model = make_model(girder, cols, E_MODULUS)
    loads = on_ply(girder, 0, (size,))
    return girder, cols, model, laws, loads, solve(model, laws, loads)


def test_equal_shares_give_no_finding():
    girder, cols, _, _, _, found = case(1e8)
    assert findings_of(found, girder, cols, SHOW, strength=np.array([5000.0])) == ()


def test_a_near_ply_that_keeps_too_much_is_named_with_its_force():
    girder, cols, _, _, _, found = case(50.0)
    (finding,) = findings_of(found, girder, cols, SHOW)
    share = found.bearing_shares[0, 0]
    assert share > 0.55
    assert (finding.code, finding.severity) == ("sharing-near-ply", Severity.WARNING)
    assert "ply 1 (front) carries" in english(finding.message)
    assert english(SHOW.force(found.reactions[0, 0])) in english(finding.message)
    assert f"{100 * share:.0f}" in english(finding.message)
    assert english(SHOW.force(3600 / 2)) in english(
        finding.message
    )  # design share of 6000 x 3/5 over two plies


def test_the_margin_is_the_limit():
    girder, cols, _, _, _, found = case(50.0)
    excess = 2 * float(found.bearing_shares[0].max()) - 1
    assert findings_of(found, girder, cols, SHOW, margin=excess + 1e-6) == ()
    assert len(findings_of(found, girder, cols, SHOW, margin=excess - 1e-6)) == 1


def test_a_fastener_beyond_its_resistance_is_named():
    girder, cols, _, _, _, found = case(1e8)
    (finding,) = findings_of(found, girder, cols, SHOW, strength=np.array([2000.0]))
    assert finding.code == "sharing-fastener-over"
    assert finding.where == "BC1-N1"
    assert "between plies 1 and 2" in english(finding.message)
    assert english(SHOW.force(2000.0)) in english(finding.message)
    assert english(SHOW.force(3000.0)) in english(finding.message)


@pytest.mark.parametrize(
    ("strength", "words"),
    [(2000.0, "stops to grow at 67\u00a0% of the design load"), (2990.0, "stops to grow")],
)
def test_what_yielding_adds_is_said(strength, words):
    girder, cols, model, laws, loads, found = case(1e8)
    held = np.array([strength])
    path = plastic(model, laws, loads, held)
    (finding,) = findings_of(found, girder, cols, SHOW, strength=held, plastic=path)
    assert words in english(finding.message)


def test_neighbours_that_take_over():
    """A stiff weak fastener beside soft strong ones: the first gives way, the others go on."""
    girder = beam(2, 5000.0, (2000.0,))
    rows = [("BC1", s, 0.0, 1, 2) for s in (2000.0, 2200.0, 1800.0, 2400.0)]
    cols = columns(rows)
    laws = Laws(np.array([1e5, 400.0, 400.0, 400.0]), np.zeros(4))
    held = np.array([300.0, 4000.0, 4000.0, 4000.0])
    model, loads = make_model(girder, cols, E_MODULUS), on_ply(girder, 0, (6000.0,))
    path = plastic(model, laws, loads, held)
    assert path.first_yield < 0.5
    assert path.factor > 1.0
    assert path.fastener[0] == 0
    found = solve(model, laws, loads)
    texts = [f.message for f in findings_of(found, girder, cols, SHOW, strength=held, plastic=path)]
    assert any("neighbours take over" in english(t) for t in texts)


def test_slip_is_elastic_plus_plastic():
    """In the final state of a path: slip less plastic slip is force over modulus, everywhere."""
    girder = beam(2, 5000.0, (2000.0,))
    rows = [("BC1", s, 0.0, 1, 2) for s in (1500.0, 2000.0, 2200.0, 3100.0)]
    laws = Laws(np.array([900.0, 1500.0, 400.0, 700.0]), np.zeros(4))
    held = np.array([300.0, 900.0, 800.0, 4000.0])
    model, loads = make_model(girder, columns(rows), E_MODULUS), on_ply(girder, 0, (6000.0,))
    path = plastic(model, laws, loads, held)
    state = path.final
    elastic = state.force / laws.modulus[:, None, None]
    assert state.slip - path.plastic_slip == pytest.approx(elastic, abs=1e-6)
    yielded = sorted(set(path.fastener.tolist()))
    assert len(yielded) > 1
    assert 3 not in yielded
    assert np.abs(path.plastic_slip[yielded, 0, 1]).max() > 1.0
    assert not path.plastic_slip[3].any()


def test_nothing_to_pass():
    _, _, model, laws, loads, _ = case(500.0)
    alike = np.full_like(loads, 1000.0)
    path = plastic(model, laws, alike, np.array([900.0]))
    assert path.ended_by == "nothing yields"
    assert path.factor == np.inf
    assert path.final.shares == pytest.approx([0.5, 0.5])


def test_the_path_between_its_steps():
    _, _, model, laws, loads, found = case(500.0)
    path = plastic(model, laws, loads, np.array([800.0]))
    assert path.factors[-1] == pytest.approx(path.factor)
    assert path.shares[0] == pytest.approx(found.shares)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"growth": 1.0}, "growth must be more than 1"),
        ({"growth": float("nan")}, "growth must be more than 1"),
        ({"slip_limit": 0.0}, "slip_limit must be greater than 0"),
        ({"slip_limit": float("nan")}, "slip_limit must be greater than 0"),
    ],
)
def test_limits_out_of_range(changes, words):
    _, _, model, laws, loads, _ = case(500.0)
    with pytest.raises(RangeError, match=words):
        plastic(model, laws, loads, np.array([800.0]), **changes)


@pytest.mark.parametrize(
    ("strength", "words"),
    [
        (np.array([1.0, 2.0]), "values must be"),
        (np.array([-1.0]), "at least 0"),
        (np.array([np.nan]), "at least 0"),
    ],
)
def test_strengths_out_of_range(strength, words):
    found = case(500.0)[-1]
    with pytest.raises(RangeError, match=words):
        found.utilisation(strength)


def test_loads_out_of_range():
    _, _, model, laws, loads, _ = case(500.0)
    with pytest.raises(RangeError, match=r"loads must be \(1, 2\)"):
        solve(model, laws, loads[:, :1])
    with pytest.raises(RangeError, match="finite"):
        solve(model, laws, loads * np.nan)


def test_a_girder_without_fasteners():
    girder = truss(3)
    model = make_model(girder, columns([]), E_MODULUS)
    found = solve(model, Laws(np.zeros(0), np.zeros(0)), on_ply(girder, 2, (100.0, 200.0)))
    assert found.shares == pytest.approx([0.0, 0.0, 1.0])
    with pytest.raises(RangeError, match="no fastener between its plies"):
        found.hardest()
    (finding,) = findings_of(found, girder, columns([]), SHOW, strength=np.zeros(0))
    assert "ply 3 (back)" in english(finding.message)


def test_no_load_gives_no_share_and_no_finding():
    girder, cols, model, laws, loads, _ = case(500.0)
    found = solve(model, laws, 0 * loads)
    assert np.isnan(found.shares).all()
    assert findings_of(found, girder, cols, SHOW, strength=np.array([1.0])) == ()


def test_the_hardest_by_force_and_by_utilisation():
    girder = beam(3, 5000.0, (2000.0,))
    cols = columns([("BC1", 2000.0, 0.0, 1, 3), ("BC1", 2900.0, 0.0, 2, 3)])
    model = make_model(girder, cols, E_MODULUS)
    found = solve(model, Laws(np.full(2, 900.0), np.zeros(2)), on_ply(girder, 0, (5000.0,)))
    assert found.hardest() == (0, 0)
    weak = np.array([[1e6, 1e6], [1e6, 1.0]])
    assert found.hardest(weak) == (1, 1)
    none = replace(found, loads=found.loads)
    assert none.utilisation(np.array([0.0, 1e9]))[0, 0] == np.inf
    assert none.utilisation(np.array([0.0, 1e9]))[1, 0] == 0.0  # it does not cross interface 1
