"""What the spring model found, in words and figures, the same on paper and on a terminal."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from girderply.units.show import Printed
from girderply.wording import figures, phrase, told
from girderply.wording.words import duration_words

if TYPE_CHECKING:
    from girderply.bases.combining import Combination
    from girderply.schedule.types import Schedule
    from girderply.strength.sharing import Sharing, SharingReport

NONE = "\u2013"
MOST_FACTOR = 100.0  # a load factor beyond it says no more than that
Rows = list[tuple[str, str]]
HELPERS = 3  # fasteners named that help most


def shares_label() -> str:
    """Before the shares of the plies."""
    return phrase("sharing.shares")


def slip_label() -> str:
    """Before the largest slip."""
    return phrase("sharing.slip")


def combination_words(combination: Combination) -> str:
    """A combination with its duration."""
    duration = duration_words(combination.duration)
    return phrase("check.combination", text=combination.text, duration=duration)


def summary_rows(schedule: Schedule, report: SharingReport) -> list[tuple[str, str]]:
    """What was found as label and value; a report without an answer gives the combination only."""
    show = Printed(schedule.job.info.units)
    rows: Rows = [(phrase("sharing.combination"), combination_words(report.combination))]
    sharing = report.sharing
    if sharing is None:
        return rows
    rows += [(shares_label(), shares_words(sharing.shares, show))]
    if sharing.force.size:
        rows += _hardest(schedule, report, sharing, show)
        rows += [(slip_label(), slip_words(float(sharing.slip_size.max()), show))]
    return [*rows, *_factors(report), *_helpers(schedule, report, show)]


def _hardest(
    schedule: Schedule, report: SharingReport, sharing: Sharing, show: Printed
) -> list[tuple[str, str]]:
    row, k = sharing.hardest(report.strength)
    force = show.force(float(sharing.force_size[row, k]))
    name = phrase(
        "sharing.hardest_at",
        fastener=str(schedule.fasteners.id[row]), first=k + 1, second=k + 2, force=force,
    )  # fmt: skip
    found: Rows = [(phrase("sharing.hardest"), name)]
    if report.strength is not None:
        used = float(sharing.utilisation(report.strength)[row, k])
        found.append((phrase("sharing.used"), used_words(used, show)))
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
    show, f, sharing = Printed(schedule.job.info.units), schedule.fasteners, report.sharing
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


def used_words(used: float, show: Printed) -> str:
    """A utilisation in percent, or that nothing resists."""
    return show.percent(used) if math.isfinite(used) else phrase("calculation.no_resistance")


def _factors(report: SharingReport) -> list[tuple[str, str]]:
    path = report.plastic
    if path is None:
        return []
    return [
        (phrase("sharing.first_yield"), factor_words(path.first_yield)),
        (
            phrase("sharing.reached"),
            phrase(f"sharing.ended_{path.ended_by}", factor=factor_words(path.factor)),
        ),
        (phrase("sharing.equal_factor"), factor_words(report.equal_share)),
    ]


def _helpers(schedule: Schedule, report: SharingReport, show: Printed) -> list[tuple[str, str]]:
    """Fasteners that spare the hardest loaded ply most when doubled."""
    order = np.argsort(-np.round(report.relief, 6), kind="stable")[:HELPERS]
    named = [
        f"{schedule.fasteners.id[i]} ({show.force(float(report.relief[i]))})"
        for i in order.tolist()
        if report.relief[i] > 0
    ]
    return [(phrase("sharing.helps"), ", ".join(named))] if named else []


def assumed_words(show: Printed) -> str:
    """What the spring model takes for granted."""
    from girderply.strength.sharing.plastic import SLIP_LIMIT

    limit = f"{SLIP_LIMIT / 25.4:.2f}\u00a0in" if show.imperial else f"{SLIP_LIMIT:g}\u00a0mm"
    return phrase("sharing.assumed", limit=figures(limit))


def factor_words(factor: float) -> str:
    """A load factor; a dash where there is none, and no figures where it means nothing."""
    if not math.isfinite(factor):
        return NONE
    if factor > MOST_FACTOR:
        return phrase("sharing.factor_beyond", most=figures(f"{MOST_FACTOR:.0f}"))
    return told(figures(f"{factor:.2f}"))


def slip_words(mm: float, show: Printed) -> str:
    """A slip: `0.38 mm` or `0.009 in`."""
    return told(figures(f"{mm / 25.4:.3f}\u00a0in" if show.imperial else f"{mm:.2f}\u00a0mm"))


def shares_words(shares: np.ndarray, show: Printed) -> str:
    """Shares of the plies from front to back."""
    return ", ".join(NONE if math.isnan(v) else show.percent(float(v)) for v in shares)
