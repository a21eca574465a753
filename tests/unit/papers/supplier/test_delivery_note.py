"""The delivery note, read back from the PDF; sums by hand or from the fasteners themselves."""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace

import pypdfium2
import pytest
import zxingcpp
from hand_girder import hand_schedule
from pdf_text import page_runs, shrunk
from supplier import FORMULA, hostile, reworded, sample

from girderply.cli.delivery import delivery_files
from girderply.drawing.page import boxes_overlap
from girderply.errors import Finding, Severity
from girderply.exchange.pack_files import pack_name
from girderply.papers.page.flags import flags
from girderply.papers.supplier.delivery_note import (
    MOST_ROWS,
    delivery_hash,
    delivery_heading,
    delivery_pdf,
    delivery_sheet,
)
from girderply.schedule.assumed import Assumption
from girderply.schedule.total import DeliveryError
from girderply.wording import ENGLISH


def text(pdf: bytes) -> str:
    with pypdfium2.PdfDocument(pdf) as document:
        found = " ".join(page.get_textpage().get_text_bounded() for page in document)
    return re.sub(r"\s+", " ", found)


def table(sheet, head: str):
    """Rows, as text, of the table that has this column."""
    for block in sheet.blocks:
        if block["kind"] == "table" and head in block["heads"]:
            return [[c.get("text", c["kind"]) for c in row] for row in block["rows"]]
    raise AssertionError(f"no table with {head}")


def test_what_is_in_it_and_what_it_weighs():
    """Two pieces of 3 x 20 kg and five of the same: 120 kg and 300 kg, 7 bundles, 21 plies."""
    many = reworded(hand_schedule(), mark="G8", quantity=5)
    sheet = delivery_sheet([hand_schedule(), many])
    rows = table(sheet, "All bundles")
    assert [r[-1].replace("\u00a0", " ") for r in rows] == ["120 kg", "300 kg"]
    assert [(r[0], r[2]) for r in rows] == [("R-12 G7", "2"), ("R-12 G8", "5")]
    facts = dict(next(b for b in sheet.blocks if b["kind"] == "facts")["pairs"])
    assert (facts["Bundles"], facts["Plies in all"]) == ("7", "21")
    assert facts["Mass of all plies"].replace("\u00a0", " ") == "420 kg"
    assert facts["Mass of fasteners needed"].replace("\u00a0", " ") == "3.5 kg"


def test_each_bundle_names_its_sheets_by_folder_and_hash():
    made = [sample("two-ply-howe"), sample("truncated-nodes")]
    packs = [pack_name(s) for s in made]
    rows = table(delivery_sheet(made, packs), "Sheet pack")
    assert [(r[0], r[1], r[3], r[4]) for r in rows] == [
        ("G1", "1 of 2", packs[0], made[0].content_hash[:12]),
        ("G1", "2 of 2", packs[0], made[0].content_hash[:12]),
        (made[1].girder.mark, "1 of 1", packs[1], made[1].content_hash[:12]),
    ]
    assert [r[5:] for r in rows] == [["box", "box"]] * 3


def test_many_pieces_share_a_row():
    rows = table(delivery_sheet([reworded(hand_schedule(), quantity=MOST_ROWS + 1)]), "Arrived")
    assert [r[1] for r in rows] == ["1 to 25 of 25"]


def test_order_is_over_all_girders():
    made = [sample("two-ply-howe"), sample("truncated-nodes")]
    row = next(r for r in table(delivery_sheet(made), "Needed") if r[1] == "4.0 x 100")
    nails = sum(s.girder.quantity * int((s.fasteners.spec == "4.0 x 100").sum()) for s in made)
    assert int(re.sub(r"\D", "", row[2])) == nails


def test_a_page_of_a4_with_nothing_over_another():
    wide = hostile(reworded(sample("refused-shallow"), quantity=2))
    wide = reworded(wide, mark="W" * 40, number="M" * 60, revision="W" * 20)
    made = [sample("two-ply-howe"), sample("four-ply-parallel"), wide]
    pdf = delivery_pdf(made, [pack_name(s) for s in made])
    for size, runs in page_runs(pdf):
        assert size == pytest.approx((210, 297), abs=0.05)
        boxes = [shrunk(r) for r in runs if r.size < 10.0]  # the hollow stamp lies across
        assert all(15 <= x <= 205 for box in boxes for x, _ in box), "inside the outer border"
        clashes = [
            (a, b) for i, a in enumerate(boxes) for b in boxes[i + 1 :] if boxes_overlap(a, b)
        ]
        assert clashes == []


