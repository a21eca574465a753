"""What a page is told of a girder: verdict, figures, findings, drawing, tables of the file."""

from __future__ import annotations

from typing import Any

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.desk.decided import Decided
from girderply.desk.on_desk import OnDesk, plain
from girderply.desk.plain_faults import message_of
from girderply.desk.plate_readings import readings
from girderply.desk.said_values import examples
from girderply.desk.scene import scene
from girderply.desk.where import place_of
from girderply.errors import Finding, Severity
from girderply.papers.page.sheet_words import check_value
from girderply.schedule import cautions
from girderply.schedule.shared import PENDING, laid_out_by_shares
from girderply.schedule.types import Schedule
from girderply.strength.sharing.shares import factor
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import face_words, kind_words

Plain = dict[str, Any]


def state_of(voice: Voice, girder: OnDesk) -> Plain:
    """The whole state of one girder, in a language."""
    with girder.lock:
        known = girder.told(voice)
        decided = None if known else girder.first()
        marks = {
            "name": girder.name,
            "turn": girder.turn,
            "version": girder.version,
            "text": girder.text,
            "back": girder.past[-1].what if girder.past else None,
            "forth": girder.future[-1].what if girder.future else None,
        }
    return {**marks, **(decided_state(voice, decided) if decided is not None else known or {})}


def decided_state(voice: Voice, decided: Decided) -> Plain:
    """What is decided of one text."""
    schedule = decided.schedule
    pending = next((f for f in decided.findings if f.code == PENDING), None)
    return {
        "whole": pending is None,
        "pending": voice.told(pending.message) if pending else "",
        "data": plain(dict(decided.data)),
        "verdict": verdict(voice, decided),
        "figures": figures_of(voice, schedule, whole=pending is None) if schedule else [],
        "findings": [_finding(voice, f, decided) for f in decided.findings if f is not pending],
        "scene": scene(voice, schedule) if schedule else None,
        "assumed": ledger(voice, schedule) if schedule else [],
        "plates": readings(decided),
        "examples": len(examples(decided.data)),
        "cautions": _cautions(voice, schedule),
    }


def verdict(voice: Voice, decided: Decided) -> Plain:
    """Whether the girder may be assembled, in one word for the page and in words for people."""
    if decided.schedule is None:
        return {"state": "unread", "said": voice.phrase("desk.verdict_unread")}
    if decided.good:
        return {"state": "good", "said": voice.phrase("desk.verdict_good")}
    if not decided.whole and not _failed_already(decided.schedule):
        return {"state": "waiting", "said": voice.phrase("desk.verdict_waiting")}
    return {"state": "refused", "said": voice.told(cautions.not_for_assembly())}


def _failed_already(schedule: Schedule) -> bool:
    """Whether something is wrong already that the shares of the plies do not change.

    Where fasteners are laid out by the shares, a check that fails by equal ones decides nothing.
    """
    if laid_out_by_shares(schedule.job):
        return False
    errors = (f for f in schedule.findings if f.severity is Severity.ERROR)
    return any(f.code != PENDING for f in errors) or any(not c.ok for c in schedule.checks)


def figures_of(voice: Voice, schedule: Schedule, *, whole: bool = True) -> list[Plain]:
    """Numbers beside the drawing, each with what it is: label, value, and more of it.

    Args:
        voice: that tells it.
        schedule: of the girder.
        whole: False while its shares are being worked out: no figure looks final then.
    """
    show = Printed(schedule.job.info.units, voice)
    value, about = hardest(voice, schedule)
    share = worst_share(voice, schedule) if whole else voice.phrase("desk.working")
    hard = voice.phrase("desk.figure_hardest" if whole else "desk.hardest_so_far")
    more = f"{voice.told(schedule.shares.words())}." if schedule.shares else ""
    lines = [
        ("hardest", hard, value, about),
        ("share", voice.phrase("desk.figure_share"), share, more),
        (
            "load",
            voice.phrase("desk.figure_load"),
            load_sum(voice, schedule, show),
            by_face(voice, schedule, show),
        ),
        ("reactions", voice.phrase("desk.figure_reactions"), *reactions(voice, schedule, show)),
        ("mass", voice.phrase("desk.figure_mass"), show.mass(schedule.masses.total), ""),
        ("count", voice.phrase("desk.figure_count"), _counts(voice, schedule), ""),
        ("assumed", voice.phrase("desk.figure_assumed"), assumed(voice, schedule), ""),
    ]
    return [{"key": k, "label": a, "value": b, "more": c} for k, a, b, c in lines if b]


