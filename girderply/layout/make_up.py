"""Nails beside what a comb leaves out, and those that a rule still asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from girderply.fasteners.runs import Single
from girderply.layout.board import clashes
from girderply.layout.combs import EPS
from girderply.layout.nail_combs import Work, make_run
from girderply.layout.shadows import Shadow, merged
from girderply.model.girder import Array


def make_up(work: Work) -> None:
    """Add the named nails of every stage: beside keep-outs, for the count, for the longest gap."""
    most = work.brief.rules.setting_out.gap_most
    groups = sorted({t.passed.group for t in work.ready.tracks.tracks})
    if most is None:
        for track in range(len(work.ready.tracks.tracks)):
            _beside_keep_outs(work, track)
    elif not work.ready.strip.pattern.prescribed:
        for group in groups:
            _close_gaps(work, group, most)
    for group in _short_groups(work):
        _one_more(work, group)
    if _short_groups(work):
        _spread_out(work)
    if most is not None:
        for group in groups:
            _close_gaps(work, group, most)


def _short_groups(work: Work) -> list[int]:
    groups = sorted({t.passed.group for t in work.ready.tracks.tracks})
    return [g for g in groups if work.count(g) < work.ready.due]


# --- beside plates, brackets and washers ------------------------------------------------------


def _beside_keep_outs(work: Work, track: int) -> None:
    """One nail beside each edge of what covers two marks or more, where the next is far."""
    rules, strip = work.brief.rules.setting_out, work.ready.strip
    if strip.pattern.prescribed or not len(strip.free):
        return
    step = work.ready.tracks.tracks[track].comb.step
    low, high = float(strip.free.start[0]), float(strip.free.end[-1])
    for group in merged(work.ready.shadows):
        a = min(s.start - s.clearance for s in group)
        b = max(s.end + s.clearance for s in group)
        station = work.placed(track)[0]
        if ((station > a + EPS) & (station < b - EPS)).any():
            continue  # a row goes past it
        before = a - station[station <= a + EPS].max(initial=min(a, 0.0))
        after = station[station >= b - EPS].min(initial=max(b, work.ready.member.length)) - b
        if before + after + b - a < (rules.swallowed + 1) * step - EPS:
            continue
        first = min(group, key=lambda s: s.start - s.clearance)
        last = max(group, key=lambda s: s.end + s.clearance)
        if a > low + EPS and before > step / 2 + EPS:
            _beside(work, track, first, -1)
        if b < high - EPS and after > step / 2 + EPS:
            _beside(work, track, last, 1)


def _beside(work: Work, track: int, shadow: Shadow, side: int) -> bool:
    """A nail off one edge at the named distance, where another stage has not taken the place."""
    off = max(work.brief.rules.setting_out.beside, shadow.clearance)
    edge = shadow.start if side < 0 else shadow.end
    return _stand(work, track, edge + side * off, Single(shadow.what, shadow.name, off))


def _stand(work: Work, track: int, station: float, single: Single) -> bool:
    """Put a nail on the best of the lines that have room at a station (mm)."""
    line = _line_at(work, track, station)
    if line is None:
        return False
    work.runs[track].append(
        make_run(work, track, station, [line], (0.0, 1, "one", 0), single=single)
    )
    return True


def _line_at(work: Work, track: int, station: float) -> int | None:
    """The line with room whose own nails are farthest from a station; the lower one of equals."""
    strip, limits = work.ready.strip, work.ready.strip.limits
    others, own = work.around(track), work.placed(track)
    below, aside = work.touching(track), work.ready.tracks.aside
    faces = _other_face(work, track)
    at = np.array([station])
    best: tuple[float, int] | None = None
    chosen = None
    for line in work.ready.tracks.tracks[track].lines:
        offset = work.offset(line)
        if not strip.intervals[line].contain(at)[0]:
            continue
        here = np.array([offset])
        if clashes(at, here, others, limits.a1, limits.a2)[0]:
            continue
        if clashes(at, here, below, aside, aside)[0]:
            continue
        near = own[0][np.abs(own[1] - offset) < limits.a2 - EPS]
        room = float(np.abs(near - station).min(initial=1e9))
        if not _in_turn(near, faces[0][np.abs(faces[1] - offset) < limits.a2 - EPS], station):
            continue
        key = (round(room, 3), -int(strip.rank[line]))
        if best is None or key > best:
            best, chosen = key, line
    return chosen


def _other_face(work: Work, track: int) -> tuple[Array, Array]:
    """Nails of the same pattern that are driven from the other face."""
    tracks = work.ready.tracks.tracks
    group = tracks[track].passed.group
    parts = [work.placed(k) for k, t in enumerate(tracks) if k != track and t.passed.group == group]
    empty = np.zeros(0)
    return np.concatenate([empty, *(p[0] for p in parts)]), np.concatenate(
        [empty, *(p[1] for p in parts)]
    )


def _in_turn(own: Array, others: Array, station: float) -> bool:
    """Whether neighbours in a row would come from opposite faces; True where one face is nailed."""
    if not len(others):
        return True
    before = own[own < station].max(initial=-np.inf) < others[others < station].max(initial=-np.inf)
    none = not ((own < station).any() or (others < station).any())
    after = own[own > station].min(initial=np.inf) > others[others > station].min(initial=np.inf)
    last = not ((own > station).any() or (others > station).any())
    return bool((before or none) and (after or last))


# --- what the count still asks for ------------------------------------------------------------


def _one_more(work: Work, group: int) -> None:
    """Single nails in the widest gaps until the count of the rule is there."""
    missing = work.ready.due - work.count(group)
    tracks = [k for k, t in enumerate(work.ready.tracks.tracks) if t.passed.group == group]
    for _ in range(missing):
        track = min(tracks, key=lambda k: len(work.placed(k)[0]))
        spot = next(
            (s for s in _gap_places(work, track) if _line_at(work, track, s) is not None), None
        )
        if spot is None or not _stand(work, track, spot, Single("more")):
            return


def _gap_places(work: Work, track: int) -> Iterator[float]:
    """Round stations that are free, the farthest from the nails of the track first."""
    pool = _pool(work)
    if not len(pool):
        return
    own = work.placed(track)[0]
    away = (
        np.abs(pool[:, None] - own[None, :]).min(axis=1, initial=1e9)
        if len(own)
        else (-np.abs(pool - (pool[0] + pool[-1]) / 2))
    )
    for i in np.lexsort((pool, -np.round(away, 3))):
        yield float(pool[i])


def _pool(work: Work) -> Array:
    """Stations of the free timber: round ones, and where a piece has none, those of the tape."""
    free, rules = work.ready.strip.free, work.brief.rules
    parts = [np.zeros(0)]
    for a, b in zip(free.start, free.end, strict=True):
        for grid in (rules.setting_out.first_step, rules.station_step):
            marks = np.arange(np.ceil(a / grid - EPS), np.floor(b / grid + EPS) + 1) * grid
            if len(marks):
                parts.append(marks)
                break
    return np.concatenate(parts)


def _spread_out(work: Work) -> None:
    """One nail of each stage, evenly over timber that is too short for their combs.

    The first stage would take the middle and leave no room for the second, though both fit.
    """
    free, tracks = work.ready.strip.free, work.ready.tracks
    low, high = float(free.start[0]), float(free.end[-1])
    least = tracks.apart * max(1, tracks.colours - 1)
    if len(free) > 1 or high - low > tracks.tracks[0].comb.step or high - low < least - EPS:
        return
    tape = work.brief.rules.station_step
    work.clear()
    for k, track in enumerate(tracks.tracks):
        share = track.colour / (tracks.colours - 1) if tracks.colours > 1 else 0.5
        exact = low + share * (high - low)
        for place in (round(exact / tape) * tape, exact):
            inside = low - EPS <= place <= high + EPS
            if inside and _stand(work, k, place, Single("more")):
                break


# --- no stretch longer than a published rule allows -------------------------------------------


def _close_gaps(work: Work, group: int, most: float) -> None:
    """Nails as far on as the rule allows, one after the other, where a stretch has none.

    Where nothing is free within the length that the rule allows, the nearest place after it.
    """
    tracks = [k for k, t in enumerate(work.ready.tracks.tracks) if t.passed.group == group]
    length = work.ready.member.length
    pool = _tape(work, most)
    at = 0.0
    while True:
        station = np.sort(np.concatenate([work.placed(k)[0] for k in tracks]))
        following = station[station > at + EPS]
        onward = float(following[0]) if len(following) else length
        if onward - at > most + EPS:
            spot = _farthest(
                work, tracks, pool[(pool > at + EPS) & (pool < onward - EPS)], at + most
            )
            if spot is not None:
                track, place = spot
                _stand(work, track, place, _named(work, place))
                onward = place
        if not len(following) and onward >= length - EPS:
            return
        at = onward


def _tape(work: Work, most: float) -> Array:
    """Every station of the free timber that a tape shows, mm.

    The ends of its pieces too where the marks of the tape would be farther apart over what covers
    the timber than `most` (mm), and the ends themselves are not.
    """
    free, step = work.ready.strip.free, work.brief.rules.station_step
    first = np.ceil(free.start / step - EPS) * step
    last = np.floor(free.end / step + EPS) * step
    parts = [np.arange(a, b + step / 2, step) for a, b in zip(first, last, strict=True)]
    length = [work.ready.member.length]
    low, high = np.concatenate([[0.0], free.end]), np.concatenate([free.start, length])
    by_tape = np.concatenate([first, length]) - np.concatenate([[0.0], last])
    exact = (by_tape > most + EPS) & (high - low <= most + EPS)
    bare = last < first - EPS  # a piece that no mark of the tape falls on
    parts += [low[exact], high[exact], free.start[bare], free.end[bare]]
    return np.unique(np.concatenate(parts))


def _farthest(
    work: Work, tracks: Sequence[int], pool: Array, reach: float
) -> tuple[int, float] | None:
    """The last free place within reach (mm), else the first one after it; of what track."""
    order = [*pool[pool <= reach + EPS][::-1], *pool[pool > reach + EPS]]
    for place in order:
        ranked = sorted(tracks, key=lambda k: (len(work.placed(k)[0]), k))
        for track in ranked:
            if _line_at(work, track, float(place)) is not None:
                return track, float(place)
    return None


def _named(work: Work, station: float) -> Single:
    """How a nail at a station is found: off the edge of what is beside it, else by the tape."""
    within = 3 * work.brief.rules.setting_out.beside
    found = []
    for s in work.ready.shadows:
        for off in (s.start - station, station - s.end):
            if s.clearance - EPS <= off <= within:  # nearer is past a corner that leans over
                found.append((off, s.what, s.name))
    if not found:
        return Single("more")
    off, what, name = min(found)
    return Single(what, name, off)
