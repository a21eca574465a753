"""The workbook, read back by another library than the one that wrote it."""

from __future__ import annotations

import io
import zipfile
from collections import Counter
from dataclasses import replace

import numpy as np
import openpyxl
import pytest
from hand_girder import hand_schedule
from supplier import FORMULA, hostile, reworded, sample

from girderply.errors import OutputError
from girderply.exchange import xlsx_out
from girderply.exchange.xlsx_out import xlsx_bytes
from girderply.exchange.xlsx_tables import Column, Table
from girderply.jobfile.job import UnitSystem

SHEETS = [
    *("About", "Schedule", "Order list", "Order per girder", "Tick-off", "Checks", "Notes"),
]


def book(*schedules):
    return openpyxl.load_workbook(io.BytesIO(xlsx_bytes(schedules)))


def rows(sheet) -> list[dict[str, object]]:
    head, *rest = sheet.iter_rows(values_only=True)
    return [dict(zip(head, row, strict=True)) for row in rest]


def test_counts_are_those_of_the_schedules():
    one, two = sample("two-ply-howe"), sample("truncated-nodes")
    made = book(one, two)
    assert made.sheetnames == SHEETS
    found = Counter((r["girder"], r["spec"]) for r in rows(made["Schedule"]))
    due = {
        (s.girder.mark, spec): n
        for s in (one, two)
        for spec, n in Counter(s.fasteners.spec.tolist()).items()
    }
    assert found == due
    ticks = [r for r in rows(made["Tick-off"]) if r["girder"] == one.girder.mark]
    assert sum(r["required"] for r in ticks if r["piece"] == 2) == len(one.fasteners)
    assert {r["piece"] for r in ticks} == {1, 2}
    assert len(rows(made["Checks"])) == len(one.checks) + len(two.checks)
    assert len(rows(made["Notes"])) == len(one.findings) + len(two.findings)


def test_numbers_are_numbers_in_mm():
    nail, back_nail, bolt = rows(book(hand_schedule())["Schedule"])
    assert (nail["station (mm)"], nail["offset (mm)"], nail["stage"]) == (127, -20, 1)
    assert (bolt["hole (mm)"], bolt["joint"], back_nail["clench"]) == (13, "J2", "yes")
    assert bolt["y (mm)"] == pytest.approx(333.33333, abs=5e-7)


def test_the_side_that_a_point_is_bent_to_stands_beside_its_clench():
    """BC1 lies level: positive offsets are up."""
    made = hand_schedule()
    way = np.array([1, -1, 0])
    bent = replace(made, fasteners=replace(made.fasteners, bend=way))
    assert [r["bent to (seen on front)"] for r in rows(book(bent)["Schedule"])] == [
        *("up", "down", None),
    ]


def test_an_imperial_job_has_inches_pounds_and_no_metric_heading():
    """127 mm is 5 in; 0.03 kg is 0.066139 lb; 900 N is 202.328 lbf (25.4 mm, 0.45359237 kg)."""
    made = book(hand_schedule(units=UnitSystem.IMPERIAL))
    assert rows(made["Schedule"])[0]["station (in)"] == 5
    mass = rows(made["Order per girder"])[0]["mass of those to order (lb)"]
    assert mass == pytest.approx(0.066139, abs=5e-7)
    failed, good = rows(made["Checks"])
    assert good["force to transfer (lbf)"] == pytest.approx(202.328, abs=5e-4)
    assert (failed["result"], failed["utilisation (%)"]) == ("FAILS", "nothing resists")
    heads = [c.value for sheet in made for c in sheet[1]]
    assert not [h for h in heads if any(u in h for u in ("(mm)", "(kg)", "(kN)"))]


def test_what_is_failed_stands_first_and_on_the_first_sheet():
    made = book(hand_schedule())
    assert "NOT FOR ASSEMBLY" in str(made["About"]["B2"].value)
    assert "NOT FOR ASSEMBLY" not in str(book(sample("two-ply-howe"))["About"]["B2"].value)


def test_made_to_be_printed():
    for sheet in book(sample("two-ply-howe")):
        page = sheet.page_setup
        assert (page.orientation, page.paperSize) == ("landscape", 9), "9: A4"
        assert (page.fitToWidth or 1, page.fitToHeight) == (1, 0), "left out it is 1"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.freeze_panes == "A2"
        assert sheet.auto_filter.ref.startswith("A1:")
        assert sheet.auto_filter.ref.endswith(str(sheet.max_row))


def test_no_word_of_a_job_is_a_formula_a_link_or_a_code():
    data = xlsx_bytes([hostile(sample("two-ply-howe"))])
    made = openpyxl.load_workbook(io.BytesIO(data))
    cells = [c for sheet in made for row in sheet.iter_rows() for c in row]
    assert not [c for c in cells if c.data_type == "f" or c.hyperlink]
    armed = [c for c in cells if c.value in (FORMULA, "@SUM(A1)", "-1+2")]
    assert len(armed) > 600, "job, revision and load of every fastener"
    assert all(c.quotePrefix for c in armed), "editing the cell does not run it either"
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheets = [archive.read(n) for n in archive.namelist() if "worksheets" in n]
    assert not [s for s in sheets if b"<f>" in s or b"<hyperlink" in s]


def test_an_ampersand_in_the_page_header_is_one():
    sheet = book(reworded(sample("two-ply-howe"), number="A&P &D"))["About"]
    assert sheet.oddHeader.left.text.startswith("A&&P &&D"), "doubled: no date, no page number"


def test_more_rows_than_a_sheet_holds(monkeypatch):
    monkeypatch.setattr(xlsx_out, "MOST_ROWS", 50)
    schedule = sample("refused-shallow")
    count = len(schedule.fasteners)
    with pytest.raises(OutputError, match=f"^{count} rows do not fit on the sheet 'Schedule'"):
        xlsx_bytes([schedule])


def test_a_date_that_is_none_does_no_harm():
    made = book(reworded(hand_schedule(), date="soon"))
    assert made.properties.created.year == 1980
    assert book(hand_schedule()).properties.created.isoformat() == "2025-03-01T00:00:00"


def test_blank_cells_stay_blank_and_wide_words_are_bounded():
    table = Table("T", (Column("a"), Column("b", "whole")), (("x" * 500, 1),))
    assert xlsx_out._width(table, 0, table.columns[0]) == xlsx_out.WIDEST
    assert rows(book(hand_schedule())["Schedule"])[0]["load"] is None
