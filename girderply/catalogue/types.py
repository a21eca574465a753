"""What fasteners and timber are, in mm, N/mm2 and kg/m3, each with where the figures come from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Nail:
    """A nail: `d` shank diameter, `length` and `head` diameter in mm, `fu` tensile strength.

    Attributes:
        key: how a job names it: "4.0 x 100" or "16d common".
        surface: "smooth", "other" (ring shank, helical) or "square".
        f_yb: bending yield strength, N/mm2 (NDS), or None where not published.
        pennyweight: "16d", or an empty string.
    """

    key: str
    d: float
    length: float
    head: float
    fu: float
    surface: str = "smooth"
    f_yb: float | None = None
    pennyweight: str = ""
    source: str = ""
    mark: str = ""

    @property
    def mass(self) -> float:
        """Mass of one nail, kg, from shank volume and steel of 7850 kg/m3; the head is left out."""
        return 7850e-9 * 3.141592653589793 / 4 * self.d**2 * self.length


@dataclass(frozen=True, slots=True)
class Bolt:
    """A bolt size: diameter, thread and nut in mm.

    Attributes:
        key: "M12" or '1/2 in'.
        hole: hole in timber that rule sets drill by default, mm.
        lengths: standard lengths on the list, mm, rising; longer ones are cut from threaded rod.
        fu: tensile strength of the default grade, N/mm2.
    """

    key: str
    d: float
    pitch: float
    head_height: float
    nut_height: float
    across_flats: float
    hole: float
    hole_max: float
    lengths: tuple[float, ...]
    fu: float
    fy: float
    imperial: bool = False
    source: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Washer:
    """A washer: hole, outer side (square) or diameter (round), thickness, mm."""

    key: str
    bolt: str
    shape: str  # "square" | "round"
    hole: float
    outer: float
    thickness: float
    source: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Timber:
    """A timber: densities in kg/m3, specific gravity (NDS) and stiffness in N/mm2."""

    key: str
    rho_k: float | None
    rho_mean: float
    G: float | None  # specific gravity, oven-dry (NDS), else None
    E_mean: float | None
    source: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class BoltChoice:
    """A bolt for a grip: either a standard length or threaded rod with its cut length, mm."""

    bolt: Bolt
    washer: Washer
    grip: float
    needed: float
    length: float
    threaded_rod: bool
    note: str = ""

    @property
    def spec(self) -> str:
        """How an order names it, in the catalogue's own words; lengths in mm or inches."""
        if self.bolt.imperial:
            size = f"{self.bolt.key} x {self.length / 25.4:g} in"
        else:
            size = f"{self.bolt.key} x {self.length:g}"
        return f"{size} threaded rod" if self.threaded_rod else size
