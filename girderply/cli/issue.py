"""girderply issue."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, working
from girderply.cli.work import LanguageOption, exit_code, make_schedule, say_result

if TYPE_CHECKING:
    from girderply.schedule.types import Schedule

REGISTER = "register.jsonl"


def issue(
    jobs: Annotated[
        list[Path], typer.Argument(metavar="JOB", help="One job file (TOML), or several.")
    ],
    out: Annotated[Path, typer.Option("--out", help="Folder of the delivery.")],
    language: LanguageOption = None,
) -> None:
    """Issue a delivery: a pack per girder, delivery note, bundle labels, workbook, DXF, register.

    The register remembers every revision that went out and says what changed since the last. A
    revision that was issued is never replaced by other content: raise the revision first.

    A girder goes out only when it is for assembly and the job has confirmed every value that was
    assumed: girderply check lists them.

    Before it goes out it is decided once more as it is seen from behind, each load in two halves:
    the same girder, so that another answer is a fault of girderply, and nothing is issued.

    The papers of a delivery speak one language: that of its jobs, or --language. Issued again in
    another language, the sheets of a revision replace those before, since the content is the same;
    the register says so.

    Example: girderply issue two-ply-howe.toml three-ply-pratt.toml --out delivery-12
    """
    from girderply.exchange.second_opinion import seconded_for_issue

    schedules = [make_schedule(job, language) for job in jobs]
    with working("Deciding once more, as seen from behind"):
        schedules = [one if one.failed else seconded_for_issue(one) for one in schedules]
    worst = max(exit_code(s) for s in schedules)
    for schedule in schedules:
        say_result(schedule, scope=schedule is schedules[-1])
    if worst is not Exit.GOOD:
        say("ERROR   nothing was issued: a girder that is not for assembly does not go out.")
        raise typer.Exit(worst)
    still = [s for s in schedules if s.unconfirmed]
    if still:
        marks = ", ".join(s.girder.mark for s in still)
        say(f"ERROR   nothing was issued: values of {marks} are assumed and not confirmed.")
        raise typer.Exit(Exit.FAILED)
    for line in write_delivery(schedules, out):
        product(clean(line) + "\n")


def write_delivery(schedules: list[Schedule], out: Path) -> list[str]:
    """Write a whole delivery; what was issued, and what changed since the last revision.

    Raises:
        RegisterError: a revision went out with other content, or the register cannot be trusted.
        OutputError: something could not be written.
    """
    from girderply.cli.delivery import delivery_files
    from girderply.cli.pack import pack_files
    from girderply.exchange.pack_files import pack_name
    from girderply.exchange.register import Made, deliver

    made = []
    for schedule in schedules:
        with working(f"Drawing {pack_name(schedule)}"):
            made.append(Made(schedule, pack_files(schedule)))
    issued = deliver(out / REGISTER, made, lambda head: delivery_files(schedules, head))
    for pack, one in zip(made, issued, strict=True):
        for name in one.kept:
            say(f"NOTE    {pack_name(pack.schedule)}: changed by hand and kept as {name}")
    names = [pack_name(schedule) for schedule in schedules]
    return [f"{n}: {'; '.join(x.entry.changes)}" for n, x in zip(names, issued, strict=True)]
