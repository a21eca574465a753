"""What a pack and its delivery.pdf are held against: their list, and the job inside."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path
from typing import TYPE_CHECKING, Final

from girderply.cli.carried import carried, carried_files

if TYPE_CHECKING:
    from girderply.papers.page.paper import Paper

FILLED: Final = ("tick-off.csv",)
"""Files of a pack that are there to be filled in."""
_NEAR: Final = 0.5  # mm, of a paper's side
_MM: Final = 25.4 / 72


def pack_changes(folder: Path) -> tuple[str, ...]:
    """Files of a pack that are gone or were changed since it was made, and are not for filling in.

    Raises:
        OSError: a file that cannot be read.
    """
    from girderply.exchange.atomic import listed

    found = []
    for name, digest in sorted(listed(folder).items()):
        file = folder / name
        if not file.is_file():
            found.append(f"{name} (gone)")
        elif name not in FILLED and hashlib.sha256(file.read_bytes()).hexdigest() != digest:
            found.append(name)
    return tuple(found)


def delivery_again(folder: Path, like: bytes) -> bytes:
    """The supplier's document as the job in a folder gives it here and now.

    Args:
        folder: holds job.toml, and rules.toml where the job has one.
        like: a PDF whose language and size of paper are taken.

    Raises:
        GirderplyError: the job cannot be read, or the PDF.
    """
    from girderply.cli.work import in_language
    from girderply.exchange.second_opinion import seconded
    from girderply.jobfile.place import open_job
    from girderply.papers.page.attached import language_of
    from girderply.papers.sheets import render_document
    from girderply.schedule.build_schedule import build_schedule
    from girderply.wording import LANGUAGES

    spoken = language_of(like)
    job = in_language(open_job(folder), spoken if spoken in LANGUAGES else None)
    made = seconded(build_schedule(job))
    inside = carried(made, carried_files(made))
    return render_document(made, "delivery", _paper_of(like), inside)


def _paper_of(pdf: bytes) -> Paper | None:
    """Size of the first page of a PDF, where it is one that sheets have."""
    from pypdf import PdfReader

    from girderply.papers.page.attached import AttachedError
    from girderply.papers.page.paper import PAPER, PAPERS

    try:
        box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
        size = (float(box.width) * _MM, float(box.height) * _MM)
    except Exception as fault:  # a broken PDF raises whatever its reader runs into
        raise AttachedError(f"its pages cannot be read: {type(fault).__name__}") from fault
    for paper in PAPERS:
        if max(abs(a - b) for a, b in zip(size, PAPER[paper], strict=True)) < _NEAR:
            return paper
    return None
