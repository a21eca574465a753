"""What a reader finds in a file, before anybody knows what it means."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from girderply.errors import Finding, Severity, TraceError
from girderply.wording import Words, said
from girderply.wording.words import field_words

Point = tuple[float, float]

CONTACT = 3.0  # outlines nearer than this touch, mm; a wider gap at a joint does not bear
OFF = 5.0  # how far a panel point may lie off the centreline of its member, mm


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed outline: corners without the first one again, its layer, its name if it has one.

    `loose` ones were closed from single lines, and may be the air between members.
    """

    corners: tuple[Point, ...]
    layer: str = ""
    name: str = ""
    role: str = ""
    timber: str = ""
    loose: bool = False


@dataclass(slots=True)
class Drawing:
    """Everything of a file that may be part of a girder.

    Attributes:
        outlines: closed ones, in drawing units until `unit` is settled.
        words: (text, where).
        points: (where, layer) of single points.
        holes: circles; signs: small blocks; both are only counted.
        unit: what the file says one unit is: mm, cm, m, in, ft, or "" where it is silent.
        thickness: of a ply in mm, where the file knows it.
        plies: where the file knows them.
        notes: what was left out, in words.
        plates: outlines that are nail plates, where the file says so.
        sure: the outlines are the members and nothing else.
        blank: they are not cut: their ends run on into what they meet.
    """

    outlines: list[Outline] = field(default_factory=list)
    words: list[tuple[str, Point]] = field(default_factory=list)
    points: list[tuple[Point, str]] = field(default_factory=list)
    holes: int = 0
    signs: int = 0
    unit: str = ""
    thickness: float | None = None
    plies: int | None = None
    notes: list[Words] = field(default_factory=list)
    plates: list[Outline] = field(default_factory=list)
    sure: bool = False
    blank: bool = False


@dataclass(frozen=True, slots=True)
class Options:
    """What the person says who has the drawing; None and empty are guessed or refused.

    Attributes:
        members, plates: names of layers.
        unit: of the drawing. scale: real size to drawn size, 20 for a drawing at 1:20.
        rotation: turns the drawing counter-clockwise, degrees.
        tolerance: how far a panel point may lie off its members, mm.
        plies, ply_thickness, timber, mark, number: as in the job file.
        units: unit system of the job.
        loads: text of `[[loads]]` tables, already written.
    """

    members: str = ""
    plates: str = ""
    unit: str = ""
    scale: float = 1.0
    rotation: float | None = None
    tolerance: float = OFF
    plies: int | None = None
    ply_thickness: str = ""
    timber: str = ""
    mark: str = ""
    number: str = ""
    units: str = "metric"
    loads: str = ""


@dataclass(frozen=True, slots=True)
class Guess:
    """One thing that nobody said: what it is about, what stands for it, and why."""

    key: str
    value: Words
    why: Words

    @property
    def about(self) -> Words:
        """What it is about as people say it; the file has its key."""
        table, *between, last = self.key.split(".")
        if table == "drawing":
            return said(f"tracing.drawing_{last}")
        if len(between) == 2:
            return said("tracing.of_member", what=field_words("girder_members", last),
                        member=between[1])  # fmt: skip
        if last == "names":
            return said("tracing.names")
        return field_words("_".join([table, *between]), last)

    @property
    def job_key(self) -> str:
        """The value of the job file that rests on it; a list is one value there."""
        return (
            ".".join(self.key.split(".")[:2]) if self.key.startswith("girder.") else "girder.nodes"
        )


def refusal(code: str, where: str, message: str, tip: str = "") -> Finding:
    """Why a drawing cannot be traced as it is."""
    return Finding(code, Severity.ERROR, where, message, tip=tip)


def refuse(findings: Iterable[Finding]) -> None:
    """Raise what was found, if anything.

    Raises:
        TraceError: with every finding.
    """
    all_of_them: Sequence[Finding] = list(findings)
    if all_of_them:
        raise TraceError(all_of_them)


def at(point: Point) -> str:
    """A place in the drawing, for a message."""
    return f"({point[0]:.0f}, {point[1]:.0f})"
