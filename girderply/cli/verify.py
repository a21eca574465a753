"""girderply verify."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, say_fault
from girderply.errors import GirderplyError, OutputError

OTHERWISE = "NOT FOR ASSEMBLY: a second engine finds otherwise"


def verify(
    packs: Annotated[
        list[Path],
        typer.Argument(
            metavar="PACK...",
            help="A pack's folder, a schedule.json, or a PDF with files inside; or several.",
        ),
    ],
) -> None:
    """Measure a pack again with a second engine that shares nothing with the first.

    Reads schedule.json alone: counts, places, distances, lengths through the plies, holes and
    washers, and what passes from ply to ply. Exit 0 both engines agree and the girder may be
    assembled; 1 they do not, or the girder is not for assembly; 2 there is no schedule to read.

    Of a certificate or another PDF with files inside: the files are read back and held against
    their list, the records are judged again, and the pages made again; what was changed is named.

    Example: girderply verify out/RH-101-G1-rev-A
    """
    worst = Exit.GOOD
    for pack in packs:
        worst = max(worst, _one(pack))
    raise typer.Exit(worst)


def _one(path: Path) -> Exit:
    from girderply.cli.verify_pdf import is_pdf

    try:
        if is_pdf(path):
            return _one_pdf(path)
    except (OSError, GirderplyError) as fault:
        say_fault(OutputError(f"{path} cannot be verified: {fault}"))
        return Exit.UNREADABLE
    return _one_schedule(path)


def _one_pdf(path: Path) -> Exit:
    from girderply.cli.verify_pdf import verify_pdf

    found = list(verify_pdf(path))
    for good, text in found:
        if good:
            product(clean(f"{path}: {text}") + "\n")
        else:
            say(f"ERROR   {path}: {clean(text)}")
    return Exit.GOOD if all(good for good, _ in found) else Exit.FAILED


def _one_schedule(path: Path) -> Exit:
    from girderply.verify import verify_file

    try:
        found = verify_file(path)
    except (OSError, ValueError, RecursionError) as fault:
        say_fault(OutputError(f"{path} cannot be verified: {fault}"))
        return Exit.UNREADABLE
    for d in found.disagreements:
        say(f"ERROR   {d.what}: {d.text}")
    done = ", ".join(f"{n} {what}" for what, n in found.measured.items())
    if not found.agrees:
        verdict = f"{OTHERWISE} in {len(found.disagreements)} things"
    elif found.for_assembly:
        verdict = "both engines agree"
    else:
        verdict = "both engines agree; NOT FOR ASSEMBLY, as its sheets say"
    product(clean(f"{path}: {verdict} ({done})") + "\n")
    return Exit.GOOD if found.agrees and found.for_assembly else Exit.FAILED
