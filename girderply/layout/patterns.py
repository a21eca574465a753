"""Rows of a member: how many, how far apart, how close along the grain, and why."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from girderply.bases.answers import Limits
from girderply.catalogue.catalogue_types import Nail
from girderply.errors import Finding, Severity
from girderply.jobfile.job import PrescribedSpec
from girderply.layout.brief import Brief
from girderply.model.girder import Member
from girderply.rules.rule_set import RowRule, RuleSet
from girderply.wording import said

ONE_ROW_SIDESTEP_D = 1.0  # a single staggered row steps this many d to either side


@dataclass(frozen=True, slots=True)
class Pattern:
    """The nailing of one member for one interface.

    Attributes:
        lines: offsets of the nail lines from the centreline, mm, rising.
        rows: what people call it; a single staggered row has two lines and one row.
        centres: from one nail to the next whichever row it is in, mm.
        pitch: along one row, mm.
        stagger: rows take turns.
        source: rule set's name or who prescribed it.
        prescribed: laid out as given; its limits are reported, not mended.
    """

    member: str
    lines: tuple[float, ...]
    rows: int
    centres: float
    pitch: float
    stagger: bool
    source: str
    prescribed: bool = False

    @property
    def gauge(self) -> float:
        """Distance between neighbouring rows, mm; 0 for one row."""
        return self.lines[1] - self.lines[0] if self.rows > 1 else 0.0

    @property
    def slant(self) -> float:
        """Straight distance from nail to nail of a zigzag, mm; 0 when it is none."""
        return math.hypot(self.centres, self.gauge) if self.stagger and self.rows == 2 else 0.0


def row_rule(member: Member, rules: RuleSet) -> RowRule:
    """The rule set's rows for a member of this role and depth."""
    rows = rules.chord if member.role.is_chord else rules.web
    return next((r for r in rows if member.depth <= r.depth_up_to), rows[-1])


def prescribed_for(member: Member, given: Sequence[PrescribedSpec]) -> PrescribedSpec | None:
    """What the truss designer prescribes for this member; a named member goes before its role."""
    named = [p for p in given if member.id in p.members]
    return next(iter([*named, *(p for p in given if p.role is member.role)]), None)


def prescribed_pattern(
    brief: Brief, member: Member, given: PrescribedSpec, limits: Limits
) -> tuple[Pattern, list[Finding]]:
    """Lay the prescribed rows out as given and report what breaks a limit."""
    show = brief.show
    gauge = member.depth / (given.rows + 1)
    lines = tuple((i - (given.rows - 1) / 2) * gauge for i in range(given.rows))
    stagger = given.stagger and given.rows > 1
    centres = given.pitch / 2 if stagger else given.pitch
    pattern = Pattern(
        member.id, lines, given.rows, centres, given.pitch, stagger, given.source, True
    )
    edge = member.depth / 2 + lines[0]
    faults = [
        ("pitch", given.pitch, limits.a1),
        ("gauge", gauge if given.rows > 1 else math.inf, limits.a2),
        ("edge", edge, limits.a4),
    ]
    return pattern, [
        Finding(
            "prescribed-breaks-limit",
            Severity.ERROR,
            member.id,
            said(
                f"finding.prescribed_{name}",
                member=member.id,
                value=show.small(value),
                least=show.small(least),
            ),
            limits.clause,
            said("finding.ask_or_predrill"),
        )
        for name, value, least in faults
        if value < least - 1e-6
    ]


