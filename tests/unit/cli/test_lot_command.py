"""girderply lot: the sample of a lot, and what becomes of it.

Plans: ISO 2859-1:1999, Tables 1 and 2-A, values from memory, as in the tests of the plans.
"""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pypdfium2
import pytest
from inspection_records import SAMPLES, record_data, stages_seen
from typer.testing import CliRunner

from girderply.cli.app import app
from girderply.exchange.register import Made, deliver
from girderply.inspection.counts import blank_csv
from girderply.inspection.history import History
from girderply.inspection.record import record_hash
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule

TEXT = (SAMPLES / "two-ply-howe.toml").read_text("utf-8")
OF_20 = TEXT.replace("quantity = 2", "quantity = 20")
OF_8 = TEXT.replace("quantity = 2", "quantity = 8")


@pytest.fixture(name="lot")
def _lot(tmp_path):
    return lot_of(OF_20, tmp_path)


@pytest.fixture(name="small")
def _small(tmp_path):
    """As `lot`, of eight girders: enough where every one of them is inspected."""
    return lot_of(OF_8, tmp_path)


def lot_of(text, tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(text, "utf-8")
    schedule = build_schedule(read_job(path))

    def write(piece, states=None, **other):
        data = record_data(schedule, states, piece=piece, **_signed(schedule), **other)
        target = tmp_path / f"r{piece}-{len(list(tmp_path.iterdir()))}.json"
        target.write_text(json.dumps(data), "utf-8")
        return str(target)

    return path, schedule, write


def _signed(schedule):
    holds = [s.number for s in schedule.stages if s.hold_point]
    return {
        "plies": {"gap_mm": 0.5, "alignment_mm": 1.0},
        "signatures": [
            {"stage": n, "name": "A. Inspector", "date": "2026-11-25"} for n in holds
        ],
    }  # fmt: skip


def run(path, *words):
    return CliRunner().invoke(app, ["lot", str(path), "--seed", "HTTHHTHTTH", *words])


def data_of(path, *words):
    return json.loads(run(path, *words, "--format", "json").stdout)


def test_the_sample_of_twenty(lot):
    """20 girders, level II: letter C; AQL 4: n = 3, accept 0, reject 1."""
    ran = run(lot[0])
    assert ran.exit_code == 0
    told = data_of(lot[0])
    assert (told["code_letter"], len(told["sample"]), told["accept"], told["reject"]) == (
        "C", 3, 0, 1,
    )  # fmt: skip
    assert len(set(told["sample"])) == 3
    assert set(told["sample"]) <= set(range(1, 21))
    assert "contract" in ran.stderr


def test_accepted_when_the_whole_sample_is_good_and_open_before(lot):
    path, _, write = lot
    sample = data_of(path)["sample"]
    good = [write(n) for n in sample]
    part = run(path, *good[:-1])
    assert part.exit_code == 1
    assert "OPEN" in part.stdout
    ran = run(path, *good)
    assert ran.exit_code == 0, ran.stdout
    assert "ACCEPTED" in ran.stdout


def test_one_found_wanting_rejects_the_lot_and_so_does_one_outside(lot):
    path, schedule, write = lot
    sample = data_of(path)["sample"]
    f = schedule.fasteners
    gone = dict.fromkeys(f.id[(f.member == "BC1") & (f.kind == "nail")].tolist()[:20], "missing")
    outside = next(n for n in range(1, 21) if n not in sample)
    good = [write(n) for n in sample]
    aside = run(path, *good, write(outside, gone))
    assert "REJECTED" in aside.stdout  # known is known, sample or not
    assert aside.exit_code == 1
    assert f"no. {outside} (not in the sample): to be made good" in aside.stdout
    bad = run(path, *good[1:], write(sample[0], gone))
    assert bad.exit_code == 1
    assert "REJECTED" in bad.stdout


@pytest.mark.parametrize(
    ("content", "name"),
    [("{}", "a.json"), ("no json", "b.json"), ('{"piece": true}', "c.json"), ("x", "d.csv")],
)
def test_what_is_no_record_is_refused(lot, tmp_path, content, name):
    (tmp_path / name).write_text(content, "utf-8")
    ran = run(lot[0], str(tmp_path / name))
    assert ran.exit_code == 2
    assert name in ran.stderr


def test_a_piece_twice_must_follow_its_own_record(lot):
    path, _, write = lot
    ran = run(path, write(4), write(4, note="again"))
    assert ran.exit_code == 2
    assert "r4-1.json, r4-2.json: piece 4: each of these claims the same record" in ran.stderr


def chain(write, schedule, gone, piece=4):
    """Two records of a piece: nails missing, then those and what was added for them looked at."""
    first = write(piece, gone)
    history = History(schedule)
    result = history.take_file(Path(first))
    added = [m | {"state": "good"} for m in marks_of(first)[:1]]
    marks = [added[0] | {"id": name} for name in result.make_good.id.tolist()]
    now = stages_seen(history.schedule)
    second = write(piece, previous=result.record_hash, marks=marks, stages=now)
    return first, second


def marks_of(path):
    return json.loads(Path(path).read_text("utf-8"))["marks"]


def twenty_of_a_chord(schedule):
    f = schedule.fasteners
    return dict.fromkeys(f.id[(f.member == "BC1") & (f.kind == "nail")].tolist()[:20], "missing")


def test_a_girder_made_good_is_good_and_counts_as_found_wanting(lot):
    """AQL 4, level II, 20 girders: none of the sample may be found wanting."""
    path, schedule, write = lot
    everyone = ["--aql", "4", "--level", "III"]
    sample = data_of(path, *everyone)["sample"]
    piece = sample[0]
    first, second = chain(write, schedule, twenty_of_a_chord(schedule), piece)
    told = data_of(path, *everyone, second, first)  # in any order
    (found,) = told["pieces"]
    assert (found["found"], found["now"]) == ("add", "accepted")
    assert found["files"] == [Path(first).name, Path(second).name]
    assert told["nonconforming"] == [piece]
    assert "good now, found wanting and counted" in run(path, *everyone, first, second).stdout


def test_a_record_missing_between_two_is_an_error_that_names_the_later(lot):
    path, schedule, write = lot
    _, second = chain(write, schedule, twenty_of_a_chord(schedule))
    ran = run(path, second)
    assert ran.exit_code == 2
    assert f"{Path(second).name}: piece 4: no record here is the one before it" in ran.stderr


def test_what_is_left_to_do_is_said_with_the_command_that_lists_it(lot):
    path, schedule, write = lot
    ran = run(path, bad := write(4, twenty_of_a_chord(schedule)))
    assert "to be made good (" in ran.stdout
    assert f"girderply inspect {path} {bad}" in ran.stdout


def test_a_design_that_fails_has_no_lot(tmp_path):
    path = tmp_path / "bad.toml"
    text = (SAMPLES / "refused-overloaded.toml").read_text("utf-8")
    assert "quantity" not in text
    path.write_text(text.replace("[girder]", "[girder]\nquantity = 20", 1), "utf-8")
    ran = run(path)
    assert ran.exit_code == 1  # a check failed; 2 would say that the job cannot be read
    assert "itself fails" in ran.stderr
    assert ran.stdout == ""


def test_the_answer_can_be_written_to_a_file(lot, tmp_path):
    target = tmp_path / "lot.json"
    ran = run(lot[0], "--format", "json", "--out", str(target))
    assert ran.exit_code == 0
    assert ran.stdout == ""
    assert json.loads(target.read_text("utf-8"))["verdict"] == "open"


def test_a_lot_of_one_is_none(tmp_path):
    path = tmp_path / "one.toml"
    path.write_text(TEXT.replace("quantity = 2", "quantity = 1"), "utf-8")
    ran = run(path)
    assert ran.exit_code != 0
    assert "at least 2" in str(ran.exception) + ran.stderr


def test_an_odd_limit_is_refused(lot):
    assert run(lot[0], "--aql", "3").exit_code == 2


def test_no_seed_no_sample(lot):
    """Nobody can know before which girders will be looked at."""
    ran = CliRunner().invoke(app, ["lot", str(lot[0])])
    assert ran.exit_code == 0
    assert "Inspect 3: drawn with --seed once the girders stand" in ran.stdout
    assert "ISO 2859-2" in ran.stdout


def test_a_title_changes_no_sample(lot):
    path, _, _ = lot
    before = data_of(path)["sample"]
    path.write_text(OF_20.replace("over the foyer", "over the foyer."), "utf-8")
    assert data_of(path)["sample"] == before
    other = json.loads(
        CliRunner().invoke(app, ["lot", str(path), "--seed", "T", "--format", "json"]).stdout
    )
    assert other["sample"] != before


def test_a_partial_bad_record_is_not_forgotten_over_a_later_good_one(lot):
    """75 missing, not looked at to the end, then all good: found wanting, and the lot with it."""
    path, schedule, write = lot
    sample = data_of(path)["sample"]
    gone = dict.fromkeys(schedule.fasteners.id.tolist()[:75], "missing")
    names = schedule.fasteners.id.tolist()
    first = write(sample[0], gone, only=names[:-5])
    history = History(schedule)
    result = history.take_file(Path(first))
    assert result.verdict == "partial"
    second = write(sample[0], previous=result.record_hash)
    good = [write(n) for n in sample[1:]]
    ran = run(path, first, second, *good)
    assert "REJECTED" in ran.stdout
    assert data_of(path, first, second, *good)["nonconforming"] == [sample[0]]


def test_all_bad_outside_the_sample_never_print_accepted(small):
    path, schedule, write = small
    sample = data_of(path)["sample"]
    gone = twenty_of_a_chord(schedule)
    assert len(sample) == 3
    files = [write(n, None if n in sample else gone) for n in range(1, 9)]
    ran = run(path, *files)
    assert ran.exit_code == 1
    assert "ACCEPTED" not in ran.stdout


def test_a_rejected_lot_is_closed_by_inspecting_all(small):
    path, schedule, write = small
    first, second = chain(write, schedule, twenty_of_a_chord(schedule), 4)
    rest = [write(n) for n in range(1, 9) if n != 4]
    assert "REJECTED" in run(path, first, *rest).stdout
    ran = run(path, first, second, *rest)
    assert ran.exit_code == 0
    assert "CLOSED: every girder of the lot was looked at" in ran.stdout


def test_paper_names_its_piece(lot, tmp_path):
    path, schedule, write = lot
    sample = data_of(path)["sample"]
    table = tmp_path / "paper.csv"
    said = {
        "inspector": "A. Inspector", "date": "2026-11-25", "gap mm": "0", "alignment mm": "1",
        "finish": "zinc", "signed by": "A. Inspector", "signed on": "2026-11-25",
    }  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(blank_csv(schedule))))
    for row in rows:
        row |= {"found": row["due"] or said.get(row["kind"], ""), "piece": str(sample[0])}
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    table.write_text(out.getvalue(), "utf-8")
    ran = run(path, str(table), *(write(n) for n in sample[1:]))
    assert ran.exit_code == 0, ran.stdout
    table.write_text(blank_csv(schedule), "utf-8")
    assert "names no piece" in run(path, str(table)).stderr


