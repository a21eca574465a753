"""The sharing page: is the equal share that everyone assumes true of this girder?"""

from __future__ import annotations

from collections.abc import Iterator

from girderply.documents import blocks as b
from girderply.documents.blocks import Block, Sheet
from girderply.documents.furniture import room
from girderply.documents.sharing_bars import share_bars
from girderply.documents.sharing_diagram import chords_with_transfer, flow_chart
from girderply.documents.sharing_elevation import sharing_elevation
from girderply.documents.sharing_reports import SharingReports, sharing_reports
from girderply.documents.sharing_words import (
    NONE,
    SHARES,
    SLIP,
    assumed_words,
    shares_words,
    summary_rows,
)
from girderply.documents.transfer_diagram import loaded_chords
from girderply.documents.wording import finding_words
from girderply.drawing.page import Drawing
from girderply.schedule.types import Schedule
from girderply.strength.sharing import SharingReport
from girderply.strength.sharing.findings import MARGIN
from girderply.units.show import Show

_TITLE, _TABLE, _LEFT = 18.0, 72.0, 150.0  # mm: title, table of figures, width of the bars
_LEAST, _MOST = 70.0, 135.0  # mm, height of the elevation


def sharing(schedule: Schedule) -> Sheet:
    """Forces in the fasteners, shares of the plies, what happens as the load is raised."""
    sheet = Sheet("sharing", "Sharing between the plies", "A3", legend=False)
    reports = sharing_reports(schedule)
    combination = reports.tight.combination
    under = f"every fastener a spring; {combination.text}, {combination.duration}"
    sheet.blocks.append(b.title("Sharing between the plies", under))
    if reports.tight.sharing is None:
        sheet.blocks.append(b.callout("Not computed", _said(reports), heavy=True))
        return sheet
    free = room("A3")
    bars = share_bars(schedule, _answers(reports), _LEFT - 4.0)
    beside = max(bars.height + 15.0, _TABLE)  # with its heading, and the words under it
    most = min(max(free.height - _TITLE - beside, _LEAST), _MOST)
    sheet.blocks += [
        b.picture(sharing_elevation(schedule, reports.tight, free.width, most)),
        b.columns((f"{_LEFT:g}mm", "1fr"), _bars(bars, reports), [_table(schedule, reports)]),
        _findings(reports),
        *_chords(schedule, reports.tight),
        *_diagrams(schedule, reports.tight, free.width),
        b.heading("What is assumed"),
        b.words(assumed_words(Show(schedule.job.info.units))),
    ]
    return sheet


def _answers(reports: SharingReports) -> list[SharingReport]:
    """Bolts tight and, where they have a clearance, with it; those that came to an answer."""
    return [r for r in (reports.tight, reports.gap) if r is not None and r.sharing is not None]


def _bars(bars: Drawing, reports: SharingReports) -> list[Block]:
    blocks = [b.heading("Share of each ply at each bearing"), b.picture(bars)]
    if len(_answers(reports)) > 1:
        words = "Grey: bolts tight in their holes. White: bolts with the clearance of their holes."
        blocks.append(b.words(words))
    return blocks


def _table(schedule: Schedule, reports: SharingReports) -> Block:
    """What was found, bolts tight and with gap side by side."""
    answers = _answers(reports)
    columns = [dict(summary_rows(schedule, report)) for report in answers]
    labels = list(dict.fromkeys(label for column in columns for label in column))
    rows: list[list[b.Cell]] = [
        [b.strong(label), *(column.get(label, NONE) for column in columns)] for label in labels[1:]
    ]
    rows += _service_rows(schedule, reports, len(answers))
    found = ("Bolts tight", "Bolts with clearance") if len(answers) > 1 else ("Found",)
    heads = ("At the ultimate state", *found)
    width = ("auto", *["1fr"] * len(answers))
    return b.table(heads, rows, width, ("left",) * (1 + len(answers)))


def _service_rows(schedule: Schedule, reports: SharingReports, columns: int) -> list[list[b.Cell]]:
    """Slip and shares under the loads without factors."""
    found = dict(summary_rows(schedule, reports.service))
    wanted = (SHARES, SLIP)
    empty = [NONE] * (columns - 1)
    return [
        [b.strong(f"{label.partition(',')[0]}, loads without factors"), found[label], *empty]
        for label in wanted
        if label in found
    ]


def _said(reports: SharingReports) -> list[str]:
    """Findings in words; where bolts have clearance, those of either thought, equal ones once."""
    tight = [finding_words(f) for f in reports.tight.findings]
    if reports.gap is None:
        return tight
    gap = [finding_words(f) for f in reports.gap.findings]
    both = [line for line in tight if line in gap]
    return [
        *both,
        *(f"Bolts tight: {line}" for line in tight if line not in both),
        *(f"Bolts with clearance: {line}" for line in gap if line not in both),
    ]


def _findings(reports: SharingReports) -> Block:
    """What speaks against equal shares, or that nothing does; notes in any case."""
    lines = _said(reports)
    answers = _answers(reports)
    if any(f.severity == "warning" for r in answers for f in r.findings):
        return b.callout("Where the springs speak against equal shares", lines)
    borne = f"At no bearing does a ply carry over {MARGIN:.0%} more than its design share."
    if all(r.strength is not None for r in answers):
        borne += " No fastener is beyond its design resistance at the design load."
    return b.callout("Equal shares borne out", [borne.replace("%", "\u00a0%"), *lines])


def _chords(schedule: Schedule, report: SharingReport) -> Iterator[Block]:
    """Share of each ply in the axial force of each chord, where it is largest."""
    if report.sharing is None:
        return
    show = Show(schedule.job.info.units)
    rows: list[list[b.Cell]] = [
        [b.strong(c.member), show.station(c.axial_station), show.force(float(c.axial.sum())),
         shares_words(c.shares, show)]
        for c in report.sharing.chord_shares(schedule.girder)
    ]  # fmt: skip
    heads = ("Chord", "Station", "Axial force of all plies", "Share of each ply, front to back")
    align = ("left", "right", "right", "left")
    yield b.keep(
        b.heading("Axial force of the chords, tension positive"),
        b.table(heads, rows, ("auto", "auto", "auto", "1fr"), align),
    )


def _diagrams(schedule: Schedule, report: SharingReport, width: float) -> Iterator[Block]:
    """Loaded chords over the whole width, the others side by side."""
    chords = chords_with_transfer(schedule, report)
    if not chords:
        return
    loaded = loaded_chords(schedule)
    wide = [c for c in chords if c in loaded]
    rest = [c for c in chords if c not in loaded]
    half = (width - 4.0) / 2
    blocks = [_flow(schedule, report, c, width) for c in wide]
    for i in range(0, len(rest), 2):
        cells = [[_flow(schedule, report, c, half)] for c in rest[i : i + 2]]
        blocks.append(b.columns(("1fr", "1fr"), *cells))
    words = (
        "Downward force per length that passes from each ply to the next behind it (up: from the "
        "back to the front), bolts tight. The springs have every fastener in them; the design by "
        f"equal shares counts {schedule.job.fastening.transfer_by}s alone, those in the zone of "
        "each load, for what that load must pass there."
    )
    yield b.keep(b.heading("From ply to ply along the chords"), b.words(words), blocks[0])
    yield from blocks[1:]


def _flow(schedule: Schedule, report: SharingReport, chord: str, width: float) -> Block:
    svg = flow_chart(schedule, report, chord, width)
    return b.image(svg, width, f"force between plies along {chord}")
