"""Tables of a job file that say by which rules the plies are fastened."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from girderply.jobfile.fields import Id, Name, Scalar, Size, Table
from girderply.jobfile.schema_girder import RoleWord


class PrescribedTable(Table):
    """A nail pattern that the truss designer prescribes; it goes before the rule set."""

    role: RoleWord | None = Field(None, description="For all members of this role.")
    members: list[Id] = Field(
        [], max_length=300, description="Or for these members.", examples=[["BC1"]]
    )
    rows: int = Field(ge=1, le=6, description="Number of rows.")
    pitch: Size = Field(
        description="Distance between nails of one row, along the member.", examples=["300 mm"]
    )
    stagger: bool = Field(True, description="Rows offset by half a pitch (a zigzag of two rows).")
    nail: Name | None = Field(None, description="Nail, where it is not the rule set's.")
    source: Name = Field("truss designer", description="Who prescribes it, which drawing.")


class FasteningTable(Table):
    """Rule set, fasteners, and what this job changes in the rule set."""

    rules: Name | None = Field(
        None,
        description="Name of a built-in rule set; left out: common-practice, in an imperial job "
        "north-american-built-up.",
        examples=["common-practice", "french-36mm", "north-american-built-up"],
    )
    rules_file: Name | None = Field(
        None, description="A rule set file of your own, beside the job file, instead of a name."
    )
    nail: Name | None = Field(
        None,
        description="Nail, where it is not the rule set's; `girderply catalogue` lists them.",
        examples=["4.0 x 100", "16d common"],
    )
    bolt: Name | None = Field(
        None, description="Bolt, where it is not the rule set's.", examples=["M12", "1/2 in"]
    )
    washer: Name | None = Field(None, description="Washer, where it is not the rule set's.")
    transfer_by: Literal["nail", "bolt"] = Field(
        "nail", description="Which kind carries load from ply to ply; the other holds together."
    )
    design_to_load: bool = Field(
        True, description="Add fasteners where the pattern does not carry the loads."
    )
    order_allowance: float = Field(
        0.05, ge=0, le=1, description="Share added on the order list; 0.05 is 5 in 100."
    )
    overrides: dict[Name, Scalar] = Field(
        {}, max_length=100, description="Single values of the rule set that this job changes."
    )
    prescribed: list[PrescribedTable] = Field(
        [], max_length=50, description="Patterns prescribed by the truss designer."
    )
