"""Is the nail right for the stack? Too short, too long, out inside a joint, splitting."""

from __future__ import annotations

from collections.abc import Sequence

from girderply.catalogue.types import Screw
from girderply.errors import Finding, Severity
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.layout.stages import FLUSH, Pass
from girderply.standards.en1995_1_1_2014 import nailing
from girderply.standards.nds_2018.penetration import p_min_in
from girderply.units.exact import MM_PER_IN
from girderply.wording import phrase
from girderply.wording.words import kind_words

NO_HOLE = 6.0  # mm: screws up to this need no hole in softwood [EN 1995-1-1, 10.4.5(1); memory]
POINT_CLAUSE = "EN 1995-1-1:2004+A2:2014, 8.3.1.2(1) and (2)"
NDS_POINT_CLAUSE = "NDS 2018, 12.1.6.4"
OVERLAP_CLAUSE = "EN 1995-1-1:2004+A2:2014, 8.3.1.1(7)"


def nail_findings(brief: Brief, passes: Sequence[Pass]) -> list[Finding]:
    """Findings about the nail of every pass; at most one of a kind per nail and reason."""
    found: list[Finding] = []
    for passed in passes:
        found += _short(brief, passed) + _out(brief, passed) + _splits(brief, passed)
    found += _overlap(brief, list(passes))
    unique: dict[tuple[str, str], Finding] = {}
    for f in found:
        unique.setdefault((f.code, f.message), f)
    return list(unique.values())


def least_point(brief: Brief, passed: Pass) -> tuple[float, str]:
    """Least depth of the point in the last ply that it must hold (mm), and who asks for it."""
    share = brief.rules.limits.point_share_of_last_ply
    if share is not None:
        return share * brief.girder.ply_thickness, brief.rules.source
    d, smooth = passed.nail.d, passed.nail.surface == "smooth"
    if brief.standard.startswith("NDS"):
        return p_min_in(d / MM_PER_IN) * MM_PER_IN, NDS_POINT_CLAUSE
    return nailing.t_pen_min(d, smooth=smooth), POINT_CLAUSE


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
                    phrase("finding.stage", stage=p.stage),
                    phrase(
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


def _longer(brief: Brief, p: Pass, needed: float) -> str:
    """What would do: a longer nail where the stack and clenching take one, else a thinner one."""
    limits, kind = brief.rules.clench_protrusion, kind_words(p.nail.kind, 1)
    stack = (p.plies[1] - p.plies[0] + 1) * brief.girder.ply_thickness
    most = stack + (limits[1] if limits else 0.0)
    if needed <= stack + FLUSH and p.nail.length < most:
        return phrase("finding.nail_longer", kind=kind, length=brief.show.small(needed))
    return phrase("finding.nail_thinner", kind=kind)


def _splits(brief: Brief, p: Pass) -> list[Finding]:
    """Timber too thin, or nails too thick, to be driven without predrilling (EN 1995-1-1)."""
    if brief.standard.startswith("NDS") or hole_for(p.nail, brief.girder.predrilled):
        return []
    if isinstance(p.nail, Screw):
        return _screw_splits(brief, p, p.nail)
    d, rho, t, show = p.nail.d, brief.rho_k, brief.girder.ply_thickness, brief.show
    least, clause = nailing.t_min_undrilled(d, rho), "8.3.1.2(6), Eq. (8.18)"
    reason = phrase("finding.plies_thin", ply=show.small(t), least=show.small(least))
    if nailing.must_predrill(d, rho):
        clause, reason = "8.3.1.1(2)", phrase("finding.nail_thick", most=show.diameter(6.0))
    elif t >= least - FLUSH:
        return []
    return [
        Finding(
            "predrilling-needed",
            Severity.ERROR,
            phrase("finding.stage", stage=p.stage),
            phrase(
                "finding.not_predrilled",
                kind=kind_words(p.nail.kind, 1),
                nail=p.nail.key,
                reason=reason,
            ),
            f"EN 1995-1-1:2004+A2:2014, {clause}",
            phrase("finding.predrill"),
        )
    ]


def _screw_splits(brief: Brief, p: Pass, screw: Screw) -> list[Finding]:
    """A screw without a hole: thin enough or declared for it, in timber thick enough."""
    show, t = brief.show, brief.girder.ply_thickness
    if screw.d > NO_HOLE and not screw.self_drilling:
        reason = phrase("finding.screw_thick", most=show.small(NO_HOLE))
        clause = "EN 1995-1-1:2004+A2:2014, 10.4.5(2)"
    else:
        usual = nailing.t_min_undrilled(min(screw.d, NO_HOLE), brief.rho_k)
        least = usual if screw.thinnest is None else screw.thinnest
        if t >= least - FLUSH:
            return []
        reason = phrase("finding.plies_thin", ply=show.small(t), least=show.small(least))
        clause = "EN 1995-1-1:2004+A2:2014, 8.7.1(5), 8.3.1.2(6), Eq. (8.18)"
        clause = clause if screw.thinnest is None else screw.source
    return [
        Finding(
            "predrilling-needed",
            Severity.ERROR,
            phrase("finding.stage", stage=p.stage),
            phrase("finding.screw_no_hole", screw=screw.key, reason=reason),
            clause,
            phrase("finding.give_hole"),
        )
    ]


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
                phrase("finding.stage", stage=p.stage),
                phrase("finding.point_inside", kind=kind, nail=p.nail.key, out=out),
                brief.rules.source,
                phrase("finding.shorter_nail", one=kind_words(p.nail.kind, 1)),
            )
        ]
    if p.clench:
        return []
    limits = brief.rules.clench_protrusion
    allowed = (
        phrase("finding.clenches", low=show.small(limits[0]), high=show.small(limits[1]))
        if limits
        else phrase("finding.no_clench")
    )
    return [
        Finding(
            "nail-too-long",
            Severity.ERROR,
            phrase("finding.stage", stage=p.stage),
            phrase("finding.nail_long", kind=kind, nail=p.nail.key, out=out, allowed=allowed),
            brief.rules.source,
            phrase(
                "finding.stays_inside", kind=kind, most=show.small(p.nail.length - p.protrusion)
            ),
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
            if not nailing.points_may_overlap(t, depth, d):
                found.append(
                    Finding(
                        "points-overlap",
                        Severity.NOTE,
                        phrase("finding.ply", ply=one.to_ply),
                        phrase(
                            "finding.points_overlap",
                            ply=one.to_ply,
                            beyond=brief.show.small(t - depth),
                        ),
                        OVERLAP_CLAUSE,
                    )
                )
    return found
