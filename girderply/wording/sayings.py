"""What is decided, as values: a message by its key and what goes into it, in no language yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, NoReturn

from girderply.wording.messages import DEFAULT, signs, text_of

# Keys of what is no message of a table.
_FIGURES: Final = "#figures"
_JOINED: Final = "#joined"


@dataclass(frozen=True, slots=True)
class Said:
    """A message that has not been put into words; `text` says it in a language.

    Two of the same key and values are equal. It is no text: it joins nothing, and putting it into
    text or formatting it is refused, so that nothing is told in a language that nobody chose.

    Attributes:
        key: of the message. values: what goes into it, by name; words among them are said too.
    """

    key: str
    values: tuple[tuple[str, object], ...] = ()

    def __str__(self) -> NoReturn:
        """Refused: text is in a language.

        Raises:
            TypeError: always.
        """
        raise TypeError(f"{self.key} must be said in a language: text({self!r}, language)")

    def __format__(self, form: str) -> NoReturn:
        """Refused, as `str` is."""
        self.__str__()


# Words of ours, or text that is data (a name, a size) and is the same in every language.
Words = Said | str


def said(key: str, /, **values: object) -> Said:
    """A message with its values, to be put into words where it is told.

    Args:
        key: area and name, such as "stage.lay"; a literal wherever possible, so that a test finds
            messages that nobody says.
        **values: by name; `n` decides between singular and plural.
    """
    return Said(key, tuple(values.items()))


def figures(written: str) -> Said:
    """A number as English writes it, to be told with the decimal sign of a language.

    Args:
        written: digits, "." before decimals, "," between thousands; units and signs stay.
    """
    return Said(_FIGURES, (("text", written),))


def numeral(value: float, form: str = "g") -> Said:
    """A number of a worked line: `format` of it, to be told as `figures`."""
    return figures(format(value, form))


def joined(separator: Words, parts: Iterable[Words]) -> Said:
    """Words in a row; like `separator.join(parts)`."""
    row = ((str(i), part) for i, part in enumerate(parts))
    return Said(_JOINED, (("separator", separator), *row))


def text(words: Words, language: str) -> str:
    """What is said, in a language; text that is data stays as it is.

    Args:
        words: a message with its values, or data.
        language: one of `LANGUAGES`.

    Raises:
        KeyError: no such language or message, or a value that the message needs is missing.
    """
    if isinstance(words, str):
        return words
    if words.key == _FIGURES:
        written = str(words.values[0][1])
        return written if language == DEFAULT else written.translate(signs(language))
    values = {k: text(v, language) if isinstance(v, Said) else v for k, v in words.values}
    if words.key == _JOINED:
        separator, *parts = map(str, values.values())
        return separator.join(parts)
    form = text_of(language, words.key, values.get("n"))
    try:
        return form.format(**values) if values else form
    except KeyError as missing:
        raise KeyError(f"{words.key} in {language} needs the value {missing}") from None


def english(words: Words) -> str:
    """What programs, terminals and errors read: `text` in English."""
    return text(words, DEFAULT)
