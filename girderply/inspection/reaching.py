"""How people get at the places where something is to be added, and whom they tell before."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from girderply.inspection.bench import Bench
from girderply.inspection.make_good import MakeGood
from girderply.model.girder import HungLoad
from girderply.wording import Said, said


def how_to_reach(bench: Bench, mended: MakeGood) -> Iterator[Said]:
    """Turning, props and unloading, brackets in the way, holes that were not drawn."""
    new = mended.fasteners
    if not len(new):
        return
    yield said("inspection.reach_unloaded")
    for face in ("front", "back"):
        number = int(np.sum(new.face == face))
        if number:
            standing = "_standing" if bench.schedule.job.assembly.upright else ""
            yield said(f"inspection.reach_{face}{standing}", n=number)
    covered = sorted({load.id for load in bench.schedule.girder.loads if _covers(load, mended)})
    if covered:
        yield said("inspection.reach_brackets", loads=", ".join(covered))
    bolts = np.flatnonzero(new.bolted)
    old = bench.schedule.fasteners
    filled = {
        (str(m), round(float(s), 1), round(float(o), 1))
        for m, s, o in zip(old.member, old.station, old.offset, strict=True)
    }
    holes = [
        str(new.id[i])
        for i in bolts.tolist()
        if (str(new.member[i]), round(float(new.station[i]), 1), round(float(new.offset[i]), 1))
        not in filled
    ]
    if holes:
        yield said("inspection.reach_holes", ids=", ".join(holes))


def _covers(load: HungLoad, mended: MakeGood) -> bool:
    """Whether the bracket of a load, or the truss in it, stands before one of the places."""
    new = mended.fasteners
    if load.footprint is None:
        return False
    low, high = load.footprint[:, 0].min(), load.footprint[:, 0].max()
    inside = (new.member == load.chord) & (new.face == load.face)
    reach = 100.0  # mm for the hand and the hammer beside a bracket; common practice, no source
    return bool(np.any(inside & (new.x > low - reach) & (new.x < high + reach)))
