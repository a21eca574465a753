"""Counts of the inspector's document read from its pages alone: stage, member, row, run, due.

What a run of marks comes to is worked out from its words, so that a count that does not go with
its run is found by the page itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from printed_page import Printed, Words, pages
from yard_reader import millimetres

_NEAR = 0.5  # mm: of one column
_NAMES = re.compile(r"(?:B\d+, )*B\d+(?: [^\d:]\S*)?:? ")  # and what tells their kind apart
_PART = re.compile(r"(?P<first>[^+,;]+?)(?: \+ (?P<n>\d+) × (?P<step>[^,;]+))?(?:, (?P<out>.*))?")


@dataclass(frozen=True)
class Counted:
    """One line: `due` of each of the members, what its run comes to, and where its row is."""

    stage: int
    members: tuple[str, ...]
    kind: str
    height: float
    edge: str
    due: int
    by_run: int


def read_inspection(pdf: bytes) -> list[Counted]:
    """Every line of counts, in order."""
    found: list[Counted] = []
    for page in pages(pdf):
        words = [w for w in page.words if not w.upright and 20.0 < w.left < page.width - 10.0]
        heads = [w for w in words if w.bold and w.text == "Member"]
        ends = [w.base - 4.0 for w in heads[1:]] + [page.height]
        for head, end in zip(heads, ends[: len(heads)], strict=True):
            found += _table(page, head, [w for w in words if head.base - 1.0 < w.base < end])
    return found


def _table(page: Printed, head: Words, words: list[Words]) -> Iterator[Counted]:
    heads = {w.text.split()[0]: w for w in words if abs(w.base - head.base) < _NEAR and w.bold}
    said = [w for w in page.words if w.bold and w.base < head.base]
    stage = next(int(m[1]) for w in reversed(said) if (m := re.match(r"Stage (\d+):", w.text)))
    right = heads["Required"].right
    for due in (
        w for w in words if w.bold and abs(w.right - right) < _NEAR and w.text[0].isdigit()
    ):
        low, high = _between_rules(page, head, due)
        near = [w for w in words if low < w.base < high]
        near.sort(key=lambda w: w.base)

        def cell(name: str, near: list[Words] = near) -> str:
            return " ".join(w.text for w in near if abs(w.left - heads[name].left) < _NEAR)

        row, run = cell("Row"), cell("First")
        if row == "points clenched":
            continue  # points are counted on the other side of nails that are counted already
        bolts = row == "all bolts"
        number, _, edge = row.rpartition(" ")
        yield Counted(
            stage,
            tuple(re.split(r",\s*", cell("Member"))),
            "bolt" if bolts else "",
            0.0 if bolts else millimetres(number),
            "" if bolts else edge,
            int(due.text.split()[0]),
            sum(_marks(_NAMES.sub("", part) if bolts else part) for part in run.split("; ")),
        )


def _between_rules(page: Printed, head: Words, due: Words) -> tuple[float, float]:
    """The rules above and below the line of a table that a count stands in."""
    rules = [s.middle[1] for s in page.level_lines if s.a[0] < due.left < s.b[0]]
    low = max([y for y in rules if head.base < y < due.base], default=head.base + 1.0)
    return low, min(y for y in rules if y > due.base)


def _marks(part: str) -> int:
    """150 + 22 × 150, not 900: 22; with 14 marks left out; 527 alone: 1."""
    m = _PART.fullmatch(part)
    if m is None:
        raise AssertionError(f"not a run: {part!r}")
    out = m["out"] or ""
    many = re.match(r"(\d+) marks left out", out)
    empty = int(many[1]) if many else len(out.removeprefix("not ").split(", ")) if out else 0
    return int(m["n"] or 0) + 1 - empty
