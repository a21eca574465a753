"""Tables as a job: nodes, members, plates, bearings and loads from CSV files or one workbook.

A workbook has a sheet for each, a folder a CSV file for each (nodes.csv, members.csv, ...). Columns
have plain words; a unit in brackets in a heading, as in "x (mm)", is that of its numbers. What the
values may be is said by the job file that they become.
"""

from __future__ import annotations

import csv
import io
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final

from girderply.errors import TraceError
from girderply.tracing.drawing import refusal
from girderply.tracing.job_text import quoted
from girderply.units.short_text import did_you_mean, one_of, shown

Row = Mapping[str, str | float | bool]
COLUMNS: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "nodes": {"id": ("name", "node", "point", "panel point"), "x": (), "y": ()},
    "members": {
        "id": ("name", "member"),
        "role": ("kind",),
        "nodes": ("panel points", "points"),
        "from": ("start",),
        "to": ("end",),
        "depth": ("height",),
        "hook_end": ("hook end", "hook"),
        "compression": (),
    },
    "plates": {"joint": ("node",), "x": (), "y": (), "width": (), "height": (), "angle": ()},
    "bearings": {"x": ("at",), "width": ()},
    "loads": {
        "id": ("name", "load"),
        "chord": ("member",),
        "face": ("side",),
        "at": ("x", "station"),
        "to": (),
        "every": ("spacing",),
        "permanent": ("dead", "g"),
        "variable": ("live", "q"),
        "uplift": ("wind uplift",),
        "design": (),
        "plies_reached": ("plies reached",),
        "what": ("description",),
    },
}
MOST_ROWS: Final = 2000
MOST_BYTES: Final = 5_000_000
PASTED: Final = Path("-")
_HEADING: Final = re.compile(r"(.*?)(?:\s*[\[(]\s*([^\])]+?)\s*[\])])?\s*")
_NUMBER: Final = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
_LISTS: Final = re.compile(r"[\s,;]+")
_YES: Final = {"yes": True, "true": True, "no": False, "false": False}


def read_tables(path: Path) -> dict[str, list[Row]]:
    """Every table that a workbook or the folder of a CSV file holds.

    Raises:
        TraceError: no such table, or a column that nobody knows.
    """
    sheets = _workbook(path) if path.suffix.lower() in (".xlsx", ".ods", ".xls") else _folder(path)
    known = {name.strip().lower(): cells for name, cells in sheets.items()}
    tables = {what: _rows(what, known[what]) for what in COLUMNS if known.get(what)}
    if not tables:
        message = f"holds none of the tables {one_of(COLUMNS)}"
        raise TraceError([refusal("no-table", path.name, message, "name the sheets or files so")])
    return tables


def read_loads(path: Path) -> str:
    """The `[[loads]]` tables of a table of loads.

    Args:
        path: of the table; "-" for what is piped in or pasted.

    Raises:
        TraceError: no such table, or a column that nobody knows.
    """
    if path == PASTED:
        cells = _cells(sys.stdin.buffer.read(MOST_BYTES + 1), "what was pasted")
        return _some(_rows("loads", cells), "what was pasted")
    single = path.suffix.lower() == ".csv"
    rows = _rows("loads", _csv(path)) if single else read_tables(path).get("loads", [])
    return _some(rows, path.name)


def _some(rows: Sequence[Row], name: str) -> str:
    """Rows as tables; none at all is no table of loads.

    Raises:
        TraceError: no row.
    """
    if not rows:
        message = "holds no loads: a line of headings and a line for each load are needed"
        raise TraceError([refusal("no-table", name, message)])
    return loads_text(rows)


def _workbook(path: Path) -> dict[str, list[list[str]]]:
    from python_calamine import CalamineError, CalamineWorkbook

    data = path.read_bytes()
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        return {n: [[_cell(c) for c in r] for r in book.get_sheet_by_name(n).to_python()]
                for n in book.sheet_names}  # fmt: skip
    except (CalamineError, ValueError, OSError) as fault:
        message = f"is no workbook that can be read: {fault}"
        raise TraceError([refusal("not-table", path.name, message)]) from fault


def _cell(value: object) -> str:
    return f"{value:.12g}" if isinstance(value, float) else str(value).strip()


