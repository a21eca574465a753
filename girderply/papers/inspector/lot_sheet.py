"""The page of a lot: every girder, its records, how it stands, what is left to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from girderply.inspection.lot_verdict import Lot, Piece
from girderply.inspection.sampling import SamplePlan
from girderply.papers.inspector.verdict_sheet import safe
from girderply.papers.page import blocks as b
from girderply.papers.page.attached import Attached
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.typeset import render_made
from girderply.schedule.speech import own_voice
from girderply.schedule.types import Schedule
from girderply.units.show import Show
from girderply.wording import Voice

Before = tuple[int, int] | None
DASH: Final = "\u2013"
GOOD: Final = ("accepted", "closed")


def lot_pdf(schedule: Schedule, lot: Lot, seed: str, data: str, before: Before = None) -> bytes:
    """One PDF/A-3 of a lot; the same records give the same bytes.

    Args:
        schedule: of the girder.
        lot: judged.
        seed: that the sample was drawn from.
        data: the lot as JSON, which goes inside.
        before: how many lots were before it and how many of the last five were not accepted;
            None where nobody said.

    Raises:
        OutputError: the page template could not be laid out.
    """
    voice = own_voice(schedule)
    inside = Attached("lot.json", data, "application/json", voice.phrase("lot.file"), "data")
    return render_made(schedule, [lot_sheet(voice, schedule, lot, seed, before)], attached=[inside])


def lot_sheet(
    voice: Voice, schedule: Schedule, lot: Lot, seed: str, before: Before = None
) -> Sheet:
    """The lot as a sheet, A4 or letter."""
    imperial = Show(schedule.job.info.units).imperial
    sheet = Sheet("lot", voice.phrase("lot.title"), "letter" if imperial else "A4")
    verdict, plan = lot.result.verdict, lot.plan
    left = sum(p.now.verdict != "accepted" for p in lot.pieces.values())
    sheet.blocks += [
        b.title(
            voice.phrase(f"lot.large_{verdict}"),
            voice.phrase("lot.of", n=plan.lot_size, mark=schedule.girder.mark),
        ),
        b.callout(
            voice.phrase(f"lot.head_{verdict}"),
            [voice.phrase("lot.bad_left", n=len(lot.result.nonconforming), left=left)],
            heavy=verdict not in GOOD,
        ),
        b.facts(
            [*_facts(voice, plan, lot, seed), (voice.phrase("lot.before"), _before(voice, before))]
        ),
        b.words(voice.phrase("lot.sampling_only_agreed")),
        b.heading(voice.phrase("lot.girders")),
        _girders(voice, lot),
        b.keep(b.signatures(_names(voice))),
    ]
    return sheet


def _names(voice: Voice) -> tuple[str, ...]:
    return (
        voice.phrase("lot.judged_by"),
        voice.phrase("sheet.signature"),
        voice.phrase("sheet.date"),
    )


def _facts(voice: Voice, plan: SamplePlan, lot: Lot, seed: str) -> list[tuple[str, str]]:
    numbers = ", ".join(map(str, lot.sample))
    return [
        (voice.phrase("lot.plan"),
         voice.phrase("lot.plan_is", aql=f"{plan.aql:g}", level=plan.level, letter=plan.plan_letter,
                      mode=voice.phrase(f"lot.mode_{plan.mode}"))),
        (voice.phrase("lot.inspect"), f"{plan.size}"),
        (voice.phrase("lot.limits"),
         voice.phrase("lot.limits_are", accept=plan.accept, reject=plan.reject)),
        (voice.phrase("lot.sample"), numbers or voice.phrase("lot.not_drawn")),
        (voice.phrase("lot.seed"), safe(seed) if seed else DASH),
    ]  # fmt: skip


def _before(voice: Voice, before: Before) -> str:
    if before is None:
        return voice.phrase("lot.before_unknown")
    return voice.phrase("lot.before_are", n=before[0], rejected=before[1])


def _girders(voice: Voice, lot: Lot) -> Block:
    rows = [_row(voice, n, lot) for n in range(1, lot.plan.lot_size + 1)]
    names = ("no", "in_sample", "records", "by", "found", "now", "to_do")
    heads = tuple(voice.phrase(f"lot.{n}") for n in names)
    widths = ("auto", "auto", "1fr", "1.6fr", "auto", "auto", "1.6fr")
    return b.table(heads, rows, widths, ["right", *["left"] * 6])


def _row(voice: Voice, number: int, lot: Lot) -> list[b.Cell]:
    drawn = voice.phrase("inspection.yes") if number in lot.sample else DASH
    piece = lot.pieces.get(number)
    if piece is None:
        every = lot.result.verdict == "rejected"  # then the sample is not enough
        todo = voice.phrase("lot.look") if every or number in lot.sample else DASH
        return [b.strong(f"{number}"), drawn, DASH, DASH, DASH, DASH, todo]
    files = ", ".join(safe(path.name, 30.0) for path in piece.records)
    now = voice.phrase(f"certificate.verdict_{piece.now.verdict}")
    who = voice.phrase(
        "certificate.signed_by", name=safe(piece.now.inspector, 25.0), date=piece.now.date
    )
    return [
        b.strong(f"{number}"), drawn, files, who,
        voice.phrase(f"certificate.verdict_{piece.found}"), b.strong(now),
        "; ".join(_to_do(voice, piece)),
    ]  # fmt: skip


def _to_do(voice: Voice, piece: Piece) -> Iterator[str]:
    """What is left, in few words; the result of the girder has all of it."""
    now = piece.now
    if now.verdict == "accepted":
        yield DASH
    elif now.verdict == "add":
        if len(now.make_good):
            yield voice.phrase("inspection.add", number=len(now.make_good))
        if now.tighten:
            yield voice.phrase("inspection.tighten", n=len(now.tighten))
    else:
        yield safe(voice.told(now.reasons[0]), 60.0)
        if len(now.reasons) > 1:
            yield voice.phrase("lot.and_more", n=len(now.reasons) - 1)
