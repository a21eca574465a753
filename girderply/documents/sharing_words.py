"""What the spring model found, in words and figures, the same on paper and on a terminal."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from girderply.units.show import Show

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule
    from girderply.strength.sharing import Sharing, SharingReport

NONE = "\u2013"
SHARES, SLIP = "Share of each ply, front to back", "Largest slip"
HELPERS = 3  # fasteners named that help most
ASSUMED = (
    "Each ply is a plane frame of its own: chords run through, webs are pinned, every ply stands "
    "on its own bearings. Every fastener is a pair of springs at each interface it crosses, with "
    "the slip modulus of EN 1995-1-1, 7.1, whatever standard judges the strength. Loads "
    "hang on the plies that their fixings reach. The plies stay elastic; twist out of the plane is "
    "not in it. The first yield is where the first fastener reaches its design resistance; then "
    "it slips on and its neighbours take over, until the transfer from ply to ply stops to grow "
    "or the slip reaches its limit of {limit}."
)
_ENDS = {
    "transfer": "the transfer from ply to ply stops to grow",
    "slip": "the slip reaches its limit",
    "steps": "not ended in the steps allowed",
    "unsettled": "no balance is found beyond",
    "nothing yields": "nothing yields",
}


def summary_rows(schedule: Schedule, report: SharingReport) -> list[tuple[str, str]]:
    """What was found as label and value; a report without an answer gives the combination only."""
    show = Show(schedule.job.info.units)
    rows = [("Combination", f"{report.combination.text}, {report.combination.duration}")]
    sharing = report.sharing
    if sharing is None:
        return rows
    rows += [(SHARES, shares_words(sharing.shares, show))]
    if sharing.force.size:
        rows += _hardest(schedule, report, sharing, show)
        rows += [(SLIP, slip_words(float(sharing.slip_size.max()), show))]
    return [*rows, *_factors(report), *_helpers(schedule, report, show)]


def _hardest(
    schedule: Schedule, report: SharingReport, sharing: Sharing, show: Show
) -> list[tuple[str, str]]:
    row, k = sharing.hardest(report.strength)
    force = show.force(float(sharing.force_size[row, k]))
    name = f"{schedule.fasteners.id[row]}, plies {k + 1}|{k + 2}: {force}"
    found = [("Hardest fastener", name)]
    if report.strength is not None:
        used = float(sharing.utilisation(report.strength)[row, k])
        found.append(("Used of its design resistance", used_words(used, show)))
    return found


def hardest_fasteners(report: SharingReport, count: int) -> list[int]:
    """Numbers of the fasteners that are used most (by force where no resistance is known)."""
    sharing = report.sharing
    if sharing is None or not sharing.force.size:
        return []
    worth = sharing.force_size if report.strength is None else sharing.utilisation(report.strength)
    each = np.round(worth.max(axis=1), 9)
    order = np.argsort(-each, kind="stable")[:count]
    return [int(i) for i in order if each[i] > 0]


def hardest_rows(schedule: Schedule, report: SharingReport, count: int = 5) -> list[list[str]]:
    """Id, member, interface, force, use of the resistance and slip of the hardest fasteners."""
    show, f, sharing = Show(schedule.job.info.units), schedule.fasteners, report.sharing
    rows: list[list[str]] = []
    if sharing is None:
        return rows
    for i in hardest_fasteners(report, count):
        used = None if report.strength is None else sharing.utilisation(report.strength)[i]
        k = int(np.argmax(sharing.force_size[i] if used is None else used))
        rows.append([
            str(f.id[i]), str(f.member[i]), f"{k + 1}", show.force(float(sharing.force_size[i, k])),
            NONE if used is None else used_words(float(used[k]), show),
            slip_words(float(sharing.slip_size[i, k]), show),
        ])  # fmt: skip
    return rows


def used_words(used: float, show: Show) -> str:
    """A utilisation in percent, or that nothing resists."""
    return show.percent(used) if math.isfinite(used) else "no resistance"


def _factors(report: SharingReport) -> list[tuple[str, str]]:
    path = report.plastic
    if path is None:
        return []
    return [
        ("First yield at load factor", factor_words(path.first_yield)),
        ("Load factor reached", f"{factor_words(path.factor)}: {_ENDS[path.ended_by]}"),
        ("Load factor by equal shares", factor_words(report.equal_share)),
    ]


def _helpers(schedule: Schedule, report: SharingReport, show: Show) -> list[tuple[str, str]]:
    """Fasteners that spare the hardest loaded ply most when doubled."""
    order = np.argsort(-np.round(report.relief, 6), kind="stable")[:HELPERS]
    named = [
        f"{schedule.fasteners.id[i]} ({show.force(float(report.relief[i]))})"
        for i in order.tolist()
        if report.relief[i] > 0
    ]
    return (
        [("Helps most if doubled (sparing the ply loaded most)", ", ".join(named))] if named else []
    )


def assumed_words(show: Show) -> str:
    """What the spring model takes for granted."""
    from girderply.strength.sharing.plastic import SLIP_LIMIT

    limit = f"{SLIP_LIMIT / 25.4:.2f}\u00a0in" if show.imperial else f"{SLIP_LIMIT:g}\u00a0mm"
    return ASSUMED.format(limit=limit)


def factor_words(factor: float) -> str:
    """A load factor; a dash where there is none."""
    return f"{factor:.2f}" if math.isfinite(factor) else NONE


def slip_words(mm: float, show: Show) -> str:
    """A slip: `0.38 mm` or `0.009 in`."""
    return f"{mm / 25.4:.3f}\u00a0in" if show.imperial else f"{mm:.2f}\u00a0mm"


def shares_words(shares: np.ndarray, show: Show) -> str:
    """Shares of the plies from front to back."""
    return ", ".join(NONE if math.isnan(v) else show.percent(float(v)) for v in shares)
