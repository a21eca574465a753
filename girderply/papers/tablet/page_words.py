"""Every word that the tablet page says by itself, in the language spoken.

The page puts its values in when it knows them, so that the texts go there with their places.
"""

from __future__ import annotations

from girderply.wording import messages as tables
from girderply.wording import phrase, spoken


def words() -> dict[str, str]:
    """Every word of the page by its key; `{name}` stands for a value."""
    return {key: str(phrase(f"tablet.{key}")) for key in tables.area(spoken(), "tablet")}
