"""ACCEPTED means that a named person looked at everything that matters; and what keeps it back."""

from __future__ import annotations

import json
import math
import time
from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from inspection_records import ids, photo, record, record_data, sample, stages_seen

from girderply.catalogue.catalogue_types import Screw
from girderply.inspection.as_built import as_built
from girderply.inspection.bench import Bench, Standing
from girderply.inspection.deciding import deciding_record
from girderply.inspection.gap import single_shear
from girderply.inspection.history import History, with_make_good
from girderply.inspection.judge import beyond, inspect
from girderply.inspection.record import Decision, RecordError, parse_record
from girderply.inspection.result_words import in_words
from girderply.inspection.ways import ways
from girderply.rules import OVERRIDES
from girderply.schedule.contract import to_contract
from girderply.standards.en1995_1_1_2014.johansen import single_shear as johansen
from girderply.strength.checks import Checker
from girderply.strength.zones import reach_of
from girderply.units.show import Show
from girderply.verify import verify
from girderply.wording import english

SAMPLES = ("two-ply-howe", "three-ply-pratt", "truncated-nodes", "four-ply-parallel", "six-ply")


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


@pytest.mark.parametrize("name", SAMPLES)
def test_no_nail_is_prescribed_that_splits_the_plies(name):
    """Undrilled: t >= max(7 d, (13 d - 30) rho_k / 400), EN 1995-1-1, 8.3.1.2(6), from memory."""
    schedule = sample(name)
    bench, t = Bench.of(schedule), schedule.girder.ply_thickness
    found = [w for k in bench.interfaces for w in ways(bench, k)]
    assert found or name == "three-ply-pratt"
    for way in found:
        d = way.nail.d
        assert isinstance(way.nail, Screw) or t >= max(7 * d, (13 * d - 30) * 350 / 400) - 0.5


def as_made(schedule, found, gone):
    """The girder as it stands once the advice is followed, as the contract has it."""
    whole = with_make_good(schedule, found)
    f = whole.fasteners
    return replace(whole, fasteners=f.select(~np.isin(f.id, gone)), content_hash="")


@pytest.mark.parametrize(("name", "member", "some"), [
    ("two-ply-howe", "BC1", slice(20, 27)), ("three-ply-pratt", "TC1", slice(3, 9)),
    ("truncated-nodes", "BC1", slice(10, 30, 2)), ("six-ply", "W2", slice(2, 8)),
    ("four-ply-parallel", "TC1", slice(12, 25)),
])  # fmt: skip
def test_advice_is_enough_and_no_more(name, member, some):
    """A second engine finds nothing too near or too weak; without any one it falls short."""
    schedule = sample(name)
    gone = ids(schedule, member)[some]
    found = inspect(schedule, record(schedule, dict.fromkeys(gone, "missing")))
    assert found.verdict == "add"
    data = to_contract(as_made(schedule, found, gone))
    said = [d for d in verify(data).disagreements if d.what in ("limits", "transfer", "lengths")]
    assert not [english(d.text) for d in said if "cannot be driven" not in english(d.text)]
    bench = Bench.of(schedule)
    f = schedule.fasteners
    stands = with_make_good(schedule, found).fasteners
    for name_ in found.make_good.id.tolist():
        left = stands.select(~np.isin(stands.id, [*gone, name_]))
        held = bench.holds(left, found.nails)
        short = [*bench.short_checks(bench.checks(left, found.nails, found.bolts))]
        short += [*bench.short_counts(Standing(left, {}), held), *bench.short_gaps(left, held)]
        assert short, f"{name_} could be left out"
    assert len(f) == len(schedule.fasteners)


def test_advice_says_how_to_reach_the_place(howe):
    gone = ids(howe, "BC1")[20:27]
    notes = inspect(howe, record(howe, dict.fromkeys(gone, "missing"))).notes
    assert any("propped and unloaded" in english(n) for n in notes)
    assert any("put in from the front" in english(n) for n in notes)
    bolt = ids(howe, "BC1", "bolt")[1]
    wrong = inspect(howe, record(howe, {bolt: "wrong-size"}))
    assert any("tell the truss designer before drilling" in english(n) for n in wrong.notes)
    empty = inspect(howe, record(howe, {bolt: "missing"}))
    assert not any("truss designer" in english(n) for n in empty.notes)


