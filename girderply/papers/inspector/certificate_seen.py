"""What people saw, signed, found and decided: the tables of a certificate."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from girderply.inspection.acceptance import Acceptance
from girderply.inspection.record import Record, StageSeen
from girderply.inspection.result import Inspection, Remark
from girderply.inspection.result_words import fastener_in_words
from girderply.papers.inspector.verdict_sheet import grouped, safe, state_words
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.schedule.types import Schedule
from girderply.units.show import Printed
from girderply.wording import Voice

MOST: Final = 60
DASH: Final = "\u2013"
WASHERS: Final = {"as drawn": "drawn", "other": "other"}


def visits(voice: Voice, made: Acceptance) -> Iterator[Block]:
    """Each record: by whom, when, what was looked at, what it came to, its hash."""
    rows: list[list[b.Cell]] = []
    for i, (record, result) in enumerate(zip(made.records, made.results, strict=True), 1):
        looked = voice.phrase(
            "certificate.looked_at", marks=len(record.marks), counts=len(record.counts)
        )
        came = voice.phrase(f"certificate.verdict_{result.verdict}")
        name, date = safe(record.inspector), safe(record.date)
        rows.append([b.strong(f"{i}"), name, date, looked, came, grouped(record.hash)])
    heads = tuple(
        voice.phrase(f"certificate.{n}")
        for n in ("visit", "who", "when", "looked", "came_to", "digest")
    )
    yield b.heading(voice.phrase("certificate.visits"))
    yield b.table(heads, rows, ("auto", "1fr", "auto", "auto", "auto", "1.6fr"), ["left"] * 6)


def hold_points(voice: Voice, made: Acceptance, show: Printed) -> Iterator[Block]:
    """Each stage: who signed its hold point, what was read of what went in."""
    seen = {s.stage: s for s in made.seen.stages}
    rows: list[list[b.Cell]] = []
    for stage in made.schedule.stages:
        if not np.any(made.schedule.fasteners.stage == stage.number) and not stage.hold_point:
            continue
        own = seen.get(stage.number, StageSeen(stage.number))
        washers = (
            voice.phrase(f"certificate.washers_{WASHERS[own.washers]}") if own.washers else DASH
        )
        rows.append([
            b.strong(f"{stage.number}"), _signed(voice, made.seen, stage.number),
            _sizes(voice, own, show), safe(own.finish) or DASH, washers,
            _clenched(voice, made.schedule, own),
            f"{sum(p.of == f'stage {stage.number}' for p in made.seen.photos)}",
        ])  # fmt: skip
    names = ("stage", "signed", "nails", "finish", "washers", "clenched", "photos_of")
    heads = tuple(voice.phrase(f"certificate.{n}") for n in names)
    widths = ("auto", "1.4fr", "1.4fr", "1fr", "auto", "auto", "auto")
    yield b.heading(voice.phrase("certificate.hold_points"))
    yield b.table(heads, rows, widths, [*["left"] * 5, "right", "right"])


def _signed(voice: Voice, seen: Record, stage: int) -> str:
    own = [s for s in seen.signatures if s.stage == stage and s.name.strip()]
    parts = [
        voice.phrase("certificate.signed_by", name=safe(s.name), date=safe(s.date))
        for s in dict.fromkeys(own)
    ]
    return "; ".join(parts) or DASH


def _sizes(voice: Voice, own: StageSeen, show: Printed) -> str:
    parts = [
        voice.phrase(
            "certificate.nail",
            d=show.diameter(n.d_mm),
            length=show.small(n.length_mm),
            source=voice.phrase(f"certificate.from_{n.read_from}"),
        )
        for n in own.nails
    ]
    return "; ".join(parts) or DASH


def _clenched(voice: Voice, schedule: Schedule, own: StageSeen) -> str:
    f = schedule.fasteners
    due = int(np.sum((f.stage == own.stage) & f.clench))
    return voice.phrase("certificate.of_due", found=own.clenched or 0, due=due) if due else DASH


def faults(voice: Voice, made: Acceptance, show: Printed) -> Iterator[Block]:
    """What was not good in any record, and what was added for it."""
    found: dict[tuple[str, str, str], tuple[int, Remark]] = {}
    for i, result in enumerate(made.results, 1):
        for r in result.remarks:
            if r.state != "good":
                found.setdefault((r.id, r.state, r.note), (i, r))
    yield b.heading(voice.phrase("certificate.faults"))
    if not found:
        yield b.words(voice.phrase("certificate.faults_none"))
    else:
        yield _fault_table(voice, list(found.values())[:MOST], show)
    if len(found) > MOST:
        yield b.words(voice.phrase("certificate.faults_more", n=len(found) - MOST))
    yield b.heading(voice.phrase("certificate.made_good"))
    rows = [
        row for i, result in enumerate(made.results, 1) for row in _added(voice, i, result, show)
    ]
    if not rows:
        yield b.words(voice.phrase("certificate.made_good_none"))
        return
    heads = (
        voice.phrase("inspection.name"), voice.phrase("inspection.what"),
        voice.phrase("inspection.in"),
        voice.phrase("inspection.station", unit=show.unit("length")),
        voice.phrase("inspection.instead"), voice.phrase("certificate.added_after"),
    )  # fmt: skip
    align = ("left", "left", "left", "right", "left", "right")
    yield b.table(heads, rows, ("auto", "1fr", "auto", "auto", "auto", "auto"), align)


def _fault_table(voice: Voice, found: list[tuple[int, Remark]], show: Printed) -> Block:
    rows: list[list[b.Cell]] = [
        [
            f"{i}",
            b.strong(r.id),
            show.station(r.station),
            state_words(voice, r, show),
            safe(r.note, 60.0),
        ]
        for i, r in found
    ]
    heads = (
        voice.phrase("certificate.visit"), voice.phrase("inspection.name"),
        voice.phrase("inspection.station", unit=show.unit("length")),
        voice.phrase("inspection.found"), voice.phrase("inspection.note"),
    )  # fmt: skip
    align = ("right", "left", "right", "left", "left")
    return b.table(heads, rows, (*["auto"] * 4, "1fr"), align)


def _added(voice: Voice, number: int, result: Inspection, show: Printed) -> Iterator[list[b.Cell]]:
    for row, other in zip(result.make_good.records(), result.instead_of, strict=True):
        at, what = float(str(row["station"])), voice.told(fastener_in_words(row))
        yield [
            b.strong(str(row["id"])), what, str(row["member"]), show.station(at), other or DASH,
            f"{number}",
        ]  # fmt: skip


def decisions(voice: Voice, made: Acceptance) -> Iterator[Block]:
    """Every question, also each note of the inspector, with what was decided about it."""
    decided = {
        q.key: (q.text, q.decided)
        for result in made.results
        for q in result.asks
        if q.decided is not None
    }
    yield b.heading(voice.phrase("certificate.decisions"))
    if not decided:
        yield b.words(voice.phrase("certificate.decisions_none"))
        return
    rows = [
        [
            safe(voice.told(text), 80.0),
            voice.phrase(
                "certificate.decided_by",
                kind=voice.phrase(f"inspection.decided_{d.kind}"),
                name=safe(d.name),
                date=safe(d.date),
                why=safe(d.text, 60.0),
            ),
        ]
        for text, d in decided.values()
    ]
    heads = (voice.phrase("certificate.question"), voice.phrase("certificate.decision"))
    yield b.table(heads, rows, ("1fr", "1fr"), ("left", "left"))
