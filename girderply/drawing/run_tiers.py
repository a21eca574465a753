"""Dimensions of the runs on a strip: "22 × 150 = 3 300" between the first and the last mark.

[ISO 129-1: equally spaced features as number x spacing = length; running dimensions from an
origin; from memory] Each line carries what row it is, the figure of its first and of its last mark
from the hook end, and the steps between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.drawing import style
from girderply.drawing.dimension import Figure, Track, arrow, running_dimension
from girderply.drawing.lettering import text_width
from girderply.drawing.placement import Placement
from girderply.drawing.primitives import Line, Shape, Text
from girderply.drawing.runs_shown import ShownRun, offset_of
from girderply.drawing.strip_plan import Piece, StripPlan
from girderply.units.show import Printed
from girderply.wording import Voice

_GAP, _HIGH = 1.6, 3.9  # mm between lines, height of one line
_CLEAR = 2.0
_BETWEEN = 1.6  # mm between figures and words that stand in a row


@dataclass(slots=True)
class Tiers:
    """Lines under a strip, how deep they reach and how far to the right, mm."""

    depth: float = 0.0
    right: float = 0.0
    shapes: list[Shape] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Span:
    """The part of a run that is on a piece: paper x of its first and last mark, its words."""

    a: float
    b: float
    words: str
    low: str
    high: str

    @property
    def crowded(self) -> bool:
        """Whether the figures of both ends would touch: then all stands in one line of words."""
        low, high = (text_width(w, style.SMALL, True) for w in (self.low, self.high))
        return bool(self.words) and abs(self.b - self.a) < (low + high) / 2 + 1.5

    def extent(self) -> tuple[float, float]:
        """What the line takes on paper, with its words, mm."""
        low, high = (text_width(w, style.SMALL, True) for w in (self.low, self.high))
        inner = text_width(self.words, style.SMALL)
        left, right = min(self.a, self.b), max(self.a, self.b)
        if self.crowded:
            start = left - low / 2
            return start, start + low + inner + high + 2 * _BETWEEN
        first, last = (low, high) if self.a <= self.b else (high, low)
        if not self.words:
            return left - low / 2, left + low / 2
        if right - left >= inner + first / 2 + last / 2 + 4.0:
            return left - first / 2, right + last / 2
        return left - first / 2, right + last / 2 + _BETWEEN + inner


def run_tiers(
    voice: Voice,
    runs: Sequence[ShownRun],
    piece: Piece,
    placement: Placement,
    plan: StripPlan,
    show: Printed,
) -> Tiers:
    """Lines below a strip for its runs, those of the same rows together, nearest first.

    A line of bolts says so, where nails may stand beside it.
    """
    edge = placement.origin[1] + piece.member.depth / 2 * placement.scale
    tiers = Tiers()
    said = [rows_seen(voice, run.seen_from(_first_on(run, piece)), show) for run in runs]
    for rows in dict.fromkeys(said):
        mine = [run for run, words in zip(runs, said, strict=True) if words == rows]
        spans = [
            s
            for run in mine
            if (s := _span(voice, run, piece, placement, show, plan.caption - 4.0))
        ]
        for k, line in enumerate(_lines(spans)):
            tiers.depth += _GAP + _HIGH
            y = edge + tiers.depth - _HIGH / 2 + 0.3
            if k == 0:
                caption = Text((plan.caption - 5.0, y), rows, anchor="end", tag="rows")
                tiers.shapes.append(caption)
            for span in line:
                tiers.shapes += _drawn(span, y)
                tiers.right = max(tiers.right, span.extent()[1])
    return tiers


def _lines(spans: Sequence[_Span]) -> list[list[_Span]]:
    """Spans side by side on as few lines as keep them apart."""
    lines: list[list[_Span]] = []
    for span in sorted(spans, key=lambda s: s.extent()[0]):
        free = next((n for n in lines if n[-1].extent()[1] + _CLEAR < span.extent()[0]), None)
        if free is None:
            lines.append([span])
        else:
            free.append(span)
    return lines


def rows_words(voice: Voice, run: ShownRun, show: Printed) -> str:
    """Rows above the lower edge: 65; 65 / 130 in turn; 65 + 130 at each mark."""
    groups = [" + ".join(show.value(h, "small") for h in group) for group in run.groups]
    if len(groups) > 1:
        return voice.phrase("runs.in_turn", heights=" / ".join(groups))
    if len(run.heights) > 1:
        return voice.phrase("runs.at_each", heights=groups[0])
    return groups[0]


def rows_seen(voice: Voice, run: ShownRun, show: Printed) -> str:
    """What stands at the left of a line of dimensions: its rows, and bolts where it is of bolts."""
    rows = rows_words(voice, run, show)
    return (
        voice.phrase("runs.rows_of_bolts", heights=rows) if run.kind == FastenerKind.BOLT else rows
    )


def empty_marks(runs: Sequence[ShownRun], piece: Piece, scale: int) -> list[Shape]:
    """Small slanted crosses where a mark stays empty, in station and offset mm."""
    half = 0.9 * scale
    shapes: list[Shape] = []
    for run in runs:
        for x in run.left_out:
            station = run.first + x.mark * run.step
            if not (piece.start <= station < piece.end or (piece.last and station >= piece.end)):
                continue
            there = run.groups[x.mark % len(run.groups)]
            for height in [x.height] if x.height is not None else there:
                y = offset_of(piece.member, height)
                for sign in (1.0, -1.0):
                    a = (station - half, y - sign * half)
                    z = (station + half, y + sign * half)
                    shapes.append(Line(a, z, style.THIN, tag="left-out"))
    return shapes


def _marks_on(run: ShownRun, piece: Piece) -> list[int]:
    """The numbers of its marks that stand on a piece."""
    return [
        k
        for k in range(run.marks)
        if (run.first + k * run.step >= piece.start or piece.first)
        and (run.first + k * run.step < piece.end or piece.last)
    ]


def _first_on(run: ShownRun, piece: Piece) -> int:
    return next(iter(_marks_on(run, piece)), 0)


def _span(
    voice: Voice, run: ShownRun, piece: Piece, placement: Placement, show: Printed, least: float
) -> _Span | None:
    """The marks of a run that stand on a piece; None where there are none.

    No figure begins left of `least`, where the heights of the rows are written.
    """
    marks = _marks_on(run, piece)
    if not marks:
        return None
    low, high = run.first + marks[0] * run.step, run.first + marks[-1] * run.step
    n = marks[-1] - marks[0]
    words = ""
    if n:
        words = voice.phrase("runs.steps", n=n, count=n, step=show.length(run.step),
                       length=show.length(n * run.step))  # fmt: skip
    first = f"{show.station(low)} {run.name}" if run.name else show.station(low)
    figures = (first, show.station(high) if n else "")
    a, b = (
        max(placement.point((s, 0.0))[0], least + text_width(figure, style.SMALL, True) / 2)
        for s, figure in zip((low, high), figures, strict=True)
    )
    return _Span(a, b if n else a, words, *figures)


def _drawn(span: _Span, y: float) -> list[Shape]:
    """First mark, steps, last mark on one line."""
    if span.crowded:
        return _in_a_row(span, y)
    shapes: list[Shape] = [Text((span.a, y), span.low, bold=True, mask=True, tag="run-first")]
    if not span.words:
        return shapes
    shapes.append(Text((span.b, y), span.high, bold=True, mask=True, tag="run-last"))
    left, right = min(span.a, span.b), max(span.a, span.b)
    first, last = (span.low, span.high) if span.a <= span.b else (span.high, span.low)
    start = left + text_width(first, style.SMALL, True) / 2 + 0.8
    end = right - text_width(last, style.SMALL, True) / 2 - 0.8
    if end - start >= text_width(span.words, style.SMALL) + 2.4:
        shapes += [
            Line((start, y), (end, y), style.DIMENSION, tag="run-line"),
            arrow((start, y), 180.0, 1.6),
            arrow((end, y), 0.0, 1.6),
            Text(((start + end) / 2, y), span.words, mask=True, tag="run-steps"),
        ]
    else:
        x = right + text_width(last, style.SMALL, True) / 2 + _BETWEEN
        shapes.append(Text((x, y), span.words, anchor="start", mask=True, tag="run-steps"))
    return shapes


def _in_a_row(span: _Span, y: float) -> list[Shape]:
    """First mark, steps and last mark as words beside each other."""
    x = span.extent()[0]
    shapes: list[Shape] = []
    for words, bold, tag in (
        (span.low, True, "run-first"),
        (span.words, False, "run-steps"),
        (span.high, True, "run-last"),
    ):
        shapes.append(Text((x, y), words, anchor="start", bold=bold, mask=True, tag=tag))
        x += text_width(words, style.SMALL, bold) + _BETWEEN
    return shapes


def bolt_words(voice: Voice, name: str, station: float, height: float | None, show: Printed) -> str:
    """B2 1 655, or B2 1 655 at 65 where the bolts of a member are in several rows."""
    said = f"{name.rpartition('-')[2]}  {show.station(station)}"
    if height is None:
        return said
    return voice.phrase("runs.bolt_at", bolt=said, height=show.value(height, "small"))


def bolt_tier(
    voice: Voice, runs: Sequence[ShownRun], piece: Piece, placement: Placement, show: Printed
) -> tuple[list[Shape], float]:
    """A running dimension above the strip: each bolt's name, and its mark if it stands alone.

    Those of a comb are told once, below the strip.
    """
    figures = []
    alike = len({run.heights for run in runs}) < 2
    for run in runs:
        for station, name in zip(run.at, run.ids, strict=True):
            if (station >= piece.start or piece.first) and (station < piece.end or piece.last):
                x, y = placement.point((station, 0.0))
                height = None if alike else run.heights[0]
                alone = bolt_words(voice, name, station, height, show)
                text = name.rpartition("-")[2] if run.marks > 1 else alone
                figures.append(Figure(x, y, text, bold=True))
    xs = [placement.point((s, 0.0))[0] for s in (piece.start, piece.end)]
    edge = placement.origin[1] - piece.member.depth / 2 * placement.scale
    track = Track(edge - _GAP, xs[0], -1, min(xs) - 2.0, max(xs) + 4.0, piece.first)
    shapes, reach = running_dimension(figures, track)
    return shapes, (reach + _GAP if figures else 0.0)
