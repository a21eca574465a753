"""The form of a record: what pydantic checks, value by value; nothing is turned into another type.

Imported only where a record is read.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic_core import ErrorDetails, PydanticCustomError

from girderply.errors import Finding
from girderply.inspection.record import (
    FIRST_SCHEMA,
    Count,
    Decision,
    Mark,
    NailSeen,
    Photo,
    Plain,
    Record,
    Shift,
    Signature,
    StageSeen,
    State,
    fault_at,
    record_hash,
)
from girderply.jobfile.paths import key_path
from girderply.units.short_text import did_you_mean, reason, shown

SECOND = ("shifts", "stages", "decisions", "photos")  # what the second schema has besides
Id = Annotated[str, Field(min_length=1, max_length=60)]
Name = Annotated[str, Field(max_length=200)]
Note = Annotated[str, Field(max_length=2000)]
Sha = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Stage = Annotated[int, Field(ge=1, le=100)]
Many = Annotated[int, Field(ge=0, le=100_000)]
# Shorter than 0.001 mm nothing is measured, and programs write such numbers differently.
Off = Annotated[float, Field(ge=0.001, le=5000.0)] | Annotated[float, Field(ge=0.0, le=0.0)]


class _Table(BaseModel):
    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, defer_build=True
    )


class _Mark(_Table):
    id: Id
    state: State
    by_mm: Off | None
    note: Note

    @model_validator(mode="after")
    def _by_with_misplaced(self) -> _Mark:
        if self.state != "misplaced" and self.by_mm is not None:
            text = "by_mm says how far a misplaced fastener is off; it is null with any other state"
            raise PydanticCustomError("by_mm", "{text}", {"text": text})
        return self


class _Count(_Table):
    member: Id
    stage: Stage
    row: Annotated[int, Field(ge=1, le=100)] | None
    kind: Literal["nail", "screw", "bolt"]
    due: Many
    found: Many


class _Plies(_Table):
    gap_mm: Off | None
    alignment_mm: Off | None


class _Signature(_Table):
    stage: Stage
    name: Name
    date: Annotated[str, Field(max_length=40)]


class _Shift(_Table):
    member: Id
    stage: Stage
    row: Annotated[int, Field(ge=1, le=100)] | None
    along_mm: Annotated[float, Field(ge=-500.0, le=500.0)]
    across_mm: Annotated[float, Field(ge=-500.0, le=500.0)]


class _NailSeen(_Table):
    d_mm: Annotated[float, Field(ge=1.0, le=20.0)]
    length_mm: Annotated[float, Field(ge=10.0, le=600.0)]
    read_from: Literal["box", "nail"]


class _StageSeen(_Table):
    stage: Stage
    nails: Annotated[list[_NailSeen], Field(max_length=20)]
    finish: Name
    washers: Literal["as drawn", "other"] | None
    clenched: Many | None


class _Decision(_Table):
    about: Annotated[str, Field(pattern=r"^[0-9]{8}$")]
    kind: Literal["none", "measured", "engineer"]
    name: Annotated[str, Field(min_length=1, max_length=200)]
    date: Annotated[str, Field(min_length=1, max_length=40)]
    text: Note


class _Photo(_Table):
    of: Id
    taken: Annotated[str, Field(max_length=40)]
    width: Annotated[int, Field(ge=1, le=4096)]
    height: Annotated[int, Field(ge=1, le=4096)]
    jpeg: Annotated[str, Field(max_length=1_500_000, pattern=r"^/9j/[A-Za-z0-9+/]+={0,2}$")]


class _RecordFile(_Table):
    schema_: Literal["girderply.record/1", "girderply.record/2"] = Field(alias="schema")
    job: Name
    mark: Name
    piece: Annotated[int, Field(ge=1, le=10_000)]
    revision: Name
    content_hash: Sha
    inspector: Name
    date: Annotated[str, Field(max_length=40)]
    previous: Sha | None
    marks: Annotated[list[_Mark], Field(max_length=50_000)]
    counts: Annotated[list[_Count], Field(max_length=10_000)]
    plies: _Plies
    signatures: Annotated[list[_Signature], Field(max_length=200)]
    note: Annotated[str, Field(max_length=10_000)]
    shifts: Annotated[list[_Shift], Field(max_length=1000)] = Field(default_factory=list)
    stages: Annotated[list[_StageSeen], Field(max_length=100)] = Field(default_factory=list)
    decisions: Annotated[list[_Decision], Field(max_length=1000)] = Field(default_factory=list)
    photos: Annotated[list[_Photo], Field(max_length=60)] = Field(default_factory=list)

    @model_validator(mode="after")
    def _first_has_none(self) -> _RecordFile:
        if self.schema_ == FIRST_SCHEMA and (self.model_fields_set & set(SECOND)):
            text = f"a record of {FIRST_SCHEMA} has none of {', '.join(SECOND)}"
            raise PydanticCustomError("schema", "{text}", {"text": text})
        return self


def to_record(data: Plain) -> tuple[Record | None, list[Finding]]:
    """A record from its data, or every fault of its form."""
    try:
        file = _RecordFile.model_validate(data)
    except ValidationError as raised:
        return None, [_finding(e) for e in raised.errors(include_url=False)]
    plain = file.model_dump()
    return Record(
        **{
            name: plain[name]
            for name in ("job", "mark", "piece", "revision", "content_hash", "inspector")
        },
        date=file.date,
        previous=file.previous,
        marks=tuple(Mark(**m) for m in plain["marks"]),
        counts=tuple(Count(**c) for c in plain["counts"]),
        gap_mm=file.plies.gap_mm,
        alignment_mm=file.plies.alignment_mm,
        signatures=tuple(Signature(**s) for s in plain["signatures"]),
        note=file.note,
        hash=record_hash(data),
        shifts=tuple(Shift(**x) for x in plain["shifts"]),
        stages=tuple(
            StageSeen(**{**x, "nails": tuple(NailSeen(**n) for n in x["nails"])})
            for x in plain["stages"]
        ),
        decisions=tuple(Decision(**x) for x in plain["decisions"]),
        photos=tuple(Photo(**x) for x in plain["photos"]),
        told=((file.inspector, file.date, file.note),),
    ), []


def _finding(e: ErrorDetails) -> Finding:
    """One fault, with its key path, the value and what is allowed."""
    path = key_path(e["loc"]) or "record"
    kind, value = e["type"], e["input"]
    if kind == "missing":
        return fault_at("missing-key", path, "is missing")
    if kind == "extra_forbidden":
        return fault_at("unknown-key", path, "is no key of a record")
    context: dict[str, Any] = e.get("ctx", {})
    tip = ""
    if kind == "literal_error":
        tip = did_you_mean(value, str(context.get("expected", "")).replace("'", "").split(", "))
    return fault_at("bad-value", path, f"{shown(value)} is not allowed: {reason(e['msg'])}", tip)
