"""The sheet that says what an inspection came to: verdict, reasons, counts, what to do, names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.wording import kind_words
from girderply.drawing.lettering import shorten, text_width
from girderply.drawing.style import NORMAL, SMALL
from girderply.inspection.result import Inspection
from girderply.inspection.words import HEADLINE, NBSP, side_in_words
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.units.words import printable

LARGE: Final = {
    "accepted": "ACCEPTED",
    "add": "NOT YET ACCEPTED",
    "engineer": "STOP: NOT ACCEPTED",
    "partial": "NO PASS: ONLY PARTLY INSPECTED",
}
NEXT: Final = {
    "engineer": "The engineer must decide. Nothing is added, loaded or lifted before that.",
    "partial": "Look at the rest, then judge again. Until then the girder has not passed.",
}
MOST: Final = 60  # lines of what was found, and of ids that nobody looked at
_WORD = 60.0  # mm; longer words of a job or a record are cut


def result_sheet(schedule: Schedule, x: Inspection) -> Sheet:
    """The result of one inspection, A4."""
    show = Show(schedule.job.info.units)
    piece = f"piece {x.piece} of {schedule.girder.quantity}"
    sheet = Sheet("inspection", f"Result of inspection, {piece}", "A4")
    sheet.blocks += [
        b.title(LARGE[x.verdict], f"girder {_safe(x.mark)}, {piece}"),
        *_verdict(schedule, x),
        b.facts(_facts(x)),
        *_to_do(schedule, x, show),
        b.heading("What is due and what was found"),
        _counts(x),
        *_found(x, show),
        *_notes(x),
        *_unseen(x),
        b.keep(b.signatures(("Inspector", "Made good by", "Engineer, if asked", "Date"))),
    ]
    return sheet


def _safe(text: str, width: float = _WORD, height: float = SMALL) -> str:
    """Text of a record as text on one line, its overlong words cut."""
    words = ("".join(c if c == NBSP else printable(c) for c in w) for w in text.split(" ") if w)
    fits = (
        w if text_width(w, height, True) <= width else shorten(w, width, height, True)
        for w in words
    )
    return " ".join(fits)


def _verdict(schedule: Schedule, x: Inspection) -> Iterator[Block]:
    if schedule.failed:
        yield b.callout(cautions.not_for_assembly(), ["The design itself fails its checks."], True)
    lines = [*([NEXT[x.verdict]] if x.verdict in NEXT else []), *map(_reason, x.reasons)]
    yield b.callout(HEADLINE[x.verdict], lines, heavy=not x.accepted)
    if schedule.job.info.demo:
        yield b.words(cautions.demo())


def _reason(text: str) -> str:
    text = _safe(text, 155.0)
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _facts(x: Inspection) -> list[tuple[str, str]]:
    due, counting = (sum(getattr(c, name) for c in x.counts) for name in ("due", "counting"))
    held = sum(c.ok for c in x.checks)
    added = ", with what is to be added" if len(x.make_good) else ""
    return [
        ("Job, girder", f"{_safe(x.job)}, {_safe(x.mark)}, revision {_safe(x.revision)}"),
        ("Inspected by", _safe(x.inspector, 120.0, NORMAL) or "nobody is named"),
        ("Date of inspection", _safe(x.date) or "not said"),
        ("In all", f"{due} due, {counting} count"),
        ("Checks that hold", f"{held} of {len(x.checks)}{added}" if x.checks else ""),
        ("Record", _hash(x.record_hash)),
        ("Record before it", _hash(x.previous_hash) if x.previous_hash else "none: the first"),
    ]


def _hash(text: str) -> str:
    """A hash in groups, so that it can be compared by eye and breaks at the end of a line."""
    return " ".join(text[i : i + 8] for i in range(0, len(text), 8))


def _to_do(schedule: Schedule, x: Inspection, show: Show) -> Iterator[Block]:
    if x.tighten:
        yield b.heading(f"Tighten {len(x.tighten)} {kind_words('bolt', len(x.tighten))}")
        yield _tighten(schedule, x.tighten, show)
    n = len(x.make_good)
    if n:
        yield b.heading(f"Add {n}")
        yield b.words(
            "Stations from each member's hook end. The drawing after this sheet shows where."
        )
        yield _adds(schedule, x, show)


def _tighten(schedule: Schedule, names: Sequence[str], show: Show) -> Block:
    f = schedule.fasteners
    index = {name: i for i, name in enumerate(f.id.tolist())}
    rows: list[list[b.Cell]] = []
    for name in names:
        i = index[name]
        where = show.station(float(f.station[i]))
        rows.append([b.strong(name), str(f.member[i]), str(f.spec[i]), where, b.BOX])
    heads = ("Bolt", "Member", "What", f"Station ({show.unit('length')})", "Done")
    align = ("left", "left", "left", "right", "center")
    return b.table(heads, rows, ("auto", "auto", "1fr", "auto", "auto"), align)


def _adds(schedule: Schedule, x: Inspection, show: Show) -> Block:
    rows: list[list[b.Cell]] = []
    for row, other in zip(x.make_good.records(), x.instead_of, strict=True):
        member = schedule.girder.member(str(row["member"]))
        rows.append([
            b.strong(str(row["id"])), member.id, ", ".join(_what(row, show)), str(row["face"]),
            b.strong(show.station(_mm(row["station"]))),
            side_in_words(_mm(row["offset"]), member, show), other or "\u2013", b.BOX,
        ])  # fmt: skip
    heads = ("Name", "In", "What", "Face", f"Station ({show.unit('length')})", "Where across",
             "Instead of", "Done")  # fmt: skip
    widths = ("auto", "auto", "1fr", "auto", "auto", "1fr", "auto", "auto")
    align = ("left", "left", "left", "left", "right", "left", "left", "center")
    return b.table(heads, rows, widths, align)


def _what(row: dict[str, object], show: Show) -> Iterator[str]:
    yield f"{row['kind']} {row['spec']}"
    if row["drilled"]:
        yield f"drill {show.diameter(_mm(row['drilled']))}"
    if row["clench"]:
        yield "clench the point"


def _mm(value: object) -> float:
    if not isinstance(value, int | float):
        raise TypeError(f"a length is a number, not {value!r}")
    return float(value)


def _counts(x: Inspection) -> Block:
    """Due, found and counting by stage and member; what is short stands out."""
    rows: list[list[b.Cell]] = []
    word = "open" if x.verdict == "partial" else "short"
    for c in x.counts:
        short = c.due - c.counting
        numbers: list[b.Cell] = [f"{c.due}", f"{c.found}", f"{c.counting}"]
        last: b.Cell = b.strong(f"{short} {word}") if short > 0 else ""
        rows.append([f"{c.stage}", c.member, kind_words(c.kind, 2), *numbers, last])
    heads = ("Stage", "Member", "What", "Due", "Found", "Count", "")
    align = ("right", "left", "left", "right", "right", "right", "left")
    return b.table(heads, rows, (*["auto"] * 6, "1fr"), align)


def _found(x: Inspection, show: Show) -> Iterator[Block]:
    """Each one that is not good or has a note."""
    if not x.remarks:
        return
    rows: list[list[b.Cell]] = []
    for r in x.remarks[:MOST]:
        by = f" by {show.small(r.by_mm)}" if r.by_mm is not None else ""
        counts = "" if r.state == "good" else "yes" if r.counts else "no"
        rows.append([r.id, show.station(r.station), f"{r.state}{by}", counts, _safe(r.note, 40.0)])
    heads = ("Name", f"Station ({show.unit('length')})", "Found", "Counts", "Note")
    yield b.heading("What was not good, or has a note")
    align = ("left", "right", "left", "left", "left")
    yield b.table(heads, rows, (*["auto"] * 4, "1fr"), align)
    if len(x.remarks) > MOST:
        yield b.words(f"And {len(x.remarks) - MOST} more; the JSON result has all of them.")


def _notes(x: Inspection) -> Iterator[Block]:
    if x.notes:
        yield b.heading("Worth knowing")
        yield b.words(*(_safe(note, 155.0) for note in x.notes))


def _unseen(x: Inspection) -> Iterator[Block]:
    if x.unseen:
        more = f" and {len(x.unseen) - MOST} more" if len(x.unseen) > MOST else ""
        yield b.heading(f"Not looked at: {len(x.unseen)}")
        yield b.words(", ".join(x.unseen[:MOST]) + more + ".")
