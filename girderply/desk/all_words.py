"""Every word that the pages of the desk say by themselves, in a language."""

from __future__ import annotations

from girderply.wording import Voice
from girderply.wording import messages as tables


def words(voice: Voice) -> dict[str, str | dict[str, str]]:
    """Words of the pages by their key; `{name}` stands for a value, put in by the page.

    Where a number decides, there is one text for one and one for more.
    """
    found: dict[str, str | dict[str, str]] = {}
    for key, entry in tables.area(voice.language, "desk").items():
        found[key] = entry if isinstance(entry, dict) else str(voice.phrase(f"desk.{key}"))
    return found