# notes and decisions


def decision(key, kind="none", name="B. Lead"):
    return {"about": key, "kind": kind, "name": name, "date": "2026-11-26", "text": "seen"}


def test_every_note_is_shown_and_asks_for_a_decision(howe):
    words = "3.1 x 75 nails in the whole top chord"
    found = inspect(howe, record(howe, note=words))
    assert found.verdict == "partial"
    assert words in in_words(found, howe)
    (ask,) = found.asks
    decided = inspect(howe, record(howe, note=words, decisions=[decision(ask.key, "measured")]))
    assert decided.verdict == "accepted"
    assert words in in_words(decided, howe)
    assert "B. Lead" in in_words(decided, howe)
    other = inspect(howe, record(howe, note=words + "!", decisions=[decision(ask.key)]))
    assert other.verdict == "partial"


def test_what_is_the_engineers_needs_the_engineers_decision(howe):
    apart = {"gap_mm": 4.0, "alignment_mm": 0.0}
    found = inspect(howe, record(howe, plies=apart))
    (ask,) = found.asks
    assert (found.verdict, ask.needs) == ("engineer", "engineer")
    by_anyone = record(howe, plies=apart, decisions=[decision(ask.key, "none")])
    assert inspect(howe, by_anyone).verdict == "engineer"
    by_engineer = record(howe, plies=apart, decisions=[decision(ask.key, "engineer")])
    assert inspect(howe, by_engineer).verdict in ("accepted", "add")


@pytest.mark.parametrize("found", [58, 111, 99_999])
def test_too_many_asks(howe, found):
    f = howe.fasteners
    own = (f.member == "BC1") & (f.kind == "nail") & (f.stage == 1) & (f.row == 1)
    count = {"member": "BC1", "stage": 1, "row": 1, "kind": "nail", "due": int(own.sum())}
    rest = [n for n in f.id.tolist() if n not in f.id[own]]
    seen = inspect(howe, record(howe, only=rest, counts=[count | {"found": found}]))
    assert seen.verdict == "partial"
    assert f"{found} found, {own.sum()} required" in english(seen.reasons[0])


# what is missing is listed, never assumed


def without(stage, **changes):
    return lambda s: [x | changes if x["stage"] == stage else x for x in stages_seen(s)]


LACKS = {
    "name": ({"inspector": " "}, "inspector's name"),
    "date": ({"date": ""}, "date of the inspection"),
    "no date": ({"date": "last week"}, "date of the inspection"),
    "before the job": ({"date": "2020-01-01"}, "before the drawings"),
    "gap": ({"plies": {"gap_mm": None, "alignment_mm": 0.0}}, "widest gap"),
    "alignment": ({"plies": {"gap_mm": 0.0, "alignment_mm": None}}, "out of line"),
    "unsigned": ({"signatures": []}, "hold point of stage"),
    "nails": ({"stages": without(1, nails=[])}, "fastener size of stage 1"),
    "finish": ({"stages": without(1, finish="")}, "finish of the fasteners of stage 1"),
    "washers": ({"stages": without(2, washers=None)}, "washers of stage 2"),
    "clenched": ({"stages": without(1, clenched=None)}, "Points to clench in stage 1"),
    "few clenched": ({"stages": without(1, clenched=3)}, "found: 3"),
}


@pytest.mark.parametrize("case", list(LACKS))
def test_what_is_not_there_is_listed_as_missing(howe, case):
    change, words = LACKS[case]
    change = {k: v(howe) if callable(v) else v for k, v in change.items()}
    found = inspect(howe, record(howe, **change))
    assert found.verdict == "partial"
    assert any(words in english(r) for r in found.reasons)


def test_a_record_of_the_first_schema_lacks_what_a_signature_needs(howe):
    data = {k: v for k, v in record_data(howe).items() if k not in SECOND}
    found = inspect(howe, parse_record(json.dumps(data | {"schema": "girderply.record/1"}), howe))
    assert found.verdict == "partial"
    assert sum("Missing" in english(r) for r in found.reasons) >= 4
    with pytest.raises(RecordError, match="has none of"):
        parse_record(json.dumps(record_data(howe) | {"schema": "girderply.record/1"}), howe)


SECOND = ("stages", "shifts", "decisions", "photos")


