"""Codes and sizes that other programs expect in DXF, XLSX, QR codes and paper.

Sources: the DXF reference's header variables and group codes; ECMA-376-1, 18.3.1 and 18.18;
ISO/IEC 18004 (quiet zone, finder pattern); ISO 216 (A4, A6). Every value from memory.
"""

from __future__ import annotations

import io
import re
import zipfile

import pytest
import segno
from dxf_tags import entities, header, tags
from hand_girder import hand_schedule
from pdf_text import page_runs

from girderply.exchange.dxf_out import dxf_bytes
from girderply.exchange.xlsx_out import MOST_CHARACTERS, MOST_ROWS, plain, xlsx_bytes
from girderply.jobfile.job import UnitSystem
from girderply.papers.supplier.labels import labels_pdf, qr_svg


@pytest.mark.parametrize(
    ("units", "expected"),
    [
        (UnitSystem.METRIC, {"$INSUNITS": "4", "$MEASUREMENT": "1", "$LUNITS": "2"}),
        (UnitSystem.IMPERIAL, {"$INSUNITS": "1", "$MEASUREMENT": "0", "$LUNITS": "4"}),
    ],
)
def test_dxf_unit_codes(units, expected):
    """$INSUNITS: 1 inches, 4 mm. $MEASUREMENT: 0 English, 1 metric. $LUNITS: 2 decimal, 4 feet."""
    found = tags(dxf_bytes(hand_schedule(units=units)))
    assert {name: header(found, name).strip() for name in expected} == expected
    assert header(found, "$ACADVER") == "AC1024", "release 2010; UTF-8 since AC1021"


def test_dxf_group_codes_of_inserts_and_attributes():
    """2 block, 8 layer, 66 attributes follow, 10/20 place; ATTRIB 1 value, 2 tag, 70 hidden."""
    found = list(entities(tags(dxf_bytes(hand_schedule()))))
    at = next(i for i, (kind, c) in enumerate(found) if kind == "INSERT" and "BOLT" in c[2][0])
    insert, rest = found[at][1], found[at + 1 :]
    assert (insert[8], insert[66]) == (["STAGE-02-BOLTS"], ["1"])
    assert (float(insert[10][0]), float(insert[20][0])) == pytest.approx((500.0, 333.33333))
    end = next(i for i, (kind, _) in enumerate(rest) if kind == "SEQEND")
    values = {c[2][0]: c[1][0] for kind, c in rest[:end] if kind == "ATTRIB"}
    assert (values["ID"], values["PLIES"], values["STAGE"]) == ("W1-B1", "1-3", "2")
    assert all(int(c[70][0]) & 1 for kind, c in rest[:end] if kind == "ATTRIB")


def test_xlsx_cells_and_print_setup():
    """Strings are t="s" (shared), numbers carry no type; paperSize 9 is A4; 2^20 rows."""
    with zipfile.ZipFile(io.BytesIO(xlsx_bytes([hand_schedule()]))) as archive:
        sheet = archive.read("xl/worksheets/sheet2.xml").decode()
        book = archive.read("xl/workbook.xml").decode()
    cells = dict(re.findall(r'<c r="([A-Z]+2)"([^>]*)>', sheet))
    assert 't="s"' in cells["D2"]
    assert "t=" not in cells["I2"]
    assert '<pageSetup paperSize="9"' in sheet
    assert 'orientation="landscape"' in sheet
    assert "<f>" not in sheet
    assert "_xlnm.Print_Titles" in book
    assert "_xlnm._FilterDatabase" in book
    assert (MOST_ROWS + 1, MOST_CHARACTERS) == (2**20, 2**15 - 1)
    assert len(plain("x" * 40_000)) == 32_767


def test_qr_quiet_zone_and_module_size_on_the_label():
    """Quiet zone of four modules; on 42 mm a module is over 0.5 mm, far over what phones need."""
    text = "girderply:bundle?job=RH-101&mark=G1&revision=A&hash=" + "0" * 64
    svg = qr_svg(text)
    width = int(re.search(r'width="(\d+)"', svg)[1])
    code = segno.make(text, error="m", micro=False, boost_error=False)
    modules = code.symbol_size(border=0)[0]
    assert width == modules + 2 * 4
    assert 42.0 / width > 0.5


def test_four_a6_make_an_a4():
    """A4 is 210 x 297, A6 105 x 148 (half of 297 is 148.5; the sizes are rounded down)."""
    ((size, _),) = page_runs(labels_pdf([hand_schedule()]))
    assert size == pytest.approx((2 * 105, 2 * 148.5), abs=0.05)
