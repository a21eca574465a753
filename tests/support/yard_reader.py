"""Fasteners set out again from the pages of the yard document, as a hand with a tape would.

Chords are drawn as strips: what row a line of figures is for stands at its left, then the first
mark, the steps and the last mark; a slanted cross is a mark that stays empty. Webs stand in tables.
English sheets, of either system of units.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from printed_page import Printed, Stroke, Words, pages

IN = 25.4
_SMALL, _NAME = (3.3, 3.6), (4.6, 5.0)  # ems of figures and of the names of strips, mm
_INSET, _TALLEST = 1.6, 25.0  # mm from the rules to the words of a table; of one row of it
_FRAME = 10.5  # mm from the edge of the paper to what is inside the frame
_NEAR = 0.15  # mm on paper that a cross may be from its mark
_OVER = 1.0  # mm that the bar at a hook end is longer than the member is deep, on either side
_KINDS = {"nail": "nail", "screw": "screw", "bolt": "bolt"}
_LENGTH = r"(?:\d+'-)?(?:\d[\d ]*(?: \d+/\d+)?|\d+/\d+)\"|\d[\d ]*(?:\.\d+)?"
_FIGURE = re.compile(rf"({_LENGTH})(?: (\S.*))?")
_STEPS = re.compile(rf"(\d+) \u00d7 ({_LENGTH}) = ({_LENGTH})")
_COUNTED = re.compile(r"(\d+) (nail|screw|bolt)s?\b")
_LEFT_OUT = re.compile(rf"({_LENGTH})(?: at ({_LENGTH}))? \(")
_BOLT = re.compile(r"B\d+")


@dataclass(frozen=True)
class Fastener:
    """Where one is: along the tape, and how high above an edge as the member lies, mm."""

    stage: int
    face: str
    member: str
    kind: str
    station: float
    height: float
    edge: str  # lower, or right or left of a member that stands upright


@dataclass
class Stage:
    """What the strip at the foot of a sheet says, and the count beside the steps."""

    number: int
    face: str
    kind: str  # what is counted, where the sheet says it


@dataclass(frozen=True)
class Row:
    """Marks of a comb: rows of the first mark, of the second where they take turns."""

    first: float
    step: float
    marks: int
    groups: tuple[tuple[float, ...], ...]
    bolts: bool = False

    def places(self) -> Iterator[tuple[float, float]]:
        """Station and height of each."""
        for k in range(self.marks):
            for height in self.groups[k % len(self.groups)]:
                yield self.first + k * self.step, height


@dataclass
class Strip:
    """A drawn piece of a chord: whose, how many, the piece of paper that it takes."""

    name: str
    x: float
    y: float
    right: float
    bottom: float
    continued: bool
    counts: dict[str, int] = field(default_factory=dict)
    scale: float = 0.0
    depth: float = 0.0
    done: float = 0.0  # mm of the member on the pieces before
    hook: str = ""
    bolts_at: str = ""

    def holds(self, x: float, y: float) -> bool:
        """Whether a point of the page is on it."""
        return self.x - 0.6 <= x < self.right and self.y - 3.0 <= y < self.bottom


def read_yard(pdf: bytes) -> list[Fastener]:
    """Every fastener that the document places."""
    found: list[Fastener] = []
    known: dict[tuple[int, str], Strip] = {}
    kinds: dict[int, str] = {}
    for page in pages(pdf):
        if (stage := stage_of(page)) is None:
            continue  # what to know
        kinds[stage.number] = stage.kind = stage.kind or kinds.get(stage.number, "")
        found += [*_chords(page, stage, known), *_webs(page, stage)]
    return found


def stage_of(page: Printed) -> Stage | None:
    """Which stage a sheet is for and what face is up."""
    said = [w.text for w in page.words if w.base > page.height - 25.0]
    number = next((m[1] for t in said if (m := re.match(r"Stage (\d+) of \d+", t))), None)
    if number is None:
        return None
    face = next(m[1] for t in said if (m := re.match(r"(FRONT|BACK) FACE (?:UP|SEEN)", t)))
    counts = [w.text for w in page.words if w.text.startswith("Count: ")]
    kind = next((m[1] for t in counts if (m := re.search(r"\d+ (nail|screw)s?\b", t))), "")
    return Stage(int(number), face.lower(), kind)


def millimetres(text: str) -> float:
    """A length as it is printed: 4 350, 47.5, 1'-2 3/8", 1 5/8"."""
    if not text.endswith('"'):
        return float(text.replace(" ", ""))
    feet, _, inches = text.rstrip('"').rpartition("'-")
    total = 12.0 * float(feet or 0)
    for part in inches.split():
        top, _, under = part.partition("/")
        total += float(top) / float(under or 1)
    return total * IN


