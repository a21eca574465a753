"""Records one after the other: made good, looked at again, accepted."""

from __future__ import annotations

import json

import pytest
from inspection_records import ids, record, record_data, sample

from girderply.inspection.counts import blank_csv
from girderply.inspection.history import History
from girderply.inspection.record import RecordError, parse_record

SAID = {
    "inspector": "A. Inspector", "date": "2026-11-25", "gap mm": "0", "alignment mm": "0.5",
    "finish": "zinc", "signed by": "A. Inspector", "signed on": "2026-11-24",
}  # fmt: skip


def test_add_then_mark_what_was_added_is_accepted():
    schedule = sample("two-ply-howe")
    lost = ids(schedule, "BC1")[30:38]
    history = History(schedule)
    first = history.take(record(schedule, dict.fromkeys(lost, "overdriven")))
    assert first.verdict == "add"
    new = first.make_good.id.tolist()
    data = record_data(history.schedule, only=new, previous=first.record_hash)
    again = history.take(parse_record(json.dumps(data), history.schedule))
    assert again.verdict == "accepted"
    assert again.previous_hash == first.record_hash


def test_what_was_added_and_is_not_marked_is_no_pass():
    schedule = sample("two-ply-howe")
    history = History(schedule)
    lost = ids(schedule, "BC1")[30:38]
    first = history.take(record(schedule, dict.fromkeys(lost, "overdriven")))
    new = first.make_good.id.tolist()
    data = record_data(history.schedule, only=new[1:], previous=first.record_hash)
    again = history.take(parse_record(json.dumps(data), history.schedule))
    assert (again.verdict, again.unseen) == ("partial", (new[0],))


def test_a_filled_place_counts_once_under_either_name():
    """The nail put where one was missing may be marked as the old one or as the new one."""
    schedule = sample("two-ply-howe")
    lost, due = ids(schedule, "W2")[3], len(ids(schedule, "W2"))
    for good, gone in ((True, False), (False, True), (True, True)):
        history = History(schedule)
        first = history.take(record(schedule, {lost: "missing"}))
        (new,) = first.make_good.id.tolist()
        only = [lost] * good + [new] * gone
        data = record_data(history.schedule, only=only, previous=first.record_hash)
        again = history.take(parse_record(json.dumps(data), history.schedule))
        assert again.verdict == "accepted"
        assert sum(c.counting for c in again.counts if c.member == "W2") == due


def test_a_bolt_beside_a_wrong_one_settles_it():
    schedule = sample("two-ply-howe")
    history = History(schedule)
    first = history.take(record(schedule, {ids(schedule, "BC1", "bolt")[1]: "wrong-size"}))
    data = record_data(
        history.schedule, only=first.make_good.id.tolist(), previous=first.record_hash
    )
    assert history.take(parse_record(json.dumps(data), history.schedule)).accepted


def test_two_sessions_of_one_inspection_add_up():
    schedule = sample("three-ply-pratt")
    names = schedule.fasteners.id.tolist()
    history = History(schedule)
    first = history.take(record(schedule, only=names[:100]))
    assert first.verdict == "partial"
    assert history.take(record(schedule, only=names[100:], previous=first.record_hash)).accepted


def test_a_record_that_does_not_follow_is_refused():
    schedule = sample("two-ply-howe")
    history = History(schedule)
    first = history.take(record(schedule))
    with pytest.raises(RecordError, match=first.record_hash):
        history.take(record(schedule))
    with pytest.raises(RecordError, match="piece 2"):
        history.take(record(schedule, piece=2, previous=first.record_hash))
    assert len(history.results) == 1


def test_counted_short_made_good_and_counted_again(tmp_path):
    """The second table has the make-good stage as well, as the blank one of that moment has."""
    schedule = sample("two-ply-howe")
    history = History(schedule)

    def table(found):
        lines = blank_csv(history.schedule).splitlines()
        cells = [line.split(",") for line in lines]
        for row in cells[1:]:
            key = (row[0], int(row[1] or 0), row[2])
            row[5] = found.get(key, row[4] or SAID.get(row[3], ""))
            row[7] = "1"
        path = tmp_path / "t.csv"
        path.write_text("\n".join(",".join(row) for row in cells))
        return path

    f = schedule.fasteners
    row = (f.member == "W1") & (f.kind == "nail")
    few = str(int(row.sum()) - 1)
    first = history.take_file(table({("W1", 1, "1"): few}))
    assert first.verdict == "add"
    assert history.take_file(table({("W1", 1, "1"): few})).verdict == "accepted"
