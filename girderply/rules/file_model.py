"""The format of a rule set file, checked by pydantic; lengths come out in mm."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo

from girderply.units.parse import parse_quantity


def _to_mm(value: object, info: ValidationInfo) -> float:
    system = (info.context or {}).get("units", "metric")
    return parse_quantity(value, "length", system)


Length = Annotated[float, BeforeValidator(_to_mm), Field(gt=0)]
LengthOrNone = Annotated[float, BeforeValidator(_to_mm), Field(ge=0)]
Multiple = Annotated[float, Field(gt=0, allow_inf_nan=False, strict=True)]
Count = Annotated[int, Field(ge=1, strict=True)]
Words = Annotated[str, Field(min_length=1)]
Flag = Annotated[bool, Field(strict=True)]
DriveWord = Literal["front", "back", "alternate"]
Plies = Annotated[int, Field(ge=2, le=6, strict=True)]


class Table(BaseModel):
    """A table of the file; keys that are not known are refused."""

    model_config = ConfigDict(extra="forbid", defer_build=True)


class RowTable(Table):
    """One entry of [[chord]] or [[web]]."""

    depth_up_to: Length | None = None
    rows: Annotated[int, Field(ge=1, le=6, strict=True)]
    pitch: Length | None = None
    centres: Length | None = None
    stagger: Flag = False
    gauge: Length | None = None


class LimitTable(Table):
    """[limits]: the fields of `NailLimits`."""

    spacing_min_d: Multiple | None = None
    spacing_max_thickness: Multiple | None = None
    gauge_min_d: Multiple | None = None
    gauge_max_d: Multiple | None = None
    edge_min_d: Multiple | None = None
    edge_min: Length | None = None
    edge_max_d: Multiple | None = None
    end_min_d: Multiple | None = None
    end_min: Length | None = None
    end_max_d: Multiple | None = None
    two_rows_above_depth_per_thickness: Multiple | None = None
    point_share_of_last_ply: Annotated[float, Field(gt=0, le=1)] | None = None


class StageTable(Table):
    """One stage of an assembly."""

    add: list[int]
    drive: DriveWord
    fastens: list[int]
    nail: Words | None = None


class AssemblyTable(Table):
    """One entry of [[assembly]]."""

    plies: Plies | list[Plies]
    nail: Words | None = None
    build_up: Flag = False
    stages: list[StageTable] = []
    joint_bolts: Flag
    through_bolt_rows: Annotated[int, Field(ge=0, le=6, strict=True)] = 0
    through_bolt_pitch: Length | None = None
    note: str = ""


class BoltTable(Table):
    """[bolts]: the fields of `BoltRule`."""

    bolt: Words
    washer: Words
    hole: Length
    reach: Length
    per_joint: Annotated[int, Field(ge=1, le=4, strict=True)] = 1
    members: Literal["chord", "any"] = "chord"
    mid_compression: Flag = False
    end_min_d: Multiple | None = None
    end_max_d: Multiple | None = None
    edge_min_d: Multiple | None = None
    edge_max_d: Multiple | None = None
    spacing_min_d: Multiple | None = None
    spacing_max_thickness: Multiple | None = None
    gauge_min_d: Multiple | None = None
    gauge_max_d: Multiple | None = None


class SettingOutTable(Table):
    """[setting_out]: the fields of `SettingOut`; what is left out is as usual in these units."""

    ladder: Annotated[list[Length], Field(min_length=1)] | None = None
    first_step: Length | None = None
    beside: Length | None = None
    swallowed: Annotated[int, Field(ge=1, le=20, strict=True)] | None = None
    count_over: Literal["free", "whole"] | None = None
    gap_most: Length | None = None
    point_clearance: LengthOrNone | None = None


Minute = Annotated[float, Field(ge=0, le=600, allow_inf_nan=False)]


class MinutesTable(Table):
    """[minutes]: the fields of `Minutes`."""

    nail: Minute | None = None
    number: Minute | None = None
    step: Minute | None = None
    clench: Minute | None = None
    turn: Minute | None = None
    bolt: Minute | None = None


class RuleFile(Table):
    """A whole rule set file."""

    name: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$")]
    title: Words
    source: Words
    mark: Words
    units: Literal["metric", "imperial"]
    plies: tuple[Plies, Plies]
    thickness: tuple[Length, Length]
    chord: Annotated[list[RowTable], Field(min_length=1)]
    web: Annotated[list[RowTable], Field(min_length=1)]
    limits: LimitTable = LimitTable()
    assembly: Annotated[list[AssemblyTable], Field(min_length=1)]
    bolts: BoltTable | None = None
    plate_clearance: LengthOrNone = 10.0
    washer_clearance: LengthOrNone = 10.0
    bracket_clearance: LengthOrNone = 10.0
    clench: tuple[LengthOrNone, LengthOrNone] | None = None
    station_step: Length = 5.0
    zone_reach: Length = 600.0
    tolerance: Length = 10.0
    alignment_tolerance: Length = 5.0
    nail_surface: Literal["smooth", "other"] | None = None
    notes: list[str] = []
    setting_out: SettingOutTable = SettingOutTable()
    minutes: MinutesTable = MinutesTable()


def known_keys() -> tuple[str, ...]:
    """Every key that a rule set file may have, sorted."""
    tables = (RuleFile, RowTable, LimitTable, StageTable, AssemblyTable, BoltTable)
    own = (SettingOutTable, MinutesTable)
    return tuple(sorted({key for t in (*tables, *own) for key in t.model_fields}))
