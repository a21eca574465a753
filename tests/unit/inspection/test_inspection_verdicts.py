"""Verdicts: accepted, add, engineer, partial, and why."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from inspection_records import ids, record, record_data, sample

from girderply.inspection import judge
from girderply.inspection.as_built import as_built, does_count
from girderply.inspection.bench import Bench
from girderply.inspection.history import History
from girderply.inspection.judge import inspect
from girderply.inspection.record import Mark, parse_record
from girderply.inspection.result_words import in_words
from girderply.wording import english

GOOD = ("two-ply-howe", "two-ply-imperial", "three-ply-pratt", "truncated-nodes", "six-ply")


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


@pytest.mark.parametrize("name", [*GOOD, "four-ply-parallel"])
def test_tick_all_is_accepted_with_the_checks_of_the_schedule(name):
    schedule = sample(name)
    found = inspect(schedule, record(schedule))
    assert (found.verdict, found.accepted, len(found.make_good)) == ("accepted", True, 0)
    # how the brackets are fixed is not recorded: their own checks stay those of the schedule
    own = {c.id: c for c in schedule.checks if ".fixing." not in c.id}
    assert [c.id for c in found.checks] == list(own)
    assert all(c.demand == own[c.id].demand for c in found.checks)
    # Fasteners are taken anywhere within the tolerance, by reaches so much shorter. Where loads
    # then share no fastener any more, each is told by its own window: never the hardest of all.
    other = [c for c in found.checks if c.resistance != own[c.id].resistance]
    assert bool(other) == (name == "truncated-nodes")
    assert all(c.interface and c.resistance > own[c.id].resistance for c in other)
    hardest = max(c.utilisation for c in own.values())
    assert max(c.utilisation for c in found.checks) == hardest <= 1.0
    assert all(c.due == c.found == c.counting for c in found.counts)
    assert sum(c.due for c in found.counts) == len(schedule.fasteners)


@pytest.mark.parametrize("name", GOOD)
def test_one_not_looked_at_is_partial(name):
    schedule = sample(name)
    names = schedule.fasteners.id.tolist()
    found = inspect(schedule, record(schedule, only=names[:-1]))
    assert (found.verdict, found.unseen) == ("partial", (names[-1],))
    assert f"1 of {len(names)} fasteners" in english(found.reasons[0])


def test_nothing_looked_at_is_partial(howe):
    found = inspect(howe, record(howe, only=[]))
    assert found.verdict == "partial"
    assert len(found.unseen) == len(howe.fasteners)
    assert all(c.found == c.counting == 0 for c in found.counts)


def test_a_design_that_fails_is_never_accepted():
    for name in ("refused-overloaded", "refused-shallow"):
        schedule = sample(name)
        assert inspect(schedule, record(schedule)).verdict == "engineer"


@pytest.mark.parametrize(
    ("mark", "kind", "counts"),
    [
        (Mark("a", "good"), "nail", True),
        (Mark("a", "missing"), "nail", False),
        (Mark("a", "misplaced", 10.0), "nail", True),  # the tolerance itself
        (Mark("a", "misplaced", 10.1), "nail", False),
        (Mark("a", "misplaced", None), "nail", False),
        (Mark("a", "overdriven"), "nail", False),
        (Mark("a", "split"), "bolt", False),
        (Mark("a", "wrong-size"), "bolt", False),
        (Mark("a", "loose"), "bolt", True),
        (Mark("a", "loose"), "nail", False),
    ],
)
def test_what_counts(mark, kind, counts):
    assert does_count(mark, kind, 10.0) is counts


def test_a_missing_bolt_goes_into_its_own_place(howe):
    bolt = ids(howe, "BC1", "bolt")[1]
    found = inspect(howe, record(howe, {bolt: "missing"}))
    f, i = howe.fasteners, int(np.flatnonzero(howe.fasteners.id == bolt)[0])
    assert (found.verdict, found.instead_of) == ("add", (bolt,))
    new = found.make_good
    assert (new.id[0], new.kind[0], new.spec[0]) == ("BC1-M1", "bolt", f.spec[i])
    assert (new.station[0], new.offset[0]) == (f.station[i], f.offset[i])
    assert (new.joint[0], new.drilled[0]) == (f.joint[i], f.drilled[i])


def test_a_wrong_bolt_stays_and_a_new_one_goes_beside_it(howe):
    """At least 4 d along the grain from the old one, and washers of 40 mm clear of nails."""
    bolt = ids(howe, "BC1", "bolt")[1]
    found = inspect(howe, record(howe, {bolt: "wrong-size"}))
    f, i = howe.fasteners, int(np.flatnonzero(howe.fasteners.id == bolt)[0])
    assert (found.verdict, found.instead_of) == ("add", (bolt,))
    new = found.make_good
    assert abs(new.station[0] - f.station[i]) >= 4 * 12.0
    nails = (f.kind == "nail") & (f.member == "BC1")
    off = np.maximum(abs(f.station[nails] - new.station[0]), abs(f.offset[nails] - new.offset[0]))
    assert off.min() >= 20.0 + howe.rules.washer_clearance


@pytest.mark.parametrize("name", ["two-ply-howe", "truncated-nodes", "four-ply-parallel"])
def test_every_wrong_bolt_gets_one_clear_of_nails_or_the_engineer(name):
    """Washers of M12 are 40 mm: 20 mm and the clearance from each nail, measured again."""
    schedule = sample(name)
    f = schedule.fasteners
    for bolt in f.id[(f.kind == "bolt") & (f.load == "")].tolist():
        found = inspect(schedule, record(schedule, {bolt: "wrong-size"}))
        assert found.verdict in ("add", "engineer")
        for new in found.make_good.records():
            nails = (f.kind == "nail") & (f.member == new["member"])
            off = np.maximum(
                abs(f.station[nails] - new["station"]), abs(f.offset[nails] - new["offset"])
            )
            assert off.min() >= 20.0 + schedule.rules.washer_clearance - 1e-6


def test_a_bolt_put_back_is_not_one_more_nail(howe):
    """TC1 has one nail more than its rule asks for; its bolt does not make up for the second."""
    lost = [*ids(howe, "TC1")[20:22], ids(howe, "TC1", "bolt")[0]]
    states = dict.fromkeys(lost, "missing")
    found = inspect(howe, record(howe, states))
    assert sorted(found.make_good.kind.tolist()) == ["bolt", "nail"]
    history = History(howe)
    history.take(record(howe, states))
    nails = history.schedule.fasteners.id.tolist()[-2:]
    again = {name: "missing" for name in nails if "nail" in kind_of(history.schedule, name)}
    data = record_data(howe, again, only=nails, previous=found.record_hash)
    assert history.take(parse_record(json.dumps(data), history.schedule)).verdict == "add"


def kind_of(schedule, name):
    return str(schedule.fasteners.kind[schedule.fasteners.id == name][0])


def test_a_loose_bolt_is_to_be_tightened_and_is_no_pass_before(howe):
    bolt = ids(howe, "TC1", "bolt")[0]
    found = inspect(howe, record(howe, {bolt: "loose"}))
    assert (found.verdict, found.tighten, len(found.make_good)) == ("add", (bolt,), 0)
    assert f"Tighten bolt {bolt}." in in_words(found, howe)


def test_a_nail_that_keeps_a_ply_from_splitting_is_put_back_and_no_more(howe):
    """It held the receiving ply farthest from its loaded edge: one nail, in its own place."""
    high = ids(howe, "BC1")[14]
    found = inspect(howe, record(howe, {high: "missing"}))
    assert (found.verdict, found.instead_of) == ("add", (high,))
    assert "splitting of ply 2" in english(found.reasons[0])
    assert all(c.ok for c in found.checks)


def test_one_missing_where_there_is_more_than_enough_is_accepted_and_told(howe):
    """BC1 has more than its rule asks for where a load is, and more there than the load needs."""
    lone = [ids(howe, "BC1")[20]]
    found = inspect(howe, record(howe, dict.fromkeys(lone, "missing")))
    assert found.verdict == "accepted"
    assert f"1 of {len(howe.fasteners)} do not count" in english(found.reasons[0])
    assert any(lone[0] in english(note) for note in found.notes)


def test_a_web_below_length_over_pitch_gets_its_nail_back(howe):
    """W1 has just what its rule asks for: one missing is one too few."""
    nails = ids(howe, "W1")
    note = next(p for p in howe.patterns if p.member == "W1")
    assert len(nails) == note.required
    found = inspect(howe, record(howe, {nails[1]: "missing"}))
    assert (found.verdict, found.instead_of) == ("add", (nails[1],))
    due = note.required
    assert f"W1, interface 1: {due - 1} fasteners count, {due} are required" in english(
        found.reasons[0]
    )
    i = int(np.flatnonzero(howe.fasteners.id == nails[1])[0])
    assert found.make_good.station[0] == howe.fasteners.station[i]


def test_neighbours_missing_leave_too_wide_a_gap_though_the_number_is_enough():
    """Three-ply Pratt: BC1 needs 28 in all and has far more; five neighbours leave a hole."""
    schedule = sample("three-ply-pratt")
    bench = Bench.of(schedule)
    note = next(p for p in schedule.patterns if p.member == "BC1")
    f = schedule.fasteners
    own = np.flatnonzero(f.member == "BC1")
    own = own[np.argsort(f.station[own])]
    at = f.station[own]
    width = bench.widest(note)
    first = next(i for i in range(40, len(own)) if at[i] > 4000 and np.sum(at > at[i] + width) > 5)
    hole = own[(at >= at[first]) & (at <= at[first] + width)]
    found = inspect(schedule, record(schedule, dict.fromkeys(f.id[hole].tolist(), "missing")))
    assert found.verdict == "add"
    assert any("nothing that counts from" in english(reason) for reason in found.reasons)


@pytest.mark.parametrize(
    ("plies", "words"),
    [
        ({"gap_mm": 4.0, "alignment_mm": None}, "4 mm apart"),
        ({"gap_mm": None, "alignment_mm": 11.0}, "out of line by 11 mm"),
    ],
)
def test_plies_apart_or_out_of_line_are_the_engineers(howe, plies, words):
    found = inspect(howe, record(howe, plies=plies))
    assert found.verdict == "engineer"
    assert words in english(found.reasons[0]).replace("\u00a0", " ")


def test_plies_within_bounds_are_accepted(howe):
    good = {"gap_mm": 1.0, "alignment_mm": 5.0}
    assert inspect(howe, record(howe, plies=good)).verdict == "accepted"


def test_splits_side_by_side_and_at_a_bolt_are_the_engineers(howe):
    nails, bolts = ids(howe, "TC1"), ids(howe, "TC1", "bolt")
    side = inspect(howe, record(howe, dict.fromkeys(nails[4:6], "split")))
    assert (side.verdict, len(side.make_good)) == ("engineer", 0)
    assert nails[4] in english(side.reasons[0])
    assert inspect(howe, record(howe, {bolts[0]: "split"})).verdict == "engineer"


def test_misplaced_and_not_measured_is_not_inspected_to_the_end(howe):
    found = inspect(howe, record(howe, {"BC1-N5": ("misplaced", None, "")}))
    assert found.verdict == "partial"
    assert "BC1-N5" in english(found.reasons[0])


def test_marks_and_counts_that_quarrel_are_no_pass(howe):
    due = len(ids(howe, "BC1"))
    count = {"member": "BC1", "stage": 1, "row": None, "kind": "nail"}
    count |= {"due": due, "found": due - 1}
    found = inspect(howe, record(howe, counts=[count]))
    assert found.verdict == "partial"
    assert "count again" in english(found.reasons[0])
    agreed = record(howe, {ids(howe, "BC1")[20]: "missing"}, counts=[count])
    assert inspect(howe, agreed).verdict == "accepted"


def test_inner_stage_is_reached_from_an_outer_face():
    """Six plies: the nails of the stage between plies 3 and 4 are covered; longer ones reach."""
    schedule = sample("six-ply")
    f = schedule.fasteners
    covered = f.id[(f.member == "W2") & (f.kind == "nail") & (f.stage == 3)].tolist()
    found = inspect(schedule, record(schedule, dict.fromkeys(covered[1:4], "missing")))
    assert found.verdict == "add"
    new = found.make_good
    assert set(new.from_ply.tolist()) <= {1, 6}
    assert all(new.crosses(3))
    longest = max(schedule.nails[s].length for s in np.unique(f.spec[f.kind == "nail"]))
    assert all(found.nails[s].length > longest for s in new.spec[new.kind == "nail"])


def test_a_thicker_make_good_nail_keeps_its_own_distance_from_the_others():
    """A 4.6 nail asks 10 d = 46 mm of a 4.0 one, whichever of the two was placed first."""
    schedule = sample("four-ply-parallel")
    states = {"W1-N3": "missing", "W1-N4": "missing", "W1-N5": "overdriven"}
    new = inspect(schedule, record(schedule, states)).make_good
    thick = new.spec == "4.6 x 130"
    assert thick.sum() == 1
    apart = np.hypot(new.station - new.station[thick], new.offset - new.offset[thick])
    assert apart[~thick].min() >= 46.0 - 1e-6


def test_notes_are_inert_text(howe):
    evil = "\x1b[31m</script><b>&{{x}}=cmd|' /C calc'!A0\u202e\r\nACCEPTED"
    name = ids(howe, "BC1")[20]
    rec = record(howe, {name: ("overdriven", None, evil)}, note=evil, inspector=evil)
    found = inspect(howe, rec)
    assert found.verdict == "partial"
    decided = [
        {"about": q.key, "kind": "none", "name": "B. Lead", "date": "2026-11-26", "text": evil}
        for q in found.asks
    ]
    rec = record(
        howe, {name: ("overdriven", None, evil)}, note=evil, inspector=evil, decisions=decided
    )
    found = inspect(howe, rec)
    text = in_words(found, howe)
    assert not [c for c in text if c != "\n" and not c.isprintable()]
    assert found.accepted
    assert sum(line.startswith("ACCEPTED") for line in text.splitlines()) == 1
    assert found.remarks[0].note == evil
    plain = inspect(howe, record(howe, {name: "overdriven"}))
    assert found.verdict == plain.verdict
    assert found.checks == plain.checks


def test_as_data_is_plain_json_and_names_both_records(howe):
    before = "cd" * 32
    nails = ids(howe, "W2")
    found = inspect(howe, record(howe, {nails[2]: "missing"}, previous=before))
    data = json.loads(json.dumps(found.as_data(), allow_nan=False))
    assert data["schema"] == "girderply.inspection/1"
    assert (data["record_hash"], data["previous_record_hash"]) == (found.record_hash, before)
    assert [m["id"] for m in data["make_good"]] == ["W2-M1"]
    assert data["make_good"][0]["instead_of"] == nails[2]
    assert data["make_good"][0]["purpose"] == "make-good"


def test_words_of_an_imperial_job_are_in_feet_and_inches():
    schedule = sample("two-ply-imperial")
    nails = ids(schedule, "BC1")[30:36]
    text = in_words(inspect(schedule, record(schedule, dict.fromkeys(nails, "missing"))), schedule)
    assert "Add to BC1 (stations from its hook end):" in text
    assert " mm" not in text
    assert "'-" in text


def test_a_ply_that_would_split_is_for_the_engineer(howe, monkeypatch):
    """Every interface holds, but what stands reaches too low: that must never be accepted."""
    found = judge.make_good(Bench.of(howe), as_built(howe, record(howe)))
    split = next(c for c in found.checks if not c.interface)
    bad = replace(split, demand=2 * split.resistance)
    checks = (*(c for c in found.checks if c is not split), bad)
    monkeypatch.setattr(judge, "make_good", lambda *_: replace(found, checks=checks))
    verdict = inspect(howe, record(howe))
    assert verdict.verdict == "engineer"
    assert any("splitting" in english(reason) for reason in verdict.reasons)
