"""Counts in a tick-off table: written, filled, read back, judged."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import numpy as np
import pytest
from inspection_records import sample

from girderply.inspection.counts import blank_csv, parse_counts
from girderply.inspection.doubt import may_gap
from girderply.inspection.judge import inspect
from girderply.inspection.record import RecordError
from girderply.wording import english


@pytest.fixture(scope="module")
def howe():
    return sample("two-ply-howe")


SAID = {
    "inspector": "A. Inspector", "date": "2026-11-25", "gap mm": "0", "alignment mm": "0.5",
    "finish": "zinc", "signed by": "A. Inspector", "signed on": "2026-11-24",
}  # fmt: skip


def filled(schedule, change=None, cut=",", drop=()):
    """The blank table with what is due found, but for {(member, stage, row, kind): found}."""
    rows = list(csv.DictReader(io.StringIO(blank_csv(schedule))))
    for row in rows:
        key = (row["member"], int(row["stage"] or 0), int(row["row"] or 0), row["kind"])
        row["found"] = (change or {}).get(key, row["due"] or SAID.get(row["kind"], ""))
        row["piece"] = "1"
    out = io.StringIO()
    names = [c for c in rows[0] if c not in drop]
    writer = csv.DictWriter(out, names, delimiter=cut, extrasaction="ignore")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def test_blank_table_has_every_row_of_every_stage_once(howe):
    rows = list(csv.DictReader(io.StringIO(blank_csv(howe))))
    assert list(rows[0])[:6] == ["member", "stage", "row", "kind", "due", "found"]
    assert sum(int(r["due"]) for r in rows if r["member"]) == len(howe.fasteners)
    assert {r["found"] for r in rows} == {""}
    assert {r["content hash"] for r in rows} == {howe.content_hash}


@pytest.mark.parametrize("name", ["two-ply-howe", "two-ply-imperial", "four-ply-parallel"])
@pytest.mark.parametrize("cut", [",", ";", "\t"])
def test_all_found_is_accepted(name, cut):
    schedule = sample(name)
    assert inspect(schedule, parse_counts(filled(schedule, cut=cut), schedule)).accepted


def test_blank_and_half_filled_tables_are_partial(howe):
    assert inspect(howe, parse_counts(blank_csv(howe), howe)).verdict == "partial"
    half = filled(howe, {("W5", 1, 1, "nail"): ""})
    found = inspect(howe, parse_counts(half, howe))
    assert found.verdict == "partial"
    assert all(name.startswith("W5-N") for name in found.unseen)


def nails_of(schedule, member, row=None):
    f = schedule.fasteners
    here = (f.member == member) & (f.kind == "nail") & (f.stage == 1)
    return int(np.sum(here if row is None else here & (f.row == row)))


def test_short_by_count_lists_spare_places_clear_of_every_scheduled_one(howe):
    """Wherever the two may be missing: 10 d along, 5 d across (EN 1995-1-1 Table 8.2, from
    memory) from each place of the schedule."""
    short = {("W1", 1, 1, "nail"): str(nails_of(howe, "W1") - 1)}
    found = inspect(howe, parse_counts(filled(howe, short), howe))
    assert found.verdict == "add"
    new, f = found.make_good, howe.fasteners
    assert set(new.member) == {"W1"}
    own = (f.member == "W1") & (f.kind == "nail")
    along = np.abs(new.station[:, None] - f.station[own])
    across = np.abs(new.offset[:, None] - f.offset[own])
    assert not np.any((along < 40.0 - 1e-6) & (across < 20.0 - 1e-6))
    assert any("nobody marked which 1" in english(note) for note in found.notes)


def test_short_by_count_in_a_loaded_chord_assumes_the_worst(howe):
    """Wherever the one is missing, every load of BC1 that it may serve is checked without it."""
    short = {("BC1", 1, 1, "nail"): str(nails_of(howe, "BC1", 1) - 1)}
    found = inspect(howe, parse_counts(filled(howe, short), howe))
    assert found.verdict in ("accepted", "add")
    before = {c.id: c.resistance for c in howe.checks if c.interface}
    fewer = [c for c in found.checks if c.interface and c.resistance < before[c.id] - 1.0]
    assert fewer


def test_a_missing_bolt_must_be_marked(howe):
    rows = csv.DictReader(io.StringIO(blank_csv(howe)))
    bolt = next(r for r in rows if r["kind"] == "bolt")
    key = (bolt["member"], int(bolt["stage"]), int(bolt["row"]), "bolt")
    few = filled(howe, {key: str(int(bolt["due"]) - 1)})
    found = inspect(howe, parse_counts(few, howe))
    assert found.verdict == "partial"
    assert "mark which" in english(found.reasons[0])


def test_too_many_do_not_make_up_for_too_few(howe):
    few = {("W1", 1, 1, "nail"): str(nails_of(howe, "W1") - 1)}
    due = nails_of(howe, "W2")
    found = inspect(howe, parse_counts(filled(howe, {("W2", 1, 1, "nail"): "99"} | few), howe))
    assert found.verdict == "add"
    assert set(found.make_good.member) == {"W1"}
    assert any(f"99 found, {due} required" in english(reason) for reason in found.reasons)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("member,", "membr,", "needs the columns"),
        (",nail,", ",nale,", "neither nail nor bolt"),
        (",nail,2,2,", ",nail,2,seventy,", "whole number"),
        (",nail,2,2,", ",nail,2,-1,", "whole number"),
        ("BC1,", "BC8,", "has none there"),
    ],
)
def test_faults_of_a_table(howe, old, new, words):
    text = filled(howe)
    assert old in text
    with pytest.raises(RecordError, match=words):
        parse_counts(text.replace(old, new, 1), howe)


def test_a_table_of_another_revision_is_refused_naming_both(howe):
    other = "ef" * 32
    text = filled(howe).replace(howe.content_hash, other)
    with pytest.raises(RecordError, match=other) as caught:
        parse_counts(text, howe)
    assert howe.content_hash in str(caught.value)
    assert len(caught.value.findings) == 1
    other_due = filled(howe, drop=("job", "girder", "revision", "content hash"))
    nameless = inspect(howe, parse_counts(other_due, howe))
    assert nameless.verdict == "partial"
    assert "does not name job, girder, revision, content hash" in english(nameless.reasons[0])


def test_words_that_could_start_a_formula_are_inert_and_still_read_back(howe):
    info = replace(howe.job.info, number='=HYPERLINK("x")', revision="+1")
    evil = replace(howe, job=replace(howe.job, info=info))
    cells = [c for row in csv.reader(io.StringIO(blank_csv(evil))) for c in row]
    assert not [c for c in cells if c[:1] in "=+-@" and c]
    assert inspect(evil, parse_counts(filled(evil), evil)).accepted


def test_gap_that_missing_neighbours_may_leave():
    """Rows at 300, zigzag at 150: two of one row leave 300 between the other's; one row: 900."""
    low, high = np.arange(100.0, 3000.0, 300.0), np.arange(250.0, 3000.0, 300.0)
    both = np.concatenate([low, high])
    assert not may_gap(low, both, 2, (3000.0, 375.0))
    assert may_gap(low, low, 2, (3000.0, 450.0))
    assert not may_gap(low, low, 1, (3000.0, 600.0))
    assert may_gap(low, low, 1, (3000.0, 599.0))
    assert may_gap(low, low, 2, (3000.0, 899.0))
    assert not may_gap(low, low, 2, (3000.0, 900.0))
