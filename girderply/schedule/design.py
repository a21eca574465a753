"""A layout designed to the load: more fasteners only where the pattern does not carry.

The rule set's pattern comes first and is never thinned. Where the flow is tight the nails that
cross the tight interface come closer over the whole tight window, the sparse parts of it first,
down to the limit; then the chord gets one more row; bolts are set in groups where the job lets
bolts carry. What still fails stays a failed check.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.fasteners.runs import Run
from girderply.layout.bolt_rows import BoltGroup
from girderply.layout.brief import Brief
from girderply.layout.lay_out import Layout, Workshop, Zones
from girderply.layout.lengths import closer
from girderply.layout.limits import bolt_limits, nail_limits
from girderply.layout.records import PatternNote
from girderply.layout.region import clip
from girderply.layout.spread import Density, split
from girderply.schedule.types import Strengthening
from girderply.strength.check_record import Check
from girderply.strength.checks import Checker
from girderply.strength.load_shares import LoadShares
from girderply.strength.sharing import FrameError
from girderply.strength.sharing.newton import NotSettledError
from girderply.strength.sharing.ply_forces import PlyForces, ply_forces
from girderply.strength.zones import Zone, reach_of, zones
from girderply.wording import Words, said

ROUNDS = 24
ROWS_MOST = 4
NAMED = 3  # loads that are named one by one
Springs = Callable[[Layout], PlyForces | None]
Checked = Callable[[Layout, PlyForces | None], tuple[Check, ...]]
SAME = 1e-6  # windows used alike are worked on alike: nothing depends on their order


@dataclass(frozen=True, slots=True)
class Designed:
    """A layout, its checks, and where it has more than the pattern.

    Attributes:
        checks: of what passes between plies; `with_computed` adds those beside what hangs.
        checker: that made them, for this girder.
        found: the plies on this layout's springs, where the checks are by computed shares.
    """

    layout: Layout
    checks: tuple[Check, ...]
    strengthened: tuple[Strengthening, ...]
    checker: Checker
    found: PlyForces | None = None

    @property
    def shares(self) -> tuple[LoadShares, ...]:
        """What every ply keeps of every load, where the checks are by computed shares."""
        return _kept(self.found)


def _kept(found: PlyForces | None) -> tuple[LoadShares, ...]:
    return found.shares if found else ()


@dataclass(slots=True)
class _Plan:
    """Closer centres while they are being sought.

    Attributes:
        nails: chord and stage of the rule set -> closer centres. bolts: zone id -> (count, rows).
        rows: chord -> rows. stuck: zones that nothing more can be done for.
    """

    brief: Brief
    zones: dict[str, Zone]
    nails: dict[tuple[str, int], list[Density]] = field(default_factory=dict)
    bolts: dict[str, tuple[int, int]] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    stuck: set[str] = field(default_factory=set)

    def as_zones(self) -> Zones:
        """The plan as the layout takes it."""
        bolts = [self._group(z, count, rows) for z, (count, rows) in self.bolts.items()]
        return Zones({key: tuple(parts) for key, parts in self.nails.items()}, self.rows, bolts)

    def _group(self, zone_id: str, count: int, rows: int) -> BoltGroup:
        zone = self.zones[zone_id]
        return BoltGroup(zone.chord, zone.start, zone.end, zone.station, count, rows)


def design(brief: Brief, *, trial: bool = False, spare: float = 1.0) -> Designed:
    """Lay out a girder and strengthen it where its loads ask for more.

    Args:
        brief: girder and rules; `job.fastening.design_to_load` False leaves the pattern alone.
        trial: only whether it carries is asked: the search ends as soon as nothing more can be done
            for one of its loads. Where that does not happen the design is the whole one.
        spare: every load is designed for so many times itself, where it passes between plies.
    """
    shop, checker = Workshop(brief), Checker(brief.job, brief.girder, brief.rules)
    on_springs = partial(springs, brief)

    def checked(
        layout: Layout, found: PlyForces | None, *, worked: bool = False
    ) -> tuple[Check, ...]:
        parts = (layout.fasteners, layout.nails, layout.bolts)
        return checker.check(*parts, shares=_kept(found), worked=worked, whole=False)

    layout, found = shop.lay_out(Zones()), None
    places = zones(brief.girder, reach_of(brief.job, brief.rules))
    plan = _Plan(brief, {z.id: z for z in places})
    if brief.job.fastening.design_to_load:
        layout, found = _strengthened(
            plan, shop, layout, (on_springs, checked), trial=trial, spare=spare
        )
    found = found or on_springs(layout)
    checks = checked(layout, found, worked=True)
    return Designed(layout, checks, _told(plan, layout, checks), checker, found)


def springs(brief: Brief, layout: Layout) -> PlyForces | None:
    """The plies on the springs of a layout, where the job designs by computed shares.

    Fasteners that are added stiffen the girder, so that more passes: shares are always those of the
    layout that they judge. None by equal shares, and where they cannot be computed; the schedule
    says so then (`ply_results`).
    """
    if not brief.job.fastening.by_computed:
        return None
    try:
        parts = (layout.fasteners, layout.nails, layout.bolts)
        return ply_forces(brief.job, brief.girder, *parts)
    except (FrameError, NotSettledError):
        return None


def _strengthened(
    plan: _Plan,
    shop: Workshop,
    layout: Layout,
    judged: tuple[Springs, Checked],
    *,
    trial: bool,
    spare: float,
) -> tuple[Layout, PlyForces | None]:
    """The layout with more where it is short, as far as that goes, and the plies on its springs.

    Computed shares are those of the layout with which a search began; they are worked out again
    where nothing is short by them, until nothing is short by its own.
    """
    on_springs, checked = judged
    found, own = on_springs(layout), True
    for _ in range(ROUNDS):
        short, rows = _short(plan, checked(layout, found), spare), dict(plan.rows)
        if not short and not own:
            found, own = on_springs(layout), True
            short = _short(plan, checked(layout, found), spare)
        if not short or not _tighten(plan, layout, short):
            break
        if trial and rows == plan.rows and _hopeless(plan, short):
            break
        layout, own = shop.lay_out(plan.as_zones()), found is None
    return layout, found if own else None


def _hopeless(plan: _Plan, short: Sequence[_Short]) -> bool:
    """Whether nothing is left to do for one of the zones that are short."""
    return any(s.zone.id in plan.stuck for s in short)


@dataclass(frozen=True, slots=True)
class _Short:
    """A load and an interface where too little crosses, and the window that is tight."""

    zone: Zone
    interface: int
    ratio: float
    low: float
    high: float

    def overlaps(self, other: _Short) -> bool:
        """Whether both have the chord, the interface and a length of it in common."""
        same = (self.zone.chord, self.interface) == (other.zone.chord, other.interface)
        return same and self.low < other.high and other.low < self.high


def _short(plan: _Plan, checks: Sequence[Check], spare: float = 1.0) -> list[_Short]:
    """Where too little crosses, the worst first, by place where they are alike."""
    worst: dict[tuple[str, int], _Short] = {}
    for check in checks:
        used, zone = spare * check.utilisation, plan.zones.get(check.about)
        if check.interface and used > 1.0 + SAME and zone is not None:
            key = (check.about, check.interface)
            if key not in worst or used > worst[key].ratio:
                worst[key] = _Short(zone, check.interface, used, *check.window)
    return sorted(worst.values(), key=lambda s: (-round(s.ratio, 6), s.low, s.high))


def _tighten(plan: _Plan, layout: Layout, short: Sequence[_Short]) -> bool:
    """Bring fasteners closer for every zone that is short; False when nothing can be done."""
    if plan.brief.job.fastening.transfer_by == FastenerKind.BOLT:
        return _closer_bolts(plan, short)
    now = _Round({key: tuple(parts) for key, parts in plan.nails.items()})
    changed = False
    for one in _in_turn(short):
        if one.zone.id in plan.stuck:
            continue
        if _nails(plan, layout, one, now):
            changed = True
        else:
            plan.stuck.add(one.zone.id)
    return changed


def _in_turn(short: Sequence[_Short]) -> Iterator[_Short]:
    """The worst windows, and those that overlap none that is worse: these come in their turn."""
    taken: list[_Short] = []
    for one in short:
        if not any(one.overlaps(t) and t.ratio > one.ratio * (1.0 + SAME) for t in taken):
            taken.append(one)
            yield one


def _closer_bolts(plan: _Plan, short: Sequence[_Short]) -> bool:
    """More bolts beside every load that is short, by its shortest interface."""
    changed = False
    for one in {s.zone.id: s for s in reversed(short)}.values():
        if one.zone.id in plan.stuck:
            continue
        if _bolts(plan, one.zone.id, one.ratio):
            changed = True
        else:
            plan.stuck.add(one.zone.id)
    return changed


@dataclass(frozen=True, slots=True)
class _Round:
    """What stood when a round began, and the chords that got one more row in it."""

    nails: dict[tuple[str, int], tuple[Density, ...]]
    rows: set[str] = field(default_factory=set)


def _nails(plan: _Plan, layout: Layout, short: _Short, now: _Round) -> bool:
    """Closer centres over one window, or another row."""
    chord = short.zone.chord
    note = next((p for p in layout.patterns if p.member == chord), None)
    if note is None or note.source != plan.brief.rules.name:
        return False  # what the truss designer prescribes is laid out as given, and checked
    groups = sorted({p.group for p in layout.passes})
    crossing = [g for g in groups if _crosses(layout, chord, g, short.interface)]
    free = clip(layout.free[chord], short.low, short.high)
    if not len(free):
        return False
    tracks = layout.tracks[chord]
    usual, done = tracks.options[0].centres, False
    for group in crossing or groups:
        pieces = split(free, now.nails.get((chord, group), ()), usual)
        centres = closer(plan.brief, pieces, tracks.options, short.ratio)
        if centres is None:
            continue
        done = True
        together = [group] if _alone(plan, layout, short, group, centres) else groups
        for each in together:
            parts = plan.nails.setdefault((chord, each), [])
            parts.append(Density(short.low, short.high, centres))
    if not done and chord not in now.rows and _another_row(plan, note):
        now.rows.add(chord)
    return done or chord in now.rows


def _alone(plan: _Plan, layout: Layout, short: _Short, group: int, centres: float) -> bool:
    """Whether one stage may be denser by itself: its nails keep clear of all other stages."""
    chord = short.zone.chord
    tracks = layout.tracks[chord]
    own = tracks.option(centres)
    others = {tracks.options[0]}
    for (member, other), parts in plan.nails.items():
        if member == chord and other != group:
            others |= {tracks.option(p.centres) for p in parts}
    return all(tracks.mixes(own, other) for other in others)


def _crosses(layout: Layout, chord: str, group: int, k: int) -> bool:
    """Whether the nails of a stage of the rule set cross an interface in a chord."""
    stages = [p.stage for p in layout.passes if p.group == group]
    f = layout.fasteners
    mine = f.driven & (f.member == chord) & f.crosses(k) & np.isin(f.stage, stages)
    return bool(mine.any())


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
    """Where there is more than the pattern, as it is laid out, and for which loads."""
    told = []
    for note in layout.patterns:
        if any(member == note.member for member, _ in plan.nails):
            told += [_nailed(plan, layout, note, run, checks) for run in _denser(layout, note)]
    every = tuple(range(1, plan.brief.girder.plies))
    bolt_stage = next((s.number for s in layout.stages if FastenerKind.BOLT in s.kinds), 0)
    for zone_id, (count, _) in plan.bolts.items():
        zone = plan.zones[zone_id]
        told.append(
            Strengthening(
                load=zone.id, member=zone.chord, start=zone.start, end=zone.end,
                kind=FastenerKind.BOLT, stage=bolt_stage, interfaces=every, centres=0.0, usual=0.0,
                demand=_demand(checks, [zone], every), count=count,
            )
        )  # fmt: skip
    return tuple(sorted(told, key=lambda s: (s.member, s.start, s.stage)))


def _denser(layout: Layout, note: PatternNote) -> Iterator[Run]:
    """The runs of a chord that are denser than usual, each face by itself."""
    usual = _usual(layout, note)
    for run in layout.runs:
        mine = run.member == note.member and run.kind != FastenerKind.BOLT and run.marks > 1
        if mine and _centres(run) < usual - SAME:
            yield run


def _usual(layout: Layout, note: PatternNote) -> float:
    """Centres of the pattern in one stage: of faces that share it each has its part, mm."""
    tracks = layout.tracks[note.member]
    return tracks.options[0].centres * tracks.faces


def _centres(run: Run) -> float:
    """Length of member for each nail of a run, mm."""
    return run.step / len(run.numbers) if run.rows == "all" else run.step


def _nailed(
    plan: _Plan, layout: Layout, note: PatternNote, run: Run, checks: Sequence[Check]
) -> Strengthening:
    group = next(p.group for p in layout.passes if p.stage == run.stage)
    fastens = {k for p in layout.passes if p.group == group for k in p.fastens}
    inside = [
        z
        for z in plan.zones.values()
        if z.chord == note.member and z.low < run.last and run.first < z.high
    ]
    near = [z for z in inside if run.first <= z.station <= run.last] or inside
    return Strengthening(
        load=_names(near),
        member=note.member,
        start=run.first,
        end=run.last,
        kind=plan.brief.driven,
        stage=run.stage,
        interfaces=tuple(sorted(fastens)),
        centres=_centres(run),
        usual=_usual(layout, note),
        demand=_demand(checks, near, tuple(fastens)),
    )


def _names(loads: Sequence[Zone]) -> Words:
    """All of them, or the first, the last and how many."""
    ids = [z.id for z in loads]
    if len(ids) <= NAMED:
        return ", ".join(ids)
    return said("worked.from_to", first=ids[0], last=ids[-1], count=len(ids))


def _demand(checks: Sequence[Check], loads: Sequence[Zone], interfaces: Sequence[int]) -> float:
    """The most that one of the interfaces must pass for one of the loads, N."""
    ids = {z.id for z in loads}
    return max(
        (c.demand for c in checks if c.about in ids and c.interface in interfaces), default=0
    )
