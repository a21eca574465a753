"""The calculation sheet: every check on it, the failed ones first, to be followed by hand."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pikepdf
import pypdfium2 as pdfium
import pytest
from archive_check import faults_of_archive, tags_of
from formula_reader import flat
from jobs_in_text import Ask, job_text
from pdf_text import page_runs, shrunk

from girderply.bases.dowel.stack import Mechanism
from girderply.bases.dowel.through import InStack
from girderply.drawing.page import boxes_overlap
from girderply.jobfile.reader import read_job
from girderply.papers import render_document, render_pdf
from girderply.papers.engineer.calculation import calculation, unchecked_words
from girderply.papers.engineer.calculation_summary import (
    MOST_IN_WORDS,
    failed_blocks,
    summary_blocks,
)
from girderply.papers.engineer.calculation_words import (
    document_of,
    hardest_first,
    input_value,
    kind,
    series,
    short_clause,
    symbol,
    used_words,
)
from girderply.papers.engineer.calculation_worked import (
    MOST_FAILED,
    governing,
    stack_blocks,
    stack_differences,
    worked_blocks,
)
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.read_back import read_back
from girderply.strength.check_record import Check
from girderply.units.show import Printed
from girderply.wording import ENGLISH, english

ROOT = Path(__file__).parents[4]
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.toml"))
LOAD = '[[loads]]\nid = "L"\nchord = "BC1"\nface = "front"\nat = "3 m"\ndesign = "2 kN"\n'
CLAUSE = "EN 1995-1-1:2004+A2:2014, 8.2.2, Eq. (8.6)"


def schedule_of(folder, ask):
    path = folder / "job.toml"
    path.write_text(job_text(ask), encoding="utf-8")
    return build_schedule(read_job(path))


@pytest.fixture(scope="module")
def hung(tmp_path_factory):
    """Two plies, 2 kN on the front of the bottom chord."""
    return schedule_of(tmp_path_factory.mktemp("hung"), Ask(loads=LOAD))


def made(name, demand, resistance, mode="(f)", steps=()):
    """A check; what it is about is read from these tests' own plain names, "A-1.i2.P"."""
    about, kind_, *_ = name.split(".") if "." in name else (name, "")
    interface = int(kind_[1:]) if kind_.startswith("i") else 0
    return Check(
        name, f"subject of {name}", demand, resistance, "N", CLAUSE, mode, {}, steps,
        about=about, interface=interface,
    )  # fmt: skip


def text_of(blocks):
    return json.dumps(blocks, ensure_ascii=False, default=str)


def rows_of(block):
    return [[cell["text"] for cell in row] for row in block["rows"]]


@pytest.mark.parametrize(
    ("about", "interface", "ply", "loads", "what"),
    [
        ("L1-3", 1, 0, "L1", "interface 1"),
        ("F-6+B-6", 12, 0, "F+B", "interface 12"),
        ("W", 0, 0, "W", "splitting"),
        ("W-7", 0, 0, "W-7", "splitting"),  # a single load of that name is no series
        ("a.i1.b-2", 2, 0, "a.i1.b", "interface 2"),
        ("F-6+B-6", 0, 3, "F+B", "splitting of a receiving ply"),
    ],
)
def test_what_a_check_is_about(about, interface, ply, loads, what):
    check = replace(made("any id", 1.0, 2.0), about=about, interface=interface, ply=ply)
    of_load = {"L1-3": "L1", "F-6": "F", "B-6": "B", "a.i1.b-2": "a.i1.b"}
    assert (series(check, of_load), kind(ENGLISH, check)) == (loads, what)


def test_a_failed_check_never_reads_as_full_or_less():
    assert used_words(ENGLISH, made("a.i1.P", 1002.0, 1000.0)) == "101\u00a0%"
    assert used_words(ENGLISH, made("a.i1.P", 1000.0, 1000.0)) == "100\u00a0%"
    assert used_words(ENGLISH, made("a.i1.P", 845.0, 1000.0)) == "85\u00a0%", "halves go up"
    assert used_words(ENGLISH, made("a.i1.P", 5.0, 0.0)) == "no resistance"


