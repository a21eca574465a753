"""Which fasteners are missing is not known where only counts are: what that may mean at worst."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from girderply.inspection.as_built import AsBuilt, Short
from girderply.inspection.bench import EPS, Bench
from girderply.layout.records import Bools, Floats, PatternNote
from girderply.strength.check_record import Check
from girderply.strength.groups import zone_numbers


def counted_missing(bench: Bench, built: AsBuilt) -> dict[tuple[str, int], int]:
    """(member, interface) -> nails that were counted as missing there."""
    found: dict[tuple[str, int], int] = {}
    for short in built.short:
        for k in bench.interfaces:
            if np.any(bench.designed[short.mask, k - 1]):
                key = (short.count.member, k)
                found[key] = found.get(key, 0) + short.missing
    return found


def gaps_in_doubt(bench: Bench, built: AsBuilt) -> tuple[str, ...]:
    """Members where the missing ones, side by side, could leave too wide a gap."""
    shorts: dict[str, list[Short]] = {}
    for short in built.short:
        shorts.setdefault(short.count.member, []).append(short)
    notes = {note.member: note for note in bench.schedule.patterns}
    return tuple(
        member
        for member, own in shorts.items()
        if member in notes
        and any(_in_doubt(bench, built, own, notes[member], k) for k in bench.interfaces)
    )


def _in_doubt(bench: Bench, built: AsBuilt, shorts: list[Short], note: PatternNote, k: int) -> bool:
    """Whether all that is missing in these rows may leave too wide a gap in an interface."""
    f = built.fasteners
    held = bench.designed[:, k - 1] & built.counts & (f.member == note.member)
    mine = np.any([short.mask for short in shorts], axis=0) & held
    row, whole = (bench.stretched(note, k, f.station[mask]) for mask in (mine, held))
    length = bench.stretched(note, k, np.array([bench.schedule.girder.member(note.member).length]))
    ends = float(length[0]), bench.widest(note)
    return may_gap(row, whole, sum(short.missing for short in shorts), ends)


def may_gap(row: Floats, member: Floats, missing: int, ends: tuple[float, float]) -> bool:
    """Whether some `missing` neighbours of a row leave a gap wider than allowed between the rest.

    Args:
        row: (m,) stations of those among which they are missing, mm.
        member: (n,) stations of all that hold the interface, those of the row included, mm.
        missing: how many.
        ends: length of the member, and the gap that may stay open, mm.
    """
    length, widest = ends
    row = np.sort(row)
    for first in range(max(0, len(row) - missing + 1)):
        gone = row[first : first + missing]
        left = np.sort(member).tolist()
        for x in gone.tolist():
            left.remove(x)
        kept = np.array([0.0, *left, length])
        after = np.clip(np.searchsorted(kept, gone), 1, len(kept) - 1)
        if np.any(kept[after] - kept[after - 1] > widest + EPS):
            return True
    return False


def worst_cases(bench: Bench, built: AsBuilt) -> tuple[Bools, ...]:
    """(n,) masks of fasteners to leave out, one for each place where the missing ones may all be.

    Of n missing ones in a row, n are taken out of one zone at a time: any window of the flow that
    holds that zone then lacks all of them, as it does wherever in it they are. Within a zone the
    smallest rows go first: the effective number of a row is n^k_ef with k_ef <= 1, so that the sum
    over rows is least when whole rows are gone [EN 1995-1-1:2004+A2:2014, 8.3.1.1(8)].

    Returns:
        One mask with nothing in it where nothing is missing at an unknown place.
    """
    f = bench.schedule.fasteners
    masks: dict[int, Bools] = {}
    for short in built.short:
        index = np.flatnonzero(short.mask & built.counts)
        owner = zone_numbers(f, index, list(bench.zones))
        for zone in np.unique(owner[owner >= 0]).tolist():
            here = index[owner == zone]
            size = {r: int(np.sum(f.offset[here] == r)) for r in np.unique(f.offset[here])}
            order = sorted(
                here.tolist(), key=lambda i: (size[f.offset[i]], f.offset[i], f.station[i])
            )
            out = masks.setdefault(zone, np.zeros(len(f), bool))
            out[order[: short.missing]] = True
    return tuple(masks.values()) or (np.zeros(len(f), bool),)


def worst_of(every: Iterable[tuple[Check, ...]]) -> tuple[Check, ...]:
    """Of the checks of several cases each at its worst, in the order of the first case."""
    worst: dict[str, Check] = {}
    for checks in every:
        for check in checks:
            known = worst.get(check.id)
            if known is None or check.utilisation > known.utilisation:
                worst[check.id] = check
    return tuple(worst.values())


def near_a_border(bench: Bench, built: AsBuilt) -> Bools:
    """(n,) fasteners that, somewhere within what they may be off, do not count for their load.

    One that was measured to be off by no more than the tolerance is good; but nobody knows which
    way it is off. If the end of a load's reach is no farther away than that, it is taken to stand
    beyond it. Those that nobody measured are the bench's: see `Bench.steady`.
    """
    return bench.near_border(built.fasteners, np.nan_to_num(built.spread))
