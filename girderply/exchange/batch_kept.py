"""Whether a pack on disk is whole and says what a schedule says, so that it need not be redone."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from girderply.exchange.atomic import CONTENTS
from girderply.schedule.generator import generator
from girderply.schedule.types import Schedule


def is_unchanged(folder: Path, schedule: Schedule) -> bool:
    """True when the pack there is whole, of this content hash, language, version and libraries.

    What programs read says nothing of the language of the sheets; the tablet page does.

    Args:
        folder: of the pack; it need not exist.
        schedule: what the pack would be made from.
    """
    try:
        told = json.loads((folder / "schedule.json").read_text("utf-8"))
        same = told["content_hash"] == schedule.content_hash and told["generator"] == generator()
        return same and _speaks(folder, schedule.job.info.language) and is_whole(folder)
    except (OSError, ValueError, LookupError, TypeError):
        return False


def _speaks(folder: Path, language: str) -> bool:
    """Whether the pages of a pack are in this language [HTML, the lang attribute of the root]."""
    with (folder / "tick-off.html").open(encoding="utf-8") as page:
        return f'<html lang="{language}">' in page.read(200)


def is_whole(folder: Path) -> bool:
    """True when every file on the pack's own list is there with the content it was written with.

    Raises:
        OSError: no list, or a file that cannot be read.
    """
    lines = (folder / CONTENTS).read_text("utf-8").splitlines()
    files = {line[66:]: line[:64] for line in lines}
    return "schedule.json" in files and all(
        hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest
        for name, digest in files.items()
    )
