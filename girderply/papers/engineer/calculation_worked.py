"""The governing checks in full: every input and every step, to be followed by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from girderply.papers.engineer.calculation_words import (
    hardest_first,
    input_value,
    kind,
    kind_rank,
    series,
    symbol,
    used_words,
)
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.cited_words import clause_words
from girderply.papers.page.sheet_words import check_value
from girderply.schedule.types import Schedule
from girderply.strength.check_record import Check
from girderply.units.show import Printed
from girderply.wording import Voice, numeral

MOST_FAILED = 2
MOST = 3  # others than failed ones
FELT = 0.05  # %: what is printed as 0.1 or more


def governing(voice: Voice, schedule: Schedule) -> list[tuple[Check, str]]:
    """Checks to be worked in full, each with why it was chosen.

    Failed ones (the hardest six), then the hardest of every interface and of splitting, then the
    hardest of every series of loads.
    """
    chosen: dict[str, tuple[Check, list[str]]] = {}
    ordered = hardest_first(schedule.checks)
    of_load = {x.id: x.series for x in schedule.girder.loads}
    of_check = {c.id: series(c, of_load) for c in ordered}
    for check in [c for c in ordered if not c.ok][:MOST_FAILED]:
        chosen[check.id] = (check, [voice.phrase("calculation.why_failed")])
    by_kind = _firsts(ordered, kind_rank)
    by_series = _firsts(ordered, lambda c: of_check[c.id])
    chosen_by = [
        *((c, voice.phrase("calculation.why_hardest", of=kind(voice, c))) for c in by_kind),
        *(
            (c, voice.phrase("calculation.why_hardest_loads", loads=of_check[c.id]))
            for c in by_series
        ),
    ]
    for check, why in chosen_by:
        if check.id in chosen:
            chosen[check.id][1].append(why)
        elif sum(c.ok for c, _ in chosen.values()) < MOST:
            chosen[check.id] = (check, [why])
    return [(check, ", ".join(why)) for check, why in chosen.values()]


def _firsts(ordered: list[Check], by: Callable[[Check], Any]) -> list[Check]:
    """The hardest check of each kind (interface, splitting), or of each series of loads."""
    first: dict[Any, Check] = {}
    for check in ordered:
        first.setdefault(by(check), check)
    return [first[key] for key in sorted(first)]


def worked_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """The chosen checks as worked calculations, and where the others are."""
    chosen, show = governing(voice, schedule), Printed(schedule.job.info.units, voice)
    rest = len(schedule.checks) - len(chosen)
    words = [voice.phrase("calculation.worked_which")]
    if any(not c.ok for c, _ in chosen):
        words.insert(0, voice.phrase("calculation.failed_first"))
    if rest:
        command = "girderply explain JOB CHECK"
        words.append(voice.phrase("calculation.worked_rest", count=rest, command=command))
    over = [b.heading(voice.phrase("calculation.worked")), b.words(" ".join(words))]
    blocks: list[Block] = []
    for check, why in chosen:
        blocks += _worked(voice, check, why, show, () if blocks else over)
    return blocks or over


def _worked(
    voice: Voice, check: Check, why: str, show: Printed, over: Sequence[Block]
) -> Iterator[Block]:
    """One check; what stands `over` the first of them stays with it."""
    asked, carried = (
        check_value(voice, v, check.unit, show) for v in (check.demand, check.resistance)
    )
    result = voice.phrase(
        "calculation.result_good" if check.ok else "calculation.result_failed",
        asked=asked,
        carried=carried,
        used=used_words(voice, check),
    )
    mode = voice.phrase("calculation.mode", mode=check.mode) if check.mode else ""
    yield b.keep(
        *over,
        b.heading(voice.phrase("sheet.before", what=check.id) + result),
        b.words(
            voice.phrase("calculation.chosen_as", subject=check.subject, why=why),
            f"{clause_words(voice, check.clause)}. {mode}".rstrip(),
        ),
        _inputs(voice, check, show),
    )
    yield b.formulas(map(voice.told, check.steps))
    yield b.words(voice.phrase("calculation.so", result=result))


def _inputs(voice: Voice, check: Check, show: Printed) -> Block:
    """Inputs in three columns, down each of them."""
    pairs = [
        (symbol(voice, name), input_value(voice, v, unit, show))
        for name, (v, unit) in check.inputs.items()
    ]
    deep = -(-len(pairs) // 3)
    cells = [[b.facts(pairs[i * deep : (i + 1) * deep])] for i in range(3)]
    return b.columns(("1fr",) * 3, *cells)


def stack_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """By how much the limit analysis of the stack differs from the table's single shear."""
    differ = [(percent, c) for c in schedule.checks for percent in stack_differences(c)]
    if not differ:
        return _alone_words(voice, schedule)
    (low, least), (high, most) = (f(differ, key=lambda e: e[0]) for f in (min, max))
    words = [voice.phrase("calculation.stack_how"), _least_words(voice, low, least.id)]
    if high >= FELT:
        percent = numeral(high, ".1f")
        words.append(voice.phrase("calculation.stack_more", percent=percent, check=most.id))
    return [b.heading(voice.phrase("calculation.stack")), b.words(" ".join(words))]


def _alone_words(voice: Voice, schedule: Schedule) -> list[Block]:
    """Nothing to say without a fastener; else that each one counts at a single interface."""
    if not any(c.stack for c in schedule.checks):
        return []
    words = voice.phrase("calculation.stack_alone")
    return [b.heading(voice.phrase("calculation.stack")), b.words(words)]


def _least_words(voice: Voice, percent: float, check: str) -> str:
    if percent > -FELT:
        return voice.phrase("calculation.stack_nowhere")
    return voice.phrase("calculation.stack_less", percent=numeral(-percent, ".1f"), check=check)


def stack_differences(check: Check) -> list[float]:
    """What a check says of each kind of fastener in the stack, % over single shear, as printed."""
    return [float(f"{100 * more:.1f}") for more in check.stack if more is not None]
