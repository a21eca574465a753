"""The job file as a whole: what an editor is told and what the reader checks, value by value.

What concerns several values at once is in `girderply.jobfile.cross`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from pydantic import ConfigDict, Field

from girderply.jobfile.fields import (
    Depth,
    Force,
    Height,
    IsoDate,
    Mass,
    Name,
    Note,
    SignedForce,
    Span,
    Table,
    Text,
    Thickness,
)
from girderply.jobfile.job import Saw
from girderply.jobfile.schema_basis import BasisTable, Duration
from girderply.jobfile.schema_fastening import AssemblyTable, FasteningTable
from girderply.jobfile.schema_girder import GirderTable
from girderply.jobfile.schema_loads import MOST_LOADS, LoadTable
from girderply.wording import Language

if TYPE_CHECKING:
    SawWord = str
else:
    SawWord = Literal[tuple(str(work) for work in Saw)]


class JobTable(Table):
    """Who, what and which revision; printed in the title block."""

    number: Name = Field(max_length=60, description="Job number.", examples=["RH-014"])
    title: Name = Field(description="Title.", examples=["Girder G1 over the hall"])
    revision: Name = Field(max_length=20, description="Revision.", examples=["A"])
    date: IsoDate = Field(
        "", description="Date of the revision, year-month-day; left out: the sheets have none."
    )
    units: Literal["metric", "imperial"] = Field(
        "metric",
        description="Unit system of every output, and of numbers without a unit: metric mm, kN, "
        "degrees; imperial in, lbf, degrees.",
    )
    language: Language | None = Field(
        None,
        description="Language of the sheets: en English, en-US American English, fr French; left "
        "out: en-US with imperial units, else en. Files for programs stay as they are.",
    )
    paper: Literal["A4", "A3", "letter", "tabloid"] | None = Field(
        None,
        description="One size of paper for all sheets; left out: A3 for the yard and A4, in an "
        "imperial job tabloid and letter.",
    )
    saw: list[SawWord] = Field(
        [str(work) for work in Saw],
        max_length=len(Saw),
        description="What the plant's saw may do: drill holes, mark nails and brackets, write "
        "text. Left out: all of it; [] cuts parts and leaves the rest to the tape.",
        examples=[["holes", "text"]],
    )
    counting: Literal["blind", "open"] = Field(
        "blind",
        description="How the tablet asks: blind asks what was counted before it shows what is "
        "due; open shows both from the start.",
    )
    photos: Literal["asked", "offered"] = Field(
        "asked",
        description="Photos of an inspection on the tablet: asked for at every hold point and "
        "every fault, or offered only.",
    )
    prepared_by: Text = Field("", description="Who prepared it.")
    checked_by: Text = Field("", description="Who checked it.")
    owner: Text = Field(
        "",
        description="Firm that owns the document, its legal owner; left out: who prepared it.",
    )
    logo: Text = Field(
        "",
        description="File with the mark of that firm, beside the job file, for the title block: "
        "PNG, SVG (letters as paths) or JPEG of at most 300 kB.",
        examples=["logo.svg"],
    )
    client: Text = Field("", description="Client.")
    consignee: Text = Field(
        "",
        description="Who gets the delivery, with the place; on labels and delivery note. Left "
        "out: the site.",
    )
    delivery: Text = Field(
        "",
        max_length=60,
        description="Number of the delivery, on labels and delivery note.",
        examples=["DN-0231"],
    )
    site: Text = Field("", description="Site.")
    truss_designer: Text = Field("", description="Who is responsible for the truss design.")
    demo: bool = Field(False, description="Invented values: every sheet says so.")
    assumed: list[Name] = Field(
        [],
        max_length=300,
        description="Values of this file that nobody has given yet, by key, such as "
        '"girder.bearings" or "loads.T1.bracket"; girderply new writes them. They are stamped on '
        "every sheet until they are confirmed or struck out here.",
    )
    confirmed: list[Name] = Field(
        [],
        max_length=300,
        description="Assumed values that somebody has looked at and takes over, by the keys that "
        "girderply check names.",
        examples=[["girder.plates"]],
    )
    notes: list[Note] = Field([], max_length=20, description="Notes printed on the cover.")


class DesignerTable(Table):
    """What the truss designer's drawing says: a difference is an error.

    Counts and words must be the same, forces and masses to 2 %, lengths to 5 mm, sections to 1 mm.
    """

    reactions: list[SignedForce] = Field(
        [],
        max_length=20,
        description="Reactions of the hung loads, one per bearing from the left.",
        examples=[["27.1 kN", "13.4 kN"]],
    )
    reactions_are: Literal["characteristic", "design"] = Field(
        "characteristic",
        description="characteristic: permanent and variable together without factors; design: "
        "with the factors of the standard.",
    )
    self_weight: bool = Field(
        False, description="The reactions hold the girder's own weight (two bearings only)."
    )
    plies: int | None = Field(None, ge=1, le=20, description="Number of plies on the drawing.")
    plates: int | None = Field(
        None, ge=1, le=1000, description="Nail plates counted on one face of one ply."
    )
    members: int | None = Field(None, ge=1, le=1000, description="Members counted in one ply.")
    mass: Mass | None = Field(
        None, description="Mass of the whole girder, all plies.", examples=["310 kg"]
    )
    timber: Name | None = Field(
        None, description="Strength class or species and grade on the drawing.", examples=["C24"]
    )
    ply_thickness: Thickness | None = Field(
        None, description="Thickness of one ply on the drawing.", examples=["38 mm", "1.5 in"]
    )
    top_chord: Depth | None = Field(
        None, description="Depth of every top chord on the drawing.", examples=["195 mm"]
    )
    bottom_chord: Depth | None = Field(
        None, description="Depth of every bottom chord on the drawing.", examples=["195 mm"]
    )
    span: Span | None = Field(
        None, description="Out to out of the bottom chord, as drawn.", examples=["9.6 m", "32 ft"]
    )
    length: Span | None = Field(
        None, description="Over all, with overhangs, as drawn.", examples=["10.5 m"]
    )
    height: Height | None = Field(
        None, description="Underside of bottom chord to the highest top edge, as drawn."
    )
    heel_height: Height | None = Field(
        None,
        description="Underside of bottom chord to top edge of top chord at the left end of the "
        "bottom chord, as drawn.",
    )
    loads: int | None = Field(
        None, ge=0, le=10_000, description="Hung loads counted on the drawing, both faces."
    )
    permanent: Force | None = Field(
        None,
        description="Permanent part of all hung loads together, without factors.",
        examples=["16.5 kN"],
    )
    variable: Force | None = Field(
        None,
        description="Variable part of all hung loads together, without factors.",
        examples=["24 kN"],
    )
    uplift: Force | None = Field(
        None, description="Uplift of all hung loads together, without factors; written positive."
    )
    service_class: int | None = Field(
        None, ge=1, le=3, description="Service class on the drawing, where the standard has one."
    )
    variable_duration: Duration | None = Field(
        None, description="Load duration of the variable part on the drawing."
    )


class JobFile(Table):
    """One job: the girder, what hangs on it, by which rules and standard it is fastened."""

    model_config = ConfigDict(title="Girderply job file")

    job: JobTable = Field(description="Title block.")
    girder: GirderTable = Field(description="The girder.")
    loads: list[LoadTable] = Field([], max_length=MOST_LOADS, description="Hung loads.")
    designer: DesignerTable | None = Field(
        None, description="What the truss designer's drawing says, to be held against this job."
    )
    basis: BasisTable = Field(
        default_factory=lambda: BasisTable.model_validate({}), description="Standard and factors."
    )
    fastening: FasteningTable = Field(
        default_factory=lambda: FasteningTable.model_validate({}),
        description="Rules and fasteners.",
    )
    assembly: AssemblyTable = Field(
        default_factory=lambda: AssemblyTable.model_validate({}),
        description="How the plies are put together.",
    )
