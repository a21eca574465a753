"""Which form of a message a whole number takes, by the categories of the Unicode CLDR."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, Literal, get_args

Category = Literal["zero", "one", "two", "few", "many", "other"]
CATEGORIES: Final[tuple[str, ...]] = get_args(Category)


def _one_alone(n: int) -> Category:
    """[Unicode CLDR, plural rules: en, de, nl, sv; whole numbers]."""
    return "one" if n == 1 else "other"


def _none_or_one(n: int) -> Category:
    """[Unicode CLDR, plural rules: fr; its millions ("many") are no counts of ours]."""
    return "one" if n in (0, 1) else "other"


def _polish(n: int) -> Category:
    """[Unicode CLDR, plural rules: pl; whole numbers]."""
    if n == 1:
        return "one"
    ten, hundred = n % 10, n % 100
    return "few" if 2 <= ten <= 4 and not 12 <= hundred <= 14 else "many"


# By the language without its country; a language that is not here has two forms, as English has.
_RULES: Final[dict[str, Callable[[int], Category]]] = {"fr": _none_or_one, "pl": _polish}


def category(language: str, n: int) -> Category:
    """The category of a count in a language such as "en-US".

    Args:
        language: code of the language, with or without a country.
        n: how many; what is below zero counts as what is above.
    """
    return _RULES.get(language.partition("-")[0], _one_alone)(abs(n))
