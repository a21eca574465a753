"""Holes and washers of bolted joints (10.4.3), and what a hole takes out of a member."""

from __future__ import annotations

from girderply.standards import guards


def hole_max_bolt(d: float) -> float:
    """Greatest hole in timber for a bolt.

    [EN 1995-1-1:2004+A2:2014, 10.4.3(1)]

    Args:
        d: bolt diameter, mm.

    Returns:
        Diameter of the hole, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    return d + 1.0


def washer_outer_min(d: float) -> float:
    """Least side or diameter of a washer under head and nut.

    [EN 1995-1-1:2004+A2:2014, 10.4.3(2)]

    Args:
        d: bolt diameter, mm.

    Returns:
        Side or diameter, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    return 3.0 * d


def washer_thickness_min(d: float) -> float:
    """Least thickness of a washer under head and nut.

    [EN 1995-1-1:2004+A2:2014, 10.4.3(2)]

    Args:
        d: bolt diameter, mm.

    Returns:
        Thickness, mm.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d=d)
    return 0.3 * d


def net_depth_ratio(h: float, hole: float, holes: int) -> float:
    """Share of a member's cross-section that is left beside its holes.

    [EN 1995-1-1:2004+A2:2014, 5.2(3) to (5)]

    Holes nearer along the grain than half the least spacing count in one section. Nails and
    screws of 6 mm or less driven without predrilling are not counted. The member's own strength
    is the truss designer's: this ratio is for that person.

    Args:
        h: depth of the member, mm.
        hole: diameter of each hole, mm.
        holes: holes in one section, no unit; 0 for none.

    Returns:
        Ratio from 0 to 1, no unit.

    Raises:
        RangeError: an argument out of range, or holes wider than the member.
    """
    guards.positive(h=h, hole=hole)
    guards.count(0, holes=holes)
    guards.within(0, h / hole, holes=holes)
    return 1.0 - holes * hole / h
