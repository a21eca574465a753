"""A girder as traced: nodes, members, plates and bearings by name, before it is written."""

from __future__ import annotations

from dataclasses import dataclass, field

from girderply.jobfile.job import BearingSpec, MemberSpec, NodeSpec, PlateSpec
from girderply.tracing.drawing import Guess, Point
from girderply.wording import Words


@dataclass(frozen=True, slots=True)
class TracedGirder:
    """What a drawing gave.

    Attributes:
        nodes, members, plates, bearings: as a job has them, mm.
        outlines: of the members by name, as they are drawn.
        blank: they are not cut, so the job cuts them by the usual rules.
        guesses: what nobody said. notes: what was left out.
        thickness, plies, timber: where the file knows them.
        timbers: of members that are of a better one than `timber`, by their names.
    """

    nodes: tuple[NodeSpec, ...]
    members: tuple[MemberSpec, ...]
    plates: tuple[PlateSpec, ...] = ()
    bearings: tuple[BearingSpec, ...] = ()
    outlines: dict[str, tuple[Point, ...]] = field(default_factory=dict)
    guesses: tuple[Guess, ...] = ()
    notes: tuple[Words, ...] = ()
    thickness: float | None = None
    plies: int | None = None
    timber: str = ""
    blank: bool = False
    timbers: dict[str, str] = field(default_factory=dict)
