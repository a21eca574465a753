"""girderply share."""

from __future__ import annotations

import json
import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import product, say_findings, working
from girderply.cli.work import JobPath, exit_code, make_schedule, say_result
from girderply.units.show import Printed
from girderply.wording import ENGLISH

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule
    from girderply.strength.sharing import SharingReport


class ShareFormat(StrEnum):
    """How the shares are given."""

    TABLE = "table"
    JSON = "json"


class Bolts(StrEnum):
    """What is thought of bolts."""

    TIGHT = "tight"
    GAP = "gap"


class State(StrEnum):
    """Which loads and which stiffness."""

    ULTIMATE = "ultimate"
    SERVICEABILITY = "serviceability"


def share(
    job: JobPath,
    form: Annotated[
        ShareFormat, typer.Option("--format", help="table to read, json for programs.")
    ] = ShareFormat.TABLE,
    bolts: Annotated[
        Bolts,
        typer.Option(help="tight, or with the gap of their holes to take up before they bear."),
    ] = Bolts.TIGHT,
    state: Annotated[
        State,
        typer.Option(help="ultimate: design loads; serviceability: loads without factors."),
    ] = State.ULTIMATE,
) -> None:
    """Ask how the plies really share the load when every fastener is a spring.

    Share of each ply at each bearing, the hardest fasteners, slip, and how far the load can be
    raised. What speaks against equal shares is a warning; it does not change the exit code,
    which is that of the schedule.

    Example: girderply share two-ply-howe.toml --bolts gap
    """
    from girderply.strength.sharing import sharing_of  # noqa: PLC0415

    made = make_schedule(job)
    with working("Solving the plies on their springs"):
        report = sharing_of(made, state=state.value, bolt_slip=bolts.value)
    say_result(made)
    say_findings(report.findings)
    if form is ShareFormat.JSON:
        from girderply.papers.engineer.sharing_data import sharing_data  # noqa: PLC0415

        text = json.dumps(sharing_data(made, report), indent=2, ensure_ascii=False, allow_nan=False)
        product(text + "\n")
    else:
        product(share_text(made, report, terminal=sys.stdout.isatty()))
    raise typer.Exit(exit_code(made))


def share_text(schedule: Schedule, report: SharingReport, *, terminal: bool) -> str:
    """Tables for a terminal: what was found, shares at the bearings, the hardest fasteners."""
    parts = [_found(schedule, report, terminal=terminal)]
    if report.sharing is not None:
        parts.append(_bearings(schedule, report, terminal=terminal))
    if report.sharing is not None and report.sharing.force.size:
        parts.append(_fasteners(schedule, report, terminal=terminal))
    return "\n".join(parts)


def _found(schedule: Schedule, report: SharingReport, *, terminal: bool) -> str:
    from girderply.cli.terminal_tables import Column, table_text  # noqa: PLC0415
    from girderply.papers.engineer.sharing_words import summary_rows  # noqa: PLC0415

    info = schedule.job.info
    title = (
        f"{info.number}  girder {schedule.girder.mark}  rev {info.revision}  "
        f"{schedule.girder.plies} plies: {report.state}, bolts {report.bolt_slip}"
    )
    columns = (Column("what"), Column("found"))
    return table_text(title, columns, summary_rows(ENGLISH, schedule, report), terminal=terminal)


def _bearings(schedule: Schedule, report: SharingReport, *, terminal: bool) -> str:
    """Reaction and share of each ply at each bearing, beside the equal share."""
    from girderply.cli.terminal_tables import Column, table_text  # noqa: PLC0415

    show, sharing, n = (
        Printed(schedule.job.info.units, ENGLISH),
        report.sharing,
        schedule.girder.plies,
    )
    if sharing is None:
        return ""
    rows = [
        (
            show.span(bearing.x),
            str(ply + 1),
            show.force(float(sharing.reactions[ply, i])),
            _share(float(sharing.bearing_shares[ply, i]), show),
            show.percent(1 / n),
        )
        for i, bearing in enumerate(schedule.girder.bearings)
        for ply in range(n)
    ]
    columns = (
        *(Column("bearing at", True), Column("ply", True), Column("carries", True)),
        *(Column("share", True), Column("equal", True)),
    )
    return table_text("At the bearings", columns, rows, terminal=terminal)


def _share(value: float, show: Printed) -> str:
    return "-" if value != value else show.percent(value)  # noqa: PLR0124  NaN: no reaction


def _fasteners(schedule: Schedule, report: SharingReport, *, terminal: bool) -> str:
    from girderply.cli.terminal_tables import Column, table_text  # noqa: PLC0415
    from girderply.papers.engineer.sharing_words import hardest_rows  # noqa: PLC0415

    columns = (
        *(Column("fastener"), Column("member"), Column("interface", True)),
        *(Column("force", True), Column("used", True), Column("slip", True)),
    )
    rows = hardest_rows(ENGLISH, schedule, report)
    return table_text("The hardest fasteners", columns, rows, terminal=terminal)