def test_a_letter_without_a_plan_is_refused_by_name(lot):
    path, _, _ = lot
    path.write_text(TEXT.replace("quantity = 2", "quantity = 600"), "utf-8")
    ran = run(path, "--level", "III")
    assert ran.exit_code == 2
    assert "letter K; the table has plans up to letter J" in " ".join(
        ran.stderr.replace("\u2502", " ").split()
    )


def test_the_page_of_a_lot_names_every_girder_and_what_is_left(lot, tmp_path):
    from pypdf import PdfReader

    path, schedule, write = lot
    bad = dict.fromkeys(schedule.fasteners.id.tolist()[30:42], "missing")
    files = [write(1), write(2, bad), write(3, note="a crack in ply 2")]
    out = tmp_path / "lot.pdf"
    ran = run(path, *files, "--format", "pdf", "--out", str(out))
    assert ran.exit_code == 1
    pages = " ".join(" ".join(p.extract_text().split()) for p in PdfReader(out).pages)
    for number in range(1, 21):
        assert re.search(rf"\b{number}\b", pages)
    assert "a crack in ply 2" in pages
    assert pages.count("inspect it") == 17  # the lot is rejected: every girder is to be looked at
    assert re.search(r"Add \d+", pages)
    assert all(Path(f).name in pages.replace(" ", "") for f in files)
    assert run(path, *files, "--format", "pdf").exit_code != 0


