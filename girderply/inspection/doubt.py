"""Which fasteners are missing is not known where only counts are: what that may mean at worst."""

from __future__ import annotations

import numpy as np

from girderply.inspection.as_built import AsBuilt, Short
from girderply.inspection.bench import EPS, Bench
from girderply.layout.records import Bools, Floats, PatternNote
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


def gaps_in_doubt(bench: Bench, built: AsBuilt) -> frozenset[tuple[str, int]]:
    """Members and interfaces where the missing ones together could leave too wide a gap."""
    notes = {note.member: note for note in bench.schedule.patterns}
    return frozenset(
        (short.count.member, k)
        for short in built.short
        if short.count.member in notes
        for k in bench.interfaces
        if _in_doubt(bench, short, notes[short.count.member], k)
    )


def _in_doubt(bench: Bench, short: Short, note: PatternNote, k: int) -> bool:
    """Whether the missing ones of a row may leave too wide a gap in an interface."""
    s = bench.schedule
    held = bench.designed[:, k - 1]
    row, whole = (
        bench.stretched(note, k, s.fasteners.station[mask & held])
        for mask in (short.mask, s.fasteners.member == note.member)
    )
    length = bench.stretched(note, k, np.array([s.girder.member(note.member).length]))
    ends = float(length[0]), bench.widest(note)
    return may_gap(row, whole, short.missing, ends)


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


def worst_case(bench: Bench, built: AsBuilt) -> Bools:
    """(n,) fasteners to leave out of every zone, because those that are missing may be there.

    Of n missing ones in a row or a member, n are left out of each zone at once: wherever they
    are, no window of the flow then has more than is really there. Within a zone the smallest rows
    go first: the effective number of a row is n^k_ef with k_ef <= 1, so that the sum over rows is
    least when whole rows are gone [EN 1995-1-1:2004+A2:2014, 8.3.1.1(8)].
    """
    f = bench.schedule.fasteners
    out = np.zeros(len(f), bool)
    for short in built.short:
        index = np.flatnonzero(short.mask & ~out)
        owner = zone_numbers(f, index, list(bench.zones))
        for zone in np.unique(owner[owner >= 0]).tolist():
            here = index[owner == zone]
            size = {r: int(np.sum(f.offset[here] == r)) for r in np.unique(f.offset[here])}
            order = sorted(
                here.tolist(), key=lambda i: (size[f.offset[i]], f.offset[i], f.station[i])
            )
            out[order[: short.missing]] = True
    return out
