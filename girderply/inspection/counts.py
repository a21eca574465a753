"""The tick-off table: an empty one to be filled in, and a filled one as a record.

Columns: member, stage, row, kind, due, found; then the ids of those that are missing, the piece,
and job, girder, revision and content hash, which are compared where the table has them. An empty
`row` stands for all rows together, an empty `found` for what nobody has counted. Lines without a
member ask for the rest: who, when, gap; for a stage nail size, finish, washers and signature.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding
from girderply.inspection.belonging import content_findings, identity_findings
from girderply.inspection.paper_lines import answers, asked_besides
from girderply.inspection.record import (
    SCHEMA,
    Plain,
    Record,
    RecordError,
    fault_at,
)
from girderply.schedule.types import Schedule
from girderply.units.short_text import did_you_mean, inert, shown

KINDS: Final = tuple(FastenerKind)
COLUMNS: Final = ("member", "stage", "row", "kind", "due", "found")
MISSING: Final = "missing"
PIECE: Final = "piece"
NAMES: Final = {
    "job": "job",
    "girder": "mark",
    "revision": "revision",
    "content hash": "content_hash",
}
MOST_ROWS: Final = 10_000


def blank_csv(schedule: Schedule) -> str:
    """The tick-off table of a girder with `found` left empty: one line per member, stage and row.

    Lines end as spreadsheets expect [RFC 4180, 2]; words that could start a formula are made inert.
    """
    f = schedule.fasteners
    keys = zip(f.member.tolist(), f.stage.tolist(), f.row.tolist(), f.kind.tolist(), strict=True)
    due = Counter(keys)
    rank = {m.id: i for i, m in enumerate(schedule.girder.members)}
    piece = 1 if schedule.girder.quantity == 1 else ""
    names = ["", piece, *(inert(v) for v in _own(schedule).values())]
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([*COLUMNS, MISSING, PIECE, *NAMES])
    for key in sorted(due, key=lambda k: (k[1], rank[k[0]], k[3], k[2])):
        member, stage, row, kind = key
        writer.writerow([inert(member), stage, row, kind, due[key], "", *names])
    for line in asked_besides(schedule):
        writer.writerow(["", line.stage or "", "", line.kind, inert(line.due), "", *names])
    return out.getvalue()


def _own(schedule: Schedule) -> dict[str, str]:
    info = schedule.job.info
    return {
        "job": info.number,
        "mark": schedule.girder.mark,
        "revision": info.revision,
        "content_hash": schedule.content_hash,
    }


def parse_counts(text: str, schedule: Schedule) -> Record:
    """A record from the text of a tick-off table; comma, semicolon or tab between the cells.

    What the table does not say the record does not say either.

    Raises:
        RecordError: with every finding: columns missing, cells that are no whole numbers, another
            job, mark, revision or content hash, counts that the girder does not have.
    """
    from girderply.inspection.record_form import to_record

    rows = _table(text)
    found = [*_identity(rows, schedule)]
    besides = [row for row in rows if not row.get("member")]
    rows = [row for row in rows if row.get("member")]
    counts = [c for i, row in enumerate(rows) if (c := _count(row, i + 2, found)) is not None]
    data: Plain = {
        "schema": SCHEMA,
        **_own(schedule),
        "piece": _piece([*rows, *besides], found),
        "previous": None,
        "marks": [
            {"id": name, "state": "missing", "by_mm": None, "note": ""}
            for row in rows
            for name in row.get(MISSING, "").replace(",", " ").split()
        ],
        "counts": counts,
        **answers(besides, schedule, found),
    }
    record, faults = to_record(data)
    found += faults
    if record is not None and not found:
        found = content_findings(record, schedule)
    if found or record is None:
        raise RecordError(found)
    on_paper = [f"stage {s.stage}" for s in record.signatures] + [m.id for m in record.marks]
    unsaid = tuple(_unsaid([*rows, *besides], schedule))
    return replace(record, unsaid=unsaid, on_paper=tuple(on_paper))


def _unsaid(rows: list[dict[str, str]], schedule: Schedule) -> Iterator[str]:
    """Parts of the identity that no line of the table names."""
    wanted = [*NAMES, *([PIECE] if schedule.girder.quantity > 1 else [])]
    return (name for name in wanted if not any(row.get(name) for row in rows))


def _piece(rows: list[dict[str, str]], found: list[Finding]) -> int:
    """The piece that every line names; 1 where none does."""
    said = {row[PIECE] for row in rows if row.get(PIECE)}
    if len(said) > 1 or not all(v.isascii() and v.isdigit() and len(v) < 6 for v in said):
        text = f"must be one whole number, not {', '.join(sorted(said))}"
        found.append(fault_at("bad-value", PIECE, text))
        return 1
    return int(said.pop()) if said else 1


def _table(text: str) -> list[dict[str, str]]:
    """Rows by column name.

    Raises:
        RecordError: no such table.
    """
    first = text.split("\n", 1)[0]
    cut = max(",;\t", key=first.count)
    try:
        lines = [row for row in csv.reader(io.StringIO(text), delimiter=cut, strict=True) if row]
    except csv.Error as fault:
        raise RecordError([fault_at("not-csv", "table", f"is no table: {fault}")]) from None
    head = [cell.strip().lower() for cell in lines[0]] if lines else []
    missing = [c for c in COLUMNS if head.count(c) != 1]
    if missing:
        text = f"needs the columns {', '.join(COLUMNS)} once each; look at {', '.join(missing)}"
        raise RecordError([fault_at("columns", "table", text)])
    if len(lines) > MOST_ROWS:
        raise RecordError([fault_at("too-big", "table", f"has more than {MOST_ROWS} lines")])
    filled = [row for row in lines[1:] if any(cell.strip() for cell in row)]
    return [
        {name: cell.strip().removeprefix("'") for name, cell in zip(head, row, strict=False)}
        for row in filled
    ]


def _identity(rows: list[dict[str, str]], schedule: Schedule) -> Iterator[Finding]:
    """What the table says of its job against the job file, each difference once."""
    own = {key: inert(value).strip() for key, value in _own(schedule).items()}
    seen: set[tuple[str, str]] = set()
    for row in rows:
        for column, key in NAMES.items():
            said = row.get(column, "")
            plain = own[key].removeprefix("'")
            if said and said != plain and (key, said) not in seen:
                seen.add((key, said))
                yield from identity_findings({key: said}, schedule)


def _count(row: dict[str, str], line: int, found: list[Finding]) -> Plain | None:
    """The count of one line, None where nothing was counted; faults go to `found`."""
    if not row.get("found"):
        return None
    data: Plain = {"member": row.get("member", ""), "kind": row.get("kind", "").lower()}
    for name in ("stage", "row", "due", "found"):
        cell = row.get(name, "")
        if name == "row" and cell in ("", "all"):
            data[name] = None
        elif cell.isascii() and cell.isdigit() and len(cell) < 7:
            data[name] = int(cell)
        else:
            text = f"{shown(cell)} is no whole number"
            found.append(fault_at("bad-value", f"line {line}, {name}", text))
            return None
    if data["kind"] not in KINDS:
        text = f"{shown(data['kind'])} is neither nail nor bolt"
        tip = did_you_mean(data["kind"], KINDS)
        found.append(fault_at("bad-value", f"line {line}, kind", text, tip))
        return None
    return data
