"""Combs of one member: steps, rows that take turns, how far stages are moved against each other.

A comb has a mark every `step`; its rows take turns or are all at each mark. Stages whose nails
stand in one ply are the same comb, moved by one constant, so that one stick serves them all.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace

from girderply.layout.brief import Brief
from girderply.layout.stages import FLUSH, Pass
from girderply.layout.strip import Strip

EPS = 1e-6
POINT_OFF_D = 3.0  # in plan, a point keeps so many diameters off the head of a nail below it


@dataclass(frozen=True, slots=True)
class Comb:
    """Marks every `step` mm; `turns`: the lines that have a nail at each mark, in turn."""

    step: float
    turns: tuple[tuple[int, ...], ...]

    @property
    def period(self) -> float:
        """From nail to nail of one row, mm."""
        return self.step * len(self.turns)

    @property
    def centres(self) -> float:
        """Length of member for each nail, mm."""
        return self.period / max(1, sum(map(len, self.turns)))


@dataclass(frozen=True, slots=True)
class Track:
    """One pass on one member: its usual comb, and its place among the other passes.

    Attributes:
        lines: that it may use. colour: passes that share a ply have different ones.
        nudge: moved aside so often that its points clear the heads of nails below.
        sharing: indices of the passes that it shares a ply with. touching: of those whose points
            or heads come near its own through the stack, though they share no ply.
    """

    passed: Pass
    comb: Comb
    lines: tuple[int, ...]
    colour: int
    nudge: int
    sharing: frozenset[int]
    touching: frozenset[int]


@dataclass(frozen=True, slots=True)
class Option:
    """A density of a member: step (mm), whether all rows are at each mark, centres (mm).

    `centres` is the length of member for each nail of one stage of the rule. `keeps`: the marks of
    the usual comb are marks of this one, in the same rows. `moves`: with it the stages are moved
    against each other otherwise than usual.
    """

    step: float
    all_rows: bool
    centres: float
    keeps: bool = True
    moves: bool = False


@dataclass(frozen=True, slots=True)
class Tracks:
    """All passes of one member.

    Attributes:
        options: densities that the passes bear, the usual one first, falling centres.
        apart: a1, mm. aside: what one nudge is, mm. faces: passes that share one pattern.
    """

    tracks: tuple[Track, ...]
    options: tuple[Option, ...]
    apart: float
    aside: float
    faces: int
    brief: Brief = field(repr=False)

    @property
    def colours(self) -> int:
        """How many combs have to stand in one ply."""
        return 1 + max((t.colour for t in self.tracks), default=0)

    @property
    def nudged(self) -> int:
        """The most that a pass is moved aside for points over heads."""
        return max((t.nudge for t in self.tracks), default=0)

    @property
    def disjoint(self) -> bool:
        """Whether no two passes use the same line."""
        lines = [i for t in self.tracks for i in t.lines]
        return len(set(lines)) == len(lines)

    def option(self, centres: float) -> Option:
        """The widest density with at most these centres (mm), else the closest there is."""
        return next((o for o in self.options if o.centres <= centres + EPS), self.options[-1])

    def comb(self, track: Track, option: Option) -> Comb:
        """The comb of a pass at a density."""
        turns = (tuple(sorted(track.lines)),) if option.all_rows else track.comb.turns
        return Comb(option.step, turns)

    def shift(self, track: Track, used: Sequence[Option]) -> float:
        """How far a pass is moved along the member against the first one, mm.

        The same over the whole member, whatever densities it has.
        """
        return track.colour * self.slot(self.periods(used)) + track.nudge * self.aside

    def periods(self, used: Sequence[Option]) -> tuple[float, ...]:
        """From nail to nail of one row in the usual comb and at these densities, mm."""
        track = self.tracks[0]
        return (track.comb.period, *(self.comb(track, o).period for o in used))

    def slot(self, periods: Sequence[float]) -> float:
        """How far two colours are apart, mm: that of the usual comb where all periods bear it."""
        usual = self.share(periods[0])
        if all(self.clear(usual, p) for p in periods):
            return usual
        return self.share(min(periods))

    def share(self, period: float) -> float:
        """The round share of a period that each colour gets, mm."""
        share = period / self.colours
        for grid in (self.brief.rules.setting_out.first_step, self.brief.rules.station_step):
            slot = math.floor(share / grid + EPS) * grid
            if slot >= self.need - EPS:
                return slot
        return share

    @property
    def need(self) -> float:
        """Least distance of two colours in a row, mm."""
        return self.apart + self.nudged * self.aside

    def clear(self, slot: float, period: float) -> bool:
        """Whether all colours keep clear of each other in a row of this period, mm."""
        if self.colours == 1 or self.disjoint:
            return True
        apart = [(k * slot) % period for k in range(1, self.colours)]
        return all(min(x, period - x) >= self.need - EPS for x in apart)

    def bears(self, period: float) -> bool:
        """Whether the passes keep `apart` in every row at this period (mm)."""
        if self.colours == 1 or self.disjoint:
            return period >= self.apart - EPS
        return any(self.clear(self.share(p), period) for p in (self.periods(())[0], period))

    def moves(self, option: Option) -> bool:
        """Whether this density moves the stages against each other otherwise than usual."""
        usual, other = self.periods((option,))
        return not self.clear(self.share(usual), other)

    def mixes(self, one: Option, two: Option) -> bool:
        """Whether two stages keep clear of each other where each has its own density."""
        usual, *both = self.periods((one, two))
        return self.clear(
            self.slot((usual, *both)), math.gcd(*(round(p * 100) for p in both)) / 100
        )


def tracks_key(strip: Strip, passes: Sequence[Pass]) -> Hashable:
    """Members with the same key have the same `tracks_of` by one brief."""
    pattern, order = strip.pattern, tuple(strip.rank.tolist())
    own = (pattern.rows, pattern.centres, pattern.prescribed, strip.zigzag, order, strip.limits.a1)
    return (own, tuple(passes))


def tracks_of(brief: Brief, strip: Strip, passes: Sequence[Pass]) -> Tracks:
    """Every pass of a member with its comb and the densities that they all bear."""
    colours, sharing = _colours(passes)
    nudges = _nudges(brief, passes, colours)
    tracks = []
    for i, passed in enumerate(passes):
        comb, lines = _usual(brief, strip, passed)
        near = frozenset(
            k
            for k, q in enumerate(passes)
            if k != i and k not in sharing[i] and touching(brief, passed, q)
        )
        tracks.append(Track(passed, comb, lines, colours[i], nudges[i], sharing[i], near))
    thick = max((p.nail.d for p in passes), default=0.0)
    tape = brief.rules.station_step
    aside = math.ceil(POINT_OFF_D * thick / tape - EPS) * tape
    faces = max((sum(q.group == p.group for q in passes) for p in passes), default=1)
    made = Tracks(tuple(tracks), (), strip.limits.a1, aside, faces, brief)
    return replace(made, options=_options(made, strip))


def _turns(strip: Strip) -> tuple[tuple[int, ...], ...]:
    """Lines that take turns, the lower one (as the girder stands) first."""
    order = [int(i) for i in strip.rank.argsort()]
    return (tuple(order[0::2]), tuple(order[1::2])) if strip.zigzag else (tuple(order),)


def _usual(brief: Brief, strip: Strip, passed: Pass) -> tuple[Comb, tuple[int, ...]]:
    """The comb of one pass by the rule, and the lines it may use.

    Where the faces share a pattern each is a comb of its own: with two rows both have a nail at
    the same marks and take the rows in turn, so that neighbours in a row come from opposite faces;
    with one row, or where no stretch may be without a nail, each face has every second mark.
    """
    turns, centres = _turns(strip), strip.pattern.centres
    every = tuple(sorted(i for t in turns for i in t))
    if passed.share is None:
        return Comb(centres, turns), every
    apart = strip.pattern.rows == 1 or brief.rules.setting_out.gap_most is not None
    if len(turns) == 1:
        return Comb(2 * centres, turns), every
    if apart:
        mine = turns[passed.share % 2]
        return Comb(2 * centres, (mine,)), mine
    return Comb(2 * centres, turns), every


def _options(made: Tracks, strip: Strip) -> tuple[Option, ...]:
    """The usual density, then every closer one of the ladder that the passes bear."""
    if not made.tracks:
        return ()
    track, faces = made.tracks[0], made.faces
    usual = Option(track.comb.step, False, track.comb.centres / faces)
    if strip.pattern.prescribed:
        return (usual,)
    ladder = [s for s in made.brief.rules.setting_out.ladder if s < track.comb.step - EPS]
    wider = len(track.comb.turns) > 1 and len(track.lines) > 1 and strip.pattern.rows > 1
    found = []
    for step in (track.comb.step, *ladder):
        for rows in (False, True) if wider else (False,):
            trial = Option(step, rows, 0.0)
            comb = made.comb(track, trial)
            if step == track.comb.step and not rows:
                continue
            # two lines of one row are as one: they do not keep a2 from each other
            period = comb.period if strip.pattern.rows > 1 else comb.step
            # faces that share a pattern keep the same marks with rows exchanged
            if made.bears(period) and not (faces > 1 and made.moves(trial)):
                keeps = _keeps(track.comb, comb)
                found.append(Option(step, rows, comb.centres / faces, keeps, made.moves(trial)))
    found = [o for o in found if o.centres < usual.centres - EPS]
    return (usual, *sorted(found, key=lambda o: (-o.centres, not o.keeps, -o.step)))


def _keeps(usual: Comb, comb: Comb) -> bool:
    """Whether the marks of the usual comb are marks of this one, in the same rows."""
    parts = usual.step / comb.step
    whole = abs(parts - round(parts)) < EPS
    return whole and (len(comb.turns) == 1 or round(parts) % 2 == 1)


def _colours(passes: Sequence[Pass]) -> tuple[list[int], list[frozenset[int]]]:
    """A colour for each pass, so that those that share a ply differ; and which do."""
    colours: list[int] = []
    sharing: list[frozenset[int]] = []
    for i, p in enumerate(passes):
        near = [
            k
            for k, q in enumerate(passes)
            if k != i and q.reach[0] <= p.reach[1] and p.reach[0] <= q.reach[1]
        ]
        sharing.append(frozenset(near))
        taken = {colours[k] for k in near if k < i}
        colours.append(min(set(range(len(taken) + 1)) - taken))
    return colours, sharing


def colours_of(passes: Sequence[Pass]) -> int:
    """How many combs have to stand in one ply."""
    return 1 + max(_colours(passes)[0], default=0)


def _nudges(brief: Brief, passes: Sequence[Pass], colours: Sequence[int]) -> list[int]:
    """Passes of one colour whose points come near the heads or points of another take turns."""
    nudges: list[int] = []
    for i, p in enumerate(passes):
        near = [
            nudges[k]
            for k in range(i)
            if colours[k] == colours[i] and touching(brief, passes[k], p)
        ]
        nudges.append(min(set(range(len(near) + 1)) - set(near)))
    return nudges


def touching(brief: Brief, one: Pass, two: Pass) -> bool:
    """Whether nails of two passes come nearer through the stack than the stated clearance."""
    clear = brief.rules.setting_out.point_clearance
    (a, b), (c, d) = shank(brief, one), shank(brief, two)
    return a - clear < d - FLUSH and c - clear < b - FLUSH


def shank(brief: Brief, passed: Pass) -> tuple[float, float]:
    """Where a nail is in the thickness of the girder, from its front face, mm."""
    t = brief.girder.ply_thickness
    if passed.face == "front":
        head = (passed.from_ply - 1) * t
        return head, head + passed.nail.length
    head = passed.from_ply * t
    return head - passed.nail.length, head
