"""ACCEPTED means that a named person looked at everything that matters; and what keeps it back."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from inspection_records import ids, photo, record, record_data, sample, stages_seen

from girderply.catalogue.catalogue_types import Screw
from girderply.inspection.bench import Bench, Standing
from girderply.inspection.deciding import deciding_record
from girderply.inspection.history import History, with_make_good
from girderply.inspection.judge import inspect
from girderply.inspection.record import Decision, RecordError, parse_record
from girderply.inspection.result_words import in_words
from girderply.inspection.ways import ways
from girderply.schedule.contract import to_contract
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
