"""Tables of a job file that say what hangs on the girder."""

from __future__ import annotations

from typing import Final, Literal

from pydantic import Field

from girderply.jobfile.fields import (
    Force,
    Id,
    Name,
    Offset,
    Shank,
    SignedForce,
    Size,
    Station,
    Step,
    Table,
    Text,
)
from girderply.jobfile.schema_basis import CaseId

MOST_LOADS: Final = 2000


class BracketBoltTable(Table):
    """A bolt of a bracket, from the bracket's centre."""

    along: Offset = Field(description="Along the chord, away from its hook end.")
    across: Offset = Field(description="Across the chord, positive up.")


class FixingTable(Table):
    """What fixes a bracket; with it its reach into further plies is worked out.

    Nails by `d` and `length`, or screws that the job declares by the key of one.
    """

    d: Shank | None = Field(None, description="Diameter of the nails' shank.", examples=["4 mm"])
    length: Size | None = Field(None, description="Length of the nails.", examples=["60 mm"])
    screw: Name | None = Field(
        None,
        description="Key of one of the declared screws, instead of nails.",
        examples=["6.0 x 120 demo"],
    )
    number: int = Field(
        ge=1, le=200, description="How many nails or screws hold the bracket.", examples=[12]
    )
    holes: Text = Field("", description="Which holes of the bracket they go into.")


class BracketTable(Table):
    """The bracket that hangs a truss on a face: its footprint on the girder."""

    width: Size = Field(description="Footprint along the chord.", examples=["100 mm"])
    height: Size = Field(description="Footprint across the chord.", examples=["160 mm"])
    offset: Offset = Field(
        0.0, description="Footprint's centre above the chord's centreline; negative below."
    )
    nail_length: Size | None = Field(None, description="Length of its nails.", examples=["40 mm"])
    bolt: Name | None = Field(None, description="Size of its own bolts.", examples=["M12"])
    fixing: FixingTable | None = Field(
        None, description="Its nails or screws: how thick, how long, how many, in which holes."
    )
    bolts: list[BracketBoltTable] = Field([], max_length=50, description="Its own bolts, if any.")


class LoadTable(Table):
    """A hung load, or a series of equal ones; forces downward are positive."""

    id: Id | None = Field(
        None, description="Name of the load; left out: L1, L2, ...", examples=["T1"]
    )
    chord: Id = Field(description="Member that it hangs on.", examples=["BC1"])
    face: Literal["front", "back", "top"] = Field(
        description='Face that it hangs on; "top": it enters all plies equally.'
    )
    at: Station = Field(
        description="Distance from the chord's hook end; of a series, the first.",
        examples=["600 mm", "2 ft"],
    )
    to: Station | None = Field(None, description="Last of a series, at most.")
    every: Step | None = Field(None, description="Distance within a series.", examples=["600 mm"])
    permanent: Force | None = Field(
        None, description="Permanent part, characteristic.", examples=["1.4 kN"]
    )
    variable: Force | None = Field(
        None, description="Variable part, characteristic.", examples=["2.1 kN", "480 lbf"]
    )
    uplift: Force | None = Field(
        None, description="Variable uplift, characteristic, written as a positive value."
    )
    design: SignedForce | None = Field(
        None,
        description="Design value, factored (EN) or total (NDS), instead of the parts; "
        "negative for uplift.",
    )
    cases: dict[CaseId, SignedForce] = Field(
        {},
        max_length=12,
        description="Values by load case of [[basis.cases]], characteristic, downward positive; "
        'instead of the parts. Example: cases = { G = "1.4 kN", W = "-0.9 kN" }.',
    )
    plies_reached: int = Field(
        1,
        ge=1,
        le=6,
        description="How many plies, from its face, the bracket's fixings reach; more than one "
        "only where bracket.fixing or bracket.bolts prove it.",
    )
    what: Text = Field("", description="What hangs there.", examples=["Roof truss R2"])
    bracket: BracketTable | None = Field(None, description="The bracket, if there is one.")
