"""The sheet that says what an inspection came to: verdict, reasons, counts, what to do, names."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any, Final

from girderply.drawing.lettering import breaking
from girderply.drawing.style import NORMAL, SMALL
from girderply.inspection.result import Inspection, Remark
from girderply.inspection.result_words import (
    NBSP,
    fastener_in_words,
    headline,
    side_in_words,
    work_in_words,
)
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.schedule import cautions
from girderply.schedule.types import Schedule
from girderply.units.short_text import printable
from girderply.units.show import Printed, Show
from girderply.wording import Voice, joined
from girderply.wording.words import face_words, kind_words, spec_words

WITH_NEXT: Final = ("engineer", "partial")  # verdicts that say what comes next
MOST: Final = 60  # lines of what was found, and of ids that nobody looked at
_WORD = 60.0  # mm; longer words of a job or a record are cut


def result_sheet(voice: Voice, schedule: Schedule, x: Inspection) -> Sheet:
    """The result of one inspection, A4."""
    show = Printed(schedule.job.info.units, voice)
    piece = voice.phrase("inspection.piece", piece=x.piece, all=schedule.girder.quantity)
    sheet = Sheet("inspection", voice.phrase("inspection.result_title", piece=piece), "A4")
    sheet.blocks += [
        b.title(
            voice.phrase(f"inspection.large_{x.verdict}"),
            voice.phrase("inspection.girder_piece", mark=safe(x.mark), piece=piece),
        ),
        *_verdict(voice, schedule, x),
        b.facts(_facts(voice, x)),
        *_to_do(voice, schedule, x, show),
        b.heading(voice.phrase("inspection.due_and_found")),
        counts_table(voice, schedule, x),
        *_found(voice, x, show),
        *_notes(voice, x),
        *_unseen(voice, x),
        b.keep(b.signatures(_names(voice))),
    ]
    return sheet


def _names(voice: Voice) -> tuple[str, ...]:
    return (
        voice.phrase("inspection.by_inspector"),
        voice.phrase("inspection.by_maker"),
        voice.phrase("inspection.by_engineer"),
        voice.phrase("sheet.date"),
    )


def safe(text: str, width: float = _WORD, height: float = SMALL) -> str:
    """Text of a record as text on one line, with places to break its overlong words."""
    words = ("".join(c if c == NBSP else printable(c) for c in w) for w in text.split(" ") if w)
    return breaking(" ".join(words), width, height, bold=True)


def _verdict(voice: Voice, schedule: Schedule, x: Inspection) -> Iterator[Block]:
    if schedule.failed:
        yield b.callout(
            voice.told(cautions.not_for_assembly()),
            [voice.phrase("inspection.design_callout")],
            True,
        )
    after = [voice.phrase(f"inspection.next_{x.verdict}")] if x.verdict in WITH_NEXT else []
    lines = [*after, *map(_reason, map(voice.told, x.reasons))]
    yield b.callout(voice.told(headline(x.verdict)), lines, heavy=not x.accepted)
    if schedule.job.info.demo:
        yield b.words(voice.told(cautions.demo()))


def _reason(text: str) -> str:
    text = safe(text, 155.0)
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _facts(voice: Voice, x: Inspection) -> list[tuple[str, str]]:
    due, counting = (sum(getattr(c, name) for c in x.counts) for name in ("due", "counting"))
    held = sum(c.ok for c in x.checks)
    checks = voice.phrase(
        "inspection.checks_held_added" if len(x.make_good) else "inspection.checks_held",
        held=held,
        all=len(x.checks),
    )
    own = {"job": safe(x.job), "mark": safe(x.mark), "revision": safe(x.revision)}
    inspector = safe(x.inspector, 120.0, NORMAL) or voice.phrase("inspection.nobody")
    before = grouped(x.previous_hash) if x.previous_hash else voice.phrase("inspection.first")
    return [
        (voice.phrase("inspection.fact_girder"), voice.phrase("inspection.girder_revision", **own)),
        (voice.phrase("inspection.fact_inspected"), inspector),
        (voice.phrase("inspection.fact_date"), safe(x.date) or voice.phrase("inspection.not_said")),
        (
            voice.phrase("inspection.fact_all"),
            voice.phrase("inspection.due_counting", due=due, counting=counting),
        ),
        (voice.phrase("inspection.fact_checks"), checks if x.checks else ""),
        (voice.phrase("inspection.fact_record"), grouped(x.record_hash)),
        (voice.phrase("inspection.fact_before"), before),
    ]


def grouped(text: str) -> str:
    """A hash in groups, so that it can be compared by eye and breaks at the end of a line."""
    return " ".join(text[i : i + 8] for i in range(0, len(text), 8))


def _to_do(voice: Voice, schedule: Schedule, x: Inspection, show: Printed) -> Iterator[Block]:
    if x.tighten:
        yield b.heading(voice.phrase("inspection.tighten", n=len(x.tighten)))
        yield _tighten(voice, schedule, x.tighten, show)
    n = len(x.make_good)
    if n:
        yield b.heading(voice.phrase("inspection.add", number=n))
        yield b.words(voice.phrase("inspection.adds_how"))
        yield _adds(voice, schedule, x, show)


def _tighten(voice: Voice, schedule: Schedule, names: Sequence[str], show: Printed) -> Block:
    f = schedule.fasteners
    index = {name: i for i, name in enumerate(f.id.tolist())}
    rows: list[list[b.Cell]] = []
    for name in names:
        i = index[name]
        where = show.station(float(f.station[i]))
        rows.append(
            [b.strong(name), str(f.member[i]), voice.told(spec_words(str(f.spec[i]))), where, b.BOX]
        )
    heads = (
        voice.phrase("inspection.bolt"),
        voice.phrase("inspection.member"),
        voice.phrase("inspection.what"),
        _station_head(voice, show),
        voice.phrase("inspection.done"),
    )
    align = ("left", "left", "left", "right", "center")
    return b.table(heads, rows, ("auto", "auto", "1fr", "auto", "auto"), align)


def _adds(voice: Voice, schedule: Schedule, x: Inspection, show: Printed) -> Block:
    rows: list[list[b.Cell]] = []
    for row, other in zip(x.make_good.records(), x.instead_of, strict=True):
        member = schedule.girder.member(str(row["member"]))
        rows.append([
            b.strong(str(row["id"])), member.id, _what(voice, row, show),
            voice.told(face_words(str(row["face"]))), b.strong(show.station(_mm(row["station"]))),
            voice.told(side_in_words(_mm(row["offset"]), member, Show(show.system))),
            other or "\u2013", b.BOX,
        ])  # fmt: skip
    heads = (
        voice.phrase("inspection.name"),
        voice.phrase("inspection.in"),
        voice.phrase("inspection.what"),
        voice.phrase("inspection.face"),
        _station_head(voice, show),
        voice.phrase("inspection.across"),
        voice.phrase("inspection.instead"),
        voice.phrase("inspection.done"),
    )
    widths = ("auto", "auto", "1fr", "auto", "auto", "1fr", "auto", "auto")
    align = ("left", "left", "left", "left", "right", "left", "left", "center")
    return b.table(heads, rows, widths, align)


def _station_head(voice: Voice, show: Printed) -> str:
    return voice.phrase("inspection.station", unit=show.unit("length"))


def _what(voice: Voice, row: dict[str, Any], show: Printed) -> str:
    return voice.told(
        joined(", ", [fastener_in_words(row), *work_in_words(row, Show(show.system))])
    )


def _mm(value: object) -> float:
    if not isinstance(value, int | float):
        raise TypeError(f"a length is a number, not {value!r}")
    return float(value)


def counts_table(voice: Voice, schedule: Schedule, x: Inspection) -> Block:
    """Due, found and counting by stage and member; what is short or was not seen stands out."""
    rows: list[list[b.Cell]] = []
    f, unseen = schedule.fasteners, set(x.unseen)
    columns = (f.id.tolist(), f.stage.tolist(), f.member.tolist(), f.kind.tolist())
    hidden = Counter(tuple(key) for name, *key in zip(*columns, strict=True) if name in unseen)
    for c in x.counts:
        away = hidden[c.stage, c.member, c.kind]
        short = c.due - c.counting - away
        numbers: list[b.Cell] = [f"{c.due}", f"{c.found}", f"{c.counting}"]
        said = [voice.phrase("inspection.short", number=short)] if short > 0 else []
        said += [voice.phrase("inspection.open", number=away)] if away else []
        last: b.Cell = b.strong(", ".join(said)) if said else ""
        rows.append([f"{c.stage}", c.member, voice.told(kind_words(c.kind, 2)), *numbers, last])
    heads = (
        voice.phrase("inspection.stage"),
        voice.phrase("inspection.member"),
        voice.phrase("inspection.what"),
        voice.phrase("inspection.due"),
        voice.phrase("inspection.found"),
        voice.phrase("inspection.count"),
        "",
    )
    align = ("right", "left", "left", "right", "right", "right", "left")
    return b.table(heads, rows, (*["auto"] * 6, "1fr"), align)


def _found(voice: Voice, x: Inspection, show: Printed) -> Iterator[Block]:
    """Each one that is not good or has a note."""
    if not x.remarks:
        return
    rows: list[list[b.Cell]] = []
    for r in x.remarks[:MOST]:
        yes = voice.phrase("inspection.yes" if r.counts else "inspection.no")
        counts = "" if r.state == "good" else yes
        rows.append([
            r.id, show.station(r.station), state_words(voice, r, show), counts, safe(r.note, 40.0),
        ])  # fmt: skip
    heads = (
        voice.phrase("inspection.name"),
        _station_head(voice, show),
        voice.phrase("inspection.found"),
        voice.phrase("inspection.counts"),
        voice.phrase("inspection.note"),
    )
    yield b.heading(voice.phrase("inspection.not_good_heading"))
    align = ("left", "right", "left", "left", "left")
    yield b.table(heads, rows, (*["auto"] * 4, "1fr"), align)
    if len(x.remarks) > MOST:
        yield b.words(voice.phrase("inspection.remarks_more", number=len(x.remarks) - MOST))


def state_words(voice: Voice, r: Remark, show: Printed) -> str:
    """What was found of a fastener, and how far off one is."""
    state = voice.phrase(f"inspection.state_{r.state}")
    if r.by_mm is None:
        return state
    return voice.phrase("inspection.state_by", state=state, by=show.small(r.by_mm))


def _notes(voice: Voice, x: Inspection) -> Iterator[Block]:
    if x.notes:
        yield b.heading(voice.phrase("inspection.worth_knowing"))
        yield b.words(*(safe(voice.told(note), 155.0) for note in x.notes))


def _unseen(voice: Voice, x: Inspection) -> Iterator[Block]:
    if x.unseen:
        ids, more = ", ".join(x.unseen[:MOST]), len(x.unseen) - MOST
        yield b.heading(voice.phrase("inspection.unseen_heading", number=len(x.unseen)))
        if more > 0:
            yield b.words(voice.phrase("inspection.unseen_list_more", ids=ids, number=more))
        else:
            yield b.words(voice.phrase("inspection.unseen_list", ids=ids))
