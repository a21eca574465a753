"""Sheets of made girders and of every sample: complete, readable, inside the frame, inert."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from base64 import b64decode
from collections import Counter
from dataclasses import replace
from functools import cache
from html import unescape
from io import BytesIO
from pathlib import Path

import pytest
from lettering_faults import outside_texts, overlapping_texts, small_texts, texts_on_signs
from made_girder import made_schedule
from made_schedules import sample
from pypdf import PdfReader

from girderply.drawing.lettering import text_width
from girderply.errors import OutputError
from girderply.jobfile.job import UnitSystem
from girderply.jobfile.reader import read_job
from girderply.papers import DOCUMENTS, render_document, render_pdf, render_svg, sheet_names
from girderply.papers.inspector.count_rows import count_rows
from girderply.papers.page.furniture import first_room, furniture
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import PAPER, room
from girderply.papers.page.typeset import drawings, pack_data, typeset
from girderply.papers.sheets import SheetError, make_sheets, makers
from girderply.schedule.build_schedule import build_schedule
from girderply.wording import ENGLISH, english

ROOT = Path(__file__).parents[3]
HOSTILE = (
    '#panic("x") $ x $ </text><script>alert(1)</script> \\ "q" \'s\' *b* _i_ `r` @ref <l> '
    "[c] {{ 7*7 }}"
)


@pytest.fixture(scope="module")
def two():
    return made_schedule(2)


@pytest.fixture(scope="module")
def bad():
    return made_schedule(3, failed=True, assumed=True)


@pytest.fixture(scope="module")
def pdf(two):
    return render_pdf(two)


@cache
def texts_of(pdf: bytes) -> list[str]:
    return [" ".join(p.extract_text().split()) for p in PdfReader(BytesIO(pdf)).pages]


def blocks_text(sheet) -> str:
    plain = [b for b in sheet.blocks if b["kind"] != "drawing"]
    return json.dumps(plain, default=str, ensure_ascii=False)


def test_names_in_the_order_of_the_documents(two):
    assert sheet_names(two) == (
        "know",
        "stage-1",
        "stage-2",
        "inspection",
        "delivery",
        "engineer",
    )
    assert [d.file for d in DOCUMENTS] == [
        "yard.pdf", "inspection.pdf", "delivery.pdf", "engineer.pdf",
    ]  # fmt: skip


def drawn(schedule):
    """Sheets with drawings, and one list; calculations have tests of their own."""
    stages = [f"stage-{s.number}" for s in schedule.stages]
    return make_sheets(schedule, ["know", "elevation", *stages, "delivery"])


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
        for first in (True, False):
            assert faults(furniture(ENGLISH, heading_of(schedule), sheet, first)) == ([], [], []), (
                sheet.name
            )
        for drawing in drawings(sheet):
            assert faults(drawing) == ([], [], []), (sheet.name, drawing.name)
            assert drawing.width <= free.width + 0.01, (sheet.name, drawing.name)
            assert drawing.height <= free.height, (sheet.name, drawing.name)


def test_counts_on_the_check_sheet_add_up_to_the_schedule():
    """Every row of every member once; alike ones share a line that says each."""
    schedule = made_schedule(3)
    f = schedule.fasteners
    for stage in schedule.stages:
        got = Counter()
        for row in count_rows(ENGLISH, schedule, stage):
            for member in row.member.split(", "):
                kind = "bolt" if "bolt" in row.what else "nail"
                got[member, kind] += int(row.due.split()[0])
        mine = f.select(f.stage == stage.number)
        assert got == Counter(zip(mine.member.tolist(), mine.kind.tolist(), strict=True))


def test_order_list_multiplies_by_the_girders_to_make(two):
    text = blocks_text(make_sheets(two, ["delivery"])[0])
    nails = two.order[0]
    assert two.girder.quantity == 2
    assert f'"text": "{nails.ordered}"' in text
    assert f'"text": "{2 * nails.ordered}"' in text


def test_a_name_without_a_space_is_broken_beside_the_qr_code(two):
    job = replace(two.job, info=replace(two.job.info, client="W" * 60))
    blocks = make_sheets(replace(two, job=job), ["delivery"])[0].blocks
    (beside,) = [b for b in blocks if b["kind"] == "columns"]
    pairs = dict(beside["cells"][0][0]["pairs"])
    parts = pairs["Client"].split("\u200b")
    assert "".join(parts) == "W" * 60
    left = room("A4").width - 34.0 - 4.0 - 40.0  # QR code, gap, what the values are
    assert all(text_width(part, 2.5, bold=True) < left for part in parts)


def test_a_single_girder_has_no_column_for_all_of_them(two):
    single = replace(two, girder=replace(two.girder, quantity=1))
    for schedule, heads in ((two, 7), (single, 6)):
        kept = [b["blocks"] for b in make_sheets(schedule, ["delivery"])[0].blocks if "blocks" in b]
        tables = [b for blocks in kept for b in blocks if b["kind"] == "table"]
        (table,) = [b for b in tables if "Needed" in b["heads"]]
        assert len(table["heads"]) == heads
        assert {len(row) for row in table["rows"]} == {heads}


def test_an_imperial_job_is_in_feet_and_inches_only():
    schedule = made_schedule(2, UnitSystem.IMPERIAL)
    chosen = ["know", "elevation", "stage-1", "inspection", "delivery"]
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
    plain = "".join(" ".join(texts_of(render_pdf(schedule, ["inspection", "delivery"]))).split())
    assert "".join(HOSTILE.split()) in plain
    for svg in render_svg(schedule, "elevation").values():
        assert "<script" not in svg


def test_text_in_a_script_the_font_lacks_does_not_stop_the_sheets(two):
    info = replace(
        two.job.info, title="\u6cb3\u53e3\u4f1a\u5802 \U0001f3d7 \u0645\u0631\u062d\u0628\u0627"
    )
    assert render_pdf(replace(two, job=replace(two.job, info=info)), ["inspection"])[:5] == b"%PDF-"


def test_chosen_sheets_only(two):
    pages = texts_of(render_pdf(two, ["stage-2", "know"]))
    assert "Order of the stages" in pages[0], "in the order of the documents"
    assert "Stage 2 of" in pages[-1]
    assert not any("Order list" in page for page in pages)


def test_an_unknown_sheet_is_named_with_those_there_are(two):
    with pytest.raises(SheetError, match=r"no sheet 'knw'; there are know, stage-1"):
        render_pdf(two, ["knw"])


def test_svg_pages_are_full_sheets_at_true_size_and_complete(two):
    """As many pages as the PDF has, each at its paper's size, nothing fetched."""
    pages = render_svg(two, "stage-1")
    assert len(pages) == len(PdfReader(BytesIO(render_pdf(two, ["stage-1"]))).pages)
    width, height = (v * 72 / 25.4 for v in PAPER["A3"])
    for name, svg in pages.items():
        assert name.startswith("G1-stage-1-")
        size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
        assert float(size[1]) == pytest.approx(width, abs=0.01)
        assert float(size[2]) == pytest.approx(height, abs=0.01)
        assert "<script" not in svg
    assert len(render_svg(two, "delivery")) == 2, "lists too"


