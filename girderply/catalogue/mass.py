"""What a bolt weighs with its nuts and washers, from its shape."""

from __future__ import annotations

import math

from girderply.catalogue.choice import thread_length
from girderply.catalogue.types import Bolt, BoltChoice, Washer

STEEL = 7850e-9  # kg/mm3
_PITCH_DIAMETER = 0.6495  # pitches less than d: mean depth of the thread (ISO 724)


def bolt_mass(choice: BoltChoice) -> float:
    """Mass of a bolt or a threaded rod with its nut or nuts and two washers.

    Threads count as cylinders of their pitch diameter, head and nut as plain hexagons.

    Args:
        choice: bolt, washer and length.

    Returns:
        kg.
    """
    bolt = choice.bolt
    thread_area = _circle(bolt.d - _PITCH_DIAMETER * bolt.pitch)
    hexagon = math.sqrt(3) / 2 * bolt.across_flats**2
    nut = (hexagon - thread_area) * bolt.nut_height
    washers = 2 * _washer_area(choice.washer) * choice.washer.thickness
    if choice.threaded_rod:
        return STEEL * (thread_area * choice.length + 2 * nut + washers)
    return STEEL * (_bolt_volume(bolt, choice.length, hexagon) + nut + washers)


def _bolt_volume(bolt: Bolt, length: float, hexagon: float) -> float:
    thread = thread_length(bolt, length)
    thread_area = _circle(bolt.d - _PITCH_DIAMETER * bolt.pitch)
    return hexagon * bolt.head_height + _circle(bolt.d) * (length - thread) + thread_area * thread


def _washer_area(washer: Washer) -> float:
    outside = washer.outer**2 if washer.shape == "square" else _circle(washer.outer)
    return outside - _circle(washer.hole)


def _circle(d: float) -> float:
    return math.pi / 4 * d**2
