"""What a job says, in N, mm, rad and kg: the plain result of reading a job file.

These are values only. The reader (`girderply.jobfile.reader`) makes them from TOML, the model
(`girderply.model`) builds a girder from them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

from girderply.bases.spec import BasisSpec
from girderply.catalogue.fastener_kind import FastenerKind
from girderply.catalogue.screwing import ScrewSpec
from girderply.shapes.shape_spec import ShapeSpec
from girderply.wording import DEFAULT

Face = Literal["front", "back"]
Point = tuple[float, float]


class UnitSystem(StrEnum):
    """The unit system that numbers without a unit are in, and that every output is in."""

    METRIC = "metric"
    IMPERIAL = "imperial"


class Role(StrEnum):
    """What a member is in the truss."""

    TOP_CHORD = "top chord"
    BOTTOM_CHORD = "bottom chord"
    WEB = "web"

    @property
    def is_chord(self) -> bool:
        """True for both chords."""
        return self is not Role.WEB


class Saw(StrEnum):
    """What the plant's saw may do to a part besides its cuts."""

    HOLES = "holes"
    NAILS = "nails"
    BRACKETS = "brackets"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class JobInfo:
    """Who, what and which revision; printed in the title block."""

    number: str
    title: str
    revision: str
    date: str  # ISO 8601, as the job says it; never the clock
    units: UnitSystem = UnitSystem.METRIC
    prepared_by: str = ""
    checked_by: str = ""
    client: str = ""
    site: str = ""
    truss_designer: str = ""
    demo: bool = False  # invented values: every sheet says so
    notes: tuple[str, ...] = ()
    language: str = DEFAULT  # of the sheets; files for programs do not change with it
    paper: Literal["A4", "A3", "letter", "tabloid"] | None = None  # of all sheets
    counting: Literal["blind", "open"] = "blind"  # whether the tablet shows what is due at once
    photos: Literal["asked", "offered"] = "asked"  # of hold points and faults, on the tablet
    saw: tuple[Saw, ...] = tuple(Saw)  # what the file for the saw holds
    owner: str = ""  # firm that owns the document
    logo: str = ""  # file with its mark, beside the job; changes no content
    consignee: str = ""  # who gets the delivery; changes no content
    delivery: str = ""  # number of the delivery; changes no content
    assumed: tuple[str, ...] = ()  # keys of values that nobody has given yet
    confirmed: tuple[str, ...] = ()  # keys of assumed values that somebody takes over


@dataclass(frozen=True, slots=True)
class NodeSpec:
    """A panel point given outright, mm in the elevation frame."""

    id: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class MemberSpec:
    """A member given outright.

    Attributes:
        nodes: ids in order; a chord runs over all of them in one straight piece.
        depth: in the plane of the truss, mm.
        outline: polygon as really cut, mm, or None to have it cut by the usual rules.
        hook_end: "left" (bottom for a vertical member) or "right" (top); None: nobody says.
        compression: True or False when the truss designer says so, else None.
        align: edge of a chord that is level with that of the run beside it, of another depth.
    """

    id: str
    role: Role
    nodes: tuple[str, ...]
    depth: float
    outline: tuple[Point, ...] | None = None
    hook_end: Literal["left", "right"] | None = None
    compression: bool | None = None
    align: Literal["centre", "underside", "top"] = "centre"


@dataclass(frozen=True, slots=True)
class PlateSpec:
    """A nail plate given outright: centre, width along its own axis, height, angle (rad)."""

    joint: str
    centre: Point
    width: float
    height: float
    angle: float = 0.0


@dataclass(frozen=True, slots=True)
class BearingSpec:
    """A support: x of its centre and its width along the girder, mm."""

    x: float
    width: float


@dataclass(frozen=True, slots=True)
class BracketBoltSpec:
    """A bolt of a bracket: along the chord and up from the bracket's centre, mm."""

    along: float
    across: float


@dataclass(frozen=True, slots=True)
class FixingSpec:
    """Nails or declared screws that fix a bracket: mm, how many, in which holes.

    `screw` is the key of a screw that the job declares; then `d` and `length` are the screw's.
    """

    d: float
    length: float
    number: int
    holes: str = ""
    screw: str | None = None


@dataclass(frozen=True, slots=True)
class BracketSpec:
    """What hangs a supported truss on a face: footprint and its own bolts, mm.

    `offset` moves the footprint's centre across the chord from the centreline, positive up.
    """

    width: float
    height: float
    offset: float = 0.0
    nail_length: float | None = None
    bolts: tuple[BracketBoltSpec, ...] = ()
    bolt: str | None = None
    fixing: FixingSpec | None = None


@dataclass(frozen=True, slots=True)
class LoadSpec:
    """Hung loads: one, or one every `every` from `at` to `to`, stations from the chord's hook end.

    Forces in N, downward positive; `design` excludes permanent and variable. Unset is None.
    """

    id: str
    chord: str  # member id
    face: Face | Literal["top"]  # "top": spread over all plies
    at: float
    to: float | None = None
    every: float | None = None
    permanent: float | None = None
    variable: float | None = None
    uplift: float | None = None  # variable uplift, entered as a positive magnitude, N
    design: float | None = None
    cases: tuple[tuple[str, float], ...] = ()  # case id, N; the parts are then their sums
    plies_reached: int = 1
    bracket: BracketSpec | None = None
    what: str = ""  # what hangs there, for the set-out


