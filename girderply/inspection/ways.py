"""How a fastener can still get into a girder that is put together: from its outer faces alone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from girderply import catalogue
from girderply.catalogue.catalogue_types import Nail, Screw
from girderply.inspection.bench import EPS, Bench
from girderply.jobfile.job import Face
from girderply.layout.nail_choice import nail_findings
from girderply.layout.stages import FLUSH, Pass, drive, opposite

THICKER: Final = 1.5  # a thicker nail than this times the schedule's is the engineer's to choose


@dataclass(frozen=True, slots=True)
class Way:
    """A nail driven from one outer face; as the columns of `Fasteners` have it, mm."""

    nail: Nail
    face: Face
    from_ply: int
    to_ply: int
    protrusion: float
    point_depth: float
    clench: bool

    @property
    def plies(self) -> tuple[int, int]:
        """Lowest and highest ply that it is in."""
        return min(self.from_ply, self.to_ply), max(self.from_ply, self.to_ply)


def ways(bench: Bench, interface: int) -> tuple[Way, ...]:
    """Nails from an outer face that hold an interface; the schedule's own first, then longer ones.

    Args:
        bench: the girder.
        interface: 1-based.

    Returns:
        The shortest way first among what the schedule does not have; empty where none reaches.
    """
    own = list(bench.schedule.nails.values())
    found = [w for nail in own for w in _from_both(bench, nail, interface)]
    longer = [w for nail in _longer(own) for w in _from_both(bench, nail, interface)]
    return (*found, *longer)


def _longer(own: list[Nail]) -> list[Nail]:
    """Nails of the same family as the schedule's, no thinner and not much thicker, longer."""
    if not own:
        return []
    most, least = max(own, key=lambda n: n.length), min(n.d for n in own)
    family = _family(most.key)
    fitting = [
        n
        for n in catalogue.nails()
        if _family(n.key) == family
        and n.surface == most.surface
        and n.length > most.length
        and least - EPS <= n.d <= THICKER * most.d + EPS
    ]
    return sorted(fitting, key=lambda n: (n.d, n.length))


def _family(key: str) -> str:
    return re.sub(r"[0-9.]+", "#", key)


def _from_both(bench: Bench, nail: Nail, interface: int) -> Iterator[Way]:
    """The nail from the front and from the back, where it holds and does not come out too far."""
    girder = bench.schedule.girder
    limits = bench.schedule.rules.clench_protrusion
    n, t = girder.plies, girder.ply_thickness
    faces: tuple[Face, ...] = ("front", "back") if 2 * interface <= n else ("back", "front")
    assembly = bench.schedule.job.assembly
    for face in faces:
        if not assembly.reaches(face):
            continue
        to_ply, depth, out = drive(nail, face, (1, n), t)
        bends = limits if not isinstance(nail, Screw) else None
        clench = (
            bends is not None
            and assembly.reaches(opposite(face))
            and bends[0] - FLUSH <= out <= bends[1] + FLUSH
        )
        before = interface if face == "front" else n - interface
        beyond = min(nail.length, n * t) - before * t
        if beyond >= bench.least(nail) - EPS and (out <= FLUSH or clench):
            start = 1 if face == "front" else n
            way = Way(nail, face, start, to_ply, out, depth, clench and out > FLUSH)
            if not _refused(bench, way, interface):
                yield way


def _refused(bench: Bench, way: Way, interface: int) -> bool:
    """Whether the layout itself would call this nail an error here: too thick undrilled, say."""
    n = bench.schedule.girder.plies
    own = Pass(
        0, 0, way.face, way.nail, way.from_ply, way.to_ply, way.protrusion, way.point_depth,
        way.clench, None, (interface,), (1, n),
    )  # fmt: skip
    return any(f.severity == "error" for f in nail_findings(bench.brief, [own]))
