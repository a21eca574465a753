"""A girder and its mirror image through the whole search for a layout: the mirrored fasteners.

What a mirror does to a job is written down here by hand: hook ends, bearings and rafters change
sides, stations stay, since a tape hooks at the mirrored end. Nothing hangs on a name.
"""

from __future__ import annotations

import copy
from typing import Any

import numpy as np
import pytest
from job_mutations import as_text
from random_jobs import random_girder

from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule

SIDE = {"left": "right", "right": "left"}
RAFTER = {"TC1": "TC2", "TC2": "TC1"}


def mirrored(tables: dict[str, Any]) -> dict[str, Any]:
    """The job of the mirror image."""
    made = copy.deepcopy(tables)
    girder = made["girder"]
    hooks, span = girder["hook_ends"], girder["shape"]["span"]
    other = RAFTER if "TC2" in hooks else {}
    girder["hook_ends"] = {other.get(name, name): SIDE[end] for name, end in hooks.items()}
    girder["bearings"] = [b | {"x": span - b["x"]} for b in reversed(girder["bearings"])]
    for load in made["loads"]:
        load["chord"] = other.get(load["chord"], load["chord"])
    return made


def places(made: Schedule, *, turned: bool) -> list[tuple[Any, ...]]:
    """Kind, place, row, stage, face and plies of every fastener."""
    f = made.fasteners
    xs = np.concatenate([m.outline[:, 0] for m in made.girder.members])
    x = xs.min() + xs.max() - f.x if turned else f.x
    columns = (f.kind, np.round(x, 2), np.round(f.y, 2), f.row, f.stage, f.face, f.from_ply)
    return sorted(zip(*(c.tolist() for c in (*columns, f.to_ply)), strict=True))


@pytest.mark.parametrize("seed", [99, 101])
def test_the_mirror_image_has_the_mirrored_fasteners(seed):
    """At the ridge two rafters are alike: the bolt is in that on the side where the tape hooks."""
    tables = random_girder(seed)
    one, two = (build_schedule(parse_job(as_text(t))) for t in (tables, mirrored(tables)))
    assert places(two, turned=False) == places(one, turned=True)
    assert len(one.fasteners) > 100
    assert one.failed == two.failed
    used, other = (np.array(sorted(c.utilisation for c in m.checks)) for m in (one, two))
    assert np.allclose(used, other, rtol=1e-7, atol=1e-9)
