"""What the spring model found, in words and figures, the same on paper and on a terminal."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from girderply.units.show import Printed
from girderply.wording import Voice, figures
from girderply.wording.words import duration_words

if TYPE_CHECKING:
    from girderply.bases.combining import Combination
    from girderply.schedule.types import Schedule
    from girderply.strength.sharing import Sharing, SharingReport

NONE = "\u2013"
MOST_FACTOR = 100.0  # a load factor beyond it says no more than that
Rows = list[tuple[str, str]]
HELPERS = 3  # fasteners named that help most


def shares_label(voice: Voice) -> str:
    """Before the shares of the plies."""
    return voice.phrase("sharing.shares")


def slip_label(voice: Voice) -> str:
    """Before the largest slip."""
    return voice.phrase("sharing.slip")


def combination_words(voice: Voice, combination: Combination) -> str:
    """A combination with its duration."""
    duration = duration_words(combination.duration)
    return voice.phrase("check.combination", text=combination.text, duration=duration)


def summary_rows(voice: Voice, schedule: Schedule, report: SharingReport) -> list[tuple[str, str]]:
    """What was found as label and value; a report without an answer gives the combination only."""
    show = Printed(schedule.job.info.units, voice)
    rows: Rows = [
        (voice.phrase("sharing.combination"), combination_words(voice, report.combination))
    ]
    sharing = report.sharing
    if sharing is None:
        return rows
    rows += [(shares_label(voice), shares_words(sharing.shares, show))]
    if sharing.force.size:
        rows += _hardest(voice, schedule, report, sharing, show)
        rows += [(slip_label(voice), slip_words(voice, float(sharing.slip_size.max()), show))]
    return [*rows, *_factors(voice, report), *_helpers(voice, schedule, report, show)]


def _hardest(
    voice: Voice, schedule: Schedule, report: SharingReport, sharing: Sharing, show: Printed
) -> list[tuple[str, str]]:
    row, k = sharing.hardest(report.strength)
    force = show.force(float(sharing.force_size[row, k]))
    name = voice.phrase(
        "sharing.hardest_at",
        fastener=str(schedule.fasteners.id[row]), first=k + 1, second=k + 2, force=force,
    )  # fmt: skip
    found: Rows = [(voice.phrase("sharing.hardest"), name)]
    if report.strength is not None:
        used = float(sharing.utilisation(report.strength)[row, k])
        found.append((voice.phrase("sharing.used"), used_words(voice, used, show)))
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


def hardest_rows(
    voice: Voice, schedule: Schedule, report: SharingReport, count: int = 5
) -> list[list[str]]:
    """Id, member, interface, force, use of the resistance and slip of the hardest fasteners."""
    show, f, sharing = Printed(schedule.job.info.units, voice), schedule.fasteners, report.sharing
    rows: list[list[str]] = []
    if sharing is None:
        return rows
    for i in hardest_fasteners(report, count):
        used = None if report.strength is None else sharing.utilisation(report.strength)[i]
        k = int(np.argmax(sharing.force_size[i] if used is None else used))
        rows.append([
            str(f.id[i]), str(f.member[i]), f"{k + 1}", show.force(float(sharing.force_size[i, k])),
            NONE if used is None else used_words(voice, float(used[k]), show),
            slip_words(voice, float(sharing.slip_size[i, k]), show),
        ])  # fmt: skip
    return rows


def used_words(voice: Voice, used: float, show: Printed) -> str:
    """A utilisation in percent, or that nothing resists."""
    return show.percent(used) if math.isfinite(used) else voice.phrase("calculation.no_resistance")


def _factors(voice: Voice, report: SharingReport) -> list[tuple[str, str]]:
    path = report.plastic
    if path is None:
        return []
    return [
        (voice.phrase("sharing.first_yield"), factor_words(voice, path.first_yield)),
        (
            voice.phrase("sharing.reached"),
            voice.phrase(f"sharing.ended_{path.ended_by}", factor=factor_words(voice, path.factor)),
        ),
        (voice.phrase("sharing.equal_factor"), factor_words(voice, report.equal_share)),
    ]


def _helpers(
    voice: Voice, schedule: Schedule, report: SharingReport, show: Printed
) -> list[tuple[str, str]]:
    """Fasteners that spare the hardest loaded ply most when doubled."""
    order = np.argsort(-np.round(report.relief, 6), kind="stable")[:HELPERS]
    named = [
        f"{schedule.fasteners.id[i]} ({show.force(float(report.relief[i]))})"
        for i in order.tolist()
        if report.relief[i] > 0
    ]
    return [(voice.phrase("sharing.helps"), ", ".join(named))] if named else []


def assumed_words(voice: Voice, show: Printed) -> str:
    """What the spring model takes for granted."""
    from girderply.strength.sharing.plastic import SLIP_LIMIT

    limit = f"{SLIP_LIMIT / 25.4:.2f}\u00a0in" if show.imperial else f"{SLIP_LIMIT:g}\u00a0mm"
    return voice.phrase("sharing.assumed", limit=figures(limit))


def factor_words(voice: Voice, factor: float) -> str:
    """A load factor; a dash where there is none, and no figures where it means nothing."""
    if not math.isfinite(factor):
        return NONE
    if factor > MOST_FACTOR:
        return voice.phrase("sharing.factor_beyond", most=figures(f"{MOST_FACTOR:.0f}"))
    return voice.told(figures(f"{factor:.2f}"))


def slip_words(voice: Voice, mm: float, show: Printed) -> str:
    """A slip: `0.38 mm` or `0.009 in`."""
    return voice.told(figures(f"{mm / 25.4:.3f}\u00a0in" if show.imperial else f"{mm:.2f}\u00a0mm"))


def shares_words(shares: np.ndarray, show: Printed) -> str:
    """Shares of the plies from front to back."""
    return ", ".join(NONE if math.isnan(v) else show.percent(float(v)) for v in shares)
