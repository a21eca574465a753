"""The sharing page: is the equal share that everyone assumes true of this girder?"""

from __future__ import annotations

from collections.abc import Iterator

from girderply.drawing.page import Drawing
from girderply.papers.engineer.sharing_bars import share_bars
from girderply.papers.engineer.sharing_diagram import chords_with_transfer, flow_chart
from girderply.papers.engineer.sharing_elevation import sharing_elevation
from girderply.papers.engineer.sharing_reports import SharingReports, sharing_reports
from girderply.papers.engineer.sharing_words import (
    NONE,
    assumed_words,
    combination_words,
    shares_label,
    shares_words,
    slip_label,
    summary_rows,
)
from girderply.papers.engineer.transfer_diagram import loaded_chords
from girderply.papers.page import blocks as b
from girderply.papers.page.blocks import Block, Sheet
from girderply.papers.page.paper import room
from girderply.papers.page.sheet_words import finding_words
from girderply.schedule.types import Schedule
from girderply.strength.sharing import SharingReport
from girderply.strength.sharing.share_findings import MARGIN
from girderply.units.show import Printed
from girderply.wording import Voice
from girderply.wording.words import kind_words

_TITLE, _TABLE, _LEFT = 18.0, 72.0, 150.0  # mm: title, table of figures, width of the bars
_LEAST, _MOST = 70.0, 135.0  # mm, height of the elevation


def sharing(voice: Voice, schedule: Schedule) -> Sheet:
    """Forces in the fasteners, shares of the plies, what happens as the load is raised."""
    sheet = Sheet("sharing", voice.phrase("sharing.title"), "A3")
    reports = sharing_reports(schedule)
    under = voice.phrase(
        "sharing.under", combination=combination_words(voice, reports.tight.combination)
    )
    sheet.blocks.append(b.title(voice.phrase("sharing.title"), under))
    if reports.tight.sharing is None:
        sheet.blocks.append(
            b.callout(voice.phrase("sharing.not_computed"), _said(voice, reports), heavy=True)
        )
        return sheet
    free = room("A3")
    bars = share_bars(voice, schedule, _answers(reports), _LEFT - 4.0)
    beside = max(bars.height + 15.0, _TABLE)  # with its heading, and the words under it
    most = min(max(free.height - _TITLE - beside, _LEAST), _MOST)
    sheet.blocks += [
        b.picture(sharing_elevation(voice, schedule, reports.tight, free.width, most)),
        b.columns(
            (f"{_LEFT:g}mm", "1fr"), _bars(voice, bars, reports), [_table(voice, schedule, reports)]
        ),
        _findings(voice, reports, Printed(schedule.job.info.units, voice)),
        *_chords(voice, schedule, reports.tight),
        *_diagrams(voice, schedule, reports.tight, free.width),
        b.heading(voice.phrase("sharing.assumed_heading")),
        b.words(assumed_words(voice, Printed(schedule.job.info.units, voice))),
    ]
    return sheet


def _answers(reports: SharingReports) -> list[SharingReport]:
    """Bolts tight and, where they have a clearance, with it; those that came to an answer."""
    return [r for r in (reports.tight, reports.gap) if r is not None and r.sharing is not None]


def _bars(voice: Voice, bars: Drawing, reports: SharingReports) -> list[Block]:
    blocks = [b.heading(voice.phrase("sharing.at_bearings")), b.picture(bars)]
    if len(_answers(reports)) > 1:
        blocks.append(b.words(voice.phrase("sharing.bars_how")))
    return blocks


def _table(voice: Voice, schedule: Schedule, reports: SharingReports) -> Block:
    """What was found, bolts tight and with gap side by side."""
    answers = _answers(reports)
    columns = [dict(summary_rows(voice, schedule, report)) for report in answers]
    labels = list(dict.fromkeys(label for column in columns for label in column))
    rows: list[list[b.Cell]] = [
        [b.strong(label), *(column.get(label, NONE) for column in columns)] for label in labels[1:]
    ]
    rows += _service_rows(voice, schedule, reports, len(answers))
    found: tuple[str, ...] = (voice.phrase("sharing.found"),)
    if len(answers) > 1:
        found = (voice.phrase("sharing.tight"), voice.phrase("sharing.clearance"))
    heads = (voice.phrase("sharing.ultimate"), *found)
    width = ("auto", *["1fr"] * len(answers))
    return b.table(heads, rows, width, ("left",) * (1 + len(answers)))