def test_order_is_failed_first_and_then_by_use():
    checks = (
        made("a.i1.P", 10.0, 100.0), made("b.i1.P", 99.0, 100.0), made("c.i1.P", 120.0, 100.0),
        made("d.i1.P", 7.0, 0.0), made("e.i1.P", 99.0, 100.0),
    )  # fmt: skip
    assert [c.id[0] for c in hardest_first(checks)] == ["d", "c", "b", "e", "a"]


def test_symbols_read_as_in_the_steps():
    written = ("f_h_k", "M_y_Rk", "F_90_Rk", "n_ef", "k_mod", "zone start")
    assert [symbol(ENGLISH, s) for s in written] == [
        "f_h,k", "M_y,Rk", "F_90,Rk", "n_ef", "k_mod", "zone start",
    ]  # fmt: skip
    assert symbol(ENGLISH, "rho_k") == "\u03c1_k"


def test_inputs_are_in_the_units_of_the_job():
    """1 lbf = 4.4482216 N, 1 in = 25.4 mm, 1 psi = 0.00689476 N/mm2 (NIST SP 811, from memory)."""
    us, si = Printed("imperial", ENGLISH), Printed("metric", ENGLISH)
    assert input_value(ENGLISH, 4448.2216, "N", us) == "1,000\u00a0lbf"
    assert input_value(ENGLISH, 3.7592, "mm", us) == "0.148\u00a0in"
    assert input_value(ENGLISH, 620.5281563851524, "N/mm2", us) == "90,000\u00a0psi"
    assert input_value(ENGLISH, 112.984829, "Nmm", us) == "1\u00a0in-lb"
    assert (
        input_value(ENGLISH, math.pi / 2, "rad", us)
        == input_value(ENGLISH, math.pi / 2, "rad", si)
        == "90.0\u00b0"
    )
    assert input_value(ENGLISH, 0.9, "", us) == input_value(ENGLISH, 0.9, "", si) == "0.9"
    assert input_value(ENGLISH, 76745.4, "Nmm", si) == "76\u00a0745 N\u00a0mm"
    assert input_value(ENGLISH, 20.4396, "N/mm2", si) == "20.44 N/mm\u00b2"


def test_clause_and_mode_in_short():
    assert short_clause(CLAUSE, "EN 1995-1-1:2004+A2:2014") == "8.2.2, Eq. (8.6)"
    assert short_clause("NDS 2018, 12.3.1", "EN 1995") == "NDS 2018, 12.3.1"
    assert document_of((made("a.i1.P", 1, 2), replace(made("b.i1.P", 1, 2), clause=""))) == (
        "EN 1995-1-1:2004+A2:2014"
    )


def test_failed_checks_come_first_in_words_and_none_leaves_the_summary(hung):
    checks = tuple(made(f"L-{i}.i1.P", 100.0 + i, 100.5 + 0.2 * i) for i in range(1, 41))
    many = replace(hung, checks=checks)
    failed = [c for c in checks if not c.ok]
    assert len(failed) == 40
    block = failed_blocks(ENGLISH, many)[0]
    assert block["head"] == "40 checks failed"
    assert len(block["lines"]) == MOST_IN_WORDS + 1
    assert block["lines"][0].startswith("L-40.i1.P: subject of L-40")
    assert block["lines"][-1].startswith(f"And {40 - MOST_IN_WORDS} more")
    table = next(b for b in summary_blocks(ENGLISH, many) if b["kind"] == "table")
    (row,) = rows_of(table)
    assert row[:3] == ["interface 1", "40 of 40 failed", "L-40.i1.P"], "the hardest of its group"
    assert row[5].startswith("FAILED ")


