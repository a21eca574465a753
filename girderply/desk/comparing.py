"""Other fasteners for the same girder: each laid out and judged, the best first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from girderply.desk.amend import Edit
from girderply.desk.decided import Decided
from girderply.desk.firm import Firm
from girderply.desk.girder import OnDesk
from girderply.desk.tasks import figures_of_other, other_of
from girderply.desk.workers import Workers, outcome
from girderply.wording import phrase, spoken

Plain = dict[str, Any]
AT_ONCE: Final = 2  # under way together, so that a paper asked for meanwhile waits little


@dataclass(frozen=True, slots=True)
class Candidate:
    """Other fasteners: what is swapped, and the words for it."""

    kind: str
    key: str

    @property
    def change(self) -> tuple[tuple[str, str], ...]:
        """As `swapped` takes it."""
        return ((self.kind, self.key),)

    @property
    def said(self) -> str:
        """Nail 3.1 x 90."""
        return phrase("desk.candidate", kind=phrase(f"kind.{self.kind}", n=1), key=self.key)

    def edits(self) -> list[Edit]:
        """What puts it into the job file."""
        edits = [Edit(("fastening", self.kind), "set", self.key)]
        beside = {"nail": "screw", "screw": "nail", "bolt": "washer"}[self.kind]
        return [*edits, Edit(("fastening", beside), "drop")]


def candidates(decided: Decided, firm: Firm) -> list[Candidate]:
    """Nails and bolts in stock, and the screws that the job declares."""
    job = decided.job
    screws = [s.key for s in job.fastening.screws] if job else []
    return [
        *(Candidate("screw", key) for key in screws),
        *(Candidate("nail", key) for key in firm.nails()),
        *(Candidate("bolt", key) for key in firm.bolts()),
    ]


def candidate(said: Any) -> Candidate:
    """A candidate as a page names it.

    Raises:
        ValueError: it is none.
    """
    kind, _, key = str(said).partition(":")
    if kind not in ("nail", "screw", "bolt") or not key:
        raise ValueError("no such fastener")
    return Candidate(kind, key)


def others(girder: OnDesk, firm: Firm, workers: Workers) -> Plain:
    """How far the comparison is, and what is known so far, the best first."""
    decided, language = girder.decided(), spoken()
    every = candidates(decided, firm)
    rows, busy = [], 0
    for one in every:
        if busy >= AT_ONCE:
            break
        key = ("other", one.kind, one.key, language)
        task = workers.ask(girder.name, girder.text, key, other_of,
                           str(girder.folder.root), one.change, language)  # fmt: skip
        found = outcome(task)
        if found is None:
            busy += 1
            continue
        figures = found.get("value") or {"why": found["fault"]}
        rows.append({"id": f"{one.kind}:{one.key}", "said": one.said, **figures})
    now = decided.schedule
    return {
        "version": girder.version,
        "of": len(every),
        "done": len(rows),
        "now": figures_of_other(None, now) if now is not None else None,
        "rows": sorted((r for r in rows if "why" not in r), key=_rank),
        "without": [r for r in rows if "why" in r],
    }


def _rank(row: Plain) -> tuple[Any, ...]:
    """Those that hold first; then least to do: turning, nails, bolts, clenching, hardest check."""
    return (not row["good"], row["turns"], row["nails"] + 4 * row["bolts"], row["clenched"],
            row["ratio"], row["id"])  # fmt: skip
