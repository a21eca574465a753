"""A language, handed to whatever writes text: what is decided is `Said`, in no language."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from girderply.wording import messages
from girderply.wording.sayings import Said, Words, said, text


@dataclass(frozen=True, slots=True)
class Voice:
    """Says in one language what was decided, and the labels of a paper or page.

    It comes first among the arguments of whatever needs it, is equal to another one of its language
    (a cache may be kept by it) and travels to another process.

    Attributes:
        language: one of `LANGUAGES`.
    """

    language: str

    def __post_init__(self) -> None:
        """Refuse a language that is not there.

        Raises:
            KeyError: names those that are.
        """
        known = messages.LANGUAGES
        if self.language not in known:
            raise KeyError(f"no language {self.language!r}; there are {', '.join(known)}")

    def told(self, words: Words) -> str:
        """What was decided, in this language; text that is data stays as it is."""
        return text(words, self.language)

    def plain(self, value: object) -> str:
        """What JSON has no kind for, as text: words in this language, else as it prints."""
        return self.told(value) if isinstance(value, Said) else str(value)

    def phrase(self, key: str, /, **values: object) -> str:
        """A label of the paper itself; values as `said` takes them.

        Raises:
            KeyError: no such message, or a value that it needs is missing.
        """
        return self.told(said(key, **values))


# Of files for programs, terminals and errors.
ENGLISH: Final = Voice(messages.DEFAULT)