def test_governing_are_the_failed_and_the_hardest_of_each_kind_and_series(hung):
    failed = [made(f"A-{i}.i1.P", 200.0 - i, 100.0) for i in range(9)]
    good = [
        made("B-1.i2.P", 50.0, 100.0), made("B-2.i2.P", 60.0, 100.0),
        made("C-1.split.P", 30.0, 100.0), made("C-2.i1.P", 40.0, 100.0),
        made("C-3.i1.P", 20.0, 100.0),
    ]  # fmt: skip
    loads = [
        replace(hung.girder.loads[0], id=c.about, entry=c.about.partition("-")[0])
        for c in (*good, *failed)
    ]
    girder = replace(hung.girder, loads=tuple(loads))
    found = governing(ENGLISH, replace(hung, girder=girder, checks=(*good, *failed)))
    ids = [c.id for c, _ in found]
    assert ids[:MOST_FAILED] == [f"A-{i}.i1.P" for i in range(MOST_FAILED)]
    assert set(ids[MOST_FAILED:]) == {"B-2.i2.P", "C-1.split.P", "C-2.i1.P"}
    why = {c.id: words for c, words in found}
    assert why["A-0.i1.P"] == "failed, hardest of interface 1, hardest of loads A"
    assert why["B-2.i2.P"] == "hardest of interface 2, hardest of loads B"
    assert why["C-2.i1.P"] == "hardest of loads C"


def test_a_worked_check_has_every_input_and_every_step(hung):
    """Half of 2 kN must pass in a girder of two plies; common practice, by hand."""
    check, _ = governing(ENGLISH, hung)[0]
    text = text_of(worked_blocks(ENGLISH, hung))
    assert any("|(2000) - 1/2 x 2000| = 1000 N" in english(step) for step in check.steps)
    (lines,) = [b["lines"] for b in worked_blocks(ENGLISH, hung) if b["kind"] == "formulas"][:1]
    said = [flat(line).replace("\u00d7", "x").replace("\u2212", "-") for line in lines]
    steps = map(english, check.steps)
    assert said == [s.replace("mm2", "mm\u00b2").replace("e-6", " x 10^-6") for s in steps]
    for name, (value, unit) in check.inputs.items():
        shown = input_value(ENGLISH, value, unit, Printed("metric", ENGLISH))
        assert f'["{symbol(ENGLISH, name)}", "{shown}"]' in text


def test_a_typeset_formula_is_read_aloud_as_its_line(hung):
    with pikepdf.open(BytesIO(render_document(hung, "engineer"))) as document:
        formulas = [str(t.Alt) for t in tags_of(document) if t.S == "/Formula"]
        assert faults_of_archive(document) == []
    roots = [
        step
        for c, _ in governing(ENGLISH, hung)
        for step in map(english, c.steps)
        if "sqrt(" in step
    ]
    assert roots
    assert all(any(alt in step for alt in formulas if "sqrt(" in alt) for step in roots)


def test_by_how_much_the_stack_differs_is_said_of_each_kind_of_fastener(hung):
    def whole(ratio):
        still = Mechanism(2, 0, 0, ())
        one = InStack(743.0, 700.0, 1.0, ratio, min(ratio, 1.0), still, still, 2, False)
        more = f"{abs(100 * (ratio - 1)):.1f} % {'more' if ratio >= 1 else 'less'}"
        assert f"the whole fastener has {more} than the single-shear value" in english(one.words())
        return one.difference

    less = replace(made("a.i1.P", 1.0, 2.0), stack=(None, whole(0.92)))
    more = replace(made("b.i1.P", 1.0, 2.0), stack=(whole(1.105), whole(1.0)))
    assert stack_differences(less) == [-8.0]
    assert stack_differences(more) == [10.5, 0.0]
    text = text_of(stack_blocks(ENGLISH, replace(hung, checks=(less, more))))
    assert "up to 8.0 % less" in text
    assert "most in a.i1.P" in text
    assert "up to 10.5 % more, which is not counted (in b.i1.P)" in text
    text = text_of(stack_blocks(ENGLISH, replace(hung, checks=(more,))))
    assert "Nowhere does it give a whole fastener less" in text


def test_two_plies_have_no_stack_to_speak_of(hung):
    assert "at one interface alone" in text_of(stack_blocks(ENGLISH, hung))


def test_without_loads_it_says_that_nothing_was_checked_and_why(tmp_path, hung):
    bare = schedule_of(tmp_path, Ask())
    text = text_of(calculation(ENGLISH, bare).blocks)
    assert "Nothing was checked" in text
    assert "names no hung load" in text
    assert "Summary" not in text
    assert "enters all plies alike" in unchecked_words(ENGLISH, replace(hung, checks=()))


