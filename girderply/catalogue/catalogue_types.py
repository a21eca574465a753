"""What fasteners and timber are, in mm, N/mm2 and kg/m3, each with where the figures come from."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Final

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.wording import Words
from girderply.wording.words import ROD

STEEL: Final = 7850e-9  # kg/mm3


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
    def kind(self) -> FastenerKind:
        """What the columns of fasteners call it."""
        return FastenerKind.NAIL

    @property
    def mass(self) -> float:
        """Mass of one nail, kg, from shank volume and steel of 7850 kg/m3; the head is left out."""
        return STEEL * pi / 4 * self.d**2 * self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw(Nail):
    """A screw that takes the place of the nails, by the values of its own declaration.

    `d` is the outer diameter of the thread, `fu` the tensile capacity over the root's area.

    Attributes:
        thread: length of the thread from the point, mm. d_root, d_shank: diameters of the
            thread's root and of the smooth shank, mm.
        M_y: characteristic yield moment, Nmm.
        f_ax: characteristic withdrawal strength across the grain, f_head: pull-through strength,
            both N/mm2 at the density `rho_a`, kg/m3.
        tension: characteristic tensile capacity, N.
        drill: diameter of the hole drilled for it, mm; 0: driven without one.
        self_drilling: the declaration allows driving without a hole whatever the diameter.
        thinnest: least thickness of timber without a hole, mm; None: as for a nail.
        least: least distances a1, a2, a3, a4 of the declaration, mm; 0: the standard's alone.
    """

    thread: float
    d_root: float
    d_shank: float
    M_y: float
    f_ax: float
    f_head: float
    rho_a: float
    tension: float
    drill: float = 0.0
    self_drilling: bool = False
    thinnest: float | None = None
    least: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)

    @property
    def kind(self) -> FastenerKind:
        """What the columns of fasteners call it."""
        return FastenerKind.SCREW

    @property
    def mass(self) -> float:
        """Mass of one screw, kg, from shank and root volume and steel of 7850 kg/m3, no head."""
        smooth = (self.length - self.thread) * self.d_shank**2
        return STEEL * pi / 4 * (smooth + self.thread * self.d_root**2)


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
    note: Words = ""

    @property
    def spec(self) -> str:
        """How an order names it, in the catalogue's own words; lengths in mm or inches."""
        if self.bolt.imperial:
            size = f"{self.bolt.key} x {self.length / 25.4:g} in"
        else:
            size = f"{self.bolt.key} x {self.length:g}"
        return f"{size}{ROD}" if self.threaded_rod else size