def rule_pattern(
    brief: Brief, member: Member, nail: Nail, limits: Limits, more_rows: int | None = None
) -> tuple[Pattern | None, list[Finding]]:
    """The rule set's pattern, made to fit this member.

    The gauge shrinks until the edge distances hold; then a row is given up; at last there is one
    row on the centreline at the zigzag's centres. Where even that breaks a limit, None is
    returned with a finding that names the reason. `more_rows` asks for more than the rule set
    does, where a load needs them.
    """
    rules, thickness = brief.rules, brief.girder.ply_thickness
    rule = row_rule(member, rules)
    own = rules.limits
    most = own.spacing_max_thickness
    pitch = min(rule.pitch, most * thickness) if most else rule.pitch
    rows = max(rule.rows, more_rows or 0)
    need_two = own.two_rows_above_depth_per_thickness
    if need_two is not None and member.depth > need_two * thickness:
        rows = max(rows, 2)
    stagger = rule.stagger
    centres = pitch / 2 if stagger and rule.rows > 1 else pitch
    low = max(limits.a2, (own.gauge_min_d or 0.0) * nail.d)
    high = (own.gauge_max_d or math.inf) * nail.d
    rows = _rows_for_edge(rows, member.depth, high, (own.edge_max_d or math.inf) * nail.d)
    wish = rule.gauge or member.depth / (rows + 1)
    asked = rows
    while rows > 1:
        gauge = _fit_gauge(wish, low, high, (member.depth - 2 * limits.a4) / (rows - 1))
        if gauge is not None:
            break
        rows -= 1
        wish = member.depth / (rows + 1)
    if rows == 1:
        gauge = 0.0
        pitch = centres
    if member.depth / 2 < limits.a4 - 1e-6:
        return None, [_too_shallow(brief, member, nail, limits)]
    close = _too_close(brief, member, rows, pitch, limits)
    if gauge and rules.station_step:
        gauge = _rounded(gauge, rules.station_step, low, high, member, limits, rows)
    lines = tuple((i - (rows - 1) / 2) * (gauge or 0.0) for i in range(rows))
    pattern = Pattern(member.id, lines, rows, centres, pitch, stagger and rows > 1, rules.name)
    if rows == 1 and rule.rows == 1 and stagger:
        side = ONE_ROW_SIDESTEP_D * nail.d
        pattern = replace(pattern, lines=(-side, side), stagger=True)
    return pattern, close + _rows_given_up(brief, member, nail, asked, rows, limits)


def _rows_for_edge(rows: int, depth: float, gauge_most: float, edge_most: float) -> int:
    """More rows until the outer ones can be no farther than `edge_most` from the edge."""
    while edge_most < math.inf and (depth - (rows - 1) * gauge_most) / 2 > edge_most + 1e-6:
        rows += 1
    return rows


def _fit_gauge(wish: float, low: float, high: float, room: float) -> float | None:
    """The gauge nearest to the wish within its limits; None when there is none."""
    top = min(high, room)
    return None if top < low - 1e-6 else min(max(wish, low), top)


def _rounded(
    gauge: float, step: float, low: float, high: float, member: Member, limits: Limits, rows: int
) -> float:
    """The gauge as a multiple of the tape's step where the limits still hold."""
    room = (member.depth - 2 * limits.a4) / (rows - 1)
    for value in (math.floor(gauge / step + 0.5) * step, math.floor(gauge / step) * step):
        if low - 1e-6 <= value <= min(high, room) + 1e-6:
            return value
    return gauge


def _too_shallow(brief: Brief, member: Member, nail: Nail, limits: Limits) -> Finding:
    return Finding(
        "member-too-shallow",
        Severity.ERROR,
        member.id,
        said(
            "finding.too_shallow",
            member=member.id,
            depth=brief.show.small(member.depth),
            nail=nail.key,
            edge=brief.show.small(member.depth / 2),
            least=brief.show.small(limits.a4),
        ),
        limits.clause,
        said("finding.thinner_or_deeper"),
    )


def _too_close(
    brief: Brief, member: Member, rows: int, pitch: float, limits: Limits
) -> list[Finding]:
    """A pitch below the least spacing: laid out as wide as it must be, and said."""
    if pitch >= limits.a1 - 1e-6:
        return []
    show = brief.show
    return [
        Finding(
            "pitch-too-close",
            Severity.ERROR,
            member.id,
            said(
                "finding.too_close",
                n=rows,
                member=member.id,
                pitch=show.small(pitch),
                least=show.small(limits.a1),
            ),
            limits.clause,
            said("finding.wider_pitch"),
        )
    ]


def _rows_given_up(
    brief: Brief, member: Member, nail: Nail, asked: int, rows: int, limits: Limits
) -> list[Finding]:
    if rows >= asked:
        return []
    show = brief.show
    return [
        Finding(
            "rows-reduced",
            Severity.NOTE,
            member.id,
            said(
                "finding.fewer_rows",
                n=rows,
                member=member.id,
                depth=show.small(member.depth),
                asked=asked,
                nail=nail.key,
                edge=show.small(limits.a4),
                gauge=show.small(limits.a2),
            ),
            limits.clause,
        )
    ]
