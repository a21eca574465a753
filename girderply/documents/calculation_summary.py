"""All checks at a glance: the failed ones in words, then one line for each, the hardest first."""

from __future__ import annotations

from girderply.documents import blocks as b
from girderply.documents.blocks import Block
from girderply.documents.calculation_words import (
    document_of,
    hardest_first,
    short_clause,
    short_mode,
    used_words,
)
from girderply.documents.wording import check_value, check_words, finding_words
from girderply.schedule.types import Schedule, Strengthening
from girderply.strength.records import Check
from girderply.units.show import Show

MOST_IN_WORDS = 12


def failed_blocks(schedule: Schedule) -> list[Block]:
    """Failed checks in words; the table below has every one of them in any case."""
    failed = [c for c in hardest_first(schedule.checks) if not c.ok]
    if not failed:
        return []
    show = Show(schedule.job.info.units)
    lines = [f"{c.id}: {check_words(c, show)}" for c in failed[:MOST_IN_WORDS]]
    if len(failed) > MOST_IN_WORDS:
        lines.append(f"And {len(failed) - MOST_IN_WORDS} more: first in the summary below.")
    noun = "check" if len(failed) == 1 else "checks"
    return [b.callout(f"{len(failed)} {noun} failed", lines, heavy=True)]


def summary_blocks(schedule: Schedule) -> list[Block]:
    """One line per check."""
    checks, show = hardest_first(schedule.checks), Show(schedule.job.info.units)
    document = document_of(schedule.checks)
    notes = _notes(checks)
    rows = [_row(c, show, document, notes) for c in checks]
    heads = ("Check", "Must pass", "Carried", "Used", f"Clause of {document}", "Mode")
    align = ("left", "right", "right", "right", "left", "left")
    return [
        b.heading(f"Summary: {len(checks)} checks, the hardest first"),
        b.table(heads, rows, ("1fr", *["auto"] * 5), align),
    ]


def mode_blocks(schedule: Schedule) -> list[Block]:
    """What the modes are in full, where the summary has no room for it."""
    notes = _notes(hardest_first(schedule.checks))
    if not notes:
        return []
    return [b.heading("Modes"), b.words(*(f"[{i}] {mode}." for mode, i in notes.items()))]


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
    note = f" [{notes[check.mode]}]" if check.mode in notes else ""
    mode = f"{short_mode(check.mode)}{note}" if len(short_mode(check.mode)) < 8 else note.strip()
    return [
        b.strong(check.id), asked, carried, used if check.ok else b.strong(f"FAILED {used}"),
        short_clause(check.clause, document) or "\u2013", mode or "\u2013",
    ]  # fmt: skip


def strengthened_blocks(schedule: Schedule) -> list[Block]:
    """Where there are more fasteners than the pattern, and why."""
    if not schedule.strengthened:
        return []
    show = Show(schedule.job.info.units)
    heads = ("Zone", "Chord", "Stations", "What", "Stage", "Interfaces", "Must pass")
    align = ("left", "left", "left", "left", "right", "left", "right")
    return [
        b.heading("Strengthened zones"),
        b.table(
            heads, [_zone(s, show) for s in schedule.strengthened],
            ("auto", "auto", "auto", "1fr", "auto", "auto", "auto"), align,
        ),
        b.words(
            "There the pattern of the rule set alone does not carry what must pass across the "
            "interfaces named; so the fasteners stand closer, or there are bolts besides."
        ),
    ]  # fmt: skip


def _zone(s: Strengthening, show: Show) -> list[b.Cell]:
    what = f"{s.count} {s.kind}s" if s.count else f"{s.kind}s at {show.length(s.centres)}"
    if s.usual and s.centres:
        what += f", elsewhere {show.length(s.usual)}"
    stations = f"{show.station(s.start)} to {show.station(s.end)}"
    across = ", ".join(map(str, s.interfaces))
    return [b.strong(s.load), s.member, stations, what, f"{s.stage}", across, show.force(s.demand)]


def net_section_blocks(schedule: Schedule) -> list[Block]:
    """What bolt holes leave of the members, for the truss designer."""
    notes = [f for f in schedule.findings if f.code == "net-section"]
    if not notes:
        return []
    return [b.heading("For the truss designer"), b.words(*map(finding_words, notes))]
