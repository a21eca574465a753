"""Text that knows its key, so that it can be said again in another language."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

from girderply.wording.messages import DEFAULT, LANGUAGES, signs, text_of

_SPOKEN: Final[ContextVar[str]] = ContextVar("spoken", default=DEFAULT)
# Keys of what is no message of a table.
_FIGURES: Final = "#figures"
_JOINED: Final = "#joined"


class Phrase(str):
    """Text in one language that can be said again in another.

    Attributes:
        key: of the message. values: what was put into it; phrases among them are said again too.
    """

    __slots__ = ("key", "values")

    key: str
    values: Mapping[str, object]

    def __new__(cls, text: str, key: str, values: Mapping[str, object]) -> Phrase:
        """The text as it reads now, with what it was made from."""
        made = super().__new__(cls, text)
        made.key, made.values = key, values
        return made

    def __reduce__(self) -> tuple[type[Phrase], tuple[str, str, dict[str, object]]]:
        """What makes it again in another process."""
        return (Phrase, (str(self), self.key, dict(self.values)))


def spoken() -> str:
    """The language spoken here and now."""
    return _SPOKEN.get()


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speak a language inside a `with` block, in this thread and this task only.

    Raises:
        KeyError: a language that is not there.
    """
    if language not in LANGUAGES:
        raise KeyError(f"no language {language!r}; there are {', '.join(LANGUAGES)}")
    token = _SPOKEN.set(language)
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def phrase(key: str, /, **values: object) -> Phrase:
    """A message in the language spoken, with its values put in.

    Args:
        key: area and name, such as "stage.lay"; a literal wherever possible, so that a test finds
            messages that nobody says.
        **values: by name; `n` decides between singular and plural.

    Raises:
        KeyError: no such message, or a value that it needs is missing.
    """
    text = text_of(_SPOKEN.get(), key, values.get("n"))
    try:
        return Phrase(text.format(**values) if values else text, key, values)
    except KeyError as missing:
        raise KeyError(f"{key} in {_SPOKEN.get()} needs the value {missing}") from None


def figures(text: str) -> Phrase:
    """A number as English writes it, with the decimal sign of the language spoken.

    Args:
        text: digits, "." before decimals, "," between thousands; units and signs stay.
    """
    language = _SPOKEN.get()
    shown = text if language == DEFAULT else text.translate(signs(language))
    return Phrase(shown, _FIGURES, {"text": text})


def numeral(value: float, form: str = "g") -> Phrase:
    """A number of a worked line: `format` of it, with the decimal sign of the language spoken."""
    return figures(format(value, form))


def joined(separator: str, parts: Iterable[str]) -> Phrase:
    """Phrases in a row, which stay phrases; like `separator.join(parts)`."""
    kept: dict[str, object] = {str(i): part for i, part in enumerate(parts)}
    return Phrase(
        separator.join(map(str, kept.values())), _JOINED, {"separator": separator, **kept}
    )


def again(text: str) -> str:
    """A phrase said again in the language spoken; other text is data and stays as it is."""
    if not isinstance(text, Phrase):
        return text
    if text.key == _FIGURES:
        return figures(str(text.values["text"]))
    values = {k: again(v) if isinstance(v, str) else v for k, v in text.values.items()}
    if text.key == _JOINED:
        separator, *parts = [v for v in values.values() if isinstance(v, str)]
        return joined(separator, parts)
    return phrase(text.key, **values)
