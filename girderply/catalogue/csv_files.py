"""Reading the catalogue's tables: csv files with their provenance in a comment header."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from girderply.errors import CatalogueError
from girderply.units.exact import MM_PER_IN


@dataclass(frozen=True, slots=True)
class Table:
    """One published table.

    Attributes:
        name: file name without its ending.
        document, edition, title: what was published. reader: who read it and how.
        mark: how sure its figures are, unless a row says otherwise.
        note: anything else a user must know, or an empty string.
        rows: column name to text, in the order of the file.
    """

    name: str
    document: str
    edition: str
    title: str
    reader: str
    mark: str
    note: str
    rows: tuple[dict[str, str], ...]

    @property
    def source(self) -> str:
        """Document and, where it is known and not part of the name, its edition."""
        known = self.edition[:1].isdigit() and self.edition not in self.document
        return f"{self.document}, {self.edition}" if known else self.document


@cache
def table(name: str) -> Table:
    """Read one table of the catalogue.

    Args:
        name: file name without its ending, such as `washers_din_436`.

    Raises:
        CatalogueError: the header lacks the document, its edition, table, reader or mark.
    """
    text = (files("girderply.catalogue") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    head = dict(_header_line(line) for line in lines if line.startswith("#"))
    rows = tuple(csv.DictReader(line for line in lines if not line.startswith("#")))
    missing = [k for k in ("document", "edition", "table", "read by", "mark") if not head.get(k)]
    if missing:
        raise CatalogueError(f"table {name} does not say: {', '.join(missing)}")
    return Table(
        name=name,
        document=head["document"],
        edition=head["edition"],
        title=head["table"],
        reader=head["read by"],
        mark=head["mark"],
        note=head.get("note", ""),
        rows=rows,
    )


def mm(inches: float) -> float:
    """Inches as mm, without the dust of binary fractions: 3.5 in is 88.9, not 88.8999..."""
    return round(inches * MM_PER_IN, 9)


def number(row: dict[str, str], column: str) -> float | None:
    """The number in a column, or None where the table leaves it out."""
    text = row[column]
    return float(text) if text else None


def required(row: dict[str, str], column: str) -> float:
    """The number in a column that every row must fill.

    Raises:
        CatalogueError: the column is empty.
    """
    value = number(row, column)
    if value is None:
        raise CatalogueError(f"{column} is empty in {row}")
    return value


def _header_line(line: str) -> tuple[str, str]:
    key, _, value = line.lstrip("# ").partition(":")
    return key.strip(), value.strip()
