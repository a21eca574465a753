"""Screws: none is in a table, for each has values of its own; a job declares them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from girderply.catalogue.catalogue_types import Screw


@dataclass(frozen=True, slots=True)
class ScrewSpec:
    """A screw by its own declaration, as a job gives it; mm, N, N/mm2, see `types.Screw`."""

    key: str
    source: str
    d: float
    d_root: float
    d_shank: float
    head: float
    length: float
    thread: float
    M_y: float
    f_ax: float
    f_head: float
    rho_a: float
    tension: float
    drill: float = 0.0
    self_drilling: bool = False
    thinnest: float | None = None
    least: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


def declared_screw(spec: ScrewSpec) -> Screw:
    """The screw that a job declares.

    Args:
        spec: sizes and strengths of its declaration, mm, N, N/mm2.
    """
    return Screw(
        key=spec.key,
        d=spec.d,
        length=spec.length,
        head=spec.head,
        fu=spec.tension / (math.pi / 4 * spec.d_root**2),
        surface="other",
        source=spec.source,
        mark="as declared in the job",
        thread=spec.thread,
        d_root=spec.d_root,
        d_shank=spec.d_shank,
        M_y=spec.M_y,
        f_ax=spec.f_ax,
        f_head=spec.f_head,
        rho_a=spec.rho_a,
        tension=spec.tension,
        drill=spec.drill,
        self_drilling=spec.self_drilling,
        thinnest=spec.thinnest,
        least=spec.least,
    )
