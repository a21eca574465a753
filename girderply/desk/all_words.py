"""Every word that the pages of the desk say by themselves, in the language spoken."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

from girderply.wording import messages as tables
from girderply.wording import phrase, speaking, spoken

P = ParamSpec("P")
R = TypeVar("R")


def words() -> dict[str, str | dict[str, str]]:
    """Words of the pages by their key; `{name}` stands for a value, put in by the page.

    Where a number decides, there is one text for one and one for more.
    """
    found: dict[str, str | dict[str, str]] = {}
    for key, entry in tables.area(spoken(), "desk").items():
        found[key] = entry if isinstance(entry, dict) else str(phrase(f"desk.{key}"))
    return found


def in_language(language: str, make: Callable[P, R]) -> Callable[P, R]:
    """Wrap a call so that it speaks a language."""

    @wraps(make)
    def made(*args: P.args, **kwargs: P.kwargs) -> R:
        with speaking(language):
            return make(*args, **kwargs)

    return made
