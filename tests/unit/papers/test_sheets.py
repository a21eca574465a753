"""Sheets of made girders and of every sample: complete, readable, inside the frame, inert."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path

import pytest
from made_girder import made_schedule
from pdf_text import embedded_fonts, page_runs, shrunk
from pypdf import PdfReader

from girderply.drawing.lettering import CAP_HEIGHT
from girderply.drawing.page import (
    boxes_overlap,
    inside,
    outside_texts,
    overlapping_texts,
    small_texts,
    texts_on_signs,
)
from girderply.drawing.shapes import Text
from girderply.drawing.strip_plan import StripPlan
from girderply.errors import OutputError
from girderply.jobfile.job import UnitSystem
from girderply.jobfile.reader import read_job
from girderply.papers import render_pdf, render_svg, sheet_names
from girderply.papers.page.fastener_counts import due_rows
from girderply.papers.page.furniture import PAPER, furniture, room
from girderply.papers.page.sheet_words import stage_heading
from girderply.papers.page.typeset import _pack, drawings, typeset
from girderply.papers.sheets import SheetError, make_sheets, makers
from girderply.papers.yard.member_sheet import fitting_blocks
from girderply.schedule import cautions
from girderply.schedule.build import build_schedule
from girderply.schedule.types import Strengthening

ROOT = Path(__file__).parents[3]
HOSTILE = (
    '#panic("x") $ x $ </text><script>alert(1)</script> \\ "q" \'s\' *b* _i_ `r` @ref <l> '
    "[c] {{ 7*7 }}"
)
STAMP = 15.0  # em size in mm above which text is the stamp


@pytest.fixture(scope="module")
def two():
    return made_schedule(2)


@pytest.fixture(scope="module")
def bad():
    return made_schedule(3, failed=True, assumed=True)


@pytest.fixture(scope="module")
def pdf(two):
    return render_pdf(two)


@pytest.fixture(scope="module")
def bad_pdf(bad):
    return render_pdf(bad, ["cover", "elevation", "stage-2", "tick-off"])


@cache
def texts_of(pdf: bytes) -> list[str]:
    return [" ".join(p.extract_text().split()) for p in PdfReader(BytesIO(pdf)).pages]


def blocks_text(sheet) -> str:
    plain = [b for b in sheet.blocks if b["kind"] != "drawing"]
    return json.dumps(plain, default=str, ensure_ascii=False)


def test_names_in_the_order_of_the_pack(two):
    assert sheet_names(two) == (
        "cover", "elevation", "members", "handling", "stage-1", "stations-1", "stage-2",
        "stations-2", "schedule", "brackets", "gauge-card", "tick-off", "order", "diagram",
        "calculation", "sharing",
    )  # fmt: skip
    assert "brackets" not in sheet_names(replace(two, brackets=()))


def drawn(schedule):
    """Sheets with drawings, and one list; diagrams and calculations have tests of their own."""
    stages = [f"stage-{s.number}" for s in schedule.stages]
    return make_sheets(schedule, ["cover", "elevation", "members", *stages, "order"])


def faults(drawing):
    return overlapping_texts(drawing), outside_texts(drawing), small_texts(drawing)


@pytest.mark.parametrize(
    ("plies", "units"),
    [(2, UnitSystem.METRIC), (3, UnitSystem.IMPERIAL), (6, UnitSystem.METRIC)],
)
def test_no_lettering_overlaps_leaves_the_paper_or_is_small(plies, units):
    schedule = made_schedule(plies, units, failed=plies == 3, assumed=plies == 6)
    for sheet in drawn(schedule):
        free = room(sheet.size)
        assert faults(furniture(schedule, sheet)) == ([], [], []), sheet.name
        for drawing in drawings(sheet):
            assert faults(drawing) == ([], [], []), (sheet.name, drawing.name)
            assert drawing.width <= free.width + 0.01, (sheet.name, drawing.name)
            assert drawing.height <= free.height, (sheet.name, drawing.name)


def test_pages_on_paper_have_no_overlap_and_nothing_small(pdf, bad_pdf):
    """Measured in the PDF itself, tables included; the stamp lies over the rest on purpose."""
    chosen = page_runs(bad_pdf) + page_runs(pdf)[:5] + page_runs(pdf)[-3:]
    for _, runs in chosen:
        assert min(r.size for r in runs) * CAP_HEIGHT >= 2.5 - 1e-3
        boxes = [shrunk(r) for r in runs if r.size < STAMP]
        boxes.sort(key=lambda box: min(p[0] for p in box))
        for i, a in enumerate(boxes):
            right = max(x for x, _ in a)
            for b in boxes[i + 1 :]:
                if min(x for x, _ in b) >= right:
                    break
                assert not boxes_overlap(a, b)


def test_pages_are_a3_landscape_and_a4_portrait_and_hold_their_text(pdf):
    sizes = Counter()
    for size, runs in page_runs(pdf):
        rounded = tuple(round(v, 1) for v in size)
        sizes[rounded] += 1
        assert all(inside(r.corners, *size) for r in runs)
    assert set(sizes) == {(210.0, 297.0), (420.0, 297.0)}


def test_only_the_shipped_font_is_embedded(pdf, bad_pdf):
    for file in (pdf, bad_pdf):
        assert embedded_fonts(file) == {"DejaVuSansCondensed", "DejaVuSansCondensed-Bold"}


def test_every_page_carries_cautions_identity_hash_and_number(pdf, two):
    pages = texts_of(pdf)
    for i, text in enumerate(pages, 1):
        for sentence in cautions.scope():
            assert sentence.split(".")[0][:40] in text
        assert "RH-204 \u00b7 G1" in text
        assert two.content_hash[:12] in text
        assert "DEMO DATA" in text
        assert f"{i} / {len(pages)}" in text
        assert "NOT FOR ASSEMBLY" not in text
        assert "PLATES ASSUMED" not in text


def test_a_failed_girder_is_stamped_on_every_page_and_says_why_first(bad_pdf, bad):
    pages = texts_of(bad_pdf)
    for _, runs in page_runs(bad_pdf):
        assert [r for r in runs if r.size > STAMP], "large letters across the page"
    assert all("NOT FOR ASSEMBLY" in t and "PLATES ASSUMED" in t for t in pages)
    cover = pages[0]
    error = next(f for f in bad.findings if f.severity == "error")
    assert error.message[:40] in cover
    assert cover.index("ends 12 mm short") < cover.index("Stages at a glance")


def test_words_inside_drawings_can_be_selected(pdf):
    text = " ".join(texts_of(pdf))
    assert "BC1 continued" in text
    assert "BC1: station from the hook end" in text


def test_counts_on_the_tick_off_sheet_add_up_to_the_schedule():
    schedule = made_schedule(3)
    f = schedule.fasteners
    for stage in schedule.stages:
        rows = due_rows(schedule, stage)
        mine = f.select(f.stage == stage.number)
        want = Counter(zip(mine.member.tolist(), mine.kind.tolist(), strict=True))
        got = Counter()
        for row in rows:
            got[row.member, row.kind] += row.due
        assert got == want
    sheet = make_sheets(schedule, ["tick-off"])[0]
    boxes = blocks_text(sheet).count('{"kind": "box"}')
    assert boxes == sum(len(due_rows(schedule, s)) for s in schedule.stages)


def test_a_stage_is_ticked_and_signed_on_one_page():
    """Six plies: no stage of the tick-off sheet runs on to the next page, each has its number."""
    schedule = build_schedule(read_job(ROOT / "sample_jobs" / "six-ply.toml"))
    pages = texts_of(render_pdf(schedule, ["tick-off"]))
    assert len(pages) == len(schedule.stages) == 6
    for stage, page in zip(schedule.stages, pages, strict=True):
        assert page.count("Girder no.") == page.count("Signature") == 1
        assert stage_heading(stage) in " ".join(page.split())


def test_member_sheet_draws_what_the_schedule_holds_less_the_twins(two):
    sheet = make_sheets(two, ["members"])[0]
    drawn = Counter(s.tag for d in drawings(sheet) for s in d.shapes if s.tag.startswith(SIGNS))
    assert max(drawn.values()) == 1
    ids = {t.partition(":")[2] for t in drawn}
    missing = set(two.fasteners.id.tolist()) - ids
    titles = [t.text for d in drawings(sheet) for t in d.texts() if t.bold and ", " in t.text]
    twins = {name for title in titles for name in title.split(", ")[1:]}
    assert {i.partition("-")[0] for i in missing} == twins


def test_order_list_multiplies_by_the_girders_to_make(two):
    text = blocks_text(make_sheets(two, ["order"])[0])
    nails = two.order[0]
    assert two.girder.quantity == 2
    assert f'"text": "{nails.ordered}"' in text
    assert f'"text": "{2 * nails.ordered}"' in text


def test_a_single_girder_has_no_column_for_all_of_them(two):
    single = replace(two, girder=replace(two.girder, quantity=1))
    for schedule, heads in ((two, 7), (single, 6)):
        table = next(b for b in make_sheets(schedule, ["order"])[0].blocks if b["kind"] == "table")
        assert len(table["heads"]) == heads
        assert {len(row) for row in table["rows"]} == {heads}


def test_closer_nailing_under_loads_is_listed_and_told_on_the_stage_sheet(two):
    zone = Strengthening("T-3", "BC1", 1800.0, 2400.0, "nail", 1, (1,), 75.0, 150.0, 2640.0)
    schedule = replace(two, strengthened=(zone,))
    text = blocks_text(make_sheets(schedule, ["schedule"])[0])
    assert "centres 75 instead of 150" in text
    assert "1\u00a0800 to 2\u00a0400" in text
    assert "2.64\u00a0kN" in text
    stage = make_sheets(schedule, ["stage-1"])[0]
    words = " ".join(t.text for d in drawings(stage) for t in d.texts())
    assert words.count("more under the loads, as dimensioned") == 1


def test_rows_of_too_many_stages_are_drawn_in_sets():
    """Six plies with rows so close that figures stand upright do not fit on one strip."""
    schedule = made_schedule(6)
    f = schedule.fasteners
    member = schedule.girder.member("BC1")
    plan = StripPlan(10, "front", 377.0)
    blocks = fitting_blocks(schedule, member, plan, ("BC1", ""), 60.0)
    titles = {t.text for b in blocks for t in b.shapes if isinstance(t, Text) and t.bold}
    assert {"BC1, stages 1 to 2", "BC1, stage 3", "BC1, stages 4 to 5", "BC1, stage 6"} & titles
    drawn = Counter(s.tag for b in blocks for s in b.shapes if s.tag.startswith(SIGNS))
    mine = f.select(f.member == "BC1")
    assert drawn == Counter(f"{k}:{i}" for k, i in zip(mine.kind, mine.id, strict=True))


def test_an_imperial_job_is_in_feet_and_inches_only():
    schedule = made_schedule(2, UnitSystem.IMPERIAL)
    chosen = ["cover", "elevation", "stage-1", "schedule", "brackets", "order", "diagram"]
    pages = texts_of(render_pdf(schedule, chosen))
    body = " ".join(pages).replace("This bar is 100 mm long on a true print", "")
    # The names of the made nail, bolt, washer and two made findings are metric.
    for metric in (
        "4.0 x 100",
        "M12 x 120",
        "40x40x4",
        "Gap of 330 mm",
        "longer than 120 mm",
        "Drill 13 mm",
    ):
        body = body.replace(metric, "")
    assert not re.findall(r"\d\s?(?:mm|kN|kg|N/mm)\b", body)
    assert "31'-8" in body


def test_hostile_text_is_text(two):
    info = replace(two.job.info, title=HOSTILE, client=HOSTILE, number=HOSTILE, notes=(HOSTILE,))
    girder = replace(two.girder, mark=HOSTILE[:40])
    finding = replace(two.findings[0], message=HOSTILE, where="", tip="")
    schedule = replace(two, job=replace(two.job, info=info), girder=girder, findings=(finding,))
    plain = "".join(" ".join(texts_of(render_pdf(schedule, ["cover", "elevation"]))).split())
    assert "".join(HOSTILE.split()) in plain
    for svg in render_svg(schedule, "elevation").values():
        assert "<script" not in svg


def test_text_in_a_script_the_font_lacks_does_not_stop_the_sheets(two):
    info = replace(
        two.job.info, title="\u6cb3\u53e3\u4f1a\u5802 \U0001f3d7 \u0645\u0631\u062d\u0628\u0627"
    )
    assert render_pdf(replace(two, job=replace(two.job, info=info)), ["cover"])[:5] == b"%PDF-"


def test_chosen_sheets_only(two):
    pages = texts_of(render_pdf(two, ["order", "cover"]))
    assert len(pages) == 2
    assert "Stages at a glance" in pages[0], "in the order of the pack"
    assert "Order list" in pages[1]


def test_an_unknown_sheet_is_named_with_those_there_are(two):
    with pytest.raises(SheetError, match=r"no sheet 'covr'; there are cover, elevation"):
        render_pdf(two, ["covr"])


def test_svg_pages_are_full_sheets_at_true_size(two):
    pages = render_svg(two, "members")
    assert len(pages) >= 2
    for name, svg in pages.items():
        assert name.startswith("G1-members-")
        assert '<svg xmlns="http://www.w3.org/2000/svg" width="420mm" height="297mm"' in svg
        assert 'viewBox="0 0 420 297"' in svg
        assert "Do not load or lift" in svg
    assert render_svg(two, "order") == {}


def test_svg_pages_of_a_failed_girder_are_stamped(bad):
    for svg in render_svg(bad, "stage-1").values():
        assert svg.count(cautions.not_for_assembly()) == 2


def test_every_block_kind_is_known_to_the_template(bad):
    """A kind that the template does not know stops it, rather than vanish."""
    sheet = make_sheets(bad, ["cover"])[0]
    sheet.blocks.append({"kind": "surprise"})
    with pytest.raises(OutputError, match="unknown kind of block"):
        typeset("sheets", _pack(bad, [sheet], ""), "2026-01-05")


def test_a_missing_name_stops_the_page_template(two):
    pack = _pack(two, make_sheets(two, ["order"]), "")
    del pack["stamp"]
    with pytest.raises(OutputError, match="stamp"):
        typeset("sheets", pack, "2026-01-05")


def test_the_date_of_the_job_is_the_date_of_the_file(two):
    assert b"20260302" in render_pdf(two, ["order"])
    odd = replace(two, job=replace(two.job, info=replace(two.job.info, date="soon")))
    assert b"19700101" in render_pdf(odd, ["order"])


def test_nothing_is_made_before_it_is_asked_for(two):
    assert list(makers(two)) == list(sheet_names(two))


SCRIPT = """
import sys, hashlib
sys.path[:0] = sys.argv[1:]
from made_girder import made_schedule
from girderply.papers import render_pdf, render_svg
s = made_schedule(3, failed=True)
h = hashlib.sha256(render_pdf(s, ['cover', 'elevation', 'stage-2', 'tick-off', 'diagram']))
for name in ("elevation", "members", "stage-2"):
    for key, svg in render_svg(s, name).items():
        h.update(key.encode() + svg.encode())
