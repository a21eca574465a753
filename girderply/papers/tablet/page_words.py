"""Every word that the tablet page says by itself, in a language.

The page puts its values in when it knows them, so that the texts go there with their places.
"""

from __future__ import annotations

from girderply.wording import Voice
from girderply.wording import messages as tables


def words(voice: Voice) -> dict[str, str]:
    """Every word of the page by its key; `{name}` stands for a value."""
    return {
        key: str(voice.phrase(f"tablet.{key}")) for key in tables.area(voice.language, "tablet")
    }
