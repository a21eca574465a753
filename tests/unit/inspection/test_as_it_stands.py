"""Where fasteners stand by a record: tolerances, gaps, reaches and rows off their marks."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from inspection_records import ids, record, sample

from girderply.inspection.as_built import as_built
from girderply.inspection.bench import Bench
from girderply.inspection.gap import single_shear
from girderply.inspection.history import with_make_good
from girderply.inspection.judge import beyond, inspect
from girderply.rules import OVERRIDES
from girderply.standards.en1995_1_1_2014.johansen import single_shear as johansen
from girderply.strength.checks import Checker
from girderply.strength.zones import reach_of
from girderply.units.show import Show
from girderply.wording import english


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


def test_two_tolerances_each_with_a_limit():
    assert (OVERRIDES["tolerance"].high, OVERRIDES["alignment_tolerance"].high) == (20, 10)
    howe = sample("two-ply-howe")
    loose = replace(howe, rules=replace(howe.rules, tolerance=20.0))
    out = {"gap_mm": 0.0, "alignment_mm": 6.0}
    assert inspect(loose, record(loose, plies=out)).verdict == "engineer"


def test_a_gap_takes_from_what_a_fastener_carries():
    """Two hinges: P = q (sqrt(g^2 / 4 + 2 M / q) - g / 2), by moments at the middle of the gap."""
    q, M = 75.7, 6617.0
    bare = johansen(38.0, 38.0, q / 4, q / 4, 4.0, M, factored=False)
    assert single_shear(q, M, (38.0, 38.0), 0.0) == pytest.approx(min(bare.values()), rel=1e-9)
    assert single_shear(q, M, (24.0, 38.0), 0.0) == pytest.approx(
        min(johansen(24.0, 38.0, q / 4, q / 4, 4.0, M, factored=False).values()), rel=1e-9
    )
    over = q * (sqrt(3.0**2 / 4 + 2 * M / q) - 1.5)
    assert single_shear(q, M, (90.0, 90.0), 3.0) == pytest.approx(over, rel=1e-9)
    assert over / (q * sqrt(2 * M / q)) == pytest.approx(0.89, abs=0.005)


def test_the_gap_as_measured_is_in_the_checks(howe):
    shut = inspect(howe, record(howe))
    ajar = inspect(howe, record(howe, plies={"gap_mm": 3.0, "alignment_mm": 0.0}))
    by = {c.id: c.resistance for c in ajar.checks} if ajar.verdict == "accepted" else None
    assert ajar.verdict in ("accepted", "add")
    if by is None:
        assert any("force to transfer" in english(r) for r in ajar.reasons)
    else:
        assert all(by[c.id] < 0.9 * c.resistance for c in shut.checks if c.interface)


def test_on_the_border_of_a_reach_a_hair_off_does_not_count_for_it(howe):
    """A nail that may stand just beyond the end of the only reach it was counted in."""
    from girderply.inspection.as_built import as_built
    from girderply.inspection.doubt import near_a_border

    bench = Bench.of(howe)
    zone, f = bench.zones[0], howe.fasteners
    own = np.flatnonzero((f.member == zone.chord) & f.driven & (f.station <= zone.high))
    i = int(own[np.argmax(f.station[own])])
    gap = zone.high - float(f.station[i])
    rec = record(howe, {str(f.id[i]): ("misplaced", gap + 0.5, "")})
    assert near_a_border(bench, as_built(howe, rec))[i]
    ends = np.array([e for z in bench.zones for e in (z.low, z.high)])
    clear = int(own[np.argmax(np.abs(f.station[own][:, None] - ends).min(axis=1))])
    rec = record(howe, {str(f.id[clear]): ("misplaced", 0.5, "")})
    assert not near_a_border(bench, as_built(howe, rec)).any()


def test_good_ones_are_taken_anywhere_within_the_tolerance():
    """Moved by less than the tolerance, no nail takes away what the verdict counted on."""
    schedule = sample("three-ply-pratt")
    f = schedule.fasteners
    found = inspect(schedule, record(schedule))
    assert found.verdict == "accepted"
    counted_on = {c.id: c for c in found.checks if c.interface}
    along = {m.id: np.cos(m.angle) for m in schedule.girder.members}
    checker = Checker(schedule.job, schedule.girder, schedule.rules)
    most = {key: 0.0 for key in counted_on}
    for way in (-9.9, 9.9):  # the worst for one load or another: all to one side
        moved = f.station + np.where(f.kind == "nail", way, 0.0)
        x = f.x + (moved - f.station) * np.array([along[m] for m in f.member.tolist()])
        stands = replace(f, station=moved, x=x)
        for c in checker.check(stands, schedule.nails, schedule.bolts, worked=False):
            if c.interface:
                most[c.id] = max(most[c.id], c.utilisation)
    assert max(most.values()) <= max(c.utilisation for c in counted_on.values()) + 1e-9


def test_the_reach_is_shorter_by_the_tolerance_where_somebody_looks():
    """A nail 5 mm within the end of the only window that needs it is not counted on."""
    schedule = sample("three-ply-pratt")
    f, rules, zone = schedule.fasteners, schedule.rules, Bench.of(schedule).zones[1]
    away = np.abs(f.station - zone.station)[(f.member == zone.chord) & f.driven]
    reach = float(away[away > reach_of(schedule.job, rules)].min()) + 5.0

    def within(far):
        """The schedule with this reach, and every check by it, by hand."""
        basis = replace(schedule.job.basis, reach=far)
        job = replace(schedule.job, basis=basis)
        found = Checker(job, schedule.girder, rules).check(f, schedule.nails, schedule.bolts)
        return replace(schedule, job=job), {c.id: c.resistance for c in found if c.interface}

    assert rules.tolerance == 10.0  # the rule set's
    (asked, whole), (_, shorter) = within(reach), within(reach - 10.0)
    bench = Bench.of(asked)
    told = {c.id: c.resistance for c in bench.checks(f) if c.interface}
    assert bench.steady
    assert told == shorter
    assert told != whole


def test_a_design_that_holds_on_its_marks_alone_asks_for_measuring(monkeypatch, howe):
    """With nails at the end of a reach that the checks cannot do without."""
    from girderply.inspection import judge

    names = howe.fasteners.id[:3]
    monkeypatch.setattr(Bench, "steady", False)
    monkeypatch.setattr(Bench, "near_border", lambda _, f, __: np.isin(f.id, names))
    found = judge.inspect(howe, record(howe))
    assert found.verdict == "partial"
    asked = [q for q in found.asks if names[0] in english(q.text)]
    assert [q.needs for q in asked] == ["anyone"]


def test_eighteen_of_nineteen_with_the_mark_of_the_missing_one_is_whole(howe):
    f = howe.fasteners
    row = (f.member == "TC1") & (f.kind == "nail") & (f.row == 1)
    due, gone = int(row.sum()), str(f.id[row][3])
    count = {"member": "TC1", "stage": 1, "row": 1, "kind": "nail", "due": due, "found": due - 1}
    only = [gone, *(n for n in f.id.tolist() if n not in f.id[row])]
    found = inspect(howe, record(howe, {gone: "missing"}, only=only, counts=[count]))
    assert found.verdict in ("add", "accepted")
    assert found.unseen == ()
    two = record(howe, {gone: "missing"}, only=only, counts=[count | {"found": due}])
    assert any("To be decided" in english(r) for r in inspect(howe, two).reasons)


def test_counted_missing_that_could_leave_a_gap_must_be_marked(howe):
    """Two neighbours of a web: the second visit would not know which either."""
    f = howe.fasteners
    row = (f.member == "W2") & (f.kind == "nail")
    due = int(row.sum())
    count = {"member": "W2", "stage": 1, "row": None, "kind": "nail", "due": due, "found": due - 2}
    rest = [n for n in f.id.tolist() if n not in f.id[row]]
    found = inspect(howe, record(howe, only=rest, counts=[count]))
    assert found.verdict == "partial"
    assert "Mark which are missing" in english(found.reasons[0])


def test_over_a_limit_reads_over_it():
    show = Show("metric")
    assert beyond(show, 3.0004, 3.0) != show.small(3.0)
    assert beyond(show, 4.0, 3.0) == show.small(4.0)


def test_a_whole_row_off_its_marks_is_one_shift_and_quick():
    """Six plies, every nail 15 mm off: 172 s and no answer before."""
    schedule = sample("six-ply")
    f = schedule.fasteners
    each = {n: ("misplaced", 15.0, "") for n in f.id[f.driven].tolist()}
    began = time.process_time()
    asked = inspect(schedule, record(schedule, each))
    assert asked.verdict == "partial"
    assert "record it as the shift of the row" in english(asked.reasons[0])
    rows = dict.fromkeys(zip(f.member[f.driven].tolist(), f.stage[f.driven].tolist(), strict=True))
    shifts = [
        {"member": m, "stage": s, "row": None, "along_mm": 15.0, "across_mm": 0.0} for m, s in rows
    ]
    moved = inspect(schedule, record(schedule, shifts=shifts))
    assert time.process_time() - began < 5.0
    assert moved.verdict == "add"
    assert len(moved.make_good) < 20


def test_a_shifted_row_stands_where_it_stands(howe):
    from girderply.inspection.as_built import as_built

    f = howe.fasteners
    shift = {"member": "TC1", "stage": 1, "row": None, "along_mm": 12.0, "across_mm": -3.0}
    built = as_built(howe, record(howe, shifts=[shift]))
    mine = (f.member == "TC1") & (f.stage == 1)
    member = howe.girder.member("TC1")
    at = member.to_elevation(np.stack([f.station[mine] + 12.0, f.offset[mine] - 3.0], axis=1))
    assert np.allclose(np.stack([built.fasteners.x, built.fasteners.y], axis=1)[mine], at)
    assert not math.isclose(float(built.fasteners.x[mine][0]), float(f.x[mine][0]))


def test_what_was_added_changes_no_distance_and_takes_nothing_away(howe):
    """The next visit: a thicker nail was added somewhere; a row stands off its marks elsewhere."""
    gone = ids(howe, "BC1")[20:27]
    first = inspect(howe, record(howe, dict.fromkeys(gone, "missing")))
    pairs = zip(first.make_good.id.tolist(), first.instead_of, strict=True)
    new, old = next((n, o) for n, o in pairs if o)
    whole = with_make_good(howe, first)
    thicker = replace(whole, nails=whole.nails | {"6.0 x 180": replace(
        max(whole.nails.values(), key=lambda n: n.d), key="6.0 x 180", d=6.0)})  # fmt: skip
    assert Bench.of(thicker).thickest == Bench.of(howe).thickest
    shift = {"member": "BC1", "stage": 1, "row": None, "along_mm": 30.0, "across_mm": 0.0}
    built = as_built(whole, record(whole, shifts=[shift]), {new: old})
    (there,) = built.there[whole.fasteners.id == old]
    assert there  # it stands beside its place, and so nothing else comes near it


def clear_of(schedule, i):
    """How far a nail may be off, mm, whichever way, until a least distance is broken.

    EN 1995-1-1, Table 8.2, from memory: d < 5, rho_k <= 420: a1 10 d, a2 5 d, edge 5 d (unloaded,
    the smaller one), any direction.
    """
    f = schedule.fasteners
    d = schedule.nails[f.spec[i]].d
    member = schedule.girder.member(str(f.member[i]))
    edge = member.depth / 2 - abs(float(f.offset[i])) - 5 * d
    ends = [sorted((int(a), int(b))) for a, b in zip(f.from_ply, f.to_ply, strict=True)]
    free = [edge]
    for j in np.flatnonzero((f.member == f.member[i]) & f.driven).tolist():
        if j != i and max(ends[i][0], ends[j][0]) <= min(ends[i][1], ends[j][1]):
            along = abs(float(f.station[i] - f.station[j])) - 10 * d
            across = abs(float(f.offset[i] - f.offset[j])) - 5 * d
            free.append(max(along, across))
    return min(free)


def test_within_the_tolerance_and_too_near_does_not_count():
    """Least distances are those of nails as they stand: six plies have rows at just 5 d."""
    schedule = sample("six-ply")
    f = schedule.fasteners
    chord = np.flatnonzero((f.member == "BC1") & f.driven).tolist()
    tight = next(i for i in chord if clear_of(schedule, i) < 5.0)
    loose = next(i for i in chord if clear_of(schedule, i) > 10.0)
    for i, counts in ((tight, False), (loose, True)):
        name = str(f.id[i])
        found = inspect(schedule, record(schedule, {name: ("misplaced", 9.0, "")}))
        (told,) = [r for r in found.remarks if r.id == name]
        assert told.counts is counts


def test_a_row_off_by_less_than_the_tolerance_keeps_every_distance_too():
    """Moved towards an edge by less than the tolerance, until less than the least is left."""
    schedule = sample("three-ply-one-face")
    f = schedule.fasteners
    chord = (f.member == "TC1") & (f.stage == 1) & f.driven
    top = max(abs(float(o)) for o in f.offset[chord])
    spare = schedule.girder.member("TC1").depth / 2 - top - least_edge(schedule)
    assert 1.0 < spare < schedule.rules.tolerance - 1.0
    for across, all_count in ((spare - 0.5, True), (spare + 0.5, False)):
        shift = {"member": "TC1", "stage": 1, "row": None, "along_mm": 0.0, "across_mm": across}
        found = inspect(schedule, record(schedule, shifts=[shift]))
        rows = [c for c in found.counts if (c.member, c.stage) == ("TC1", 1)]
        (row,) = [c for c in rows if c.kind != "bolt"]
        assert (row.counting == row.due) is all_count


def least_edge(schedule):
    """What the sheet says, so that the two cannot differ."""
    return next(n.least[3] for n in schedule.patterns if n.member == "TC1")
