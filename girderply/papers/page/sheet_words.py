"""Words for findings, checks and stages, the same on every sheet."""

from __future__ import annotations

import math
from typing import Final

from girderply.errors import Finding
from girderply.papers.page.cited_words import clause_words, place_words
from girderply.schedule.types import Schedule, Stage
from girderply.strength.check_record import Check
from girderply.units.exact import MM_PER_IN
from girderply.units.show import Printed
from girderply.wording import Voice, figures
from girderply.wording.words import face_up_words

NEARLY: Final = 1e-6  # of a step


def heads(voice: Voice, *names: str) -> tuple[str, ...]:
    """Heads of the columns of a table, by name; an empty name is an empty head."""
    return tuple(voice.phrase(f"sheet.head_{name}") if name else "" for name in names)


def clauses(voice: Voice, *parts: str) -> str:
    """Parts of a sentence in a row, with semicolons between them."""
    return voice.phrase("sheet.semicolon").join(parts)


def signature_labels(voice: Voice) -> tuple[str, ...]:
    """What is written on the lines to sign on."""
    return (voice.phrase("sheet.name"), voice.phrase("sheet.signature"), voice.phrase("sheet.date"))


def finding_words(voice: Voice, finding: Finding, where: bool = True) -> str:
    """A finding as sentences: where, what, by which clause, what to do."""
    place, message = place_words(voice, finding.where), voice.told(finding.message).strip()
    begun = bool(place) and message.startswith(place)  # by a name, which stays as it is written
    said = voice.told(finding.where) in ("", "girder") or begun
    head = voice.phrase("sheet.before", what=place) if where and not said else ""
    clause = f" [{clause_words(voice, finding.clause)}]" if finding.clause else ""
    message = message.rstrip(".")
    said_first = _sentence(f"{message}{clause}", before=head, capital=not head and not begun)
    return said_first + _sentence(voice.told(finding.tip), before=" ")


def _sentence(text: str, before: str = "", capital: bool = True) -> str:
    """The text with a capital, unless told otherwise, and a full stop; or nothing."""
    text = text.strip()
    if not text:
        return ""
    first = text[0].upper() if capital else text[0]
    return before + first + text[1:] + ("" if text[-1] in ".!?" else ".")


def check_words(voice: Voice, check: Check, show: Printed) -> str:
    """A failed check as a sentence with both numbers in the job's units."""
    asked, carried = (
        check_value(voice, v, check.unit, show) for v in (check.demand, check.resistance)
    )
    clause = f" [{clause_words(voice, check.clause)}]" if check.clause else ""
    return voice.phrase(
        "sheet.check", subject=check.subject, asked=asked, carried=carried, clause=clause
    )


def check_value(voice: Voice, value: float, unit: str, show: Printed) -> str:
    """A demand or a resistance: forces and lengths in the job's system, others as they are."""
    if unit == "N":
        return show.force(value)
    if unit == "mm":
        return show.small(value)
    return voice.told(figures(f"{value:.3g} {unit}".strip()))


def stage_heading(voice: Voice, stage: Stage) -> tuple[str, str]:
    """Stage 2: nail ply 3; and which face is up."""
    words = voice.phrase("sheet.stage_heading", number=stage.number, title=stage.title)
    return words, voice.told(face_up_words(stage.face_up, stage.upright))


def near_marks(voice: Voice, schedule: Schedule) -> str:
    """How far from its mark a fastener is good, and which least distances hold all the same.

    They hold for fasteners as they stand: of all members the widest, rounded up.
    """
    show = Printed(schedule.job.info.units, voice)
    step = MM_PER_IN / 16 if show.imperial else 1.0
    columns = zip(*(note.least for note in schedule.patterns if note.least), strict=True)
    most = [math.ceil(max(column) / step - NEARLY) * step for column in columns]
    along, across, end, edge = (show.small(mm) for mm in most or (0.0,) * 4)
    return voice.phrase(
        "tick_off.near_marks", tolerance=show.small(schedule.rules.tolerance),
        along=along, across=across, end=end, edge=edge,
    )  # fmt: skip


def hook_words(voice: Voice, schedule: Schedule, member_id: str, mirrored: bool = False) -> str:
    """Where a member's hook end is, as seen on the front face, or mirrored on the back one."""
    member = schedule.girder.member(member_id)
    dx, dy = member.far[0] - member.hook[0], member.far[1] - member.hook[1]
    if abs(dy) > 2 * abs(dx):
        return voice.phrase("sheet.bottom") if dy > 0 else voice.phrase("sheet.top")
    return voice.phrase("sheet.left") if (dx > 0) != mirrored else voice.phrase("sheet.right")
