"""What the supplier's PDF carries inside, so that one file is enough to make all of them again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Final

from girderply.wording import Voice

if TYPE_CHECKING:
    from girderply.papers.page.attached import Attached, Relation
    from girderply.schedule.types import Schedule

MODEL: Final = "exchange/girder.ifc"
# Where a file lies in a pack -> its kind of content, and what it is to the document.
_CARRIED: Final[dict[str, tuple[str, Relation]]] = {
    "job.toml": ("application/toml", "source"),
    "rules.toml": ("application/toml", "source"),
    "logo.png": ("image/png", "source"),
    "logo.svg": ("image/svg+xml", "source"),
    "logo.jpg": ("image/jpeg", "source"),
    "schedule.json": ("application/json", "data"),
    MODEL: ("application/p21", "data"),
}


def carried_files(schedule: Schedule) -> dict[str, bytes]:
    """What is carried, by its place in a pack, where only the document is made."""
    from girderply.exchange.ifc.ifc_file import ifc_bytes
    from girderply.exchange.json_out import schedule_json
    from girderply.exchange.pack_files import source_files

    return {
        **source_files(schedule),
        "schedule.json": schedule_json(schedule).encode(),
        MODEL: ifc_bytes(schedule),
    }


def carried(schedule: Schedule, files: Mapping[str, bytes]) -> tuple[Attached, ...]:
    """The files of a pack that its delivery.pdf carries.

    Args:
        schedule: whose language the words are in.
        files: of the pack, or `carried_files`.
    """
    return tuple(_each(Voice(schedule.job.info.language), files))


def _each(voice: Voice, files: Mapping[str, bytes]) -> Iterator[Attached]:
    from girderply.papers.page.attached import Attached

    for place, (mime, relation) in _CARRIED.items():
        if place in files:
            name = place.rpartition("/")[2]
            picture = mime.startswith("image/")
            what = str(voice.phrase(f"carried.{'logo' if picture else name.replace('.', '_')}"))
            content = files[place] if picture else files[place].decode()
            yield Attached(name, content, mime, what, relation)
