"""The report on a lot: plain data, and lines for a terminal."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Any, Final

from girderply.inspection.lot_history import EarlierLot, switched
from girderply.inspection.lot_verdict import Lot, Piece
from girderply.inspection.sampling import ISOLATED, SOURCE, SamplePlan
from girderply.schedule.types import Schedule
from girderply.wording import english

CAUTION: Final = (
    "Only where the contract agrees on sampling. Every girder found wanting is made good or goes "
    "to the engineer, whatever becomes of the lot."
)


def lot_data(schedule: Schedule, lot: Lot, seed: str = "") -> dict[str, Any]:
    """The lot as plain data."""
    plan = lot.plan
    return {
        "schema": "girderply.lot/1",
        "job": schedule.job.info.number,
        "mark": schedule.girder.mark,
        "revision": schedule.job.info.revision,
        "content_hash": schedule.content_hash,
        "lot_size": plan.lot_size,
        "aql": plan.aql,
        "level": plan.level,
        "mode": plan.mode,
        "code_letter": plan.code_letter,
        "plan_letter": plan.plan_letter,
        "seed": seed or None,
        "sample_size": plan.size,
        "sample": list(lot.sample),
        "accept": plan.accept,
        "reject": plan.reject,
        "pieces": [
            {
                "piece": n,
                "sampled": n in lot.sample,
                "found": p.found,
                "now": p.now.verdict,
                "to_add": len(p.now.make_good) if p.now.verdict == "add" else 0,
                "to_tighten": list(p.now.tighten),
                "reasons": list(map(english, p.now.reasons)),
                "files": [f.name for f in p.records],
                "record": p.now.record_hash,
            }
            for n, p in lot.pieces.items()
        ],
        "nonconforming": list(lot.result.nonconforming),
        "open": list(lot.result.open_pieces),
        "verdict": lot.result.verdict,
        "reason": lot.result.reason,
        "settled": lot.settled,
        "caution": CAUTION,
    }


def lot_lines(
    schedule: Schedule,
    lot: Lot,
    job: Path,
    *,
    judged: bool,
    seed: str = "",
    before: list[EarlierLot] | None = None,
) -> list[str]:
    """The lot as a person reads it: the sample, each girder with what to do, the verdict."""
    plan, mark = lot.plan, schedule.girder.mark
    whole = " (the whole lot)" if plan.whole_lot else ""
    out = [
        f"Lot of {plan.lot_size} girders {mark}, AQL {plan.aql:g}, level {plan.level}, {plan.mode} "
        f"inspection: letter {plan.code_letter}, plan {plan.plan_letter} ({SOURCE})",
        f"{ISOLATED}. {_risks(plan)}.",
        _series_words(before),
        f"Inspect {plan.size}{whole}: {_drawn(lot, seed)}",
        f"Accepted with up to {plan.accept} found wanting, rejected from {plan.reject} on",
    ]
    for number, piece in lot.pieces.items():
        aside = "" if number in lot.sample or not lot.sample else " (not in the sample)"
        out.append(f"no. {number}{aside}: {_piece_words(piece, job)}")
    if judged:
        missing = [str(n) for n in lot.sample if n not in lot.pieces]
        if missing:
            out.append(f"No record yet of no. {', '.join(missing)}")
        out.append(f"{lot.result.verdict.upper()}: {lot.result.reason}")
    return out


def _series_words(before: list[EarlierLot] | None) -> str:
    if before is None:
        return (
            "Lots before it: not given (--delivery), so that nobody can say whether "
            "inspection is to be tightened (2 of 5)"
        )
    due = switched(before)
    if not before:
        return "Lots before it: none in the register; inspection begins as normal"
    return (
        f"Lots before it: {due.lots}, of the last five {due.rejected} not accepted: "
        f"{due.mode} inspection (2 of 5, ISO 2859-1:1999, 9.3, from memory)"
    )


def _drawn(lot: Lot, seed: str) -> str:
    if not lot.sample:
        return "drawn with --seed once the girders stand"
    numbers = ", ".join(map(str, lot.sample))
    return f"girders no. {numbers}" + (f", drawn from the seed {seed!r}" if seed else "")


def _risks(plan: SamplePlan) -> str:
    """What this plan lets through, worked out for this lot."""
    share = [max(1, round(plan.lot_size * part)) for part in (0.1, 0.25)]
    told = [f"{100 * plan.risk(bad):.0f} % with {bad} bad" for bad in dict.fromkeys(share)]
    return f"This plan accepts a lot of {plan.lot_size} with a chance of {' and '.join(told)}"


_NOW = {
    "add": "to be made good",
    "engineer": "the engineer decides",
    "partial": "not looked at to the end",
}


def _piece_words(piece: Piece, job: Path) -> str:
    """How a girder stands, and the command that says what to do with it."""
    now = piece.now.verdict
    if now == "accepted":
        since = piece.found != "accepted"
        return "good now, found wanting and counted as such" if since else "good"
    todo = ""
    if now == "add":
        parts = [f"{len(piece.now.make_good)} to add"] if len(piece.now.make_good) else []
        parts += [f"tighten {', '.join(piece.now.tighten)}"] if piece.now.tighten else []
        todo = f" ({', '.join(parts)})"
    before = [word for path in piece.records[:-1] for word in ("--before", str(path))]
    command = shlex.join(["girderply", "inspect", str(job), str(piece.records[-1]), *before])
    return f"{_NOW[now]}{todo}: {english(piece.now.reasons[0])} See {command}"
