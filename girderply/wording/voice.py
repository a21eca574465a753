"""The language that a paper or a page is being made in, and text in it.

Only where text is at last written: what is decided is `Said`, in no language.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final

from girderply.wording.messages import DEFAULT, LANGUAGES
from girderply.wording.sayings import Said, Words, said, text

_SPOKEN: Final[ContextVar[str]] = ContextVar("spoken", default=DEFAULT)


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


def told(words: Words) -> str:
    """What was decided, in the language spoken; text that is data stays as it is."""
    return text(words, _SPOKEN.get())


def plain(value: object) -> str:
    """What JSON has no kind for, as text: words in the language spoken, else as it prints."""
    return told(value) if isinstance(value, Said) else str(value)


def phrase(key: str, /, **values: object) -> str:
    """A label of the paper itself, in the language spoken; values as `said` takes them.

    Raises:
        KeyError: no such message, or a value that it needs is missing.
    """
    return told(said(key, **values))
