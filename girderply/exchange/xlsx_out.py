"""One workbook of a delivery: schedule, order, tick-off, checks, made to be printed.

Words are written as words: nothing that a job says can become a formula, a link or a number.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from girderply.errors import OutputError
from girderply.exchange.xlsx_tables import UNITS, Column, Form, Table, Value, tables
from girderply.jobfile.job import UnitSystem
from girderply.schedule.speech import their_voice
from girderply.schedule.total import delivery_units
from girderply.schedule.types import Schedule
from girderply.units.short_text import inert, one_line
from girderply.wording import Voice

A4 = 9  # paper code of ECMA-376-1, 18.3.1.63 (value from memory)
MOST_ROWS = 1_048_575  # below the heading; rows of a worksheet, value from memory
MOST_CHARACTERS = 32_767  # of a cell, value from memory
WIDEST = 40.0
_FONT = {"font_name": "Arial", "font_size": 10, "valign": "top"}


def xlsx_bytes(schedules: Sequence[Schedule]) -> bytes:
    """The workbook of one or several girders; the same schedules give the same bytes.

    Raises:
        DeliveryError: no girder, the same one twice, or girders in different unit systems.
        OutputError: more rows than a worksheet holds.
    """
    voice = their_voice(schedules)
    import xlsxwriter

    system = delivery_units(schedules)
    out = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"title": _title(voice, schedules), "created": _created(schedules)})
        forms = _forms(book, system)
        for table in tables(voice, schedules, UNITS[system]):
            _write(voice, book.add_worksheet(table.name), table, forms, _title(voice, schedules))
    return out.getvalue()


def _title(voice: Voice, schedules: Sequence[Schedule]) -> str:
    names = [
        voice.phrase(
            "workbook.book_title",
            job=s.job.info.number,
            mark=s.girder.mark,
            revision=s.job.info.revision,
        )
        for s in schedules
    ]
    return plain(", ".join(names))[:200]


def _created(schedules: Sequence[Schedule]) -> datetime:
    """The latest date that a job says, never the clock."""
    try:
        return datetime.fromisoformat(max(s.job.info.date for s in schedules)).replace(tzinfo=None)
    except ValueError:
        return datetime(1980, 1, 1)


def plain(text: str) -> str:
    """One line of characters that can be printed, no longer than a cell."""
    return one_line(text)[:MOST_CHARACTERS]


def _forms(book: Any, system: UnitSystem) -> dict[str, Any]:
    """Cell formats by what a cell is."""
    length = "0.0" if system is UnitSystem.METRIC else "0.0000"
    force = "0.00" if system is UnitSystem.METRIC else "0"
    numbers = {"whole": "0", "length": length, "mass": "0.00", "force": force, "percent": "0"}
    made = {name: book.add_format({**_FONT, "num_format": f}) for name, f in numbers.items()}
    made["text"] = book.add_format({**_FONT, "num_format": "@", "text_wrap": True})
    # As if typed with an apostrophe: editing the cell does not turn it into a formula either.
    made["quoted"] = book.add_format(
        {**_FONT, "num_format": "@", "text_wrap": True, "quote_prefix": True}
    )
    made["blank"] = book.add_format({**_FONT, "bottom": 1, "bottom_color": "#000000"})
    made["head"] = book.add_format(
        {**_FONT, "bold": True, "text_wrap": True, "bottom": 2, "bg_color": "#E6E6E6"}
    )
    return made


def _write(voice: Voice, sheet: Any, table: Table, forms: dict[str, Any], title: str) -> None:
    if len(table.rows) > MOST_ROWS:
        raise OutputError(
            f"{len(table.rows)} rows do not fit on the sheet {table.name!r}; "
            "make the delivery in several parts"
        )
    for k, column in enumerate(table.columns):
        sheet.set_column(k, k, _width(table, k, column))
        sheet.write_string(0, k, column.head, forms["head"])
    for i, row in enumerate(table.rows, 1):
        for k, (column, value) in enumerate(zip(table.columns, row, strict=True)):
            _cell(sheet, (i, k), value, column.form, forms)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, max(len(table.rows), 1), len(table.columns) - 1)
    _print_setup(voice, sheet, table.name, title)


def _cell(
    sheet: Any, place: tuple[int, int], value: Value, form: Form, forms: dict[str, Any]
) -> None:
    if value == "":
        sheet.write_blank(*place, None, forms[form if form == "blank" else "text"])
    elif isinstance(value, str):
        words = plain(value)
        sheet.write_string(*place, words, forms["text" if inert(words) == words else "quoted"])
    else:
        sheet.write_number(*place, round(value, 6) + 0.0, forms[form])


def _width(table: Table, k: int, column: Column) -> float:
    if column.width:
        return column.width
    longest = max((len(_shown(row[k])) for row in table.rows), default=0)
    words = max(len(word) for word in column.head.split())
    return min(max(longest, words, 4) + 2.5, WIDEST)  # the filter's arrow takes two


def _shown(value: Value) -> str:
    return value if isinstance(value, str) else f"{value:.4f}".rstrip("0").rstrip(".")


def _print_setup(voice: Voice, sheet: Any, name: str, title: str) -> None:
    sheet.set_landscape()
    sheet.set_paper(A4)
    sheet.set_margins(left=0.5, right=0.5, top=0.75, bottom=0.6)
    sheet.repeat_rows(0)
    sheet.fit_to_pages(1, 0)
    shown = title[:120].replace("&", "&&")  # an ampersand starts a code in a page header
    sheet.set_header(f"&L{shown}&R{name}")
    sheet.set_footer("&R" + voice.phrase("workbook.page", page="&P", pages="&N"))
