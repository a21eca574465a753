"""Which bolt goes through a stack: a standard length, or threaded rod cut to length."""

from __future__ import annotations

import math

from girderply.catalogue.catalogue_types import Bolt, BoltChoice, Washer
from girderply.errors import RangeError
from girderply.units.exact import MM_PER_IN
from girderply.wording import Said, figures, said

THREADS_PAST_NUT = 2  # common practice, no source


def choose_bolt(bolt: Bolt, washer: Washer, grip: float) -> BoltChoice:
    """Choose the bolt for a stack of timber with a washer under head and nut.

    A bolt fits when it reaches through stack, both washers, the nut and two threads, and when
    its plain shank ends before the outer face of the far washer, so that the nut can tighten.
    The shortest standard length that fits is taken, else threaded rod.

    Args:
        bolt: size.
        washer: for that size of bolt.
        grip: thickness of all that is clamped between the washers, mm.

    Returns:
        The choice; its note says what the buyer must know.

    Raises:
        RangeError: the grip is not a positive number, or the washer is for another bolt.
    """
    if not (math.isfinite(grip) and grip > 0):
        raise RangeError(f"grip must be a positive length in mm, not {grip}")
    if washer.bolt != bolt.key:
        raise RangeError(f"washer {washer.key} does not belong to bolt {bolt.key}")
    clamped = grip + 2 * washer.thickness
    needed = clamped + bolt.nut_height + THREADS_PAST_NUT * bolt.pitch
    long_enough = [length for length in bolt.lengths if length >= needed - 1e-6]
    for length in long_enough:
        if length - thread_length(bolt, length) <= clamped + 1e-6:
            note = "" if length == long_enough[0] else _skipped_note(long_enough[0], bolt)
            return BoltChoice(bolt, washer, grip, needed, length, threaded_rod=False, note=note)
    note = _shank_note(long_enough[0], bolt) if long_enough else _too_long_note(bolt, needed)
    cut = rod_length(bolt, washer, grip)
    return BoltChoice(bolt, washer, grip, needed, cut, threaded_rod=True, note=note)


def thread_length(bolt: Bolt, length: float) -> float:
    """Threaded part of a bolt, no more than its length.

    [ISO 4014: 2 d + 6, + 12 above 125 mm, + 25 above 200 mm; NDS 2018 table L1: 2 D + 1/4 in,
    + 1/2 in above 6 in; both from memory, to be checked]

    Args:
        bolt: size.
        length: nominal length under the head, mm.

    Returns:
        mm.
    """
    if bolt.imperial:
        extra = MM_PER_IN / 4 if length <= 6 * MM_PER_IN + 1e-6 else MM_PER_IN / 2
    else:
        extra = 6.0 if length <= 125 else 12.0 if length <= 200 else 25.0
    return min(length, 2 * bolt.d + extra)


def rod_length(bolt: Bolt, washer: Washer, grip: float) -> float:
    """Cut length of threaded rod with a nut, a washer and two threads at both ends.

    Args:
        bolt: size of the rod and its nuts.
        washer: under both nuts.
        grip: thickness clamped between the washers, mm.

    Returns:
        mm, rounded up to 5 mm, or to 1/4 in for a size in inches.
    """
    step = MM_PER_IN / 4 if bolt.imperial else 5.0
    ends = washer.thickness + bolt.nut_height + THREADS_PAST_NUT * bolt.pitch
    return round(math.ceil((grip + 2 * ends) / step - 1e-6) * step, 9)


def _too_long_note(bolt: Bolt, needed: float) -> Said:
    if bolt.imperial:
        longest, least = bolt.lengths[-1] / MM_PER_IN, figures(f"{needed / MM_PER_IN:.2f} in")
        listed = figures(f"{longest:g} in")
        return said("bolting.too_long_inch", bolt=bolt.key, listed=listed, least=least)
    listed, least = figures(f"{bolt.lengths[-1]:g} mm"), figures(f"{needed:.1f} mm")
    return said("bolting.too_long", bolt=bolt.key, listed=listed, least=least)


def _size(length: float, bolt: Bolt) -> Said:
    return figures(f"{length / MM_PER_IN:g} in" if bolt.imperial else f"{length:g} mm")


def _shank_note(length: float, bolt: Bolt) -> Said:
    return said("bolting.next_short_thread", size=_size(length, bolt))


def _skipped_note(length: float, bolt: Bolt) -> Said:
    return said("bolting.skipped", size=_size(length, bolt))
