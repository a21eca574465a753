"""Timber of the catalogue: strength classes and species groups."""

from __future__ import annotations

from functools import cache, lru_cache

from girderply.catalogue.catalogue_types import Timber
from girderply.catalogue.csv_files import number, required, table
from girderply.catalogue.find_by_name import pick
from girderply.errors import RangeError
from girderply.units.exact import MPA_PER_PSI

DRY_MOISTURE = 19.0  # %, the most that NDS calls dry: the heaviest, so the safe side for lifting
_LB_PER_FT3 = 0.45359237 / 0.3048**3  # kg/m3, exact


@lru_cache(maxsize=64)
def timber(key: str) -> Timber:
    """The timber of this name.

    Args:
        key: "C24", "Douglas Fir-Larch", or an alias such as "DF-L"; spacing is forgiven.

    Raises:
        CatalogueError: no such timber.
    """
    by_name = {t.key: t for t in timbers()}
    by_alias = {alias: by_name[name] for alias, name in timber_aliases().items()}
    return pick("timber", key, by_name | by_alias)


@cache
def timbers() -> tuple[Timber, ...]:
    """Every timber of the catalogue: EN 338, then NDS, then AS 1720.1, as their tables run."""
    return (*_en_338(), *_nds(), *_as_1720())


def timber_aliases() -> dict[str, str]:
    """Short names of species groups and what they stand for."""
    return {
        alias: row["key"]
        for row in table("timber_nds").rows
        for alias in row["aliases"].split("|")
        if alias
    }


def density_from_gravity(G: float, moisture: float = DRY_MOISTURE) -> float:  # noqa: N803
    """Density of timber from its specific gravity.

    [NDS Supplement 2018, 3.1.3: 62.4 G / (1 + 0.009 G mc) (1 + mc / 100) in lb/ft3; from memory]

    Args:
        G: specific gravity on oven-dry weight and oven-dry volume, 0.2 to 1.0.
        moisture: moisture content mc, %, 0 to 30.

    Returns:
        kg/m3.

    Raises:
        RangeError: an argument outside its range.
    """
    if not 0.2 <= G <= 1.0:
        raise RangeError(f"G must be 0.2 to 1.0, not {G}")
    if not 0.0 <= moisture <= 30.0:
        raise RangeError(f"moisture must be 0 to 30 %, not {moisture}")
    return 62.4 * G / (1 + 0.009 * G * moisture) * (1 + moisture / 100) * _LB_PER_FT3


def _en_338() -> tuple[Timber, ...]:
    source = table("timber_en_338")
    return tuple(
        Timber(
            key=row["key"],
            rho_k=required(row, "rho_k_kg_m3"),
            rho_mean=required(row, "rho_mean_kg_m3"),
            G=None,
            E_mean=required(row, "E_mean_N_mm2"),
            source=source.source,
            mark=source.mark,
        )
        for row in source.rows
    )


def _nds() -> tuple[Timber, ...]:
    source = table("timber_nds")
    made = []
    for row in source.rows:
        gravity, stiffness = required(row, "G"), number(row, "E_psi")
        made.append(
            Timber(
                key=row["key"],
                rho_k=None,
                rho_mean=density_from_gravity(gravity),
                G=gravity,
                E_mean=None if stiffness is None else stiffness * MPA_PER_PSI,
                source=source.source,
                mark=f"{source.mark}; density from G at {DRY_MOISTURE:g} % moisture",
            )
        )
    return tuple(made)


def _as_1720() -> tuple[Timber, ...]:
    source = table("timber_as_1720")
    return tuple(
        Timber(
            key=row["key"],
            rho_k=None,
            rho_mean=required(row, "rho_mean_kg_m3"),
            G=None,
            E_mean=required(row, "E_mean_N_mm2"),
            source=source.source,
            mark=source.mark,
        )
        for row in source.rows
    )
