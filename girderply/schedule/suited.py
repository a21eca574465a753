"""The next shorter or longer nail, where the one that is asked for does not suit the stack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from girderply import catalogue
from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.combs import colours_of
from girderply.layout.nail_choice import nail_findings
from girderply.layout.stages import Pass, plan_steps
from girderply.schedule.advice import carries, nail_proposal, with_nail
from girderply.wording import Words, said

LENGTH_OFF = 15.0  # mm; a nail that differs by more is another nail: that is refused, with advice
SHANK_OFF = 0.3  # mm
BY_A_LITTLE = {"nail-too-long", "point-inside-joint"}
TOUCH_D = 3.0  # a point no deeper than so many diameters in a further ply only touches it


def suited(brief: Brief) -> tuple[Brief, list[Finding]]:
    """The girder with a nail that suits its stack, and a warning where it is another one.

    What a person would do at the trestles: a nail that comes out 2 mm, or that touches a third ply
    so that three stages have to share it, is put back and the next one is taken. Where none is near
    enough the girder keeps its nail and is refused as before. A nail that the job itself names is
    never exchanged: what would suit is said as advice, once its whole design was made.
    """
    now = brief.nail
    if now is None or isinstance(now, Screw):
        return brief, []
    reason = _reason(brief)
    if not reason or _faults(brief) - BY_A_LITTLE:
        return brief, []
    if brief.job.fastening.nail is not None:
        return brief, list(_advised(brief, now, reason))
    for tried, nail in _suiting(brief, now):
        text = said("finding.nail_taken", now=now.key, nail=nail.key, reason=reason)
        return tried, [Finding("nail-taken", Severity.WARNING, "fastening.nail", text)]
    return brief, []


def _suiting(brief: Brief, now: Nail) -> Iterator[tuple[Brief, Nail]]:
    """The girder with each near nail that suits its stack."""
    for nail in _near(now):
        tried = with_nail(brief, nail)
        if not _reason(tried):
            yield tried, nail


def _advised(brief: Brief, now: Nail, reason: Words) -> Iterator[Finding]:
    """The nearest nail that suits the stack, and whether it carries every load."""
    for tried, nail in _suiting(brief, now):
        done = carries(tried)
        if done is not None:
            if not _faults(brief):  # a fault is an error of its own, and said already
                text = said("finding.nail_named", now=now.key, reason=reason)
                yield Finding("nail-unsuited", Severity.NOTE, "fastening.nail", text)
            yield nail_proposal(now, nail, done)
            return


def _faults(brief: Brief) -> set[str]:
    """Codes of what is wrong with the nail."""
    return {f.code for f in nail_findings(brief, _passes(brief)) if f.severity is Severity.ERROR}


def _passes(brief: Brief) -> list[Pass]:
    return [s.passed for s in plan_steps(brief, bolted=True) if s.passed]


def _near(now: Nail) -> list[Nail]:
    """Nails of the same kind, the same shank and the nearest length first."""
    found = [
        n
        for n in catalogue.nails()
        if n.surface == now.surface
        and bool(n.pennyweight) == bool(now.pennyweight)
        and n.key.endswith(" in") == now.key.endswith(" in")  # the tape of the yard
        and n.key != now.key
        and abs(n.length - now.length) <= LENGTH_OFF
        and abs(n.d - now.d) <= SHANK_OFF
    ]
    return sorted(found, key=lambda n: (abs(n.d - now.d), abs(n.length - now.length), n.key))


def _reason(brief: Brief) -> Words:
    """What is wrong with the nail in this stack, in words; empty where nothing is."""
    passes = _passes(brief)
    faults = [f for f in nail_findings(brief, passes) if f.severity is Severity.ERROR]
    if faults:
        return faults[0].message
    touched = [p for p in passes if _touches(p)]
    if not touched or colours_of(passes) <= colours_of([_shortened(p) for p in passes]):
        return ""
    depth = brief.show.small(max(p.point_depth for p in touched))
    return said("finding.nail_touches", depth=depth, stages=colours_of(passes))


def _touches(p: Pass) -> bool:
    """Whether the point only touches a ply beyond those that the stage fastens."""
    beyond = abs(p.to_ply - p.from_ply) > 1 and p.protrusion <= 0.0
    return beyond and p.point_depth <= TOUCH_D * p.nail.d and p.share is None


def _shortened(p: Pass) -> Pass:
    """The pass as it would be if its point stopped a ply earlier."""
    low, high = p.reach
    step = 1 if p.to_ply > p.from_ply else -1
    return p if high - low < 2 else replace(p, to_ply=p.to_ply - step)
