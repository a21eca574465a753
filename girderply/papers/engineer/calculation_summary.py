"""All checks at a glance: the failed ones in words, then one line for each, the hardest first."""

from __future__ import annotations

from functools import partial

from girderply.papers.engineer.calculation_words import (
    document_of,
    hardest_first,
    kind,
    kind_rank,
    short_clause,
    used_words,
)
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.cited_words import clause_words
from girderply.papers.page.sheet_words import check_value, check_words, finding_words
from girderply.schedule.types import Schedule, Strengthening
from girderply.strength.check_record import Check
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words

MOST_IN_WORDS = 4
LONG = 16  # letters of an id that fit its column of the summary


def failed_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """Failed checks in words; the table below has every one of them in any case."""
    failed = [c for c in hardest_first(schedule.checks) if not c.ok]
    if not failed:
        return []
    show = Printed(schedule.job.info.units, voice)
    lines = [
        voice.phrase("sheet.before", what=c.id) + check_words(voice, c, show)
        for c in failed[:MOST_IN_WORDS]
    ]
    if len(failed) > MOST_IN_WORDS:
        lines.append(voice.phrase("calculation.and_more", count=len(failed) - MOST_IN_WORDS))
    return [b.callout(voice.phrase("calculation.failed_checks", n=len(failed)), lines, heavy=True)]


def summary_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """Every check by its group: how many there are, and the hardest of them."""
    show = Printed(schedule.job.info.units, voice)
    document = document_of(schedule.checks)
    groups: dict[tuple[object, ...], list[Check]] = {}
    for check in hardest_first(schedule.checks):
        groups.setdefault((kind_rank(check), short_clause(check.clause, document)), []).append(
            check
        )
    rows = [_row(voice, groups[key], show, document) for key in sorted(groups, key=str)]
    names = ("set", "checks", "hardest", "to_transfer", "resistance", "used", "clause")
    heads = _heads(voice, *names)
    align = ("left", "right", "left", "right", "right", "right", "left")
    return [
        b.heading(voice.phrase("calculation.summary", n=len(schedule.checks))),
        b.table(
            heads, rows, ("1.5fr", "0.8fr", "1.4fr", "1.1fr", "1.3fr", "1.2fr", "1.6fr"), align
        ),
        b.words(voice.phrase("calculation.summary_how")),
    ]


def _row(voice: Voice, group: list[Check], show: Printed, document: str) -> list[b.Cell]:
    """A group by its hardest check, and how many of it failed."""
    hardest = group[0]
    asked, carried = (
        check_value(voice, v, hardest.unit, show) for v in (hardest.demand, hardest.resistance)
    )
    used = used_words(voice, hardest)
    failed = sum(not c.ok for c in group)
    share: b.Cell = used if not failed else b.strong(voice.phrase("calculation.failed", used=used))
    count = f"{len(group)}"
    if failed:
        count = voice.phrase("calculation.failed_of", failed=failed, count=len(group))
    return [
        kind(voice, hardest), count, b.strong(_breakable(hardest.id)), asked, carried, share,
        clause_words(voice, short_clause(hardest.clause, document)) or "\u2013",
    ]  # fmt: skip


def _breakable(name: str) -> str:
    """An id that may break behind its signs where it is too long for its column."""
    return name if len(name) <= LONG else name.replace("+", "+\u200b").replace(".", ".\u200b")


def strengthened_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """Where there are more fasteners than the pattern, and why."""
    if not schedule.strengthened:
        return []
    show = Printed(schedule.job.info.units, voice)
    heads = _heads(voice, "zone", "chord", "stations", "what", "stage", "interfaces", "must_pass")
    align = ("left", "left", "left", "left", "right", "left", "right")
    return [
        b.heading(voice.phrase("calculation.strengthened")),
        b.table(
            heads, [_zone(voice, s, show) for s in schedule.strengthened],
            ("1.6fr", "auto", "auto", "1.4fr", "auto", "auto", "1fr"), align,
        ),
        b.words(voice.phrase("calculation.strengthened_why")),
    ]  # fmt: skip


def _zone(voice: Voice, s: Strengthening, show: Printed) -> list[b.Cell]:
    stations = voice.phrase("sheet.range", first=show.station(s.start), last=show.station(s.end))
    what = _more(voice, s, show)
    across = ", ".join(map(str, s.interfaces))
    return [
        b.strong(voice.told(s.load)),
        s.member,
        stations,
        what,
        f"{s.stage}",
        across,
        show.force(s.demand),
    ]


def _more(voice: Voice, s: Strengthening, show: Printed) -> str:
    if s.count:
        kinds = kind_words(s.kind, 2)
        what = voice.phrase("calculation.counted", count=s.count, kind=kinds)
    else:
        what = voice.phrase(
            "calculation.at_centres", kind=kind_words(s.kind, 2), centres=show.length(s.centres)
        )
    if s.usual and s.centres:
        return voice.phrase("calculation.elsewhere", what=what, usual=show.length(s.usual))
    return what


def _heads(voice: Voice, *names: str) -> tuple[str, ...]:
    return tuple(voice.phrase(f"calculation.head_{name}") for name in names)


def net_section_blocks(voice: Voice, schedule: Schedule) -> list[Block]:
    """What bolt holes leave of the members, for the truss designer."""
    notes = [f for f in schedule.findings if f.code == "net-section"]
    if not notes:
        return []
    return [
        b.heading(voice.phrase("calculation.for_designer")),
        b.words(*map(partial(finding_words, voice), notes)),
    ]