def _between(value: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= value <= limits[1]


# Chords


def strips(page: Printed) -> list[Strip]:
    """Strips of a page, shelf by shelf."""
    level = [w for w in page.words if not w.upright]
    found = []
    for name in (w for w in level if w.bold and _between(w.em, _NAME)):
        said = sorted(
            (w for w in level if not w.bold and _between(w.em, _SMALL)
             and -1.0 < w.base - name.base < 12.0 and w.left >= name.left - 0.5),
            key=lambda w: (round(w.base), w.left),
        )  # fmt: skip
        beside = [w for w in said if _COUNTED.match(w.text) and w.left - name.right < 6.0]
        whose = re.sub(r" continued$", "", name.text)
        strip = Strip(whose, name.left, name.base, 1e9, 1e9, whose != name.text)
        if not strip.continued and not beside:
            continue  # a name on the elevation
        if beside:
            _told(strip, beside[0], said)
        found.append(strip)
    tables = [w.base - 6.0 for w in level if w.text == "Member" and w.bold]
    for strip in found:
        foot = min([t for t in tables if t > strip.y] + [page.height - 26.0])
        shelf = [s for s in found if abs(s.y - strip.y) < 1.0 and s.x > strip.x + 1.0]
        strip.right = min([s.x - 0.6 for s in shelf], default=page.width - _FRAME)
        strip.bottom = min([s.y - 3.0 for s in found if s.y > strip.y + 1.0], default=foot)
    return found


def _told(strip: Strip, first: Words, said: Sequence[Words]) -> None:
    """What stands beside the name of a strip, perhaps in several lines."""
    lines = [w for w in said if abs(w.left - first.left) < 0.3 and w.base >= first.base - 0.1]
    kept = [first]
    for line in lines[1:]:
        if line.base - kept[-1].base > 4.6:
            break
        kept.append(line)
    text = " ".join(w.text for w in kept)
    strip.counts = {kind: int(n) for n, kind in _COUNTED.findall(text)}
    strip.scale = float(m[1]) if (m := re.search(r"1:(\d+)", text)) else 0.0
    strip.hook = m[1] if (m := re.search(r"hook end (\w+)", text)) else ""
    strip.bolts_at = m[1] if (m := re.search(rf"bolts at ({_LENGTH})", text)) else ""


def _chords(page: Printed, stage: Stage, known: dict[tuple[int, str], Strip]) -> Iterator[Fastener]:
    for strip in strips(page):
        axis = _axis(page, strip)
        if strip.continued:  # on this sheet or from the one before
            first = known[stage.number, strip.name]
            strip.counts, strip.depth, strip.done = first.counts, first.depth, first.done
            strip.scale, strip.hook, strip.bolts_at = first.scale, first.hook, first.bolts_at
        else:
            strip.depth = _depth(page, strip, axis)
        known[stage.number, strip.name] = strip
        yield from _strip(page, stage, strip, axis)
        strip.done += axis.across * strip.scale


def _axis(page: Printed, strip: Strip) -> Stroke:
    """The centreline of the drawn piece, from its one end to its other: the longest level line."""
    lines = [s for s in page.level_lines if strip.holds(*s.middle)]
    return max(lines, key=lambda s: (round(s.across, 1), s.middle[1]))


def _depth(page: Printed, strip: Strip, axis: Stroke) -> float:
    """How deep the member is, by the bar across its hook end, mm."""
    level = axis.middle[1]
    bars = [s for s in page.heavy_bars if strip.holds(*s.middle)]
    bar = next(s for s in bars if abs(s.middle[1] - level) < 0.1)
    return (bar.down - 2 * _OVER) * strip.scale


def _strip(page: Printed, stage: Stage, strip: Strip, axis: Stroke) -> Iterator[Fastener]:
    edge = axis.middle[1] + strip.depth / 2 / strip.scale
    below = [
        w
        for w in page.words
        if not w.upright
        and _between(w.em, _SMALL)
        and w.base > edge + 2.0
        and strip.holds((w.left + w.right) / 2, w.base)
    ]
    crosses = {c for c in page.crosses if strip.holds(*c) and c[1] < edge}
    kind = next((k for k in strip.counts if k != "bolt"), "nail")
    left, right = sorted((axis.a[0], axis.b[0]))
    used: set[tuple[float, float]] = set()
    placed = [("bolt", *place) for place in _bolts(page, strip, axis)]  # those that stand alone
    for row in sorted(_rows(below, axis), key=lambda r: r.marks == 1):
        for station, height in row.places():
            along = (station - strip.done) / strip.scale
            x = left + along if strip.hook == "left" else right - along
            y = axis.middle[1] - (height - strip.depth / 2) / strip.scale
            empty = {c for c in crosses if math.dist(c, (x, y)) < _NEAR}
            if row.marks == 1:  # beside a mark of a comb that stays empty
                empty -= used
            used |= empty
            if not empty:
                placed.append(("bolt" if row.bolts else kind, station, height))
    if used != crosses:
        raise AssertionError(f"stage {stage.number}, {strip.name}: a cross on no mark")
    for what, station, height in placed:
        yield Fastener(stage.number, stage.face, strip.name, what, station, height, "lower")


def _rows(below: Sequence[Words], axis: Stroke) -> Iterator[Row]:
    """Rows of marks from the lines under a strip, from the top down."""
    groups: tuple[tuple[float, ...], ...] = ()
    bolts = False
    left = min(axis.a[0], axis.b[0])
    lines: list[list[Words]] = []
    for words in sorted(below, key=lambda w: w.base):
        if lines and words.base - lines[-1][0].base < 0.5:
            lines[-1].append(words)
        else:
            lines.append([words])
    for line in lines:
        line.sort(key=lambda w: w.left)
        if not any(w.bold for w in line):
            continue  # the legend
        if not line[0].bold and line[0].right < left - 2.0 and not _STEPS.match(line[0].text):
            said = line.pop(0).text
            bolts = said.startswith("bolts ")
            groups = _groups(said.removeprefix("bolts "))
        yield from (replace(row, bolts=bolts) for row in _combs(line, groups))


def _groups(text: str) -> tuple[tuple[float, ...], ...]:
    """65 / 130 in turn; 65 + 130 at each; 65."""
    text = re.sub(r" (in turn|at each)$", "", text)
    return tuple(
        tuple(millimetres(h.strip()) for h in group.split("+")) for group in text.split(" / ")
    )


def _combs(line: Sequence[Words], groups: tuple[tuple[float, ...], ...]) -> Iterator[Row]:
    """First and last mark of each comb by its steps; what is left are single marks."""
    figures = [(millimetres(m[1]), w) for w in line if w.bold and (m := _FIGURE.fullmatch(w.text))]
    for words in (w for w in line if not w.bold):
        m = _STEPS.fullmatch(words.text)
        if m is None:
            raise AssertionError(f"not a line of steps: {words.text!r}")
        n, step, length = int(m[1]), millimetres(m[2]), millimetres(m[3])
        pairs = [(a, b) for a in figures for b in figures if abs(b[0] - a[0] - length) < 1.7]
        a, b = min(pairs, key=lambda p: sum(abs(f[1].left - words.left) for f in p))
        figures = [f for f in figures if f not in (a, b)]
        yield Row(a[0], length / n if abs(length / n - step) < 1.7 / 2 else step, n + 1, groups)
    for station, _ in figures:
        yield Row(station, 0.0, 1, groups[:1])


def _bolts(page: Printed, strip: Strip, axis: Stroke) -> Iterator[tuple[float, float]]:
    """Stations of the bolts that are named with one above a strip, level or upright."""
    names = [w for w in page.words if w.bold and _between(w.em, _SMALL) and _BOLT.fullmatch(w.text)]
    figures = [w for w in page.words if w.bold and _between(w.em, _SMALL)]
    for name in names:
        at = (name.base, page.height - name.left) if name.upright else (name.left, name.base)
        if not strip.holds(*at) or at[1] > axis.middle[1]:
            continue
        after = [w for w in figures if w.upright == name.upright
                 and abs(w.base - name.base) < 0.3 and 0 < w.left - name.right < 3.5]  # fmt: skip
        beside = min(after, key=lambda w: w.left, default=name).text
        if _BOLT.fullmatch(beside):
            continue  # a mark of a comb, which is told below the strip
        station, _, height = beside.partition(" at ")
        yield millimetres(station), millimetres(height or strip.bolts_at)


# Webs

# The first word of the head of each column, for those that stand at its left and at its right.
_LEFT_HEADS = {"Member": "member", "Hook": "hook", "What": "what", "Leave": "out"}
_RIGHT_HEADS = {"From": "rows", "First": "first", "Then": "steps", "Last": "last", "Count": "count"}


def _webs(page: Printed, stage: Stage) -> Iterator[Fastener]:
    words = [w for w in page.words if not w.upright and _between(w.em, _SMALL)]
    for head in (w for w in words if w.text == "Member" and w.bold):
        others = [w.left for w in words
                  if w.text == "Member" and w.bold and w.left > head.left + 5.0]  # fmt: skip
        right = min(others, default=1e9) - 2.0
        low = _foot(page, head)
        high = head.base - 8.0
        mine = [w for w in words if head.left - 1.0 <= w.left < right and high < w.base < low]
        yield from _table(mine, head, stage)


def _foot(page: Printed, head: Words) -> float:
    """The last rule of a table: they begin in line with its head, one under the other."""
    low = head.base
    for y in sorted(s.middle[1] for s in page.level_lines
                    if abs(min(s.a[0], s.b[0]) - head.left) < _INSET):  # fmt: skip
        low = y if low < y < low + _TALLEST else low
    return low


def _table(words: Sequence[Words], head: Words, stage: Stage) -> Iterator[Fastener]:
    heads = [w for w in words if w.bold and w.base < head.base + 4.6]
    named = [(w.text.split()[0], w) for w in heads]
    lefts = {_LEFT_HEADS[name]: w.left for name, w in named if name in _LEFT_HEADS}
    rights = {_RIGHT_HEADS[name]: w.right for name, w in named if name in _RIGHT_HEADS}
    body = sorted((w for w in words if w not in heads and w.base > head.base), key=lambda w: w.base)
    anchors = [w for w in body if w.bold and abs(w.right - rights["first"]) < 0.5]
    member = ""
    for anchor in anchors:
        row: dict[str, str] = {}
        for w in body:
            nearest = min(anchors, key=lambda a: abs(a.base - w.base))
            if nearest is not anchor or abs(w.base - anchor.base) > 4.8:
                continue
            for name, x in lefts.items():
                if abs(w.left - x) < 0.4:
                    row[name] = f"{row.get(name, '')} {w.text}".strip()
            for name, x in rights.items():
                if abs(w.right - x) < 0.4:
                    row[name] = f"{row.get(name, '')} {w.text}".strip()
        member = row.get("member", member)
        yield from _table_row(row, member, stage)


def _table_row(row: dict[str, str], member: str, stage: Stage) -> Iterator[Fastener]:
    said, _, edge = row["rows"].rpartition(" ")
    groups = _groups(said)
    first, n, step = millimetres(row["first"]), 0, 0.0
    if m := _STEPS.fullmatch(row.get("steps", "")):
        n, step = int(m[1]), millimetres(m[3]) / int(m[1])
    comb = Row(first, step, n + 1, groups if n else groups[:1])
    out = _LEFT_OUT.findall(row.get("out", ""))
    empty = [(millimetres(s), h and millimetres(h)) for s, h in out]
    kind = next((k for k in _KINDS if row.get("what", stage.kind).startswith(k)), "bolt")
    for whose in re.split(r",\s*", member):
        for station, height in comb.places():
            if not any(abs(s - station) < 1 and (not h or abs(h - height) < 1) for s, h in empty):
                side = edge.replace("middle", "lower")
                yield Fastener(stage.number, stage.face, whose, kind, station, height, side)