def test_a_girder_that_nothing_mends_is_not_forgotten_by_a_better_look(lot):
    """Seen in part with every nail of the chord gone; then somebody says that all is good."""
    path, schedule, write = lot
    f = schedule.fasteners
    gone = f.id[(f.member == "BC1") & f.driven].tolist()
    states = dict.fromkeys(gone, "split")
    part = record_data(schedule, states, only=gone, piece=1, **_signed(schedule))
    first = path.parent / "part.json"
    first.write_text(json.dumps(part), "utf-8")
    told = data_of(path, str(first), write(1, previous=record_hash(part)))
    assert told["pieces"][0]["found"] == "engineer"
    assert told["nonconforming"] == [1]


def plain(path, *words):
    return CliRunner().invoke(app, ["lot", str(path), *words])


def test_the_page_of_a_lot_is_named_by_the_register_and_is_history_for_the_next(lot, tmp_path):
    """Two lots of other girders were rejected: the next is tightened, and normal is refused."""
    path, schedule, write = lot
    place = tmp_path / "delivery"
    f = schedule.fasteners
    gone = dict.fromkeys(f.id[(f.member == "BC1") & (f.kind == "nail")].tolist()[:20], "missing")
    for mark in ("G7", "G8"):
        job = tmp_path / f"{mark}.toml"
        job.write_text(OF_20.replace('mark = "G1"', f'mark = "{mark}"'), "utf-8")
        other = build_schedule(read_job(job))
        deliver(place / "register.jsonl", [Made(other, {"schedule.json": b"{}"})])
        data = record_data(other, gone, **_signed(other))
        bad = tmp_path / f"{mark}.json"
        bad.write_text(json.dumps(data), "utf-8")
        ran = plain(job, str(bad), "--seed", "HT", "--delivery", str(place))
        assert ran.exit_code == 1, ran.output
        assert f"{mark}-rev-A-lot.pdf, named by the register" in ran.stdout
    checked = CliRunner().invoke(app, ["verify", str(place / ran.stdout.split(",")[0])])
    assert checked.exit_code == 0, checked.output
    told = plain(path, write(1), "--seed", "HT", "--delivery", str(place), "--mode", "normal")
    assert told.exit_code == 2
    assert "2 of the last 2 lots were not accepted" in " ".join(told.stderr.split())
    ran = plain(path, "--seed", "HT", "--delivery", str(place))
    assert "tightened" in pdf_words(next(place.glob("*G1*lot*.pdf")))
    (page,) = place.glob("*G8*lot*.pdf")
    page.write_bytes(page.read_bytes() + b"\n")
    ran = plain(path, "--seed", "HT", "--delivery", str(place))
    assert "is not the page that the register names" in str(ran.exception)


def pdf_words(path):
    with pypdfium2.PdfDocument(path) as book:
        return " ".join(page.get_textpage().get_text_bounded() for page in book)


def test_without_the_lots_before_it_says_that_nobody_can_switch(lot):
    assert "nobody can say whether inspection is to be tightened (2 of 5)" in run(lot[0]).stdout
