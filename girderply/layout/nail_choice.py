"""Is the nail right for the stack? Too short, too long, out inside a joint, splitting."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.catalogue.catalogue_types import Screw
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.layout.limits import place_of
from girderply.layout.stages import FLUSH, Pass, opposite
from girderply.wording import Said, Words, said
from girderply.wording.words import face_words, kind_words


def nail_findings(brief: Brief, passes: Sequence[Pass]) -> list[Finding]:
    """Findings about the nail of every pass; at most one of a kind per nail and reason."""
    found: list[Finding] = []
    for passed in passes:
        found += _short(brief, passed) + _out(brief, passed) + _splits(brief, passed)
    found += _overlap(brief, list(passes))
    unique: dict[tuple[str, Words], Finding] = {}
    for f in found:
        unique.setdefault((f.code, f.message), f)
    return list(unique.values())


def least_point(brief: Brief, passed: Pass) -> tuple[float, str]:
    """Least depth of the point in the last ply that it must hold (mm), and who asks for it."""
    share = brief.rules.limits.point_share_of_last_ply
    if share is not None:
        return share * brief.girder.ply_thickness, brief.rules.source
    least = brief.basis.point(passed.nail)
    return least.value, least.clause


def _short(brief: Brief, p: Pass) -> list[Finding]:
    """The point must hold beyond every interface that the pass fastens."""
    show, t = brief.show, brief.girder.ply_thickness
    least, clause = least_point(brief, p)
    found = []
    for k in p.fastens:
        plies_before = k - p.plies[0] + 1 if p.face == "front" else p.plies[1] - k
        beyond = min(p.nail.length, (p.plies[1] - p.plies[0] + 1) * t) - plies_before * t
        if beyond < least - FLUSH:
            found.append(
                Finding(
                    "nail-too-short",
                    Severity.ERROR,
                    said("finding.stage", stage=p.stage),
                    said(
                        "finding.nail_short",
                        kind=kind_words(p.nail.kind, 1),
                        nail=p.nail.key,
                        beyond=show.small(max(0.0, beyond)),
                        interface=k,
                        least=show.small(least),
                    ),
                    clause,
                    _longer(brief, p, plies_before * t + least),
                )
            )
    return found


def _longer(brief: Brief, p: Pass, needed: float) -> Said:
    """What would do: a longer nail where the stack and clenching take one, else a thinner one."""
    limits, kind = brief.rules.clench_protrusion, kind_words(p.nail.kind, 1)
    stack = (p.plies[1] - p.plies[0] + 1) * brief.girder.ply_thickness
    most = stack + (limits[1] if limits else 0.0)
    if needed <= stack + FLUSH and p.nail.length < most:
        return said("finding.nail_longer", kind=kind, length=brief.show.small(needed))
    return said("finding.nail_thinner", kind=kind)


def _splits(brief: Brief, p: Pass) -> list[Finding]:
    """Timber too thin, or nails and screws too thick, to be driven without a hole."""
    if hole_for(brief, p.nail):
        return []
    chord = next(m for m in brief.girder.members if m.role.is_chord)
    why = brief.basis.undrilled(p.nail, place_of(brief, chord), brief.show)
    if why is None:
        return []
    screw = isinstance(p.nail, Screw)
    message = (
        said("finding.screw_no_hole", screw=p.nail.key, reason=why.reason)
        if screw
        else said(
            "finding.not_predrilled",
            kind=kind_words(p.nail.kind, 1),
            nail=p.nail.key,
            reason=why.reason,
        )
    )
    tip = said("finding.give_hole") if screw else said("finding.predrill")
    where = said("finding.stage", stage=p.stage)
    return [Finding("predrilling-needed", Severity.ERROR, where, message, why.clause, tip)]


def _out(brief: Brief, p: Pass) -> list[Finding]:
    """Points that come out: inside a joint, or too far to clench."""
    if p.protrusion <= FLUSH:
        return []
    show, kind = brief.show, kind_words(p.nail.kind, 1)
    out = show.small(p.protrusion)
    outer = p.plies[1] == brief.girder.plies if p.face == "front" else p.plies[0] == 1
    if not outer:
        return [
            Finding(
                "point-inside-joint",
                Severity.ERROR,
                said("finding.stage", stage=p.stage),
                said("finding.point_inside", kind=kind, nail=p.nail.key, out=out),
                brief.rules.source,
                said("finding.shorter_nail", one=kind_words(p.nail.kind, 1)),
            )
        ]
    if p.clench:
        return []
    limits = brief.rules.clench_protrusion
    allowed = (
        said("finding.no_screw_clench")
        if p.nail.kind == FastenerKind.SCREW
        else said("finding.no_reach", face=face_words(opposite(p.face)))
        if not brief.job.assembly.reaches(opposite(p.face))
        else said("finding.clenches", low=show.small(limits[0]), high=show.small(limits[1]))
        if limits
        else said("finding.no_clench")
    )
    return [
        Finding(
            "nail-too-long",
            Severity.ERROR,
            said("finding.stage", stage=p.stage),
            said("finding.nail_long", kind=kind, nail=p.nail.key, out=out, allowed=allowed),
            brief.rules.source,
            said("finding.stays_inside", kind=kind, most=show.small(p.nail.length - p.protrusion)),
        )
    ]


def _overlap(brief: Brief, passes: list[Pass]) -> list[Finding]:
    """Points from both faces that meet in one ply: told, with what is done about it."""
    t = brief.girder.ply_thickness
    found = []
    for i, one in enumerate(passes):
        for two in passes[i + 1 :]:
            if one.face == two.face or one.to_ply != two.to_ply:
                continue
            depth, d = max(one.point_depth, two.point_depth), max(one.nail.d, two.nail.d)
            clause = brief.basis.overlap(t, depth, d)
            if clause:
                found.append(
                    Finding(
                        "points-overlap",
                        Severity.NOTE,
                        said("finding.ply", ply=one.to_ply),
                        said(
                            "finding.points_overlap",
                            ply=one.to_ply,
                            beyond=brief.show.small(t - depth),
                        ),
                        clause,
                    )
                )
    return found
