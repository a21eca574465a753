"""Transfer told as a flow: which loads find which fasteners, and where it is tightest."""

from __future__ import annotations

from math import isfinite
from typing import Any

import numpy as np

from girderply.schedule.types import Schedule
from girderply.strength.check_record import Check, Sweep
from girderply.strength.stack_columns import crossings, transfer_fasteners

Plain = dict[str, Any]
_TINY = 1e-6  # mm
Place = tuple[str, int, tuple[float, float], tuple[str, ...]]


def flow_part(schedule: Schedule) -> list[Plain]:
    """For the contract: per cluster of loads and interface the tightest window, the tightest first.

    A cluster is the loads that must find their fasteners in one window, whatever the combination;
    of several combinations the one that asks for most of what stands there is told.

    Args:
        schedule: its checks of transfer.
    """
    worst: dict[Place, tuple[Check, Sweep]] = {}
    for check in schedule.checks:
        sweep = check.sweep
        if sweep is None:
            continue
        place = (sweep.chord, check.interface, check.window, sweep.loads)
        known = worst.get(place)
        if known is None or check.utilisation > known[0].utilisation:
            worst[place] = check, sweep
    rows = sorted(worst.values(), key=lambda pair: -pair[0].utilisation)
    return [_row(schedule, check, sweep) for check, sweep in rows]


def _row(schedule: Schedule, check: Check, sweep: Sweep) -> Plain:
    return {
        "chord": sweep.chord,
        "interface": check.interface,
        "loads": list(sweep.loads),
        "from_mm": check.window[0],
        "to_mm": check.window[1],
        "needed": sweep.needed if isfinite(sweep.needed) else None,
        "there": sweep.there,
        "unit": "fasteners" if sweep.counted else "N",
        "used": check.utilisation if isfinite(check.utilisation) else None,
        "check": check.id,
        "fasteners": serving(schedule, check, sweep),
    }


def serving(schedule: Schedule, check: Check, sweep: Sweep) -> list[str]:
    """Ids of the fasteners that stand in the window of a check and count at its interface."""
    f = schedule.fasteners
    index = transfer_fasteners(f, schedule.job.fastening.transfer_by)
    low, high = check.window
    inside = (low - _TINY <= f.station[index]) & (f.station[index] <= high + _TINY)
    index = index[inside & (f.member[index] == sweep.chord)]
    classes, of_class = crossings(f, index)
    counts = np.array([c in sweep.kinds for c in classes], bool)
    rows = index[counts[of_class]] if len(index) else index
    return [str(f.id[i]) for i in rows[np.argsort(f.station[rows], kind="stable")].tolist()]