def _service_rows(
    voice: Voice, schedule: Schedule, reports: SharingReports, columns: int
) -> list[list[b.Cell]]:
    """Slip and shares under the loads without factors."""
    found = dict(summary_rows(voice, schedule, reports.service))
    wanted = (
        (shares_label(voice), voice.phrase("sharing.shares_service")),
        (slip_label(voice), voice.phrase("sharing.slip_service")),
    )
    empty = [NONE] * (columns - 1)
    return [[b.strong(said), found[label], *empty] for label, said in wanted if label in found]


def _said(voice: Voice, reports: SharingReports) -> list[str]:
    """Findings in words; where bolts have clearance, those of either thought, equal ones once."""
    tight = [finding_words(voice, f) for f in reports.tight.findings]
    if reports.gap is None:
        return tight
    gap = [finding_words(voice, f) for f in reports.gap.findings]
    both = [line for line in tight if line in gap]
    return [
        *both,
        *(voice.phrase("sharing.said_tight", line=line) for line in tight if line not in both),
        *(voice.phrase("sharing.said_clearance", line=line) for line in gap if line not in both),
    ]


def _findings(voice: Voice, reports: SharingReports, show: Printed) -> Block:
    """What speaks against equal shares, or that nothing does; notes in any case."""
    lines = _said(voice, reports)
    answers = _answers(reports)
    if any(f.severity == "warning" for r in answers for f in r.findings):
        return b.callout(voice.phrase("sharing.against"), lines)
    margin = show.percent(MARGIN)
    borne = voice.phrase(
        "sharing.borne_all" if all(r.strength is not None for r in answers) else "sharing.borne",
        margin=margin,
    )
    return b.callout(voice.phrase("sharing.borne_out"), [borne, *lines])


def _chords(voice: Voice, schedule: Schedule, report: SharingReport) -> Iterator[Block]:
    """Share of each ply in the axial force of each chord, where it is largest."""
    if report.sharing is None:
        return
    show = Printed(schedule.job.info.units, voice)
    rows: list[list[b.Cell]] = [
        [b.strong(c.member), show.station(c.axial_station), show.force(float(c.axial.sum())),
         shares_words(c.shares, show)]
        for c in report.sharing.chord_shares(schedule.girder)
    ]  # fmt: skip
    names = ("head_chord", "head_station", "head_axial")
    heads = (*(voice.phrase(f"sharing.{name}") for name in names), shares_label(voice))
    align = ("left", "right", "right", "left")
    yield b.keep(
        b.heading(voice.phrase("sharing.axial")),
        b.table(heads, rows, ("auto", "auto", "auto", "1fr"), align),
    )


def _diagrams(
    voice: Voice, schedule: Schedule, report: SharingReport, width: float
) -> Iterator[Block]:
    """Loaded chords over the whole width, the others side by side."""
    chords = chords_with_transfer(schedule, report)
    if not chords:
        return
    loaded = loaded_chords(schedule)
    wide = [c for c in chords if c in loaded]
    rest = [c for c in chords if c not in loaded]
    half = (width - 4.0) / 2
    blocks = [_flow(voice, schedule, report, c, width) for c in wide]
    for i in range(0, len(rest), 2):
        cells = [[_flow(voice, schedule, report, c, half)] for c in rest[i : i + 2]]
        blocks.append(b.columns(("1fr", "1fr"), *cells))
    words = voice.phrase("sharing.flow_how", kind=kind_words(schedule.carriers, 2))
    yield b.keep(b.heading(voice.phrase("sharing.flow")), b.words(words), blocks[0])
    yield from blocks[1:]


def _flow(
    voice: Voice, schedule: Schedule, report: SharingReport, chord: str, width: float
) -> Block:
    svg = flow_chart(voice, schedule, report, chord, width)
    return b.image(svg, width, voice.phrase("sharing.flow_alt", chord=chord))
