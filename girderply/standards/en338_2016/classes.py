"""Strength classes of softwood."""

from __future__ import annotations

from dataclasses import dataclass

from girderply.standards.tables import load


@dataclass(frozen=True, slots=True)
class StrengthClass:
    """What a joint needs to know of a strength class.

    Attributes:
        f_c_90_k: compressive strength across the grain, N/mm2.
        E_0_mean: modulus along the grain, N/mm2.
        rho_k, rho_mean: density, kg/m3.
    """

    f_c_90_k: float
    E_0_mean: float
    rho_k: float
    rho_mean: float


def strength_class(name: str) -> StrengthClass:
    """Values of a softwood class.

    [EN 338:2016, 5, Table 1]

    Args:
        name: one of "C14" to "C50".

    Returns:
        The class's values, N/mm2 and kg/m3.

    Raises:
        RangeError: a class that the table does not have.
    """
    row = load(__package__, "table_1").row(**{"class": name})
    return StrengthClass(
        f_c_90_k=float(row["f_c_90_k_N_per_mm2"]),
        E_0_mean=float(row["E_0_mean_N_per_mm2"]),
        rho_k=float(row["rho_k_kg_per_m3"]),
        rho_mean=float(row["rho_mean_kg_per_m3"]),
    )
