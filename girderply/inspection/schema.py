"""The form of a record: what pydantic checks, value by value; nothing is turned into another type.

Imported only where a record is read.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic_core import ErrorDetails, PydanticCustomError

from girderply.errors import Finding
from girderply.inspection.record import (
    Count,
    Mark,
    Plain,
    Record,
    Signature,
    State,
    fault_at,
    record_hash,
)
from girderply.jobfile.paths import key_path
from girderply.units.words import did_you_mean, shown

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


class _RecordFile(_Table):
    schema_: Literal["girderply.record/1"] = Field(alias="schema")
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
    return fault_at("bad-value", path, f"{shown(value)} is not allowed: {e['msg']}", tip)
