"""Bundle labels: measured and decoded from the PDF itself, by libraries that did not make it."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from hand_girder import hand_schedule
from pdf_text import embedded_fonts, page_runs, shrunk
from supplier import FORMULA, MARKUP, hostile, reworded, sample

from girderply.drawing.lettering import text_width
from girderply.drawing.page import boxes_overlap
from girderply.papers.supplier.delivery_note import delivery_pdf, delivery_sheet
from girderply.papers.supplier.labels import _facts, labels_pdf, mark_lines, qr_text
from girderply.schedule.contract import content_hash
from girderply.schedule.total import DeliveryError
from girderply.units.show import Printed
from girderply.wording import ENGLISH

CAPITALS = 1493 / 2048  # of the shipped font, in em
DOTS_PER_MM = 8.0


def codes(pdf: bytes) -> list[tuple[int, float, float, str]]:
    """Page, middle (mm from the upper left) and text of every QR code that can be read."""
    found = []
    with pypdfium2.PdfDocument(pdf) as document:
        for number, page in enumerate(document):
            picture = page.render(scale=DOTS_PER_MM * 25.4 / 72, grayscale=True).to_numpy()
            for code in zxingcpp.read_barcodes(
                np.ascontiguousarray(picture.reshape(picture.shape[:2]))
            ):
                p = code.position
                x = (p.top_left.x + p.bottom_right.x) / 2 / DOTS_PER_MM
                y = (p.top_left.y + p.bottom_right.y) / 2 / DOTS_PER_MM
                found.append((number, x, y, code.text))
    return sorted(found)


def words(pdf: bytes, number: int, quarter: int) -> str:
    """Text of one quarter of a page (0 upper left, 1 upper right, 2, 3 below)."""
    with pypdfium2.PdfDocument(pdf) as document:
        page = document[number]
        width, height = page.get_size()
        left, top = (quarter % 2) * width / 2, height - (quarter // 2) * height / 2
        text = page.get_textpage().get_text_bounded(left, top - height / 2, left + width / 2, top)
    return " ".join(text.split())


def test_a_label_per_piece_four_on_a_page_of_a4():
    """A4 is 210 x 297 mm; 2 + 3 pieces are five labels on two pages."""
    one, two = (
        reworded(hand_schedule(), quantity=2),
        reworded(hand_schedule(), mark="G8", quantity=3),
    )
    pdf = labels_pdf([one, two])
    assert [size for size, _ in page_runs(pdf)] == [pytest.approx((210, 297), abs=0.05)] * 2
    places = [words(pdf, n, q) for n, q in ((0, 0), (0, 1), (0, 2), (0, 3), (1, 0))]
    assert ["1 of 2" in places[0], "2 of 2" in places[1]] == [True, True]
    assert [f"{k} of 3" in places[k + 1] for k in (1, 2, 3)] == [True] * 3
    assert words(pdf, 1, 1) == words(pdf, 1, 2) == words(pdf, 1, 3) == ""


def test_what_a_label_says():
    """The hand-made girder: 3 plies of 38 mm, 20 kg each, 60.5 kg fastened."""
    text = words(labels_pdf([hand_schedule()]), 0, 0)
    for part in ("G7", "3 plies", "38 mm C24, 20.0 kg", "60.0 kg", "60.5 kg", "R-12", "2025-03-01"):
        assert part in text.replace("\u00a0", " ")
    assert "NOT FOR ASSEMBLY" in text
    good = words(labels_pdf([sample("two-ply-howe")]), 0, 0)
    assert "NOT FOR ASSEMBLY" not in good
    assert sample("two-ply-howe").content_hash[:12] in good


def test_pounds_and_inches_only():
    text = words(labels_pdf([sample("two-ply-imperial")]), 0, 0)
    assert "2x8" in text
    assert "2x4" in text
    assert "lb" in text
    assert not {"mm", "kg"} & set(text.replace("\u00a0", " ").split())


def test_every_code_is_read_from_the_page_in_its_own_quarter():
    made = [sample("two-ply-howe"), sample("truncated-nodes"), hostile(sample("refused-shallow"))]
    found = codes(labels_pdf(made))
    expected = [qr_text(ENGLISH, made[k], piece) for k, piece in ((0, 1), (0, 2), (1, 1), (2, 1))]
    quarters = {(n, x > 105, y > 148.5): text for n, x, y, text in found}
    assert [quarters[0, right, low] for low in (False, True) for right in (False, True)] == expected


def test_a_code_is_text_that_names_job_mark_bundle_revision_and_the_whole_hash():
    """Lines of words, no address that only a tool of ours could open; no word is a line more."""
    schedule = hostile(sample("two-ply-howe"))
    schedule = reworded(schedule, number="RH\nRevision: Z", quantity=2)
    assert qr_text(ENGLISH, schedule, 2).split("\n") == [
        "Job: RH Revision: Z",
        f"Girder: {MARKUP}",
        "Bundle: 2 of 2",
        "Revision: -1+2",
        f"Content hash: {schedule.content_hash}",
    ]
    assert "Bundle" not in qr_text(ENGLISH, schedule), "a sheet is of all of them"


def test_however_much_is_said_all_of_it_stands_on_the_label():
    """Texts of the longest that a job may hold [jobfile: 200 letters; a number 60, a mark 40]."""
    long = " ".join(f"word{k:03}" for k in range(25))[:200]
    names = {"number": "M" * 60, "title": long, "site": "N" * 200}
    wide = reworded(sample("two-ply-howe"), mark="W" * 40, **names)
    pdf = labels_pdf([wide])
    text = words(pdf, 0, 0).replace(" ", "")
    for part in (long, "M" * 60, "W" * 40, "N" * 200, "girder1of2,madeof2plies"):
        assert part.replace(" ", "") in text
    assert "\u2026" not in text
    (_, runs), *_ = page_runs(pdf)
    boxes = [shrunk(run) for run in runs]
    assert [pair for pair in combinations(boxes, 2) if boxes_overlap(*pair)] == []


def test_the_mark_is_tall_and_nothing_overlaps_or_crosses_a_cut():
    """15 mm capitals: a 200th of 3 m (common practice, no source); text 5 mm inside the A6."""
    made = [sample("two-ply-howe"), sample("four-ply-parallel"), hostile(sample("refused-shallow"))]
    (size, runs), *_ = page_runs(labels_pdf(made))
    assert sum(run.size * CAPITALS >= 15.0 for run in runs) == 3, "the three marks that are short"
    for run in runs:
        xs, ys = zip(*run.corners, strict=True)
        assert math.floor(min(xs) / 105) == math.floor(max(xs) / 105)
        assert math.floor(min(ys) / 148.5) == math.floor(max(ys) / 148.5)
        assert all(4.9 <= v <= size[0] - 4.9 and abs(v - 105) >= 5 for v in xs)
    boxes = [shrunk(run) for run in runs]
    assert [pair for pair in combinations(boxes, 2) if boxes_overlap(*pair)] == []


def test_job_text_is_text():
    text = words(labels_pdf([hostile(sample("two-ply-howe"))]), 0, 0)
    assert "#strong[x]" in text
    assert "-1+2" in text
    assert FORMULA[:12] in text
    assert "pwned" not in text


def test_fonts_are_in_the_file():
    assert embedded_fonts(labels_pdf([hand_schedule()])) <= {
        "DejaVuSansCondensed", "DejaVuSansCondensed-Bold",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("mark", "lines"),
    [
        ("G1", ["G1"]),
        ("G1-US", ["G1-US"]),
        ("HALL-NORTH-WEST/PORCH 12b", ["HALL-NORTH-", "WEST/", "PORCH 12b"]),
        ("X" * 14, ["X" * 7, "X" * 7]),
    ],
)
def test_long_marks_are_broken_behind_signs(mark, lines):
    assert mark_lines(mark)[0] == lines


@pytest.mark.parametrize(
    "mark", ["W" * 40, "A B C D E F G H I J K", "-", "mmmm/iiii/mmmm", "\u6881"]
)
def test_a_mark_is_never_cut_and_always_fits(mark):
    lines, height = mark_lines(mark)
    assert "".join(lines).replace(" ", "") == mark.replace(" ", "")
    assert max(text_width(line, height, bold=True) for line in lines) <= 89.001
    assert len(lines) * height + (len(lines) - 1) * 3.2 <= 32.0, "the field of the template"


def test_a_delivery_of_nothing():
    with pytest.raises(DeliveryError, match="at least one girder"):
        labels_pdf([])


def test_who_gets_it_and_the_number_of_the_delivery_stand_where_the_driver_looks():
    """On the label, on the note and on the girder's own cover; the content stays the same."""
    own = sample("two-ply-howe")
    told = reworded(own, consignee="Yard B, gate 4", delivery="DN-0231")
    for pdf in (labels_pdf([told]), delivery_pdf([told])):
        with pypdfium2.PdfDocument(pdf) as document:
            said = " ".join(page.get_textpage().get_text_bounded() for page in document)
        assert "Yard B, gate 4" in said
        assert "DN-0231" in said
    assert "Deliver to" not in words(labels_pdf([own]), 0, 0), "what is not said has no line"
    assert content_hash(told) == content_hash(own)


def test_quantities_on_labels_note_and_cover_agree():
    """Two girders of two plies: two labels, two bundles, four plies, masses of one and of all."""
    own = sample("two-ply-howe")
    assert (own.girder.quantity, own.girder.plies) == (2, 2)
    rows = next(b for b in delivery_sheet([own]).blocks if b["kind"] == "facts")["pairs"]
    said = {name: value for name, value in rows}
    assert (said["Bundles"], said["Plies in all"]) == ("2", "4")
    one = Printed("metric", ENGLISH).mass(own.masses.plies)
    assert said["Heaviest bundle"] == one
    assert said["Mass of all plies"] == Printed("metric", ENGLISH).mass(2 * own.masses.plies)
    assert one in " ".join(v for _, v in _facts(ENGLISH, own))
    assert len(codes(labels_pdf([own]))) == 2