def test_the_basis_names_what_the_checks_rest_on(hung):
    text = text_of(calculation(ENGLISH, hung).blocks)
    for words in (
        '["Standard", "EN 1995-1-1:2004+A2:2014"]', '["Service class", "1"]',
        '["\u03b3_M, connections", "1.3"]', '["Density \u03c1_k", "350\u00a0kg/m\u00b3"]',
        "C24, 2 plies of 38\u00a0mm", "at most 600\u00a0mm", "given design value",
    ):  # fmt: skip
        assert words in text


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_check_is_counted_in_its_group_and_every_zone_is_told(path):
    schedule = build_schedule(read_job(path))
    sheet = calculation(ENGLISH, schedule)
    tables = [b for b in sheet.blocks if b["kind"] == "table"]
    summary = next(t for t in tables if t["heads"][0] == "Group")
    counts = [int(r[1].split(" of ")[-1].split()[0]) for r in rows_of(summary)]
    assert sum(counts) == len(schedule.checks)
    hardest = {c.id for c in schedule.checks}
    assert {r[2].replace("\u200b", "") for r in rows_of(summary)} <= hardest  # where it may break
    failed = sum(int(r[1].split(" of ")[0]) for r in rows_of(summary) if " of " in r[1])
    assert failed == sum(not c.ok for c in schedule.checks)
    zones = [rows_of(t) for t in tables if t["heads"] and t["heads"][0] == "Zone"]
    assert [r[0] for rows in zones for r in rows] == [
        english(s.load) for s in schedule.strengthened
    ]


def test_assumptions_shares_and_what_is_not_checked_are_told():
    schedule = build_schedule(read_job(ROOT / "sample_jobs" / "two-ply-howe.toml"))
    text = text_of(calculation(ENGLISH, schedule).blocks)
    for one in schedule.assumed:
        assert english(one.why) in text
    assert english(schedule.shares.words()) in text
    after = text.partition("What is not checked here")[2]
    for named in (
        "block shear", "forces along the fasteners", "earthquake", "fatigue", "fire",
        "nail plates", "bracing", "strength of the plies", "how a bracket holds", "transport",
    ):  # fmt: skip
        assert named in after, named


@pytest.mark.parametrize("name", ["six-ply", "two-ply-imperial"])
def test_its_pages_have_no_overlap_and_nothing_lies_on_the_cautions(name):
    """Measured in the PDF itself, diagrams and cautions included: the first pages and the last."""
    schedule = build_schedule(read_job(ROOT / "sample_jobs" / f"{name}.toml"))
    shown = (*hardest_first(schedule.checks)[:40], *hardest_first(schedule.checks)[-3:])
    pages = page_runs(render_pdf(replace(schedule, checks=shown), ["engineer"]))
    assert len(pages) >= 3
    for _, runs in pages:
        boxes = sorted((shrunk(r) for r in runs), key=lambda box: min(p[0] for p in box))
        for i, a in enumerate(boxes):
            right = max(x for x, _ in a)
            for b in boxes[i + 1 :]:
                if min(x for x, _ in b) >= right:
                    break
                assert not boxes_overlap(a, b)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda p: p.stem)
def test_the_job_is_read_back_first_with_a_line_to_sign_on(sample):
    """Every sentence of the read-back; what stops the work, what is assumed, the shares before."""
    schedule = build_schedule(read_job(sample))
    blocks = calculation(ENGLISH, schedule).blocks[2:]
    begins = [block["kind"] for block in blocks].index("heading")
    assert {block["kind"] for block in blocks[:begins]} <= {"callout", "words"}
    said = blocks[begins : begins + 7]
    front = " ".join(str(line) for b in said if b["kind"] == "words" for line in b["lines"])
    found = read_back(schedule)
    assert [s for s in (*found.said, *found.unusual) if english(s) not in front] == []
    document = pdfium.PdfDocument(render_document(schedule, "engineer"))
    pages = [document[i].get_textpage().get_text_bounded() for i in range(2)]
    assert "held against the drawing by" in " ".join("".join(pages).split())
    for f in schedule.findings:  # the first page says what its reader must not miss
        if f.code == "ply-share":
            assert "The plies do not share equally" in " ".join(pages[0].split())
    assert not schedule.failed or "NOT FOR ASSEMBLY" in pages[0]