def test_the_cautions_and_what_is_refused_stand_on_it():
    found = text(delivery_pdf([sample("two-ply-howe"), sample("refused-shallow")]))
    assert "Do not lift the girder or hang anything on it until every stage is done" in found
    assert "Demo: the values of this job are invented" in found
    refused = sample("refused-shallow")
    assert f"{refused.job.info.number} {refused.girder.mark}: see the cover" in found
    assert "NOT FOR ASSEMBLY" in found
    assert "NOT FOR ASSEMBLY" not in text(delivery_pdf([sample("two-ply-howe")]))


def test_pounds_and_feet_only():
    found = text(delivery_pdf([sample("two-ply-imperial")]))
    assert " lb" in found
    # The bar that proves the print is 100 mm long in every job.
    assert not re.findall(r"\bkg\b|(?<!100 )\bmm\b", found)


def test_the_end_of_the_register_is_on_the_note_as_text_and_code():
    """An independent reader of the code says what is printed beside it."""
    head = hashlib.sha256(b"line").hexdigest()
    pdf = delivery_pdf([sample("two-ply-howe")], head=head)
    assert head in text(pdf)
    with pypdfium2.PdfDocument(pdf) as document:
        pictures = [page.render(scale=4).to_pil() for page in document]
    assert [code.text for p in pictures for code in zxingcpp.read_barcodes(p)] == [head]


def test_hash_of_a_delivery():
    """One girder: its own hash; several: the sha256 of their hashes, a line each."""
    one, two = sample("two-ply-howe"), sample("truncated-nodes")
    assert delivery_hash([one]) == one.content_hash
    lines = f"{one.content_hash}\n{two.content_hash}".encode()
    assert delivery_hash([one, two]) == hashlib.sha256(lines).hexdigest()


def test_job_text_is_text():
    found = text(delivery_pdf([hostile(sample("two-ply-howe"))]))
    assert "#strong[x] $a$ <b>&amp;</b>" in found, "the client"
    assert FORMULA in found


def test_files_of_a_delivery_by_name():
    made = [sample("two-ply-howe"), sample("refused-shallow")]
    files = delivery_files(made)
    assert list(files) == [
        *("delivery-note.pdf", "bundle-labels.pdf", "delivery.xlsx"),
        *(f"{pack_name(s)}.dxf" for s in made),
    ]
    starts = {".pdf": b"%PDF-", "xlsx": b"PK", ".dxf": b"  0\nSECTION"}
    assert all(data.startswith(starts[name[-4:]]) for name, data in files.items())


def test_names_that_would_fall_together():
    one = sample("refused-shallow")
    with pytest.raises(DeliveryError, match="in the delivery twice"):
        delivery_files([one, one])
    marks = [reworded(one, mark=mark) for mark in ("P/1", "p 1")]
    names = [name.casefold() for name in delivery_files(marks)]
    assert len(set(names)) == len(names)
    same = [reworded(one, mark=mark) for mark in ("P1", "p1")]
    with pytest.raises(DeliveryError, match="in the delivery twice"):
        delivery_files(same)


@pytest.mark.parametrize("warned", [0, 1])
@pytest.mark.parametrize(
    ("change", "flag"),
    [
        ({"assumed": (Assumption("girder.plies", "plies", "2", "girder", "none", True),)},
         "ASSUMED VALUES"),
        ({"findings": (Finding("bad", Severity.ERROR, "L1", "fails"),)}, "NOT FOR ASSEMBLY"),
    ],
)  # fmt: skip
def test_a_delivery_warns_of_whatever_one_of_its_girders_does(warned, change, flag):
    """In whichever place of the note that girder stands."""
    good = replace(hand_schedule(), checks=(), findings=())
    made = [reworded(good, mark=f"G{n}", quantity=1) for n in (7, 8)]
    assert flag not in flags(ENGLISH, delivery_heading(ENGLISH, made))
    made[warned] = replace(made[warned], **change)
    assert flag in flags(ENGLISH, delivery_heading(ENGLISH, made))
