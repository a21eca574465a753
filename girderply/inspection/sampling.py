"""A lot of equal girders judged by a sample: single sampling plans of ISO 2859-1.

Optional, and only where the contract agrees on it: each girder that was looked at is still judged
by itself, and one that is not accepted is made good or goes to the engineer, whatever the lot is.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from girderply.errors import RangeError
from girderply.inspection.result import Verdict
from girderply.standards.tables import load

Mode = Literal["normal", "tightened"]
Level = Literal["I", "II", "III"]
LotVerdict = Literal["accepted", "rejected", "open", "closed"]
ISOLATED: Final = (
    "ISO 2859-1 is made for a series of lots. One lot by itself is for ISO 2859-2 (limiting "
    "quality), whose plans could not be read and are not in here"
)
SOURCE: Final = "ISO 2859-1:1999, Tables 1, 2-A and 2-B"
_PACKAGE: Final = "girderply.inspection"


@dataclass(frozen=True, slots=True)
class SamplePlan:
    """How many girders of a lot to look at, and how many may be found wanting.

    Attributes:
        aql: acceptance quality limit, nonconforming girders in 100.
        code_letter: of the lot's size; plan_letter: of the plan used, which may be another one.
        size: girders to look at, never more than the lot.
        accept: the lot is accepted with up to so many nonconforming girders.
        reject: and rejected from so many on.
    """

    lot_size: int
    aql: float
    mode: Mode
    level: Level
    code_letter: str
    plan_letter: str
    size: int
    accept: int
    reject: int

    @property
    def whole_lot(self) -> bool:
        """True where the sample is the whole lot."""
        return self.size >= self.lot_size

    def pieces(self, seed: str) -> tuple[int, ...]:
        """Which pieces to look at, rising.

        Drawn by the sha256 of a seed and the piece's number. The seed is made when the girders
        stand (a coin, a date and a count of sheets) and written down: before, nobody can know which
        ones will be looked at, and afterwards everybody can check the draw.
        """
        drawn = sorted(
            range(1, self.lot_size + 1),
            key=lambda n: hashlib.sha256(f"{seed}/{self.lot_size}/{n}".encode()).digest(),
        )
        return tuple(sorted(drawn[: self.size]))

    def risk(self, bad: int) -> float:
        """The chance that a lot with so many bad girders is accepted: hypergeometric, 0 to 1."""
        good, whole = self.lot_size - bad, math.comb(self.lot_size, self.size)
        return (
            sum(
                math.comb(bad, k) * math.comb(good, self.size - k)
                for k in range(min(self.accept, bad, self.size) + 1)
            )
            / whole
        )


@dataclass(frozen=True, slots=True)
class LotResult:
    """What becomes of a lot, and why."""

    verdict: LotVerdict
    reason: str
    nonconforming: tuple[int, ...]
    open_pieces: tuple[int, ...]


def sample_plan(
    lot_size: int, aql: float, *, mode: Mode = "normal", level: Level = "II"
) -> SamplePlan:
    """The single sampling plan of a lot.

    [ISO 2859-1:1999, Tables 1, 2-A, 2-B; figures from memory or second-hand, to be checked]

    Args:
        lot_size: equal girders in the lot, 2 to 1200.
        aql: acceptance quality limit in percent, one that the table has.
        mode: normal or tightened inspection.
        level: general inspection level.

    Raises:
        RangeError: a lot, an AQL, a mode or a level that the tables do not have.
    """
    letter = _code_letter(lot_size, level)
    if not math.isfinite(aql):
        raise RangeError(f"aql must be a finite number, not {aql}")
    rows = [r for r in load(_PACKAGE, "data/single_plans").rows if r["inspection"] == mode]
    known = sorted({float(r["AQL_%"]) for r in rows})
    if not any(math.isclose(aql, a) for a in known):
        listed = ", ".join(f"{a:g}" for a in known)
        raise RangeError(f"aql {aql:g} with {mode} inspection is not in the table: {listed}")
    fitting = [
        r for r in rows if math.isclose(float(r["AQL_%"]), aql) and r["code_letter"] == letter
    ]
    if not fitting:
        raise RangeError(f"the table has no plan for letter {letter}, {mode}, aql {aql:g}")
    row = fitting[0]
    return SamplePlan(
        lot_size=lot_size,
        aql=aql,
        mode=mode,
        level=level,
        code_letter=letter,
        plan_letter=row["plan_used"],
        size=min(lot_size, int(row["n"])),
        accept=int(row["Ac"]),
        reject=int(row["Re"]),
    )


def _code_letter(lot_size: int, level: str) -> str:
    """Table 1."""
    for row in load(_PACKAGE, "data/code_letters").rows:
        if int(row["lot_from"]) <= lot_size <= int(row["lot_to"]):
            if level not in ("I", "II", "III"):
                break
            letter = row[level]
            known = {r["code_letter"] for r in load(_PACKAGE, "data/single_plans").rows}
            if letter not in known:
                text = f"a lot of {lot_size} at level {level} has letter {letter}"
                raise RangeError(f"{text}; the table has plans up to letter {max(known)}")
            return letter
    raise RangeError(
        f"no code letter for a lot of {lot_size} at level {level} (2 to 1200, I to III)"
    )


def judge_lot(
    plan: SamplePlan, pieces: tuple[int, ...], verdicts: Mapping[int, Verdict]
) -> LotResult:
    """Accept or reject a lot by its sample.

    Args:
        plan: of the lot.
        pieces: the sample, as drawn by the plan.
        verdicts: by piece; one that was looked at in part, or not at all, leaves the lot open.
            What is known to be bad outside the sample counts: nobody accepts over it.

    Returns:
        The lot's verdict. It is rejected as soon as enough are nonconforming, and accepted only
        when the whole sample was judged.

    Raises:
        RangeError: the sample has another size than the plan, a piece twice or one not in the lot.
    """
    unique = sorted(set(pieces))
    if len(unique) != plan.size or len(pieces) != plan.size or not _in_lot(unique, plan):
        raise RangeError(f"the sample must be {plan.size} different pieces of 1 to {plan.lot_size}")
    bad = tuple(sorted(p for p, v in verdicts.items() if v in ("add", "engineer")))
    waiting = tuple(p for p in unique if verdicts.get(p, "partial") == "partial")
    outside = len(set(bad) - set(unique))
    told = f"{len(bad)} nonconforming, {plan.accept} of {plan.size} allowed ({SOURCE})"
    told += f"; {outside} of them outside the sample, known all the same" if outside else ""
    if len(bad) >= plan.reject:
        return LotResult("rejected", f"{told}: look at every girder of the lot", bad, waiting)
    if waiting:
        return LotResult("open", f"{len(waiting)} of the sample are not judged yet", bad, waiting)
    return LotResult(
        "accepted", f"{told}{'; make those good as well' if bad else ''}", bad, waiting
    )


def _in_lot(pieces: list[int], plan: SamplePlan) -> bool:
    return all(1 <= p <= plan.lot_size for p in pieces)
