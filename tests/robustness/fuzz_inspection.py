"""Random faults on the samples; a second engine says whether what was judged good is.

From the top of a checkout: PYTHONPATH=tests/support python tests/robustness/fuzz_inspection.py 200
"""

from __future__ import annotations

import random
import sys
from dataclasses import replace

import numpy as np
from inspection_records import record, sample

from girderply.inspection.history import with_make_good
from girderply.inspection.judge import inspect
from girderply.schedule.contract import to_contract
from girderply.verify import verify

JOBS = ("two-ply-howe", "two-ply-imperial", "three-ply-pratt", "truncated-nodes", "two-ply-screwed")
FAULTS = ("missing", "missing", "overdriven", "wrong-size", "misplaced", "split")
MEASURED = ("limits", "transfer", "lengths")


def faults(dice: random.Random, schedule) -> dict[str, tuple[str, float | None, str]]:
    """A stretch of one member and a few anywhere; what counts is typed again below."""
    names = schedule.fasteners.id.tolist()
    start = dice.randrange(len(names))
    lost = names[start : start + dice.randint(1, 12)] + dice.sample(names, dice.randint(0, 4))
    states = {}
    for name in lost:
        state = dice.choice(FAULTS)
        states[name] = (state, dice.choice([4.0, 15.0, 40.0]) if state == "misplaced" else None, "")
    return states


def stands(schedule, states) -> np.ndarray:
    """(n,) what counts: good, or off by no more than the tolerance."""
    most = schedule.rules.tolerance

    def good(name: str) -> bool:
        state, by, _ = states.get(name, ("good", None, ""))
        return state == "good" or (state == "misplaced" and by <= most)

    return np.array([good(name) for name in schedule.fasteners.id.tolist()])


def wrong(seed: int) -> tuple[str, list[str]]:
    """The verdict of one case, and what the second engine says against it."""
    dice = random.Random(seed)
    schedule = sample(dice.choice(JOBS))
    states = faults(dice, schedule)
    found = inspect(schedule, record(schedule, states))
    if found.verdict not in ("accepted", "add"):
        return found.verdict, [] if found.reasons else ["no reason is given"]
    whole = with_make_good(schedule, found)
    old = np.concatenate([stands(schedule, states), np.ones(len(found.make_good), bool)])
    made = replace(whole, fasteners=whole.fasteners.select(old), content_hash="")
    said = [d for d in verify(to_contract(made)).disagreements if d.what in MEASURED]
    # a make-good nail is driven from an outer face of the whole stack: no stage of the assembly
    return found.verdict, [f"seed {seed}: {d.text}" for d in said if "be driven" not in d.text]


def main(count: int) -> int:
    verdicts: dict[str, int] = {}
    failed = 0
    for seed in range(count):
        verdict, said = wrong(seed)
        verdicts[verdict] = verdicts.get(verdict, 0) + 1
        failed += bool(said)
        for line in said:
            print(line)
    print(f"{count} cases, {failed} against: {verdicts}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 200))
