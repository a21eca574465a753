"""Nailed and bolted built-up columns, 15.3: the only fastening limits of plies side by side."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.standards import guards
from girderply.standards.tables import load

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BuiltUpLimits:
    """Least and greatest distances, in.

    Attributes:
        end: to the end of a lamination. spacing: in a row. row: between rows. edge: to an edge.
    """

    end: Span
    spacing: Span
    row: Span
    edge: Span


def _limits(fastener: str, wood: str, D_in: float, t_min_in: float) -> BuiltUpLimits:
    guards.positive(D_in=D_in, t_min_in=t_min_in)
    row = load(__package__, "table_15_3_3").row(fastener=fastener, wood=wood)
    x = {name: float(row[name]) for name in row if name not in ("fastener", "wood")}
    return BuiltUpLimits(
        end=(x["end_least_D"] * D_in, x["end_most_D"] * D_in),
        spacing=(x["spacing_least_D"] * D_in, x["spacing_most_t_min"] * t_min_in),
        row=(x["row_least_D"] * D_in, x["row_most_D"] * D_in),
        edge=(x["edge_least_D"] * D_in, x["edge_most_D"] * D_in),
    )


def nailed_limits_in(D_in: float, t_min_in: float) -> BuiltUpLimits:
    """Limits of nails in a built-up column.

    [NDS 2018, 15.3.3.1(c) to (f)]

    Args:
        D_in: nail diameter, in.
        t_min_in: thickness of the thinnest lamination, in.

    Returns:
        Least and greatest distances, in.

    Raises:
        RangeError: an argument out of range.
    """
    return _limits("nail", "any", D_in, t_min_in)


def bolted_limits_in(D_in: float, t_min_in: float, wood: str = "softwood") -> BuiltUpLimits:
    """Limits of bolts in a built-up column.

    [NDS 2018, 15.3.4.1(c) to (f)]

    Args:
        D_in: bolt diameter, in.
        t_min_in: thickness of the thinnest lamination, in.
        wood: one of "softwood", "hardwood".

    Returns:
        Least and greatest distances, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.choice(("softwood", "hardwood"), wood=wood)
    return _limits("bolt", wood, D_in, t_min_in)


def rows_least(d_in: float, t_min_in: float) -> int:
    """Fewest rows of nails or bolts.

    [NDS 2018, 15.3.3.1(g), 15.3.4.1(g)]

    Args:
        d_in: depth of the laminations, in.
        t_min_in: thickness of the thinnest lamination, in.

    Returns:
        2 where the depth is more than three thicknesses, else 1; no unit.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(d_in=d_in, t_min_in=t_min_in)
    return 2 if d_in > 3 * t_min_in else 1


def point_least_in(t_last_in: float) -> float:
    """How deep a nail must go into the last lamination.

    [NDS 2018, 15.3.3.1(b)]

    Args:
        t_last_in: thickness of the last lamination, in.

    Returns:
        Depth, in.

    Raises:
        RangeError: an argument out of range.
    """
    guards.positive(t_last_in=t_last_in)
    return 0.75 * t_last_in