@pytest.mark.parametrize("name", ["stage-1", "inspection", "delivery"])
def test_an_svg_page_has_every_letter_of_the_pdf(two, name):
    """Words of drawings are words there, other letters a sign each; fi may be one sign."""
    pdf = texts_of(render_pdf(two, [name]))
    for svg, text in zip(render_svg(two, name).values(), pdf, strict=True):
        letters = "".join(text.split())
        inside = re.findall(r"data:image/svg\+xml;base64,([\w+/=]+)", svg)
        drawn = " ".join(b64decode(part).decode() for part in inside)
        words = ["".join(unescape(w).split()) for w in re.findall(r"<text[^>]*>([^<]*)<", drawn)]
        assert words
        assert [w for w in words if w not in letters] == []
        joined = len(re.findall("f[fil]", letters))
        count = sum(map(len, words)) + svg.count("<use")
        assert len(letters) - joined <= count <= len(letters)


def test_every_block_kind_is_known_to_the_template(bad):
    """A kind that the template does not know stops it, rather than vanish."""
    sheet = make_sheets(bad, ["inspection"])[0]
    sheet.blocks.append({"kind": "surprise"})
    with pytest.raises(OutputError, match="unknown kind of block"):
        typeset("sheets", pack_data(ENGLISH, heading_of(bad), [[sheet]], ""), "2026-01-05")


def test_a_missing_name_stops_the_page_template(two):
    pack = pack_data(ENGLISH, heading_of(two), [make_sheets(two, ["inspection"])], "")
    del pack["stamp"]
    with pytest.raises(OutputError, match="stamp"):
        typeset("sheets", pack, "2026-01-05")


def test_the_date_of_the_job_is_the_date_of_the_file(two):
    assert b"20260302" in render_pdf(two, ["inspection"])
    odd = replace(two, job=replace(two.job, info=replace(two.job.info, date="soon")))
    assert b"19700101" in render_pdf(odd, ["inspection"])


def test_nothing_is_made_before_it_is_asked_for(two):
    assert list(makers(two)) == list(sheet_names(two))


SCRIPT = """
import sys, hashlib
sys.path[:0] = sys.argv[1:]
from made_girder import made_schedule
from made_schedules import sample
from girderply.papers import render_pdf, render_svg
s = made_schedule(3, failed=True)
h = hashlib.sha256(render_pdf(s, ['know', 'stage-2', 'inspection', 'engineer']))
for name in ("elevation", "stage-2"):
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


def test_frame_and_room_agree(two):
    (sheet,) = make_sheets(two, ["inspection"])
    for size, (width, height) in PAPER.items():
        for free in (room(size), first_room(ENGLISH, heading_of(two), replace(sheet, size=size))):
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
        for first in (True, False):
            assert faults(furniture(ENGLISH, heading_of(schedule), sheet, first)) == ([], [], []), (
                sheet.name
            )
        for drawing in drawings(sheet):
            assert faults(drawing) == ([], [], []), (sheet.name, drawing.name)
            assert drawing.height <= free.height, (sheet.name, drawing.name)
            assert texts_on_signs(drawing) == [], (sheet.name, drawing.name)
            if sheet.name == "elevation":
                seen.update(s.tag for s in drawing.shapes if s.tag.startswith(SIGNS))
        if sheet.name == "elevation":
            names = {t.text for drawing in drawings(sheet) for t in drawing.texts()}
            assert {m.id for m in schedule.girder.members} <= names
    f = schedule.fasteners
    assert seen == Counter(f"{k}:{i}" for k, i in zip(f.kind, f.id, strict=True))


def test_what_a_box_on_top_says_is_not_said_again_in_the_table():
    schedule = sample("two-ply-howe")
    text = " ".join(" ".join(texts_of(render_document(schedule, "delivery"))).split())
    warned = [f for f in schedule.findings if f.severity == "warning"]
    assert len(warned) == 2
    assert [text.count(english(f.message)[1:28]) for f in warned] == [1, 1]
