"""No sheet says a word that is not in the table of messages; a second language is whole."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pseudo_language
import pypdfium2
import pytest
from lettering_faults import outside_texts, overlapping_texts, small_texts, texts_on_signs
from pdf_text import page_runs, shrunk
from pypdf import PdfReader

import girderply
from girderply.drawing.page import boxes_overlap
from girderply.jobfile.reader import read_job
from girderply.papers.page.furniture import furniture
from girderply.papers.page.heading import heading_of
from girderply.papers.page.paper import room
from girderply.papers.page.typeset import drawings
from girderply.papers.sheets import make_sheets, on_demand, render_pdf, sheet_names
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule
from girderply.wording import Voice, english
from girderply.wording.messages import area

SAMPLES = sorted((Path(__file__).parents[3] / "sample_jobs").glob("*.toml"))
# Words that are the same in every language: signs, units and names of documents.
EVERYWHERE = {"kN", "kNm", "mm", "lbf", "psi", "DIN", "ISO", "NDS", "EN", "max", "min"}
# Signs of formulas, names of yield modes, and the command that works a check out.
EVERYWHERE |= {"mod", "sqrt", "IIIm", "IIIs", "girderply", "explain", "JOB", "CHECK"}
DATA = Path(girderply.__file__).parent / "wording" / "data"
WORD = re.compile(r"[^\W\d_]{3,}")
KEYS = {"job", "girder", "loads", "basis", "fastening", "assembly"}  # of a job file
STAMP = 15.0  # em size in mm above which text is the stamp, which lies over the rest


def built(sample: Path) -> Schedule:
    return build_schedule(read_job(sample))


def catalogue_words(schedule: Schedule) -> set[str]:
    """Words that are data, whatever the language: names of rules, nails, checks, clauses."""
    found = [schedule.rules.name, schedule.rules.title, schedule.rules.source, *schedule.nails]
    for finding in schedule.findings:
        found += [english(finding.where), finding.clause]
    found += [text for check in schedule.checks for text in (check.id, check.clause)]
    found += [one.key for one in schedule.assumed]  # keys of the job file, to be typed as they are
    data = " ".join(text for text in found if isinstance(text, str))
    whole = schedule.content_hash  # printed in short
    return set(re.findall(r"[^\W\d_]{3,}", f"{data} {whole} {whole[:12]}"))


def names_of(schedule: Schedule) -> list[str]:
    return [*sheet_names(schedule), *list(on_demand(schedule))[:1]]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda p: p.stem)
def test_every_word_of_a_sheet_comes_from_the_table(sample):
    schedule = built(sample)
    known = EVERYWHERE | pseudo_language.data_words(sample) | catalogue_words(schedule)
    decided = [words for f in schedule.findings for words in (f.where, f.message, f.tip)]
    decided += [words for c in schedule.checks for words in (c.subject, c.mode, *c.steps)]
    decided += [words for s in schedule.stages for words in (s.title, s.hold_point, *s.action)]
    decided += [words for m in schedule.brackets for words in (m.flush_edge, m.note)]
    decided += [line.note for line in schedule.order]
    with pseudo_language.spoken() as voice:
        said = [voice.told(words) for words in decided]
    assert said
    assert {t: w for t in said if (w := pseudo_language.unspoken(t, known))} == {}


def test_the_made_up_language_itself_finds_a_word_that_is_written_into_the_code():
    with pseudo_language.spoken() as voice:
        assert pseudo_language.unspoken("Tick-off sheet", set()) == ["Tick", "off", "sheet"]
        said = voice.phrase("sheet.before", what="BC1")
        assert pseudo_language.unspoken(said, {"BC1"}) == []
        said = voice.phrase("elevation.title")
        assert said != "Overall elevation"
        assert pseudo_language.unspoken(said, set()) == []


def test_a_check_sheet_in_french():
    schedule = built(next(p for p in SAMPLES if p.stem == "two-ply-howe"))
    french = build_french(schedule)
    text = "".join(
        p.extract_text() for p in PdfReader(BytesIO(render_pdf(french, ["inspection"]))).pages
    )
    assert "Fiche de contrôle" in text
    assert "Check sheet" not in text


def build_french(schedule: Schedule) -> Schedule:
    from dataclasses import replace  # noqa: PLC0415

    info = replace(schedule.job.info, language="fr")
    return replace(schedule, job=replace(schedule.job, info=info))


# Three plies with brackets on both faces; feet and inches; every flag at once and bolts.
IN_FRENCH = ["three-ply-pratt", "two-ply-imperial", "refused-overloaded"]


@pytest.mark.parametrize("stem", IN_FRENCH)
def test_drawings_in_french_are_clean(stem):
    schedule = build_french(built(next(p for p in SAMPLES if p.stem == stem)))
    names = [n for n in sheet_names(schedule) if n != "engineer"]
    for sheet in make_sheets(schedule, [*names, *list(on_demand(schedule))[:4]]):
        voice = Voice("fr")
        pages, free = (
            [furniture(voice, heading_of(schedule), sheet, first) for first in (True, False)],
            room(sheet.size),
        )
        for drawing in [*pages, *drawings(sheet), *sheet.plots]:
            where = (sheet.name, drawing.name)
            assert overlapping_texts(drawing) == [], where
            assert outside_texts(drawing) == [], where
            assert small_texts(drawing) == [], where
            assert texts_on_signs(drawing) == [], where
        for drawing in drawings(sheet):
            assert drawing.width <= free.width + 0.01, (sheet.name, drawing.name)
            assert drawing.height <= free.height, (sheet.name, drawing.name)


def words_of(language: str) -> set[str]:
    """Every word of three letters or more that a language's messages hold, in small letters."""
    texts = [
        text
        for file in (DATA / language).glob("*.json")
        for entry in area(language, file.stem).values()
        for text in ([entry] if isinstance(entry, str) else entry.values())
    ]
    return {w.lower() for t in texts for w in WORD.findall(re.sub(r"\{[^}]*\}", " ", t))}