def test_hold_points_are_signed_in_their_order():
    schedule = sample("six-ply")
    stages = [s.number for s in schedule.stages if english(s.hold_point)]
    signed = [
        {"stage": n, "name": "A", "date": f"2026-11-{20 + i:02d}"} for i, n in enumerate(stages)
    ]
    assert inspect(schedule, record(schedule, signatures=signed)).accepted
    late = [signed[0] | {"date": "2026-11-29"}, *signed[1:]]
    found = inspect(schedule, record(schedule, signatures=late))
    assert found.verdict == "partial"
    assert f"was signed after that of stage {stages[1]}" in english(found.reasons[0])


def test_a_wrong_nail_size_is_the_engineers(howe):
    seen = without(1, nails=[{"d_mm": 3.1, "length_mm": 75.0, "read_from": "nail"}])(howe)
    found = inspect(howe, record(howe, stages=seen))
    assert found.verdict == "engineer"
    assert "required are 4.0 x 100" in english(found.reasons[0])


# tolerance, gap, counts


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


@pytest.mark.parametrize(
    ("read", "needs"),
    [("Fe/Zn 12c", None), ("fe/zn 25C", None), ("stainless steel", None), ("bare", "engineer"),
     ("yellow zinc", "anyone")],
)  # fmt: skip
def test_the_finish_that_was_read_is_held_against_the_one_due(read, needs):
    """EN 1995-1-1, Table 4.1 ranks them: bare, Fe/Zn 12c, Fe/Zn 25c, stainless; job: Fe/Zn 12c."""
    schedule = sample("two-ply-screwed")
    stages = [s | {"finish": read} for s in record_data(schedule)["stages"]]
    found = inspect(schedule, record(schedule, stages=stages))
    asked = {q.needs for q in found.asks if read in english(q.text)}
    assert asked == ({needs} if needs else set())
    assert found.accepted == (needs is None)


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


def test_a_hold_point_or_fault_without_a_photo_is_asked_for_by_name(howe):
    """One photo shows what stands beside it: 300 mm of the member, common practice, no source."""
    row = ids(howe, "BC1", stage=1)
    near, far = row[4], row[-1]
    states = dict.fromkeys((near, row[5], far), "overdriven")
    none = inspect(howe, record(howe, states, photos=[]))
    open_texts = [english(q.text) for q in none.asks if q.decided is None]
    holds = [s.number for s in howe.stages if english(s.hold_point)]
    for number in holds:
        assert any(f"photo of the hold point of stage {number}" in t for t in open_texts)
    assert any(all(n in t for n in (near, row[5], far)) for t in open_texts)
    assert none.verdict != "accepted"
    every = [photo(f"stage {n}") for n in holds]
    some = inspect(howe, record(howe, states, photos=[*every, photo(near)]))
    (left,) = [english(q.text) for q in some.asks if q.decided is None]
    assert far in left
    assert near not in left
    assert row[5] not in left
    whole = inspect(howe, record(howe, states, photos=[*every, photo(near), photo(far)]))
    assert not [q for q in whole.asks if q.decided is None]


def test_a_firm_that_only_offers_photos_is_not_asked(howe):
    info = replace(howe.job.info, photos="offered")
    offered = replace(howe, job=replace(howe.job, info=info))
    assert inspect(offered, record(howe, photos=[])).verdict == "accepted"
    assert inspect(howe, record(howe, photos=[])).verdict == "partial"
    assert to_contract(offered)["content_hash"] == to_contract(howe)["content_hash"]


def test_what_the_engineer_was_asked_is_not_answered_by_a_better_look(howe):
    """The plies stood apart; a later record says that they lie close. An engineer decides."""
    history = History(howe)
    wide = {"gap_mm": 6.0, "alignment_mm": 0.0}
    first = history.take(record(howe, plies=wide))
    assert first.verdict == "engineer"
    second = history.take(record(howe, previous=first.record_hash))
    assert second.verdict == "engineer"
    (asked,) = [q for q in second.asks if q.needs == "engineer"]
    made = Decision(asked.key, "engineer", "B. Engineer", "2026-11-27", "drawn together, seen")
    data = json.dumps(deciding_record(history, [made]))
    assert history.take(parse_record(data, howe)).verdict == "accepted"
