"""Tables of a job file that say by which rules the plies are fastened."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from girderply.bases.finishes import FINISHES
from girderply.jobfile.fields import Force, Id, Name, Scalar, Shank, Size, Strength, Table
from girderply.jobfile.schema_basis import Word
from girderply.jobfile.schema_girder import RoleWord


class AssemblyTable(Table):
    """How the plies are put together, and from which side people can get at them."""

    way: Literal["on trestles", "upright"] = Field(
        "on trestles",
        description="on trestles: plies lie one on the other and are turned over. upright: plies "
        "stand plumb, clamped and braced, nailed level; nothing is turned over.",
    )
    faces: Literal["both", "front", "back"] = Field(
        "both",
        description="Faces that people can reach while they fasten. With one only, everything is "
        "driven from there: no bolts, and no points to bend over.",
    )


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


class ScrewTable(Table):
    """A screw by the values of its own declaration of performance."""

    key: Name = Field(
        max_length=40, description="What it is called here.", examples=["6.0 x 120 demo"]
    )
    source: Name = Field(description="Number of its declaration or assessment.")
    d: Shank = Field(description="Outer diameter of the thread.", examples=["6 mm"])
    d_root: Shank = Field(description="Diameter of the thread's root.", examples=["3.9 mm"])
    d_shank: Shank = Field(description="Diameter of the smooth shank.", examples=["4.3 mm"])
    head: Shank = Field(description="Diameter of the head.", examples=["12 mm"])
    length: Size = Field(description="Length under the head.", examples=["120 mm"])
    thread: Size = Field(description="Length of the thread.", examples=["70 mm"])
    yield_moment: float = Field(
        gt=0, le=1e7, description="Characteristic yield moment M_y,k in Nmm.", examples=[9500]
    )
    withdrawal: Strength = Field(
        description="Characteristic withdrawal strength f_ax,k across the grain.",
        examples=["11.5 N/mm2"],
    )
    pull_through: Strength = Field(
        description="Characteristic pull-through strength f_head,k.", examples=["10.5 N/mm2"]
    )
    density: float = Field(
        350,
        ge=200,
        le=900,
        description="Characteristic density rho_a in kg/m3 that both strengths belong to.",
    )
    tension: Force = Field(
        description="Characteristic tensile capacity f_tens,k.", examples=["11 kN"]
    )
    drill: Shank | None = Field(
        None, description="Hole drilled for it; left out: driven without one."
    )
    self_drilling: bool = Field(
        False, description="Its declaration allows driving without a hole above 6 mm too."
    )
    thinnest: Size | None = Field(
        None, description="Least thickness of timber without a hole, as declared."
    )
    spacing: Size | None = Field(None, description="Declared least a1, where larger.")
    gauge: Size | None = Field(None, description="Declared least a2, where larger.")
    end: Size | None = Field(None, description="Declared least end distance a3, where larger.")
    edge: Size | None = Field(None, description="Declared least edge distance a4, where larger.")


Finish = Annotated[str, Word(lambda: FINISHES)]


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
    screw: Name | None = Field(
        None,
        description="Key of one of the screws below: it takes the place of every nail.",
        examples=["6.0 x 120 demo"],
    )
    bolt: Name | None = Field(
        None, description="Bolt, where it is not the rule set's.", examples=["M12", "1/2 in"]
    )
    washer: Name | None = Field(None, description="Washer, where it is not the rule set's.")
    finish: Finish | None = Field(
        None,
        description="Finish of every fastener; left out: what is needed at least stands on the "
        "order list.",
        examples=["hot-dip galvanised"],
    )
    bolt_finish: Finish | None = Field(
        None, description="Finish of bolts, washers and nuts, where it is another."
    )
    transfer_by: Literal["nail", "bolt"] = Field(
        "nail",
        description="Which kind carries load from ply to ply: nail (or the screw in its place) or "
        "bolt; the other holds together.",
    )
    design_by: Literal["equal shares", "computed shares"] = Field(
        "equal shares",
        description="What must pass from ply to ply. equal shares: every ply keeps 1/n of each "
        "load. computed shares: what the springs leave in it; share_limit then binds (0.10 where "
        "it is left out), and the truss designer makes every ply good for its share.",
    )
    design_to_load: bool = Field(
        True, description="Add fasteners where the pattern does not carry the loads."
    )
    order_allowance: float = Field(
        0.05, ge=0, le=1, description="Share added on the order list; 0.05 is 5 in 100."
    )
    share_limit: float | None = Field(
        None,
        ge=0.01,
        le=5,
        description="How much a ply may take at a bearing beyond its equal share; fasteners are "
        "added near the loads until it holds. Left out: more than 0.10 is only a warning.",
        examples=[0.10],
    )
    overrides: dict[Name, Scalar] = Field(
        {}, max_length=100, description="Single values of the rule set that this job changes."
    )
    prescribed: list[PrescribedTable] = Field(
        [], max_length=50, description="Patterns prescribed by the truss designer."
    )
    screws: list[ScrewTable] = Field(
        [], max_length=20, description="Screws, by the values of their declarations."
    )