def worst_share(voice: Voice, schedule: Schedule) -> str:
    """How much more than its equal share a ply carries at a bearing, 1 is equal; or nothing."""
    at = schedule.shares.at_bearings if schedule.shares else ()
    if not at:
        return ""
    return voice.phrase("desk.share_of", share=factor(at[0].share), ply=at[0].ply)


def reactions(voice: Voice, schedule: Schedule, show: Printed) -> tuple[str, str]:
    """Of the hung loads on every bearing from the left: without factors, and design values."""
    found = schedule.sums.reactions if schedule.sums else None
    if not found:
        return "", ""
    plain = " / ".join(show.force(r.unfactored) for r in found)
    design = " / ".join(show.force(r.design) for r in found)
    return plain, voice.phrase("desk.reactions_design", forces=design)


def by_face(voice: Voice, schedule: Schedule, show: Printed) -> str:
    """What hangs on each face, without factors."""
    faces = schedule.sums.faces if schedule.sums else {}
    return ", ".join(
        voice.phrase("desk.on_face", face=face_words(face), force=show.force(f.unfactored))
        for face, f in faces.items()
    )


def _counts(voice: Voice, schedule: Schedule) -> str:
    kinds = schedule.fasteners.kind.tolist()
    parts = ((k, kinds.count(k)) for k in FastenerKind)
    return ", ".join(f"{n} {voice.told(kind_words(k, n))}" for k, n in parts if n)


def hardest(voice: Voice, schedule: Schedule) -> tuple[str, str]:
    """The hardest check as a share in 100, and what it is about."""
    worst = max(schedule.checks, key=lambda c: c.utilisation, default=None)
    if worst is None:
        return voice.phrase("desk.no_checks"), ""
    show = Printed(schedule.job.info.units, voice)
    about = (f"{voice.told(worst.subject)}: {check_value(voice, worst.demand, worst.unit, show)} / "
             f"{check_value(voice, worst.resistance, worst.unit, show)}")  # fmt: skip
    if worst.percent is None:
        return voice.phrase("desk.nothing_carries"), about
    return f"{worst.percent}\u00a0%", about


def load_sum(voice: Voice, schedule: Schedule, show: Printed) -> str:
    """How many loads hang on the girder, and what they are together without factors."""
    if schedule.sums is None:
        return ""
    total = schedule.sums.total.unfactored
    return voice.phrase("desk.load_sum", n=schedule.sums.count, forces=show.force(total))


def assumed(voice: Voice, schedule: Schedule) -> str:
    """How much was assumed and nobody has confirmed."""
    n = len(schedule.unconfirmed)
    return voice.phrase("desk.assumed_values", n=n) if n else voice.phrase("desk.assumed_none")


def ledger(voice: Voice, schedule: Schedule) -> list[Plain]:
    """Every assumed value: what, what stands for it, why it matters, and whether confirmed."""
    return [
        {
            "key": a.key,
            "group": voice.phrase(f"desk.assumed_{a.key.partition('.')[0]}"),
            "what": voice.told(a.what),
            "value": voice.told(a.value),
            "where": voice.told(a.where),
            "why": voice.told(a.why),
            "confirmed": a.confirmed,
        }
        for a in schedule.assumed
    ]


def _finding(voice: Voice, f: Finding, decided: Decided) -> Plain:
    place = place_of(voice, f, decided)
    return {
        "severity": str(f.severity),
        "said": voice.phrase(f"desk.severity_{f.severity}"),
        "where": voice.told(f.where),
        "message": message_of(voice, f, place["path"], decided.data),
        "tip": voice.told(f.tip),
        "clause": f.clause,
        **place,
    }


def _cautions(voice: Voice, schedule: Schedule | None) -> list[str]:
    demo = [cautions.demo()] if schedule and schedule.job.info.demo else []
    scope = cautions.scope(schedule.job.assembly) if schedule else cautions.scope()
    return [voice.told(words) for words in (*demo, *scope)]


def errors_of(decided: Decided) -> int:
    """How many findings are errors."""
    return sum(f.severity is Severity.ERROR for f in decided.findings)