def left_in_english(pdf: bytes, sample: Path, schedule: Schedule) -> list[tuple[str, str]]:
    """Words that only the English messages have and the job does not, with their lines."""
    ids = [c.id for c in schedule.checks]
    ids += [w for f in schedule.findings if (w := english(f.where)).split(".")[0] not in KEYS]
    names = WORD.findall(" ".join([*schedule.nails, *ids, *(a.key for a in schedule.assumed)]))
    data = {w.lower() for w in (*pseudo_language.data_words(sample), *names)}
    wrong = words_of("en") - words_of("fr") - data
    pages = [p.get_textpage().get_text_range() for p in pypdfium2.PdfDocument(pdf)]
    lines = [line for page in pages for line in page.splitlines()]
    return [(w, line) for line in lines for w in WORD.findall(line) if w.lower() in wrong]


@pytest.mark.parametrize("stem", IN_FRENCH)
def test_pages_in_french_are_french_without_overlap_and_inside_the_frame(stem):
    """Measured in the PDF itself, tables and captions too; mm from the lower left."""
    sample = next(p for p in SAMPLES if p.stem == stem)
    schedule = build_french(built(sample))
    pdf = render_pdf(schedule)
    assert left_in_english(pdf, sample, schedule) == []
    for number, ((width, height), runs) in enumerate(page_runs(pdf), 1):
        framed = [shrunk(r) for r in runs if r.glyphs > 2]  # all but the grid's letters
        assert all(20.0 <= x <= width - 10.0 and 10.0 <= y <= height - 10.0
                   for box in framed for x, y in box), number  # fmt: skip
        boxes = sorted((shrunk(r) for r in runs if r.size < STAMP), key=_left)
        for i, a in enumerate(boxes):
            right = max(x for x, _ in a)
            for b in boxes[i + 1 :]:
                if _left(b) >= right:
                    break
                assert not boxes_overlap(a, b), (number, a, b)


def _left(box):
    return min(x for x, _ in box)


def test_the_language_changes_no_file_for_programs():
    from girderply.exchange.pack_files import data_files  # noqa: PLC0415

    schedule = built(SAMPLES[0])
    assert data_files(build_french(schedule)) == data_files(schedule)
    english = data_files(schedule)
    assert data_files(schedule)["schedule.json"] == english["schedule.json"]
    assert built(SAMPLES[0]).content_hash == schedule.content_hash
