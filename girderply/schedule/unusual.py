"""Values that can be right and are hardly usual: slopes, heels, uplift, durations, cut edges.

The bounds are common practice, no source. A value that a slip of the pen explains is a warning;
one that is only rare is a note.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from girderply.bases.registry import basis_of
from girderply.errors import Finding, Severity
from girderply.jobfile.job import Job, LoadSpec, MemberSpec
from girderply.model.girder import Girder
from girderply.schedule.slips import likely_meant, slip_tip
from girderply.units.show import Show
from girderply.wording import Said, Words, joined, said
from girderply.wording.words import duration_words

SLOPES = (3.0, 60.0)  # degrees
ROUND = 0.051  # degrees
HEEL, HEEL_SHARE = 1000.0, 0.15  # mm and of the span: a higher heel than both is asked about
NAIL = 25.0  # mm: shorter nails fix no bracket
BRIEF = 1.25  # times what the usual duration lets a fastener carry
EDGE, ASKEW, CUT = (
    1.5,
    2.0,
    math.radians(5),
)  # depths long, mm off the axis; a flatter edge is no cut


def unusual_findings(job: Job, girder: Girder) -> Iterator[Finding]:
    """What a person would ask about who has seen many girders.

    Args:
        job: as it is written.
        girder: its members.
    """
    show = Show(job.info.units)
    yield from _shape(job, show)
    yield from _brief(job)
    for load in job.loads:
        yield from _lifts(load, show)
        yield from _short_nail(load, show)
    for m in job.girder.members:
        yield from _askew(m, girder, show)


def _shape(job: Job, show: Show) -> Iterator[Finding]:
    shape = job.girder.shape
    if shape is None:
        return
    if shape.pitch is not None and not _usual_slope(math.degrees(shape.pitch)):
        typed = round(math.degrees(shape.pitch), 3)
        ratio = any(":" in said for key, said in job.given if key == "girder.shape.pitch")
        meant = [] if ratio else likely_meant(typed, _usual_slope)
        text = said("unusual.pitch", angle=show.pitch(shape.pitch))
        tip = slip_tip(meant, lambda v: show.pitch(math.radians(v)))
        yield _asked("pitch-unusual", "girder.shape.pitch", text, tip, sure=bool(meant))
    heel = shape.heel_height
    if heel is not None and heel > max(HEEL, HEEL_SHARE * shape.span):
        meant = likely_meant(heel, lambda v: v <= HEEL and v >= min(job.girder.depths.values()))
        text = said("unusual.heel", height=show.small(heel))
        tip = slip_tip(meant, show.small)
        yield _asked("heel-high", "girder.shape.heel_height", text, tip)


def _usual_slope(degrees: float) -> bool:
    """Whole and half degrees, or whole and half inches to the foot, to a tenth of a degree."""
    rise = round(24 * math.tan(math.radians(degrees))) / 24
    rounds = (round(2 * degrees) / 2, math.degrees(math.atan(rise)))
    low, high = SLOPES
    return low <= degrees <= high and any(abs(degrees - v) <= ROUND for v in rounds)


def _brief(job: Job) -> Iterator[Finding]:
    """A duration of the variable loads under which everything carries far more than is usual."""
    basis, spec = basis_of(job.basis), job.basis
    if spec.cases or not any(x.variable or x.design for x in job.loads):
        return
    _, ours = basis.shortest(spec, [spec.variable_duration])
    usual = basis.usual_durations[1]
    _, theirs = basis.shortest(spec, [usual])
    if ours > BRIEF * theirs:
        text = said(
            "unusual.brief", duration=duration_words(spec.variable_duration),
            percent=round(100 * (ours / theirs - 1)), usual=duration_words(usual),
        )  # fmt: skip
        yield _asked("duration-brief", "basis.variable_duration", text, said("unusual.snow"))


def _lifts(load: LoadSpec, show: Show) -> Iterator[Finding]:
    """Uplift of more than everything that lies on the same load."""
    down, up = (load.permanent or 0.0) + (load.variable or 0.0), load.uplift or 0.0
    if load.cases or not down or up <= down:
        return
    text = said("unusual.uplift", load=load.id, up=show.force(up), down=show.force(down))
    tip = slip_tip(likely_meant(up, lambda v: 0.05 * down <= v <= down), show.force)
    yield _asked("uplift-large", f"loads.{load.id}.uplift", text, tip)


def _short_nail(load: LoadSpec, show: Show) -> Iterator[Finding]:
    bracket = load.bracket
    if bracket is None or bracket.nail_length is None or bracket.nail_length >= NAIL:
        return
    length = bracket.nail_length
    text = said("unusual.short_nail", load=load.id, length=show.small(length))
    tip = slip_tip(likely_meant(length, lambda v: NAIL <= v <= 8 * NAIL), show.small)
    yield _asked("bracket-nail-short", f"loads.{load.id}.bracket.nail_length", text, tip)


def _askew(m: MemberSpec, girder: Girder, show: Show) -> Iterator[Finding]:
    """A long edge of an outline that runs a little off its member's axis: a corner is wrong."""
    if m.outline is None:
        return
    member = girder.member(m.id)
    corners = np.array((*m.outline, m.outline[0]))
    for ((s, o), (t, p)), ((x, y), (u, v)) in zip(
        pairwise(member.to_local(corners).tolist()), pairwise(corners.tolist()), strict=True
    ):
        off = abs(p - o)
        if abs(t - s) > EDGE * m.depth and off > ASKEW and off < abs(t - s) * math.tan(CUT):
            text = said(
                "unusual.askew", member=m.id, off=show.small(off),
                a=_corner(show, x, y), b=_corner(show, u, v),
            )  # fmt: skip
            where = f"girder.members.{m.id}.outline"
            yield _asked("outline-askew", where, text, said("plausible.look"))


def _corner(show: Show, x: float, y: float) -> Said:
    return joined("", ["[", joined(", ", [show.small(x), show.small(y)]), "]"])


def _asked(code: str, where: str, text: Words, tip: Words, *, sure: bool = True) -> Finding:
    return Finding(code, Severity.WARNING if sure else Severity.NOTE, where, text, tip=tip)
