"""Other fasteners for the same girder: each laid out and judged, the best first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, Final

from girderply.catalogue.fastener_kind import FastenerKind
from girderply.desk.amend import Edit
from girderply.desk.decided import Decided
from girderply.desk.firm import Firm
from girderply.desk.on_desk import OnDesk
from girderply.desk.tasks import figures_of_other, other_of
from girderply.desk.workers import Workers, outcome
from girderply.wording import Voice

Plain = dict[str, Any]
_SCREWS: Final = ("fastening", "screws")
_BESIDE: Final = {
    FastenerKind.NAIL: "screw",
    FastenerKind.SCREW: "nail",
    FastenerKind.BOLT: "washer",
}
AT_ONCE: Final = 2  # under way together, so that a paper asked for meanwhile waits little


@dataclass(frozen=True, slots=True)
class Candidate:
    """Other fasteners: what is swapped, and the words for it.

    Attributes:
        table: of a screw in stock that the job does not declare yet, as a job file holds it.
    """

    kind: FastenerKind
    key: str
    table: Mapping[str, Any] | None = None

    @property
    def id(self) -> str:
        """As a page names it."""
        return f"{self.kind}:{self.key}"

    def said(self, voice: Voice) -> str:
        """Nail 3.1 x 90."""
        return voice.phrase(
            "desk.candidate", kind=voice.phrase(f"kind.{self.kind}", n=1), key=self.key
        )

    def edits(self) -> list[Edit]:
        """What puts it into the job file."""
        beside = _BESIDE[self.kind]
        declared = [] if self.table is None else [Edit(_SCREWS, "add", dict(self.table))]
        return [
            *declared,
            Edit(("fastening", self.kind), "set", self.key),
            Edit(("fastening", beside), "drop"),
        ]


def candidates(decided: Decided, firm: Firm) -> list[Candidate]:
    """Nails, bolts and screws in stock, and the screws that the job declares."""
    job = decided.job
    screws = [s.key for s in job.fastening.screws] if job else []
    stock = {str(t["key"]): t for t in firm.screws}
    return [
        *(Candidate(FastenerKind.SCREW, key) for key in screws),
        *(Candidate(FastenerKind.SCREW, key, t) for key, t in stock.items() if key not in screws),
        *(Candidate(FastenerKind.NAIL, key) for key in firm.nails()),
        *(Candidate(FastenerKind.BOLT, key) for key in firm.bolts()),
    ]


def candidate(said: Any, decided: Decided, firm: Firm) -> Candidate:
    """A candidate as a page names it.

    Raises:
        ValueError: it is none.
    """
    for one in candidates(decided, firm):
        if one.id == said:
            return one
    raise ValueError("no such fastener")


def others(voice: Voice, girder: OnDesk, firm: Firm, workers: Workers) -> Plain:
    """How far the comparison is, and what is known so far, the best first."""
    decided = girder.decided()
    every = candidates(decided, firm)
    rows, busy = [], 0
    for one in every:
        if busy >= AT_ONCE:
            break
        key = ("other", one.kind, one.key, voice)
        task = workers.ask(girder.name, girder.text, key, partial(other_of, voice),
                           str(girder.folder.root), one.edits())  # fmt: skip
        found = outcome(task)
        if found is None:
            busy += 1
            continue
        figures = found.get("value") or {"why": found["fault"]}
        rows.append({"id": one.id, "said": one.said(voice), **figures})
    now = decided.schedule
    return {
        "version": girder.version,
        "of": len(every),
        "done": len(rows),
        "now": figures_of_other(voice, None, now) if now is not None else None,
        "rows": sorted((r for r in rows if "why" not in r), key=_rank),
        "without": [r for r in rows if "why" in r],
    }


def _rank(row: Plain) -> tuple[Any, ...]:
    """Those that hold first; then the quickest to make, by the rule set's minutes."""
    fasteners = row["nails"] + row["bolts"]
    return (not row["good"], row["minutes"], fasteners, row["ratio"], row["id"])
