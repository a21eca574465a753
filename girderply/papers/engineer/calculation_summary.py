"""All checks at a glance: the failed ones in words, then one line for each, the hardest first."""

from __future__ import annotations

from girderply.papers.engineer.calculation_words import (
    document_of,
    hardest_first,
    short_clause,
    short_mode,
    used_words,
)
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block
from girderply.papers.page.sheet_words import check_value, check_words, finding_words
from girderply.schedule.types import Schedule, Strengthening
from girderply.strength.records import Check
from girderply.units.show import Show
from girderply.wording import phrase
from girderply.wording.words import kind_words

MOST_IN_WORDS = 12


def failed_blocks(schedule: Schedule) -> list[Block]:
    """Failed checks in words; the table below has every one of them in any case."""
    failed = [c for c in hardest_first(schedule.checks) if not c.ok]
    if not failed:
        return []
    show = Show(schedule.job.info.units)
    lines = [
        phrase("sheet.before", what=c.id) + check_words(c, show) for c in failed[:MOST_IN_WORDS]
    ]
    if len(failed) > MOST_IN_WORDS:
        lines.append(phrase("calculation.and_more", count=len(failed) - MOST_IN_WORDS))
    return [b.callout(phrase("calculation.failed_checks", n=len(failed)), lines, heavy=True)]


def summary_blocks(schedule: Schedule) -> list[Block]:
    """One line per check."""
    checks, show = hardest_first(schedule.checks), Show(schedule.job.info.units)
    document = document_of(schedule.checks)
    notes = _notes(checks)
    rows = [_row(c, show, document, notes) for c in checks]
    clause = phrase("calculation.head_clause_of", document=document)
    heads = (*_heads("check", "must_pass", "carried", "used"), clause, *_heads("mode"))
    align = ("left", "right", "right", "right", "left", "left")
    return [
        b.heading(phrase("calculation.summary", n=len(checks))),
        b.table(heads, rows, ("1fr", *["auto"] * 5), align),
    ]


def mode_blocks(schedule: Schedule) -> list[Block]:
    """What the modes are in full, where the summary has no room for it."""
    notes = _notes(hardest_first(schedule.checks))
    if not notes:
        return []
    return [
        b.heading(phrase("calculation.modes")),
        b.words(*(f"[{i}] {mode}." for mode, i in notes.items())),
    ]


def _notes(checks: list[Check]) -> dict[str, int]:
    """Mode -> its number in the summary, of modes that need more words than their short name."""
    return {mode: i for i, mode in enumerate(_told(checks), 1)}


def _told(checks: list[Check]) -> list[str]:
    """Modes that need more words than their short name, in order of appearance."""
    modes = dict.fromkeys(c.mode for c in checks)
    return [mode for mode in modes if mode != short_mode(mode)]


def _row(check: Check, show: Show, document: str, notes: dict[str, int]) -> list[b.Cell]:
    asked, carried = (check_value(v, check.unit, show) for v in (check.demand, check.resistance))
    used = used_words(check)
    share = used if check.ok else b.strong(phrase("calculation.failed", used=used))
    note = f" [{notes[check.mode]}]" if check.mode in notes else ""
    mode = f"{short_mode(check.mode)}{note}" if len(short_mode(check.mode)) < 8 else note.strip()
    return [
        b.strong(check.id), asked, carried, share,
        short_clause(check.clause, document) or "\u2013", mode or "\u2013",
    ]  # fmt: skip


def strengthened_blocks(schedule: Schedule) -> list[Block]:
    """Where there are more fasteners than the pattern, and why."""
    if not schedule.strengthened:
        return []
    show = Show(schedule.job.info.units)
    heads = _heads("zone", "chord", "stations", "what", "stage", "interfaces", "must_pass")
    align = ("left", "left", "left", "left", "right", "left", "right")
    return [
        b.heading(phrase("calculation.strengthened")),
        b.table(
            heads, [_zone(s, show) for s in schedule.strengthened],
            ("auto", "auto", "auto", "1fr", "auto", "auto", "auto"), align,
        ),
        b.words(phrase("calculation.strengthened_why")),
    ]  # fmt: skip


def _zone(s: Strengthening, show: Show) -> list[b.Cell]:
    stations = phrase("sheet.range", first=show.station(s.start), last=show.station(s.end))
    what = _more(s, show)
    across = ", ".join(map(str, s.interfaces))
    return [b.strong(s.load), s.member, stations, what, f"{s.stage}", across, show.force(s.demand)]


def _more(s: Strengthening, show: Show) -> str:
    if s.count:
        kinds = kind_words(s.kind, 2)
        what = phrase("calculation.counted", count=s.count, kind=kinds)
    else:
        what = phrase(
            "calculation.at_centres", kind=kind_words(s.kind, 2), centres=show.length(s.centres)
        )
    if s.usual and s.centres:
        return phrase("calculation.elsewhere", what=what, usual=show.length(s.usual))
    return what


def _heads(*names: str) -> tuple[str, ...]:
    return tuple(phrase(f"calculation.head_{name}") for name in names)


def net_section_blocks(schedule: Schedule) -> list[Block]:
    """What bolt holes leave of the members, for the truss designer."""
    notes = [f for f in schedule.findings if f.code == "net-section"]
    if not notes:
        return []
    return [b.heading(phrase("calculation.for_designer")), b.words(*map(finding_words, notes))]
