"""Brackets set out before the girder is lifted: as runs where they are alike, and drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from girderply.drawing.bracket_strips import bracket_strips
from girderply.drawing.page import Drawing
from girderply.drawing.strip_plan import RIGHT, StripPlan
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.sheet_words import heads
from girderply.schedule.types import BracketMark, Schedule
from girderply.units.show import Printed
from girderply.wording import Voice, Words
from girderply.wording.words import face_words

_CAPTION, _GAP = 4.0, 4.0
_SAME = 0.05  # mm


@dataclass(frozen=True, slots=True)
class BracketRun:
    """Brackets that are alike and stand at one spacing, in the order of the tape."""

    marks: tuple[BracketMark, ...]

    @property
    def step(self) -> float:
        """From middle to middle, mm; 0 for one alone."""
        return self.marks[1].station - self.marks[0].station if len(self.marks) > 1 else 0.0


def bracket_runs(schedule: Schedule) -> list[BracketRun]:
    """Neighbours of one chord and face that are alike, as long as their spacing stays."""
    runs: list[list[BracketMark]] = []
    for mark in sorted(schedule.brackets, key=lambda m: (m.chord, m.face, m.station, m.load)):
        if runs and _alike(runs[-1], mark):
            runs[-1].append(mark)
        else:
            runs.append([mark])
    return [BracketRun(tuple(run)) for run in runs]


def _alike(run: Sequence[BracketMark], mark: BracketMark) -> bool:
    last = run[-1]
    same = all(
        getattr(last, name) == getattr(mark, name)
        for name in ("what", "chord", "face", "flush_edge", "width", "height")
    )
    step = mark.station - last.station
    return same and (len(run) == 1 or abs(step - (run[1].station - run[0].station)) < _SAME)


def bracket_blocks(voice: Voice, schedule: Schedule) -> Iterator[Block]:
    """Table of the runs, and what to watch."""
    if not schedule.brackets:
        return
    show = Printed(schedule.job.info.units, voice)
    notes = dict.fromkeys(m.note for m in schedule.brackets if m.note)
    numbers = {note: f"({i})" for i, note in enumerate(notes, 1)}
    names = ("mark", "what", "chord", "face", "first_mark", "then", "last_mark", "seat", "size",
             "watch")  # fmt: skip
    align = ("left", "left", "left", "left", "right", "right", "right", "left", "right", "left")
    rows = [_row(voice, run, show, numbers) for run in bracket_runs(schedule)]
    yield b.heading(voice.phrase("brackets.title"))
    way = "standing" if schedule.job.assembly.upright else "lying"
    yield b.words(f"{voice.phrase('brackets.how')} {voice.phrase(f'brackets.fix_{way}')}")
    yield b.table(heads(voice, *names), rows, ["auto"] * 10, align)
    if notes:
        yield b.words(*(f"{number} {voice.told(note)}" for note, number in numbers.items()))


def bracket_pictures(voice: Voice, schedule: Schedule, width: float) -> list[Block]:
    """Every chord with brackets, face by face; two beside each other where they are short."""
    used = {m.chord for m in schedule.brackets}
    longest = max((schedule.girder.member(chord).length for chord in used), default=0.0)
    half = (width - _GAP) / 2
    if longest / 50 > half - _CAPTION - RIGHT:
        return [b.picture(d) for d in _strips(voice, schedule, width)]
    drawn = [b.picture(d) for d in _strips(voice, schedule, half)]
    return [b.columns(("1fr", "1fr"), *([p] for p in pair)) for pair in _pairs(drawn)]


def _pairs(pictures: Sequence[Block]) -> Iterator[Sequence[Block]]:
    """Two by two, the last perhaps alone."""
    return (pictures[k : k + 2] for k in range(0, len(pictures), 2))


def _row(voice: Voice, run: BracketRun, show: Printed, numbers: dict[Words, str]) -> list[b.Cell]:
    first, last = run.marks[0], run.marks[-1]
    n = len(run.marks) - 1
    name = first.load if not n else voice.phrase("sheet.range", first=first.load, last=last.load)
    steps = voice.phrase("runs.steps", n=n, count=n, step=show.length(run.step),
                   length=show.length(n * run.step)) if n else "\u2013"  # fmt: skip
    plates = sorted({m.on_plate for m in run.marks if m.on_plate})
    plate = voice.phrase("brackets.plate", joint=", ".join(plates)) if plates else ""
    watch = dict.fromkeys(numbers[m.note] for m in run.marks if m.note)
    size = f"{show.length(first.width)} \u00d7 {show.length(first.height)}"
    if first.assumed:
        size = voice.phrase("brackets.kept_clear", width=show.length(first.width))
    return [
        b.strong(name), first.what, first.chord, voice.told(face_words(first.face)),
        b.strong(show.station(first.station)), steps,
        show.station(last.station) if n else "\u2013", voice.told(first.flush_edge), size,
        " ".join(w for w in (plate, *watch) if w),
    ]  # fmt: skip


def _strips(voice: Voice, schedule: Schedule, width: float) -> Iterator[Drawing]:
    """Every chord with brackets, face by face, as it is seen from that face."""
    used = dict.fromkeys((m.chord, m.face) for m in schedule.brackets)
    for chord, face in used:
        member = schedule.girder.member(chord)
        room = width - _CAPTION - RIGHT
        scale = next((n for n in (20, 50, 100) if member.length / n <= room), 100)
        plan = StripPlan(scale, face, width, caption=_CAPTION)
        words = {"chord": chord, "face": face_words(face), "scale": scale}
        front = face == "front"
        title = (
            voice.phrase("brackets.face", **words)
            if front
            else voice.phrase("brackets.face_back", **words)
        )
        yield from bracket_strips(voice, schedule, member, plan, title)
