"""Published tables as files: a few `# key: value` lines, then comma-separated values.

One file per table, in the package of its document's edition; units are in the column names.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType

from girderply.errors import RangeError

HEADER = ("document", "edition", "table", "mark")
"""What every table file says about itself before its first column."""


@dataclass(frozen=True, slots=True)
class Table:
    """A table as published.

    Attributes:
        meta: document, edition, table, mark (how sure), and notes.
        rows: cells as text, by column name.
    """

    name: str
    meta: Mapping[str, str]
    rows: tuple[Mapping[str, str], ...]

    def row(self, **key: str) -> Mapping[str, str]:
        """The one row whose cells equal these.

        Raises:
            RangeError: no row, or more than one, saying which words there are.
        """
        found = [r for r in self.rows if all(r[c] == v for c, v in key.items())]
        if len(found) != 1:
            known = "; ".join(
                f"{c}: {', '.join(dict.fromkeys(r[c] for r in self.rows))}" for c in key
            )
            raise RangeError(f"{self.meta['table']} has no row {key!r} (known {known})")
        return found[0]


@cache
def load(package: str, name: str) -> Table:
    """Read the table `name` of an edition's package; read once, kept.

    Raises:
        RangeError: the file does not say what it is.
    """
    text = (resources.files(package) / f"{name}.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    head = [line[1:].split(":", 1) for line in lines if line.startswith("#")]
    meta = {key.strip(): value.strip() for key, value in head}
    if missing := [key for key in HEADER if not meta.get(key)]:
        raise RangeError(f"table {name} does not say its {', '.join(missing)}")
    body = [line for line in lines if line.strip() and not line.startswith("#")]
    rows = tuple(MappingProxyType(row) for row in csv.DictReader(body))
    return Table(name, MappingProxyType(meta), rows)


def number(cell: str, blank: float = float("inf")) -> float:
    """A cell as a number; an empty cell means "no limit" and gives `blank`."""
    return float(cell) if cell.strip() else blank
