"""girderply accept."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, say_findings, working
from girderply.cli.work import LanguageOption, make_schedule
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.inspection.acceptance import Acceptance
    from girderply.papers.page.attached import Attached
    from girderply.schedule.types import Schedule

REGISTER = "register.jsonl"


def accept(
    pack: Annotated[
        Path,
        typer.Argument(
            metavar="PACK", help="The pack's folder, or its schedule.json, or the job file."
        ),
    ],
    records: Annotated[
        list[Path],
        typer.Argument(
            metavar="RECORD...",
            help="Every record of the girder, or of several of them, in any order: the tablet's "
            "(JSON), filled tick-off tables (CSV).",
        ),
    ],
    out: Annotated[
        Path | None,
        typer.Option("--out", help="Folder for the certificates; left out: beside the pack."),
    ] = None,
    language: LanguageOption = None,
) -> None:
    """Certify each girder whose records leave nothing open: one PDF/A-3 a girder.

    The certificate says what was to be, who saw what when, what was made good and decided, what
    stands there against what is due, and the checks of the girder as it stands. Job, schedule and
    records are inside; girderply verify CERTIFICATE reads them back. Beside the register of a
    delivery, the register names it.

    A girder that lacks anything gets none: everything that it lacks is listed. Exit 0 every girder
    is certified; 1 one is not; 2 a record cannot be read or is of another girder.

    Example: girderply accept delivery-12/RH-101-G1-rev-A G1-1.json G1-1-second.json
    """
    from girderply.inspection.acceptance import accepted_by
    from girderply.inspection.chains import chains
    from girderply.inspection.record import RecordError

    schedule = make_schedule(pack, language)
    folder = out or (pack if pack.is_dir() else pack.parent).resolve().parent
    worst = Exit.GOOD
    try:
        for piece, paths in chains(schedule, records).items():
            with working(f"Judging no. {piece}"):
                made = accepted_by(schedule, paths)
            if made.lacking:
                worst = Exit.FAILED
                _say_lacking(schedule, piece, made)
            else:
                _certify(schedule, piece, made, paths, folder)
    except RecordError as fault:
        say_findings(fault.findings)
        raise typer.Exit(Exit.UNREADABLE) from fault
    raise typer.Exit(worst)


def _say_lacking(schedule: Schedule, piece: int, made: Acceptance) -> None:
    say(f"ERROR   {schedule.girder.mark} no. {piece} is not certified; it lacks:")
    for text in made.lacking:
        say(f"  {clean(english(text))}")


def _certify(
    schedule: Schedule, piece: int, made: Acceptance, paths: list[Path], folder: Path
) -> None:
    from girderply.exchange.certificates import certificate_name, put_certificate
    from girderply.exchange.pack_files import pack_name
    from girderply.papers.inspector.certificate import certificate_pdf

    with working(f"Drawing the certificate of no. {piece}"):
        pdf = certificate_pdf(schedule, made, attached_to(schedule, made, paths))
    name = certificate_name(schedule, piece)
    path, named = put_certificate(folder, name, pdf, pack_name(schedule), REGISTER)
    told = ", named by the register" if named else ""
    product(clean(f"{schedule.girder.mark} no. {piece}: ACCEPTED, {path}{told}") + "\n")


def attached_to(schedule: Schedule, made: Acceptance, paths: list[Path]) -> list[Attached]:
    """The files inside a certificate: the job and its rules, the schedule, records, result."""
    from girderply.exchange.pack_files import source_files
    from girderply.inspection.record import file_text
    from girderply.papers.inspector.certificate import attached_files

    sources = source_files(schedule)
    records = [(path.suffix.lower(), file_text(path)) for path in paths]
    result = json.dumps(made.last.as_data(), indent=2, ensure_ascii=False) + "\n"
    from girderply.exchange.json_out import schedule_json

    return attached_files(schedule, sources, schedule_json(schedule), records, result)
