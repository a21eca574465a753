"""The governing checks in full: every input and every step, to be followed by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator

from girderply.documents import blocks as b
from girderply.documents.blocks import Block
from girderply.documents.calculation_words import (
    hardest_first,
    input_value,
    kind,
    series,
    symbol,
    used_words,
)
from girderply.documents.wording import check_value
from girderply.schedule.types import Schedule
from girderply.strength.records import Check
from girderply.units.show import Show

MOST_FAILED = 6
MOST = 12  # others than failed ones
FELT = 0.05  # %: what is printed as 0.1 or more
_DIFFERENCE = re.compile(r"the whole fastener has ([0-9.]+) % (more|less) than the single-shear")


def governing(schedule: Schedule) -> list[tuple[Check, str]]:
    """Checks to be worked in full, each with why it was chosen.

    Failed ones (the hardest six), then the hardest of every interface and of splitting, then the
    hardest of every series of loads.
    """
    chosen: dict[str, tuple[Check, list[str]]] = {}
    ordered = hardest_first(schedule.checks)
    for check in [c for c in ordered if not c.ok][:MOST_FAILED]:
        chosen[check.id] = (check, ["failed"])
    seen: set[str] = set()
    for check, why in [*_firsts(ordered, seen, "kind"), *_firsts(ordered, seen, "series")]:
        if check.id in chosen:
            chosen[check.id][1].append(why)
        elif sum(c.ok for c, _ in chosen.values()) < MOST:
            chosen[check.id] = (check, [why])
    return [(check, ", ".join(why)) for check, why in chosen.values()]


def _firsts(ordered: list[Check], seen: set[str], by: str) -> Iterator[tuple[Check, str]]:
    """The hardest check of each kind (interface, splitting), or of each series of loads."""
    first: dict[str, tuple[Check, str]] = {}
    for check in ordered:
        key = kind(check) if by == "kind" else f"loads {series(check)}"
        if key not in seen:
            seen.add(key)
            first[key] = (check, f"hardest of {key}")
    yield from (first[key] for key in sorted(first))


def worked_blocks(schedule: Schedule) -> list[Block]:
    """The chosen checks as worked calculations, and where the others are."""
    chosen, show = governing(schedule), Show(schedule.job.info.units)
    rest = len(schedule.checks) - len(chosen)
    words = "The hardest check of each interface, of splitting, and of each series of loads."
    if any(not c.ok for c, _ in chosen):
        words = f"Failed checks first. {words}"
    if rest:
        words += f" The other {rest} are worked in the same way by: girderply explain JOB CHECK"
    blocks = [b.heading("Governing checks in full"), b.words(words)]
    for check, why in chosen:
        blocks += _worked(check, why, show)
    return blocks


def _worked(check: Check, why: str, show: Show) -> Iterator[Block]:
    asked, carried = (check_value(v, check.unit, show) for v in (check.demand, check.resistance))
    sign, verdict = ("\u2264", "good") if check.ok else (">", "FAILED")
    result = f"{asked} {sign} {carried}: {used_words(check)}, {verdict}"
    mode = f" Mode {check.mode}." if check.mode else ""
    yield b.keep(
        b.heading(f"{check.id}: {result}"),
        b.words(f"{check.subject}. Chosen as: {why}.", f"{check.clause}.{mode}"),
        _inputs(check, show),
    )
    rows: list[list[b.Cell]] = [[f"{i}", step] for i, step in enumerate(check.steps, 1)]
    rows.append(["", b.strong(result)])
    yield b.table(("", f"Steps of {check.id}"), rows, ("auto", "1fr"), ("right", "left"))


def _inputs(check: Check, show: Show) -> Block:
    """Inputs in three columns, down each of them."""
    pairs = [(symbol(name), input_value(v, unit, show)) for name, (v, unit) in check.inputs.items()]
    deep = -(-len(pairs) // 3)
    cells = [[b.facts(pairs[i * deep : (i + 1) * deep])] for i in range(3)]
    return b.columns(("1fr",) * 3, *cells)


def stack_blocks(schedule: Schedule) -> list[Block]:
    """By how much the limit analysis of the stack differs from the table's single shear."""
    differ = [(percent, c) for c in schedule.checks for percent in stack_differences(c)]
    if not differ:
        return _alone_words(schedule)
    words = (
        "A fastener through several interfaces is assessed by its own limit analysis, loaded as "
        "the girder loads it; no more than the standard's single-shear value is taken at any "
        "interface. "
    )
    (low, least), (high, most) = (f(differ, key=lambda e: e[0]) for f in (min, max))
    words += _least_words(low, least.id)
    if high >= FELT:
        words += f" It gives up to {high:.1f} % more, which is not counted (in {most.id})."
    return [b.heading("Stack and table"), b.words(words)]


def _alone_words(schedule: Schedule) -> list[Block]:
    """Nothing to say without a fastener; else that each one counts at a single interface."""
    if not any(step.startswith("one interface:") for c in schedule.checks for step in c.steps):
        return []
    words = (
        "Every fastener that counts does so at one interface alone, where the limit analysis of "
        "the stack is the standard's single-shear value itself."
    )
    return [b.heading("Stack and table"), b.words(words)]


def _least_words(percent: float, check: str) -> str:
    if percent > -FELT:
        return "Nowhere does it give a whole fastener less than that value."
    return (
        f"For a whole fastener it gives up to {-percent:.1f} % less than that value would; the "
        f"less is taken (most in {check}; the steps of a check say it for that check)."
    )


def stack_differences(check: Check) -> list[float]:
    """What the steps of a check say of each kind of fastener in the stack, % over single shear."""
    found = (_DIFFERENCE.search(step) for step in check.steps)
    return [(1 if m[2] == "more" else -1) * float(m[1]) for m in found if m]
