"""girderply verify."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say, say_fault
from girderply.errors import OutputError

OTHERWISE = "NOT FOR ASSEMBLY: a second engine finds otherwise"


def verify(
    packs: Annotated[
        list[Path],
        typer.Argument(metavar="PACK...", help="A pack's folder, or a schedule.json; or several."),
    ],
) -> None:
    """Measure a pack again with a second engine that shares nothing with the first.

    Reads schedule.json alone: counts, places, distances, lengths through the plies, holes and
    washers, and what passes from ply to ply. Exit 0 both engines agree and the girder may be
    assembled; 1 they do not, or the girder is not for assembly; 2 there is no schedule to read.

    Example: girderply verify out/RH-101-G1-rev-A
    """
    worst = Exit.GOOD
    for pack in packs:
        worst = max(worst, _one(pack))
    raise typer.Exit(worst)


def _one(path: Path) -> Exit:
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