@dataclass(frozen=True, slots=True)
class GirderSpec:
    """The girder as the job describes it: a shape, or nodes and members."""

    mark: str
    quantity: int
    plies: int
    ply_thickness: float
    timber: str
    shape: ShapeSpec | None = None
    depths: dict[str, float] = field(default_factory=dict)  # role value -> mm, for shapes
    nodes: tuple[NodeSpec, ...] = ()
    members: tuple[MemberSpec, ...] = ()
    plates: tuple[PlateSpec, ...] = ()
    bearings: tuple[BearingSpec, ...] = ()
    hook_ends: dict[str, Literal["left", "right"]] = field(default_factory=dict)
    predrilled: bool = False
    split_prone: bool = False
    moisture: str = "dry"
    treated: bool = False
    timbers: dict[str, str] = field(default_factory=dict)  # member of another timber -> its name
    own_depths: dict[str, float] = field(default_factory=dict)  # web of a shape -> mm


@dataclass(frozen=True, slots=True)
class PrescribedSpec:
    """A pattern prescribed by the truss designer for a role or for named members."""

    role: Role | None
    members: tuple[str, ...]
    rows: int
    pitch: float
    stagger: bool = True
    nail: str | None = None
    source: str = "truss designer"


@dataclass(frozen=True, slots=True)
class FasteningSpec:
    """Which rule set, which fasteners, and what the job changes in the rule set.

    `screw` names one of `screws`, which then takes the place of every nail.
    """

    rules: str = "common-practice"
    rules_file: str | None = None
    nail: str | None = None
    bolt: str | None = None
    washer: str | None = None
    transfer_by: FastenerKind = FastenerKind.NAIL
    design_by: Literal["equal shares", "computed shares"] = "equal shares"  # of the transfer
    design_to_load: bool = True  # add fasteners where the pattern does not carry the load
    overrides: dict[str, float | int | str | bool] = field(default_factory=dict)
    prescribed: tuple[PrescribedSpec, ...] = ()
    order_allowance: float = 0.05
    share_limit: float | None = None  # of a ply beyond its equal share; None: only said
    screw: str | None = None
    screws: tuple[ScrewSpec, ...] = ()
    finish: str | None = None  # of `bases.finishes`; of bolts too, unless they have their own
    bolt_finish: str | None = None

    @property
    def by_computed(self) -> bool:
        """The transfer is designed by what the plies really keep of every load."""
        return self.design_by == "computed shares"


@dataclass(frozen=True, slots=True)
class AssemblySpec:
    """How the plies are put together.

    Attributes:
        way: "on trestles", lying and turned over; or "upright", standing plumb and braced.
        faces: that people can reach while they fasten.
    """

    way: Literal["on trestles", "upright"] = "on trestles"
    faces: Literal["both", "front", "back"] = "both"

    @property
    def upright(self) -> bool:
        """The plies stand: nothing lies on trestles, nothing is turned over."""
        return self.way == "upright"

    def reaches(self, face: Face) -> bool:
        """Whether people can get at a face."""
        return self.faces in ("both", face)


@dataclass(frozen=True, slots=True)
class DesignerSpec:
    """What the truss designer's drawing says, to be held against what the job comes to.

    Attributes:
        reactions: N, one per bearing from the left. reactions_are: "characteristic" (permanent
            and variable, no factors) or "design". self_weight: they hold the girder's own weight.
        plies, plates, members, loads: counted; plates on one face of one ply.
        mass: whole girder, kg.
        ply_thickness, top_chord, bottom_chord: sections, mm.
        span, length, height, heel_height: outer sizes of the truss, mm.
        permanent, variable, uplift: of all hung loads together, no factors, N.
        timber, service_class, variable_duration: as they stand on the drawing.
    """

    reactions: tuple[float, ...] = ()
    reactions_are: Literal["characteristic", "design"] = "characteristic"
    self_weight: bool = False
    plies: int | None = None
    plates: int | None = None
    members: int | None = None
    mass: float | None = None
    timber: str | None = None
    ply_thickness: float | None = None
    top_chord: float | None = None
    bottom_chord: float | None = None
    span: float | None = None
    length: float | None = None
    height: float | None = None
    heel_height: float | None = None
    loads: int | None = None
    permanent: float | None = None
    variable: float | None = None
    uplift: float | None = None
    service_class: int | None = None
    variable_duration: str | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """One job file, read and checked."""

    info: JobInfo
    girder: GirderSpec
    basis: BasisSpec
    fastening: FasteningSpec
    loads: tuple[LoadSpec, ...] = ()
    folder: str = ""  # where the job file lies, for files it names; never printed
    designer: DesignerSpec | None = None
    assembly: AssemblySpec = AssemblySpec()
    given: tuple[tuple[str, str], ...] = ()  # key that stands in the file, its value in words
    source: str = field(default="", repr=False, compare=False)  # text of the job file, if any

    def says(self, key: str) -> bool:
        """Whether the file itself gives this key, such as "basis.reach"."""
        return any(key == known for known, _ in self.given)