def _folder(path: Path) -> dict[str, list[list[str]]]:
    folder = path if path.is_dir() else path.parent
    files = {what: folder / f"{what}.csv" for what in COLUMNS}
    return {what: _csv(file) for what, file in files.items() if file.is_file()}


def _csv(path: Path) -> list[list[str]]:
    """Cells of a CSV file, parted by comma, semicolon or tab, whichever its first line has most."""
    return _cells(path.read_bytes(), path.name)


def _cells(data: bytes, name: str) -> list[list[str]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise TraceError([refusal("not-table", name, "is not text in UTF-8")]) from fault
    if len(data) > MOST_BYTES:
        raise TraceError([refusal("too-much", name, f"more than {MOST_BYTES} bytes")])
    first = text.partition("\n")[0]
    part = max(",;\t", key=first.count)
    return [[c.strip() for c in row] for row in csv.reader(io.StringIO(text), delimiter=part)]


def _rows(what: str, cells: Sequence[Sequence[str]]) -> list[Row]:
    heads = [_heading(what, h) for h in (cells[0] if cells else [])]
    if len(cells) > MOST_ROWS:
        raise TraceError([refusal("too-much", what, f"more than {MOST_ROWS} rows")])
    rows = [
        {key: _value(key, c, unit) for (key, unit), c in zip(heads, row, strict=False) if key and c}
        for row in cells[1:]
    ]
    return [_ends(row) if what == "members" else row for row in rows if row]


def _heading(what: str, text: str) -> tuple[str, str]:
    """Key and unit of a heading; empty ones are no columns."""
    match = _HEADING.fullmatch(text.strip().lower())
    word, unit = (match.group(1), match.group(2) or "") if match else ("", "")
    if not word:
        return "", ""
    for key, others in COLUMNS[what].items():
        if word in (key, key.replace("_", " "), *others):
            return key, unit
    known = [w for key, others in COLUMNS[what].items() for w in (key, *others)]
    tip = did_you_mean(word, known)
    message = f"{shown(text)} is no column of {what}; there are {one_of(COLUMNS[what])}"
    message += f"; {tip}" if tip else ""
    raise TraceError([refusal("unknown-column", what, message)])


def _value(key: str, cell: str, unit: str) -> str | float | bool:
    """A cell as the job file has it: numbers bare or with the unit of their heading."""
    if key == "compression" and cell.lower() in _YES:
        return _YES[cell.lower()]
    if key in ("id", "role", "nodes", "joint", "chord", "face", "what", "from", "to_node"):
        return cell
    if _NUMBER.fullmatch(cell):
        number = float(cell.replace(",", "."))
        return f"{number:.12g} {unit}" if unit else number
    return cell


def _ends(row: Row) -> Row:
    """A member's panel points, from one column or from two."""
    row = dict(row)
    first, last = row.pop("from", None), row.pop("to", None)
    if "nodes" not in row and first is not None and last is not None:
        row["nodes"] = f"{_plain(first)} {_plain(last)}"
    return row


def _plain(value: str | float | bool) -> str:
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def inline(row: Row) -> str:
    """A row as an inline table of a job file."""
    return "{ " + ", ".join(f"{key} = {_toml(key, v)}" for key, v in row.items()) + " }"


def loads_text(rows: Sequence[Row]) -> str:
    """Rows as `[[loads]]` tables."""
    lines = (["[[loads]]", *(f"{k} = {_toml(k, v)}" for k, v in row.items()), ""] for row in rows)
    return "\n".join(line for block in lines for line in block)


def _toml(key: str, value: str | float | bool) -> str:
    if key == "nodes":
        names = (quoted(n) for n in _LISTS.split(str(value)) if n)
        return f"[{', '.join(names)}]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        whole = key == "plies_reached" and value.is_integer()
        return str(int(value)) if whole else f"{value:.12g}"
    return quoted(value)


def lists_of(tables: Mapping[str, Sequence[Row]]) -> Iterator[str]:
    """Nodes, members, plates and bearings as lines of `[girder]`."""
    for what in ("nodes", "members", "plates", "bearings"):
        if tables.get(what):
            yield f"{what} = ["
            yield from (f"  {inline(row)}," for row in tables[what])
            yield "]"
