"""Lines that are said when somebody reads them: most calculations are never opened."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import overload

from girderply.wording.phrases import again, speaking, spoken


class Later(Sequence[str]):
    """A row of lines in the language that was spoken when they were promised.

    It reads, compares and travels to another process like a tuple of its lines.
    """

    __slots__ = ("_language", "_made", "_make")

    def __init__(self, make: Callable[[], Iterable[str]]) -> None:
        """Promise the lines that `make` will say; it is called once, and not before."""
        self._make: Callable[[], Iterable[str]] = make
        self._made: tuple[str, ...] | None = None
        self._language = spoken()

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines, said now if they have not been."""
        if self._made is None:
            with speaking(self._language):
                self._made = tuple(self._make())
            self._make = tuple  # what they were made from is let go
        return self._made

    def again(self) -> Later:
        """The same lines promised in the language spoken here and now."""
        return Later(lambda: map(again, self.lines))

    @overload
    def __getitem__(self, index: int) -> str: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[str, ...]: ...
    def __getitem__(self, index: int | slice) -> str | tuple[str, ...]:
        """One line or some of them."""
        return self.lines[index]

    def __len__(self) -> int:
        """How many lines there are."""
        return len(self.lines)

    def __eq__(self, other: object) -> bool:
        """Whether another row says the same."""
        return self.lines == (other.lines if isinstance(other, Later) else other)

    def __hash__(self) -> int:
        """As the tuple of the lines."""
        return hash(self.lines)

    def __repr__(self) -> str:
        """As the tuple of the lines."""
        return repr(self.lines)

    def __reduce__(self) -> tuple[type[tuple[str, ...]], tuple[tuple[str, ...]]]:
        """A tuple in another process: what the lines are made from stays in this one."""
        return (tuple, (self.lines,))
