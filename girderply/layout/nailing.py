"""Nails of one member: the pattern laid along it for every stage, mended where it cannot stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from girderply.layout.board import Board, Group
from girderply.layout.brief import Brief
from girderply.layout.holes import hole_for
from girderply.layout.mending import fill_up, mend
from girderply.layout.nail_words import gap_findings, too_few
from girderply.layout.spread import Density, Phase, sequence
from girderply.layout.stages import Pass, reach_of
from girderply.layout.strip import Spots, Strip, join
from girderply.model.girder import Array


def place_member(
    brief: Brief,
    board: Board,
    strip: Strip,
    passes: Sequence[Sequence[Pass]],
    densities: Sequence[Sequence[Density]],
) -> int:
    """Put the nails of every stage of one member on the board.

    Args:
        brief: girder and rules.
        board: takes the nails and the findings.
        strip: the member made ready.
        passes: per rule stage, its passes (two where the faces share the pattern).
        densities: per rule stage, closer centres in parts of the member.

    Returns:
        Least number of nails placed for one rule stage.
    """
    best = _attempt(brief, strip, passes, densities, strip.pattern.centres)
    for centres in _closer(brief, strip):
        if _least(best) >= strip.required:
            break
        trial = _attempt(brief, strip, passes, densities, centres)
        best = trial if _least(trial) > _least(best) else best
    for spots, shared in zip(best, passes, strict=True):
        for group in _groups(brief, strip, spots, shared):
            board.put(group)
    board.findings += gap_findings(brief, strip, best, passes)
    board.findings += too_few(brief, strip, best, passes)
    return _least(best)


def _least(stages: Sequence[Spots]) -> int:
    """Nails in the stage that has fewest."""
    return min((len(s.station) for s in stages), default=0)


def _closer(brief: Brief, strip: Strip) -> list[float]:
    """Closer centres to try where several stages share a ply, mm.

    There is hardly room then to put what keep-outs swallow between the others' nails; all stages
    are brought closer alike instead, until the count is due.
    """
    if strip.sharing == 1 or strip.pattern.prescribed:
        return []
    step = brief.rules.station_step
    least = max(least_step(strip.limits.a1, strip, step), step)
    usual = strip.pattern.centres
    wishes = {math.floor(usual * share / step) * step for share in (0.9, 0.8, 0.7, 0.6, 0.5)}
    return sorted((w for w in wishes if least <= w < usual), reverse=True)


def _attempt(
    brief: Brief,
    strip: Strip,
    passes: Sequence[Sequence[Pass]],
    densities: Sequence[Sequence[Density]],
    centres: float,
) -> list[Spots]:
    """The nails of every stage at these centres, each kept off the earlier stages'."""
    board = Board()
    stages = []
    for group, shared in enumerate(passes):
        tape = brief.tape(strip.region.member)
        phase, swap = phase_of(group, strip.sharing, strip.zigzag)
        phase = replace(phase, least=least_step(strip.limits.a1, strip, tape.step))
        stations = sequence(strip.free, centres, phase, tape, densities[group])
        spots = _on_lines(strip, stations, swap) if strip.zigzag else _all_lines(strip, stations)
        spots = mend(brief, board, strip, spots, reach_of(shared))
        spots = fill_up(brief, board, strip, spots, shared)
        stages.append(spots)
        for ready in _groups(brief, strip, spots, shared):
            board.put(ready)
    return stages


def _groups(brief: Brief, strip: Strip, spots: Spots, shared: Sequence[Pass]) -> list[Group]:
    """The nails of one stage of the rule, shared between the faces where they alternate."""
    if len(shared) == 1:
        return [_group(brief, strip, spots, shared[0])]
    turn = _turns(strip, spots)
    return [_group(brief, strip, spots.take(np.flatnonzero(turn == p.share)), p) for p in shared]


def _turns(strip: Strip, spots: Spots) -> np.ndarray:
    """(n,) 0 or 1: neighbours in one row take turns; places are sorted by station."""
    row = np.minimum(spots.line, strip.pattern.rows - 1)
    turn = np.zeros(len(row), np.int64)
    for r in np.unique(row):
        mine = np.flatnonzero(row == r)
        turn[mine] = (np.arange(len(mine)) + r) % 2
    return turn


def least_step(a1: float, strip: Strip, tape_step: float) -> float:
    """Closest centres at which all stages of one ply keep `a1` in every row, mm."""
    return closest_centres(a1, strip.sharing, strip.zigzag, tape_step)


def closest_centres(a1: float, sharing: int, zigzag: bool, tape_step: float) -> float:
    """As `least_step`, from the numbers alone.

    Where stages share a ply their nails are rounded to the tape one by one, so a step of it is
    kept in hand.
    """
    apart = a1 + (tape_step if sharing > 1 else 0.0)
    return sharing * apart / (2 if zigzag else 1)


def phase_of(group: int, sharing: int, zigzag: bool) -> tuple[Phase, int]:
    """Where along the pattern a stage starts, so that no nail meets a nail of another stage.

    Stages that stand in one ply are spread evenly between two nails of one row.

    Args:
        group: index of the rule's stage.
        sharing: the most stages whose nails stand in one ply.
        zigzag: rows take turns; two nails of one row are two centres apart.

    Returns:
        The phase, and 1 where the rows change places.
    """
    starts = [k / sharing * (2 if zigzag else 1) for k in range(sharing)]
    start = starts[group % sharing]
    return Phase(start % 1.0, max(x % 1.0 for x in starts)), int(start)


def _all_lines(strip: Strip, stations: Array) -> Spots:
    """Every line has a nail at every station, where it may stand."""
    parts = []
    for line, (offset, free) in enumerate(zip(strip.pattern.lines, strip.intervals, strict=True)):
        at = stations[free.contain(stations)]
        parts.append(Spots(at, np.full(len(at), line), np.full(len(at), offset)))
    return join(parts)


def _on_lines(strip: Strip, stations: Array, swap: int) -> Spots:
    """Lines take turns: even lines at even stations, odd ones between.

    Where none of the lines whose turn it is may hold a nail, another line takes it.
    """
    offsets = np.array(strip.pattern.lines)
    allowed = np.array([free.contain(stations) for free in strip.intervals])
    index = np.arange(len(stations))
    due = (strip.rank[:, None] + index[None, :] + swap) % 2 == 0
    chosen = due & allowed
    orphan = ~chosen.any(axis=0) & allowed.any(axis=0)
    stand_in = np.argmax(allowed, axis=0)
    chosen[stand_in[orphan], index[orphan]] = True
    line, at = np.nonzero(chosen)
    order = np.lexsort((line, at))
    line, at = line[order], at[order]
    return Spots(stations[at], line, offsets[line])


def _group(brief: Brief, strip: Strip, spots: Spots, p: Pass) -> Group:
    """Columns of the nails of one pass."""
    rows = np.minimum(spots.line + 1, strip.pattern.rows)
    common: dict[str, object] = {
        "kind": p.nail.kind,
        "spec": p.nail.key,
        "joint": "",
        "stage": p.stage,
        "face": p.face,
        "from_ply": p.from_ply,
        "to_ply": p.to_ply,
        "protrusion": p.protrusion,
        "point_depth": p.point_depth,
        "clench": p.clench,
        "drilled": hole_for(p.nail, brief.girder.predrilled),
        "purpose": "assembly",
        "load": "",
        "rows": strip.pattern.rows,
    }
    return Group(strip.region.member, spots.station, spots.offset, rows, p.reach, common)
