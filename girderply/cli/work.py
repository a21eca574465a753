"""From the path of a job to its schedule, with what must be said on the way."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, product, say, say_findings, working
from girderply.errors import OutputError
from girderply.units.show import Printed
from girderply.wording import ENGLISH, LANGUAGES, english

if TYPE_CHECKING:
    from girderply.jobfile.job import Job
    from girderply.papers.page.paper import Paper
    from girderply.schedule.types import Schedule
    from girderply.strength.check_record import Check


def _known_language(value: str | None) -> str | None:
    if value is not None and value not in LANGUAGES:
        raise typer.BadParameter(f"{value!r} is not one of {', '.join(LANGUAGES)}")
    return value


JOB_HELP = "The job file (TOML), a pack's folder or its schedule.json, or - for what is piped in."
JobPath = Annotated[Path, typer.Argument(metavar="JOB", help=JOB_HELP)]


LanguageOption = Annotated[
    str | None,
    typer.Option(
        "--language",
        help="Language of the sheets: en, en-US or fr; left out: the job's own.",
        callback=_known_language,
    ),
]


class PaperName(StrEnum):
    """Sizes of paper."""

    A4 = "A4"
    A3 = "A3"
    LETTER = "letter"
    TABLOID = "tabloid"


PaperOption = Annotated[
    PaperName | None,
    typer.Option(
        "--paper",
        help="One size for all sheets. Left out: yard A3 and the others A4; imperial jobs tabloid "
        "and letter.",
        case_sensitive=False,
    ),
]


def paper_of(name: PaperName | None) -> Paper | None:
    """The size as the papers call it; None leaves each document its own."""
    return None if name is None else name.value


def make_schedule(job_path: Path, language: str | None = None) -> Schedule:
    """Read a job and decide everything about its girder.

    Args:
        job_path: the job file, a pack's folder or its schedule.json, or "-".
        language: of the sheets, instead of the job's own.

    Raises:
        JobError: the job cannot be read; carries every finding.
    """
    from girderply.exchange.second_opinion import seconded
    from girderply.jobfile.place import open_job, pack_of
    from girderply.schedule.build_schedule import build_schedule

    job = in_language(open_job(job_path), language)
    with working(f"Deciding the fastening of {job_path.name}"):
        made = seconded(build_schedule(job))
    pack = pack_of(job_path)
    if pack is not None:
        _say_other_content(pack, made)
    return made


def _say_other_content(pack: Path, made: Schedule) -> None:
    """Say when what a pack holds is not what its job comes to here and now."""
    from girderply.exchange.pack_files import other_content

    text = other_content(pack, made)
    if text:
        say(f"WARNING {pack}: {text}")
        say(
            "  TIP   The pack was made by another version or was changed: what is said here is new."
        )


def in_language(job: Job, language: str | None) -> Job:
    """The job with its sheets in this language; None leaves the job's own."""
    return replace(job, info=replace(job.info, language=language)) if language else job


def say_result(schedule: Schedule, *, scope: bool = True) -> None:
    """Say the failed checks, the findings and, unless the product itself does, the cautions."""
    from girderply.schedule import cautions
    from girderply.schedule.assumed import folded

    told = {finding.where for finding in schedule.findings}
    for check in schedule.checks:
        if not check.ok and check.id not in told:
            say(_failed_line(check, Printed(schedule.job.info.units, ENGLISH)))
    say_findings(schedule.findings)
    for one in folded(schedule.unconfirmed):
        say(
            f"ASSUMED {one.key}: {english(one.what)}: {english(one.value)} "
            f"({english(one.where)}). {english(one.why)}"
        )
    if schedule.failed:
        say(f"{english(cautions.not_for_assembly())}: see the lines marked ERROR.")
    if schedule.job.info.demo:
        say(f"NOTE    {english(cautions.demo())}")
    if scope:
        say(f"CAUTION {' '.join(map(english, cautions.scope(schedule.job.assembly)))}")


def _failed_line(check: Check, show: Printed) -> str:
    """A failed check in words, forces in the job's own units."""
    demand, resistance = (
        show.force(v) if check.unit == "N" else f"{v:.4g} {check.unit}"
        for v in (check.demand, check.resistance)
    )
    return (
        f"ERROR   {check.id}: {english(check.subject)}: {demand} asked, {resistance} carried "
        f"[{check.clause}]"
    )


def deliver(text: str, out: Path | None, *, keep: bool = False) -> None:
    """Write a text product to a file or, without one, to stdout; `keep` spares an existing file.

    Raises:
        OutputError: the file cannot be written, or is there and is to be kept.
    """
    from girderply.exchange.atomic import write_text

    if out is None:
        product(text)
        return
    if keep and out.exists():
        raise OutputError(f"{out} exists already")
    write_text(out, text)


def deliver_job(text: str, out: Path | None) -> None:
    """Write a new job to a file that is not there yet, with its schema beside it for editors.

    Raises:
        OutputError: the file is there, or cannot be written.
    """
    import json

    from girderply.exchange.atomic import write_text
    from girderply.exchange.job_schema import LINE, SCHEMA_FILE, job_schema

    deliver(text if out is None else LINE + text, out, keep=True)
    if out is not None:
        schema = json.dumps(job_schema(), indent=2, ensure_ascii=False) + "\n"
        write_text(out.parent / SCHEMA_FILE, schema)


def exit_code(schedule: Schedule) -> Exit:
    """0 good, 1 when a check failed or a finding is an error."""
    return Exit.FAILED if schedule.failed else Exit.GOOD
