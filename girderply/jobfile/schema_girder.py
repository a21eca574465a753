"""Tables of a job file that describe the girder: shape, or nodes and members."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

from pydantic import Field

from girderply.jobfile.fields import (
    Angle,
    Coordinate,
    Depth,
    Height,
    Id,
    Name,
    Overhang,
    Pitch,
    Size,
    Span,
    Station,
    Step,
    Table,
    Thickness,
)
from girderply.shapes.all_shapes import kinds_that_take, shapes
from girderply.shapes.sizes import MOST_PANELS
from girderply.shapes.webs import PATTERNS

MOST_MEMBERS: Final = 300
MOST_OUTLINE: Final = 60

if TYPE_CHECKING:
    ShapeKind = str
    Pattern = str
else:  # closed lists, so that an editor offers every shape there is
    ShapeKind = Literal[tuple(shapes())]
    Pattern = Literal[PATTERNS]
RoleWord = Literal["top chord", "bottom chord", "web"]
HookEnd = Literal["left", "right"]


class ShapeTable(Table):
    """A truss shape by its trade name."""

    kind: ShapeKind = Field(description="Trade name of the shape.")
    span: Span = Field(description="Out to out of the bottom chord.", examples=["9.6 m", "32 ft"])
    pitch: Pitch | None = Field(
        None,
        description="Slope of the top chord, in degrees or rise:run. Either pitch or height.",
        examples=["22.5 deg", "6:12"],
    )
    height: Height | None = Field(
        None,
        description="Underside of bottom chord to the highest top edge. Either pitch or height.",
        examples=["1800 mm"],
    )
    heel_height: Height | None = Field(
        None,
        description="Underside of bottom chord to top edge of top chord at the left end; "
        "left out: the smallest that leaves a butt cut.",
        examples=["250 mm"],
    )
    panels: int | None = Field(
        None,
        ge=2,
        le=MOST_PANELS,
        description="Number of panels of the bottom chord.",
        examples=[6],
    )
    overhang: Overhang = Field(
        0.0, description="Horizontal length past each sloping end.", examples=["450 mm"]
    )
    web_pattern: Pattern | None = Field(
        None, description=f"How the webs run, for {', '.join(kinds_that_take('web_pattern'))}."
    )
    flat_height: Height | None = Field(
        None,
        description="Underside of bottom chord to top edge of the flat top (truncated).",
        examples=["1500 mm"],
    )
    panel_lengths: list[Step] | None = Field(
        None,
        min_length=2,
        max_length=MOST_PANELS,
        description="Lengths of the panels from the left end to the right, instead of their "
        "number; they add up to the span. One panel ends at midspan where the webs turn there.",
        examples=[["1500 mm", "1800 mm", "1800 mm", "1500 mm"]],
    )


class SectionsTable(Table):
    """Depths of the members of a shape, in the plane of the truss."""

    top_chord: Depth = Field(description="Depth of the top chords.", examples=["195 mm"])
    bottom_chord: Depth = Field(description="Depth of the bottom chords.", examples=["195 mm"])
    web: Depth = Field(description="Depth of the webs.", examples=["95 mm"])
    members: dict[Id, Depth] = Field(
        {},
        max_length=MOST_MEMBERS,
        description="Depths of webs that are not as deep as the others, by their names.",
        examples=[{"W3": "145 mm"}],
    )


class NodeTable(Table):
    """A panel point: x along the bottom chord from its left end, y up."""

    id: Id = Field(description="Name of the panel point.", examples=["A"])
    x: Coordinate = Field(description="From the left end of the bottom chord.")
    y: Coordinate = Field(description="Up from the underside of the bottom chord.")


class MemberTable(Table):
    """A member between panel points."""

    id: Id = Field(description="Name that a person can say aloud.", examples=["TC1", "BC1", "W3"])
    role: RoleWord = Field(description="What the member is in the truss.")
    nodes: list[Id] = Field(
        min_length=2,
        max_length=60,
        description="Panel points in order; a chord runs over all of them in one straight piece.",
        examples=[["A", "B", "C"]],
    )
    depth: Depth = Field(description="Depth in the plane of the truss.", examples=["195 mm"])
    outline: list[list[Coordinate]] | None = Field(
        None,
        min_length=3,
        max_length=MOST_OUTLINE,
        description="Corners [x, y] of the member as it is really cut; left out: cut by the "
        "usual rules.",
    )
    hook_end: HookEnd | None = Field(
        None,
        description="End where the tape is hooked; for an upright member left is the bottom. Left "
        "out: the heel of a rafter, else the left end; never a butt splice, nor an end under a "
        "plate where the other is free.",
    )
    compression: bool | None = Field(
        None, description="Whether it is in compression, where the truss designer says so."
    )
    align: Literal["centre", "underside", "top"] = Field(
        "centre",
        description="For a chord that goes on in another depth: which edge is level with that of "
        "the run beside it; centre: the centrelines meet at the node.",
    )


class PlateTable(Table):
    """A nail plate, the same on both faces of every ply."""

    joint: Id = Field(description="Panel point that it joins.")
    x: Coordinate = Field(description="Centre, along.")
    y: Coordinate = Field(description="Centre, up.")
    width: Size = Field(description="Along its own axis.", examples=["152 mm"])
    height: Size = Field(description="Across its own axis.", examples=["200 mm"])
    angle: Angle = Field(0.0, description="Turn of its axis, counter-clockwise from level.")


class BearingTable(Table):
    """A support of the girder."""

    x: Station = Field(description="Centre of the support, from the left end.")
    width: Size = Field(description="Width along the girder.", examples=["140 mm"])


class GirderTable(Table):
    """The girder: how many plies of what, and either a shape or nodes and members."""

    mark: Name = Field(max_length=40, description="Mark on the girder.", examples=["G1"])
    quantity: int = Field(1, ge=1, le=999, description="How many such girders are made.")
    plies: int = Field(ge=2, le=6, description="Number of plies, 2 to 6.")
    ply_thickness: Thickness = Field(
        description="Thickness of one ply.", examples=["38 mm", "1.5 in"]
    )
    timber: Name = Field(
        description="Strength class or species; `girderply catalogue` lists them.",
        examples=["C24", "Spruce-Pine-Fir"],
    )
    timbers: dict[Id, Name] = Field(
        {},
        max_length=MOST_MEMBERS,
        description="Timber of members that are of another one, by their names. The girder's is "
        "the lightest of all, by which every fastener is judged.",
        examples=[{"W3": "C30"}],
    )
    predrilled: bool = Field(False, description="Whether holes are drilled for the nails.")
    split_prone: bool = Field(False, description="Whether the timber splits easily.")
    moisture: Literal["dry", "wet", "made wet, used dry"] = Field(
        "dry",
        description="Moisture of the timber when the fasteners are driven and in use (above 19 % "
        "is wet); NDS only, other bases have service classes.",
    )
    treated: bool = Field(
        False, description="Whether the timber is treated with preservatives; NDS only."
    )
    shape: ShapeTable | None = Field(None, description="The shape; not with nodes and members.")
    sections: SectionsTable | None = Field(None, description="Member depths of the shape.")
    nodes: list[NodeTable] = Field([], max_length=MOST_MEMBERS, description="Panel points.")
    members: list[MemberTable] = Field([], max_length=MOST_MEMBERS, description="Members.")
    hook_ends: dict[Id, HookEnd] = Field(
        {},
        max_length=MOST_MEMBERS,
        description="Where the tape is hooked: left (bottom of an upright) or right, by member. "
        'Left out: at the left; a rafter of a shape at its heel. Example: BC1 = "right".',
    )
    plates: list[PlateTable] = Field(
        [],
        max_length=MOST_MEMBERS,
        description="Nail plates; joints without one get an estimate, and every sheet says so.",
    )
    bearings: list[BearingTable] = Field([], max_length=20, description="Supports.")
