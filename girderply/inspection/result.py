"""What an inspection comes to: a verdict, its reasons, what to add, its place in the history."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Literal

from girderply.catalogue.catalogue_types import BoltChoice, Nail
from girderply.inspection.questions import Question
from girderply.layout.records import Fasteners
from girderply.schedule.contract import tidy
from girderply.strength.check_record import Check
from girderply.wording import Words

SCHEMA = "girderply.inspection/1"
Verdict = Literal["accepted", "add", "engineer", "partial"]


@dataclass(frozen=True, slots=True)
class MemberCount:
    """One kind of fastener of one member in one stage: due, found, and how many count."""

    member: str
    stage: int
    kind: str
    due: int
    found: int
    counting: int


@dataclass(frozen=True, slots=True)
class Remark:
    """A fastener that is not good, or that has a note: id, member, station (mm), state, note."""

    id: str
    member: str
    station: float
    state: str
    by_mm: float | None
    counts: bool
    note: str


@dataclass(frozen=True, slots=True)
class Inspection:
    """The result for one girder. Everything a sheet needs is in it and in the schedule.

    Attributes:
        verdict: accepted; add (do what is listed, then it holds); engineer (nobody else decides);
            partial (not everything was looked at; never a pass).
        reasons: whole sentences, the weightiest first. notes: what is worth knowing besides.
        make_good: columns of what to add, purpose "make-good", one stage after the last.
        instead_of: per make-good fastener the id that it stands in for, or empty.
        nails, bolts: by spec, the schedule's and what is added besides.
        tighten: ids of loose bolts. remarks: what was found not good, in the schedule's order.
        checks: with what is added; for a partial one of what is known to count.
        counts: by stage and member. unseen: ids that nobody looked at.
        asks: what a person must decide, or has decided.
        record_hash, previous_hash: of this record and of the one before it (None: the first).
    """

    job: str
    mark: str
    piece: int
    revision: str
    content_hash: str
    inspector: str
    date: str
    verdict: Verdict
    reasons: tuple[Words, ...]
    notes: tuple[Words, ...]
    make_good: Fasteners
    instead_of: tuple[str, ...]
    nails: Mapping[str, Nail]
    bolts: Mapping[str, BoltChoice]
    tighten: tuple[str, ...]
    remarks: tuple[Remark, ...]
    checks: tuple[Check, ...]
    counts: tuple[MemberCount, ...]
    unseen: tuple[str, ...]
    record_hash: str
    previous_hash: str | None
    asks: tuple[Question, ...] = ()

    def with_asks(self, asks: Iterable[Question]) -> Inspection:
        """The same with what a person must decide, or has decided."""
        return replace(self, asks=tuple(asks))

    @property
    def accepted(self) -> bool:
        """True when nothing is left to do."""
        return self.verdict == "accepted"

    def as_data(self) -> dict[str, Any]:
        """Plain data, schema `girderply.inspection/1`; lengths in mm, forces in N, rounded."""
        data: dict[str, Any] = {"schema": SCHEMA}
        data |= {
            name: getattr(self, name)
            for name in ("job", "mark", "piece", "revision", "content_hash", "inspector", "date")
        }
        added = [
            _fastener(row) | {"instead_of": other or None}
            for row, other in zip(self.make_good.records(), self.instead_of, strict=True)
        ]
        data |= {
            "verdict": self.verdict,
            "reasons": list(self.reasons),
            "notes": list(self.notes),
            "make_good": added,
            "tighten": list(self.tighten),
            "remarks": [_remark(r) for r in self.remarks],
            "counts": [_count(c) for c in self.counts],
            "asks": [_ask(q) for q in self.asks],
            "not_looked_at": list(self.unseen),
            "checks": [_check(c) for c in self.checks],
            "record_hash": self.record_hash,
            "previous_record_hash": self.previous_hash,
        }
        plain = tidy(data)
        if not isinstance(plain, dict):
            raise TypeError("a result is a dictionary")
        return plain


def _ask(q: Question) -> dict[str, Any]:
    made = q.decided
    decided = None if made is None else {f.name: getattr(made, f.name) for f in fields(made)}
    return {"key": q.key, "text": q.text, "needs": q.needs, "decided": decided}


def _remark(remark: Remark) -> dict[str, Any]:
    return {
        "id": remark.id,
        "member": remark.member,
        "station_mm": remark.station,
        "state": remark.state,
        "by_mm": remark.by_mm,
        "counts": remark.counts,
        "note": remark.note,
    }


def _count(count: MemberCount) -> dict[str, Any]:
    return {
        "member": count.member,
        "stage": count.stage,
        "kind": count.kind,
        "due": count.due,
        "found": count.found,
        "counting": count.counting,
    }


def _fastener(row: dict[str, Any]) -> dict[str, Any]:
    """A fastener under the same keys as in the contract of a schedule."""
    low, high = sorted((row["from_ply"], row["to_ply"]))
    lengths = ("x", "y", "station", "offset", "protrusion", "point_depth", "drilled")
    words = ("id", "kind", "spec", "member", "row", "stage", "face", "from_ply", "to_ply")
    return {
        **{name: row[name] for name in (*words, "purpose", "clench")},
        **{f"{name}_mm": row[name] for name in lengths},
        "joint": row["joint"] or None,
        "load": row["load"] or None,
        "interfaces": list(range(low, high)),
    }


def _check(check: Check) -> dict[str, Any]:
    return {
        "id": check.id,
        "subject": check.subject,
        "demand": check.demand,
        "resistance": check.resistance,
        "unit": check.unit,
        "utilisation": check.utilisation,
        "ok": check.ok,
        "clause": check.clause,
        "mode": check.mode,
    }
