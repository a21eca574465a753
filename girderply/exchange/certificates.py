"""Certificates beside a delivery: never replaced, and named by its register."""

from __future__ import annotations

from pathlib import Path

from girderply.errors import OutputError
from girderply.exchange.atomic import as_output_error, write_bytes
from girderply.exchange.names import safe_name
from girderply.exchange.pack_files import pack_name
from girderply.exchange.register.issuing import enter_papers
from girderply.schedule.types import Schedule

MOST = 99  # certificates of one girder


def certificate_name(schedule: Schedule, piece: int) -> str:
    """Name of the file, without a number of its own."""
    return safe_name(f"{pack_name(schedule)}-no-{piece}-accepted")


def put_certificate(
    folder: Path, name: str, pdf: bytes, pack: str, register: str
) -> tuple[Path, bool]:
    """Lay a certificate into a folder; one of other content stays and the new one gets a number.

    Args:
        folder: where it goes; made where it is missing.
        name: of the file, without its ending.
        pdf: its content.
        pack: folder name of the girder's pack.
        register: name of the register's file.

    Returns:
        Its path, and whether a register in the folder names it now.

    Raises:
        RegisterError: the register cannot be trusted, or does not know the pack.
        OutputError: it cannot be written, or 99 others lie there.
    """
    for n in range(1, MOST + 1):
        path = folder / (f"{name}.pdf" if n == 1 else f"{name}-{n}.pdf")
        with as_output_error(path):
            if path.exists() and path.read_bytes() != pdf:
                continue
            folder.mkdir(parents=True, exist_ok=True)
        if (folder / register).exists():
            return path, enter_papers(folder / register, pack, {path.name: pdf})
        write_bytes(path, pdf)
        return path, False
    raise OutputError(f"{MOST} certificates of other content lie in {folder}")
