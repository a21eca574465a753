"""Documents as PDF, read back: pages, fonts, bookmarks, tags, numbers, the stamp."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from io import BytesIO

import pikepdf
import pytest
from archive_check import faults_of_archive, faults_of_reading, tags_of
from made_girder import made_schedule
from pdf_text import embedded_fonts, page_runs, shrunk
from pypdf import PdfReader

from girderply.drawing.lettering import CAP_HEIGHT
from girderply.drawing.page import boxes_overlap, inside
from girderply.jobfile.job import UnitSystem
from girderply.papers import DOCUMENTS, render_document, render_pdf
from girderply.papers.page.paper import PAPER
from girderply.schedule import cautions
from girderply.wording import english

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
    return render_pdf(bad, ["know", "stage-2", "inspection"])


@cache
def texts_of(pdf: bytes) -> list[str]:
    return [" ".join(p.extract_text().split()) for p in PdfReader(BytesIO(pdf)).pages]


def test_pages_on_paper_have_no_overlap_and_nothing_small(pdf, bad_pdf):
    """Measured in the PDF itself, tables included; the stamp lies over the rest on purpose."""
    chosen = page_runs(bad_pdf) + page_runs(pdf)[:5] + page_runs(pdf)[-3:]
    for _, runs in chosen:
        capitals = [r.size * CAP_HEIGHT for r in runs]
        small = [c for c in capitals if c < 2.5 - 1e-3]  # subscripts: the next size of the series
        assert small == pytest.approx([1.8] * len(small), abs=0.02)
        boxes = [shrunk(r) for r in runs if r.size < STAMP]
        boxes.sort(key=lambda box: min(p[0] for p in box))
        for i, a in enumerate(boxes):
            right = max(x for x, _ in a)
            for b in boxes[i + 1 :]:
                if min(x for x, _ in b) >= right:
                    break
                assert not boxes_overlap(a, b)


def test_pages_of_a_document_are_of_one_size_and_hold_their_text(two):
    """A3 lies, A4 stands; asked for, any size; an imperial job has tabloid and letter."""
    imperial = made_schedule(2, UnitSystem.IMPERIAL)
    cases = [(two, d, None, "A3" if d.drawn else "A4") for d in DOCUMENTS]
    cases += [(imperial, d, None, "tabloid" if d.drawn else "letter") for d in DOCUMENTS[:2]]
    cases += [(two, DOCUMENTS[0], "A4", "A4"), (two, DOCUMENTS[1], "tabloid", "tabloid")]
    info = replace(two.job.info, paper="A4")
    one_size = replace(two, job=replace(two.job, info=info))
    cases += [(one_size, DOCUMENTS[0], None, "A4"), (one_size, DOCUMENTS[0], "A3", "A3")]
    for schedule, document, asked, wanted in cases:
        for size, runs in page_runs(render_document(schedule, document.name, asked)):
            assert size == pytest.approx(PAPER[wanted], abs=0.1), (document.name, asked)
            assert all(inside(r.corners, *size) for r in runs)


def test_only_the_shipped_font_is_embedded(pdf, bad_pdf):
    for file in (pdf, bad_pdf):
        assert embedded_fonts(file) == {"DejaVuSansCondensed", "DejaVuSansCondensed-Bold"}


def test_every_page_carries_identity_hash_number_and_cautions(two):
    """In full on the first page of a document, in short on the others."""
    for document in DOCUMENTS:
        pages = texts_of(render_document(two, document.name))
        for i, text in enumerate(pages, 1):
            said = cautions.scope() if i == 1 else [cautions.short()]
            for sentence in said:
                assert english(sentence).split(".")[0][:24] in text
            assert "RH-204 \u00b7 G1" in text
            assert two.content_hash[:12] in text
            assert "DEMO DATA" in text
            assert f"{i} / {len(pages)}" in text
            assert "NOT FOR ASSEMBLY" not in text
            assert "PLATES ASSUMED" not in text


def test_documents_joined_keep_their_own_numbers(two, pdf):
    """Each begins with page 1 of as many as it has alone."""
    counts = [len(PdfReader(BytesIO(render_document(two, d.name))).pages) for d in DOCUMENTS]
    pages = texts_of(pdf)
    assert len(pages) == sum(counts)
    wanted = [f"{i} / {n}" for n in counts for i in range(1, n + 1)]
    assert all(number in text for number, text in zip(wanted, pages, strict=True))


def test_a_document_has_bookmarks_and_says_what_is_in_it(two):
    reader = PdfReader(BytesIO(render_document(two, "yard")))
    titles = [str(mark.title) for mark in reader.outline if not isinstance(mark, list)]
    assert len(titles) == 1 + len(two.stages)
    first = " ".join(reader.pages[0].extract_text().split())
    for number, title in enumerate(titles, 1):
        assert f"{title.partition(':')[0]} ({number})" in first


@pytest.mark.parametrize("name", ["yard", "inspection", "delivery", "engineer"])
def test_documents_are_archives_with_tags(two, name):
    """The structure that [ISO 19005-2, level A] asks for (clauses from memory), by a PDF library.

    Of the yard hand, the inspector and the supplier [ISO 14289-1] too: a title to be shown, and no
    table without heads (7.5, from memory).

    It is no validator: none that runs by itself is in the package registries.
    """
    with pikepdf.open(BytesIO(render_document(two, name))) as document:
        assert faults_of_archive(document) == []
        elements = tags_of(document)
        meta = document.open_metadata()
        if name != "engineer":  # typst 0.15 takes tables that go over its pages for wrong
            assert meta.get("pdfuaid:part") == "1"
            assert bool(document.Root.ViewerPreferences.DisplayDocTitle)
            assert [f for e in elements if e.S == "/Table" for f in faults_of_reading(e)] == []
    kinds = {str(e.S) for e in elements}
    assert {"/Table", "/TR", "/TH", "/TD", "/H1"} <= kinds


def test_what_an_archive_must_not_have_is_found(two):
    """Each thing that is taken away or put in is a fault of its own."""
    made = render_document(two, "yard")

    def without(change):
        with pikepdf.open(BytesIO(made)) as document:
            change(document)
            return faults_of_archive(document)

    def script(document):
        document.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="1")

    def bare(document):
        for font in document.objects:
            if isinstance(font, pikepdf.Dictionary) and font.get("/Type") == "/FontDescriptor":
                for key in ("/FontFile", "/FontFile2", "/FontFile3"):
                    if key in font:
                        del font[key]

    assert without(lambda d: d.Root.__delitem__("/OutputIntents")) == ["no output intent"]
    assert without(lambda d: d.Root.__delitem__("/Lang")) == ["no language"]
    assert without(script) == ["an action or a script"]
    assert set(without(bare)) == {"a font that is not inside"}
    untold = without(lambda d: [t.__delitem__("/Alt") for t in tags_of(d) if t.S == "/Figure"])
    assert set(untold) == {"/Figure without a text"}
    headless = without(
        lambda d: [t.__setitem__("/S", pikepdf.Name.TD) for t in tags_of(d) if t.S == "/TH"]
    )
    assert "a table without heads" in headless


def test_a_failed_girder_is_stamped_on_every_page_and_says_why_first(bad_pdf, bad):
    pages = texts_of(bad_pdf)
    for _, runs in page_runs(bad_pdf):
        assert [r for r in runs if r.size > STAMP], "large letters across the page"
    assert all("NOT FOR ASSEMBLY" in t for t in pages)
    flag = "ASSUMED VALUES" if bad.unconfirmed else "PLATES ASSUMED"
    assert all(flag in t for t in pages)
    first = pages[0]
    error = next(f for f in bad.findings if f.severity == "error")
    assert english(error.message)[:40] in first
    assert first.index("ends 12 mm short") < first.index("Order of the stages")


def test_words_inside_drawings_can_be_selected(pdf):
    text = " ".join(texts_of(pdf))
    assert "hook end left" in text
    assert "left end" in text
