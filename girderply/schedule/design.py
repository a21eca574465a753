"""A layout designed to the load: more fasteners only where the pattern does not carry.

The rule set's pattern comes first and is never thinned. Where the fasteners of a load's zone do not
carry what must pass, their centres are brought closer in that zone, down to the limit; then the
chord gets one more row; bolts are set in groups where the job lets bolts carry. What still fails
stays a failed check.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from girderply.layout.bolt_rows import BoltGroup
from girderply.layout.brief import Brief
from girderply.layout.lay_out import Layout, Workshop, Zones
from girderply.layout.lengths import closer
from girderply.layout.limits import bolt_limits, nail_limits
from girderply.layout.records import PatternNote
from girderply.layout.region import clip
from girderply.layout.spread import Density
from girderply.schedule.types import Strengthening
from girderply.strength.checks import Checker
from girderply.strength.records import Check
from girderply.strength.zones import Zone, reach_of, zones

ROUNDS = 14
CLOSER = 0.85  # of the centres at least: a round that changes nothing would be lost
ROWS_MOST = 4


@dataclass(frozen=True, slots=True)
class Designed:
    """A layout, its checks, and where it has more than the pattern."""

    layout: Layout
    checks: tuple[Check, ...]
    strengthened: tuple[Strengthening, ...]


@dataclass(slots=True)
class _Plan:
    """Closer centres per zone while they are being sought.

    Attributes:
        stages: of the rule set that are nailed; all of them are brought closer together in a zone,
            so that their nails keep clear of each other and none loses its own.
        nails: zone id -> centres, mm. bolts: zone id -> (count, rows).
        rows: chord -> rows. stuck: zones that nothing more can be done for.
    """

    brief: Brief
    zones: dict[str, Zone]
    stages: tuple[int, ...]
    nails: dict[str, float] = field(default_factory=dict)
    bolts: dict[str, tuple[int, int]] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    stuck: set[str] = field(default_factory=set)

    def as_zones(self) -> Zones:
        """The plan as the layout takes it."""
        nails: dict[tuple[str, int], list[Density]] = {}
        for zone_id, centres in self.nails.items():
            zone = self.zones[zone_id]
            for group in self.stages:
                closer = Density(zone.start, zone.end, centres)
                nails.setdefault((zone.chord, group), []).append(closer)
        bolts = [self._group(z, count, rows) for z, (count, rows) in self.bolts.items()]
        return Zones(nails, self.rows, bolts)

    def _group(self, zone_id: str, count: int, rows: int) -> BoltGroup:
        zone = self.zones[zone_id]
        return BoltGroup(zone.chord, zone.start, zone.end, zone.station, count, rows)


def design(brief: Brief, *, trial: bool = False, spare: float = 1.0) -> Designed:
    """Lay out a girder and strengthen it where its loads ask for more.

    Args:
        brief: girder and rules; `job.fastening.design_to_load` False leaves the pattern alone.
        trial: only whether it carries is asked: the checks are not worked out in words, and the
            search ends as soon as nothing more can be done for one of its loads.
        spare: every load is designed for so many times itself, where it passes between plies.
    """
    shop, checker = Workshop(brief), Checker(brief.job, brief.girder, brief.rules)

    def checked(layout: Layout, *, worked: bool) -> tuple[Check, ...]:
        return checker.check(layout.fasteners, layout.nails, layout.bolts, worked=worked)

    layout = shop.lay_out(Zones())
    checks = checked(layout, worked=not trial)
    found = zones(brief.girder, reach_of(brief.job, brief.rules))
    stages = tuple(sorted({p.group for p in layout.passes}))
    plan = _Plan(brief, {z.id: z for z in found}, stages)
    if not brief.job.fastening.design_to_load:
        return Designed(layout, checks, ())
    first = layout
    for _ in range(ROUNDS):
        short, rows = _short(plan, checks, spare), dict(plan.rows)
        if not short or not _tighten(plan, layout, short):
            break
        if trial and rows == plan.rows and _hopeless(plan, short):
            break
        layout = shop.lay_out(plan.as_zones())
        checks = checked(layout, worked=False)
    if layout is not first and not trial:
        checks = checked(layout, worked=True)
    return Designed(layout, checks, () if trial else _told(plan, layout, checks))


def _hopeless(plan: _Plan, short: dict[tuple[str, int], float]) -> bool:
    """Whether nothing is left to do for one of the zones that are short."""
    return any(zone_id in plan.stuck for zone_id, _ in short)


def _short(
    plan: _Plan, checks: Sequence[Check], spare: float = 1.0
) -> dict[tuple[str, int], float]:
    """Zone and interface -> utilisation, where too little crosses."""
    worst: dict[tuple[str, int], float] = {}
    for check in checks:
        used = spare * check.utilisation
        if check.interface and used > 1.0 + 1e-6 and check.about in plan.zones:
            key = (check.about, check.interface)
            worst[key] = max(worst.get(key, 0.0), used)
    return worst


def _tighten(plan: _Plan, layout: Layout, short: dict[tuple[str, int], float]) -> bool:
    """Bring fasteners closer for every zone that is short; False when nothing can be done.

    Each zone is done once a round, for the interface that is shortest of all.
    """
    by_bolt = plan.brief.job.fastening.transfer_by == "bolt"
    wanted: dict[str, tuple[float, int]] = {}
    for (zone_id, k), ratio in short.items():
        wanted[zone_id] = max(wanted.get(zone_id, (0.0, k)), (ratio, k))
    changed = False
    for zone_id, (ratio, k) in wanted.items():
        if zone_id in plan.stuck:
            continue
        done = _bolts(plan, zone_id, ratio) if by_bolt else _nails(plan, layout, zone_id, k, ratio)
        if done:
            changed = True
        else:
            plan.stuck.add(zone_id)
    return changed


def _nails(plan: _Plan, layout: Layout, zone_id: str, k: int, ratio: float) -> bool:
    """Closer centres in one zone, or another row."""
    zone = plan.zones[zone_id]
    note = next((p for p in layout.patterns if p.member == zone.chord), None)
    if note is None or note.source != plan.brief.rules.name:
        return False  # what the truss designer prescribes is laid out as given, and checked
    pieces = clip(layout.free[zone.chord], zone.start, zone.end)
    if not len(pieces):
        return False
    options = layout.options[zone.chord]
    now = plan.nails.get(zone_id, options[0].centres)
    if options[-1].centres >= now - 1e-6:
        return _another_row(plan, note)
    due = ratio * _crossing(layout, zone, k) if ratio < float("inf") else 1.0
    plan.nails[zone_id] = closer(plan.brief, pieces, options, now, due)
    return True


def _crossing(layout: Layout, zone: Zone, k: int) -> int:
    """Nails in a zone that cross an interface."""
    f = layout.fasteners
    here = f.driven & (f.member == zone.chord) & f.crosses(k)
    return int(np.sum(here & (f.station >= zone.start) & (f.station <= zone.end)))


def _another_row(plan: _Plan, note: PatternNote) -> bool:
    """One more row in the chord, where its depth takes it and nobody has prescribed it."""
    brief = plan.brief
    member = brief.girder.member(note.member)
    rows = plan.rows.get(member.id, note.rows) + 1
    if note.source != brief.rules.name or rows > ROWS_MOST or brief.nail is None:
        return False
    if rows > note.rows + 1:
        return False  # the layout has refused a row already
    limits = nail_limits(brief, member, brief.nail)
    if member.depth < 2 * limits.a4 + (rows - 1) * limits.a2 - 1e-6:
        return False
    plan.rows[member.id] = rows
    return True


def _bolts(plan: _Plan, zone_id: str, ratio: float) -> bool:
    """Two bolts beside the load, then more, then two rows; False when they find no more room."""
    zone, brief = plan.zones[zone_id], plan.brief
    if brief.bolt is None:
        return False
    if zone_id not in plan.bolts:
        plan.bolts[zone_id] = (2, 1)
        return True
    count, now_rows = plan.bolts[zone_id]
    rows = now_rows
    more = max(count + 1, int(np.ceil(count * min(ratio, 4.0) - 1e-6)))
    limits = bolt_limits(brief, brief.girder.member(zone.chord), brief.bolt.d)
    most = int(zone.length / limits.a1) + 1
    depth = brief.girder.member(zone.chord).depth
    if more > most * rows and rows == 1 and depth >= 2 * limits.a4 + limits.a2:
        rows = 2
    plan.bolts[zone_id] = (min(more, most * rows), rows)
    return plan.bolts[zone_id] != (count, now_rows)


def _told(plan: _Plan, layout: Layout, checks: Sequence[Check]) -> tuple[Strengthening, ...]:
    """Where there is more than the pattern, and for which interface of which load."""
    notes = {p.member: p for p in layout.patterns}
    stages = {p.group: p.stage for p in reversed(layout.passes)}
    told = []
    for zone_id, centres in plan.nails.items():
        zone = plan.zones[zone_id]
        for group in plan.stages:
            fastens = {k for p in layout.passes if p.group == group for k in p.fastens}
            note, stage = notes[zone.chord], stages[group]
            told.append(
                _strengthening(zone, plan.brief.driven, centres, note, stage, fastens, checks)
            )
    bolt_stage = next((s.number for s in layout.stages if "bolt" in s.kinds), 0)
    for zone_id, (count, _) in plan.bolts.items():
        zone = plan.zones[zone_id]
        every = set(range(1, plan.brief.girder.plies))
        told.append(
            replace(_strengthening(zone, "bolt", 0.0, None, bolt_stage, every, checks), count=count)
        )
    return tuple(sorted(told, key=lambda s: (s.member, s.start, s.stage)))


def _strengthening(
    zone: Zone,
    kind: str,
    centres: float,
    note: PatternNote | None,
    stage: int,
    interfaces: set[int],
    checks: Sequence[Check],
) -> Strengthening:
    mine = [c.demand for c in checks if c.about == zone.id and c.interface in interfaces]
    demand = max(mine, default=0.0)
    return Strengthening(
        load=zone.id,
        member=zone.chord,
        start=zone.start,
        end=zone.end,
        kind=kind,
        stage=stage,
        interfaces=tuple(sorted(interfaces)),
        centres=centres,
        usual=note.centres if note else 0.0,
        demand=demand,
    )
