"""One girder on the desk: its file, what is decided of it, and the way back and forth."""

from __future__ import annotations

import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Final, TypeVar

from girderply.desk.amend import Edit, amended
from girderply.desk.decided import Decided, decide, tables
from girderply.desk.folder import Folder, OpenedElsewhereError, version_of
from girderply.desk.said_values import as_written, no_longer_assumed
from girderply.desk.tasks import Plain, Whole, whole_of
from girderply.desk.workers import Workers, outcome
from girderply.schedule.solutions import Solutions
from girderply.wording import Voice

K = TypeVar("K")
V = TypeVar("V")

MOST_STEPS: Final = 400
MOST_KEPT: Final = 20_000_000  # characters of earlier texts in memory
ONE_STEP: Final = 3.0  # s; changes of one field that follow each other closely are one step
DECIDED_KEPT: Final = 6


@dataclass(frozen=True, slots=True)
class Step:
    """A state that was left: its text, and what was changed then.

    Attributes:
        what: places of the change, such as "loads.0.at", "text" or "elsewhere".
    """

    text: str
    what: str
    when: float = 0.0


class OtherValueError(Exception):
    """A field holds something else than what the page believed when it was changed."""

    def __init__(self, path: Sequence[str | int], value: Any) -> None:
        super().__init__("the field was changed elsewhere")
        self.path, self.value = list(path), value


@dataclass
class OnDesk:
    """A job file that is being worked on.

    Attributes:
        turn: counts states; a higher one is later.
    """

    folder: Folder
    name: str
    text: str
    turn: int = 1
    past: list[Step] = field(default_factory=list)
    future: list[Step] = field(default_factory=list)
    lock: threading.RLock = field(default_factory=threading.RLock)
    _decided: dict[str, Decided] = field(default_factory=dict)
    _first: dict[str, Decided] = field(default_factory=dict)
    _whole: dict[tuple[str, Voice], Whole] = field(default_factory=dict)  # by text and voice
    _known: Solutions = field(default_factory=Solutions)

    @property
    def version(self) -> str:
        """What tells this text from others."""
        return version_of(self.text)

    def look(self) -> bool:
        """Take over what another program has written; True where there was something."""
        with self.lock:
            now = self.folder.read(self.name)
            if now == self.text:
                return False
            self._leave("elsewhere")
            self._enter(now)
            return True

    def amend(self, edits: Sequence[Edit], was: Sequence[Any] | None = None) -> None:
        """Change single values; what another program has written in other places stays.

        What is typed over is no longer called assumed.

        Args:
            edits: in order.
            was: what the page believed to be there for each, `...` where it does not matter.

        Raises:
            OtherValueError: the same field was changed elsewhere.
            AmendError: the file is no TOML, or a place is not there.
        """
        with self.lock:
            self.look()
            data = tables(self.text)
            for edit, believed in zip(edits, was or [...] * len(edits), strict=True):
                there = _plain(_at(data, edit.path))
                if believed is not ... and there != believed:
                    raise OtherValueError(edit.path, there)
            what = " ".join(".".join(map(str, e.path)) for e in edits)
            follows = no_longer_assumed(data, edits)
            self.write(amended(self.text, [*map(as_written, edits), *follows]), what)

    def write(self, text: str, what: str, base: str = "") -> None:
        """Put a whole text in the place of the file.

        Args:
            text: of the whole file.
            what: was changed.
            base: version that the text was made from; empty: whatever is there.

        Raises:
            OpenedElsewhereError: the file is not what it was. OutputError: it cannot be written.
        """
        with self.lock:
            if self.look() and base and base != self.version:
                raise OpenedElsewhereError(self.text)
            if base and base != self.version:
                raise OpenedElsewhereError(self.text)
            if text == self.text:
                return
            self.folder.write(self.name, text, self.text)
            self._leave(what)
            self._enter(text)

    def back(self) -> bool:
        """Undo the last change; False where there is none."""
        return self._go(self.past, self.future)

    def forth(self) -> bool:
        """Do again what was undone; False where there is nothing."""
        return self._go(self.future, self.past)

    def _go(self, source: list[Step], target: list[Step]) -> bool:
        with self.lock:
            self.look()
            if not source:
                return False
            step = source[-1]
            self.folder.write(self.name, step.text, self.text)
            source.pop()
            target.append(Step(self.text, step.what))
            self._enter(step.text)
            return True

    def _leave(self, what: str) -> None:
        """Keep the state that is left, unless the same field was changed just before."""
        now = time.monotonic()
        last = self.past[-1] if self.past else None
        same = last is not None and last.what == what and what not in ("elsewhere", "")
        if not (same and last is not None and now - last.when < ONE_STEP and not self.future):
            self.past.append(Step(self.text, what, now))
        elif last is not None:
            self.past[-1] = Step(last.text, what, now)
        self.future.clear()
        kept = sum(len(s.text) for s in self.past)
        while len(self.past) > MOST_STEPS or (kept > MOST_KEPT and len(self.past) > 1):
            kept -= len(self.past.pop(0).text)

    def _enter(self, text: str) -> None:
        self.text = text
        self.turn += 1

    def decided(self) -> Decided:
        """All that is decided of the text as it stands; the last few are kept."""
        with self.lock:
            found = self._decided.get(self.text) or self._unpacked()
            if found is None:
                found = decide(self.text, self.folder.root, known=self._known)
            return _kept(self._decided, self.text, found)

    def first(self) -> Decided:
        """What can be told at once: all of it where that is known, else without the shares."""
        with self.lock:
            found = self._decided.get(self.text) or self._first.get(self.text)
            if found is None:
                root = self.folder.root
                found = decide(self.text, root, springs=False, known=self._known)
            return _kept(self._decided if found.whole else self._first, self.text, found)

    def told(self, voice: Voice) -> Plain | None:
        """What the page is told of the text as it stands, where another process worked it out."""
        found = self._whole.get((self.text, voice))
        return found.state if found else None

    def worked_out(self, voice: Voice, workers: Workers) -> bool:
        """Have the rest worked out beside the pages; whether it is there.

        What comes is kept under the text that it was asked for: it never stands for a later one.
        """
        with self.lock:
            key = (self.text, voice)
            if key in self._whole or self.first().whole:
                return True
            task = workers.ask(
                self.name,
                self.text,
                ("whole", voice),
                partial(whole_of, voice),
                str(self.folder.root),
            )
            found = outcome(task)
            if found is None:
                return False
            if "value" in found:
                whole = _kept(self._whole, key, found["value"])
                job = self.first().job
                if job is not None:
                    self._known.add(job, whole.solution)
            else:
                self.decided()  # the process was ended: here, then
            return True

    def _unpacked(self) -> Decided | None:
        """What came from another process for the text as it stands, in whatever language."""
        found = next((w for (text, _), w in self._whole.items() if text == self.text), None)
        return found.decided() if found else None


def _kept(among: dict[K, V], key: K, value: V) -> V:
    """Keep a value as the last; the first go."""
    among.pop(key, None)
    among[key] = value
    while len(among) > DECIDED_KEPT:
        del among[next(iter(among))]
    return value


def _at(data: Any, path: Sequence[str | int]) -> Any:
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _plain(value: Any) -> Any:
    """A value as the page was told it: dates are texts."""
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_plain(v) for v in value]
    return value if isinstance(value, bool | int | float | str) or value is None else str(value)


plain = _plain
