"""girderply verify."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.as_made import pack_changes
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
    trust: Annotated[
        list[Path] | None,
        typer.Option("--trust", help="Certificate (PEM or DER) to trust a signature by."),
    ] = None,
) -> None:
    """Say whether a pack is as it was made, and measure it again with a second engine.

    The second engine shares nothing with the first and reads schedule.json alone: counts, places,
    distances, lengths through the plies, holes and washers, what passes from ply to ply.

    Of a delivery.pdf, a certificate or another PDF with files inside: the files are read back and
    held against their list, records are judged again, the pages are made again from the job
    inside, and signatures are checked (pip install "girderply[sign]"); what was changed is named.

    Exit 0 all is as made, both engines agree and the girder may be assembled; 1 something of that
    is not so; 2 there is nothing to read.

    Example: girderply verify out/RH-101-G1-rev-A delivery.pdf
    """
    worst = Exit.GOOD
    for pack in packs:
        worst = max(worst, _one(pack, trust or []))
    raise typer.Exit(worst)


def _one(path: Path, trust: Sequence[Path]) -> Exit:
    from girderply.cli.verify_pdf import is_pdf

    try:
        if is_pdf(path):
            return _one_pdf(path, trust)
    except (OSError, GirderplyError) as fault:
        say_fault(OutputError(f"{path} cannot be verified: {fault}"))
        return Exit.UNREADABLE
    return _one_schedule(path)


def _one_pdf(path: Path, trust: Sequence[Path]) -> Exit:
    from girderply.cli.verify_pdf import verify_pdf

    found = list(verify_pdf(path, trust))
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
        changes = pack_changes(path) if path.is_dir() else ()
    except (OSError, ValueError, RecursionError) as fault:
        say_fault(OutputError(f"{path} cannot be verified: {fault}"))
        return Exit.UNREADABLE
    for d in found.disagreements:
        say(f"ERROR   {d.what}: {d.text}")
    for name in changes:
        say(f"ERROR   {name}: not as it was made")
    done = ", ".join(f"{n} {what}" for what, n in found.measured.items())
    if not found.agrees:
        verdict = f"{OTHERWISE} in {len(found.disagreements)} things"
    elif found.for_assembly:
        verdict = "both engines agree"
    else:
        verdict = "both engines agree; NOT FOR ASSEMBLY, as its sheets say"
    if changes:
        verdict = f"NOT AS MADE in {len(changes)} files; {verdict}"
    product(clean(f"{path}: {verdict} ({done})") + "\n")
    say(f"NOTE    not measured again: {', '.join(found.not_measured)}.")
    return Exit.GOOD if found.agrees and found.for_assembly and not changes else Exit.FAILED