print(h.hexdigest())
"""


def test_the_same_schedule_gives_the_same_bytes_in_any_process():
    paths = [str(ROOT), str(ROOT / "tests" / "support")]
    seen = {
        subprocess.run(
            [sys.executable, "-c", SCRIPT, *paths],
            env={"PYTHONHASHSEED": seed, "PATH": ""},
            capture_output=True, text=True, check=True,
        ).stdout
        for seed in ("1", "271828")
    }  # fmt: skip
    assert len(seen) == 1
    assert len(seen.pop().strip()) == 64


def test_frame_and_room_agree():
    for size, (width, height) in PAPER.items():
        free = room(size)
        assert free.left + free.width + free.right == pytest.approx(width)
        assert free.top + free.height + free.bottom == pytest.approx(height)


SIGNS = ("nail:", "screw:", "bolt:")
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.toml"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_every_sample_has_clean_drawings_with_every_fastener(path):
    schedule = build_schedule(read_job(path))
    seen: Counter[str] = Counter()
    for sheet in drawn(schedule):
        free = room(sheet.size)
        assert faults(furniture(schedule, sheet)) == ([], [], []), sheet.name
        for drawing in drawings(sheet):
            assert faults(drawing) == ([], [], []), (sheet.name, drawing.name)
            assert drawing.height <= free.height, (sheet.name, drawing.name)
            assert texts_on_signs(drawing) == [], (sheet.name, drawing.name)
            if sheet.name == "elevation":
                seen.update(s.tag for s in drawing.shapes if s.tag.startswith(SIGNS))
                names = {t.text for t in drawing.texts()}
                assert {m.id for m in schedule.girder.members} <= names
    f = schedule.fasteners
    assert seen == Counter(f"{k}:{i}" for k, i in zip(f.kind, f.id, strict=True))
