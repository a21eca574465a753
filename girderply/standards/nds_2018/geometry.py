"""Edge, end and spacing requirements and the geometry factor: 12.5.1; nails: commentary."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.standards import guards
from girderply.standards.tables import load


def _reduced(actual_in: float, D_in: float, case: str) -> float:
    """Actual over full, 1 at most, 0 below the least."""
    row = load(__package__, "table_12_5_1a").row(case=case)
    least, full = float(row["least_D"]) * D_in, float(row["full_D"]) * D_in
    if actual_in < least * (1 - 1e-9):
        return 0.0
    return min(actual_in / full, 1.0)


def end_least_in(D_in: float, case: str) -> float:
    """Least end distance, at which half the value counts (fasteners of 1/4 in and more).

    [NDS 2018, 12.5.1.2, Table 12.5.1A]

    Args:
        D_in: diameter, in.
        case: one of "end perpendicular", "end parallel compression",
            "end parallel tension softwood", "end parallel tension hardwood"; or "spacing parallel".

    Returns:
        Distance, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    return float(load(__package__, "table_12_5_1a").row(case=case)["least_D"]) * D_in


def end_full_in(D_in: float, case: str) -> float:
    """End distance from which the full value counts (fasteners of 1/4 in and more).

    [NDS 2018, 12.5.1.2, Table 12.5.1A]

    Args:
        D_in: diameter, in.
        case: one of the words of `end_least_in`.

    Returns:
        Distance, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    return float(load(__package__, "table_12_5_1a").row(case=case)["full_D"]) * D_in


def C_delta(D_in: float, end_in: float, end_case: str, spacing_in: float | None = None) -> float:
    """Geometry factor: the lesser of end distance and spacing in a row along the grain.

    [NDS 2018, 12.5.1.2, Table 12.5.1A, 12.5.1B]

    Args:
        D_in: diameter, in; the factor is 1 below 1/4 in.
        end_in: actual end distance, in.
        end_case: one of the words of `end_least_in` that begin with "end".
        spacing_in: actual spacing in the row, in; None for a single fastener.

    Returns:
        C_delta, no unit; 0 below a minimum, where the fastener does not count.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    guards.not_negative(end_in=end_in)
    end = _reduced(end_in, D_in, end_case)
    spacing = 1.0
    if spacing_in is not None:
        guards.not_negative(spacing_in=spacing_in)
        spacing = _reduced(spacing_in, D_in, "spacing parallel")
    return 1.0 if D_in < 0.25 else min(end, spacing)


def edge_parallel_in(D_in: float, l_in: float, row_spacing_in: float = 0.0) -> float:
    """Least edge distance under load along the grain.

    [NDS 2018, 12.5.1.3, Table 12.5.1C]

    Args:
        D_in: diameter, in.
        l_in: length of fastener in the main member, or in all side members if less, in.
        row_spacing_in: distance between rows, in; 0 for one row.

    Returns:
        Distance, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in, l_in=l_in)
    guards.not_negative(row_spacing_in=row_spacing_in)
    return max(1.5 * D_in, row_spacing_in / 2 if l_in / D_in > 6 else 0.0)


def edge_perpendicular_in(D_in: float, *, loaded: bool) -> float:
    """Least edge distance under load across the grain.

    [NDS 2018, 12.5.1.3, Table 12.5.1C]

    Args:
        D_in: diameter, in.
        loaded: True for the edge that the load points to.

    Returns:
        Distance, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    return (4.0 if loaded else 1.5) * D_in


def row_spacing_parallel_in(D_in: float) -> float:
    """Least distance between rows under load along the grain.

    [NDS 2018, 12.5.1.3, Table 12.5.1D]

    Args:
        D_in: diameter, in.

    Returns:
        Distance, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    return 1.5 * D_in


def row_spacing_perpendicular_in(D_in: float, l_in: float) -> float:
    """Least distance between rows under load across the grain.

    [NDS 2018, 12.5.1.3, Table 12.5.1D]

    Args:
        D_in: diameter, in.
        l_in: length of fastener in the main member, or in all side members if less, in.

    Returns:
        Distance, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in, l_in=l_in)
    slenderness = l_in / D_in
    if slenderness <= 2:
        return 2.5 * D_in
    return 5.0 * D_in if slenderness >= 6 else (5 * l_in + 10 * D_in) / 8


def outer_rows_most_in() -> float:
    """Greatest distance across the grain between outer rows, unless detailed for shrinkage.

    [NDS 2018, 12.5.1.3]

    Returns:
        Distance, in.
    """
    return 5.0


@dataclass(frozen=True, slots=True)
class NailDistances:
    """Recommended least distances of nails, in.

    Attributes:
        edge, end_tension, end_compression: to edges and ends.
        spacing_parallel, spacing_perpendicular: in a row, by the load's direction to the grain.
        row_in_line, row_staggered: between rows.
    """

    edge: float
    end_tension: float
    end_compression: float
    spacing_parallel: float
    spacing_perpendicular: float
    row_in_line: float
    row_staggered: float


def nail_distances_in(D_in: float, *, prebored: bool) -> NailDistances:
    """Recommended least distances of nails between wood members; no requirement.

    [NDS 2018, 12.1.6.6, Commentary Table C12.1.6.6]

    Args:
        D_in: nail diameter, in.
        prebored: True where holes are bored for the nails.

    Returns:
        The seven distances, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(D_in=D_in)
    table = load(__package__, "table_c12_1_6_6")
    column = "prebored_D" if prebored else "not_prebored_D"
    names = NailDistances.__slots__
    cells = (table.row(item=name.replace("_", " "))[column] for name in names)
    return NailDistances(*(float(cell) * D_in for cell in cells))
