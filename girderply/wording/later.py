"""Lines that are made when somebody reads them: most calculations are never opened."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import overload

from girderply.wording.sayings import Words


class Later(Sequence[Words]):
    """A row of lines that are not worked out yet.

    It reads, compares and travels to another process like a tuple of its lines.
    """

    __slots__ = ("_made", "_make")

    def __init__(self, make: Callable[[], Iterable[Words]]) -> None:
        """Promise the lines that `make` will give; it is called once, and not before."""
        self._make: Callable[[], Iterable[Words]] = make
        self._made: tuple[Words, ...] | None = None

    @property
    def lines(self) -> tuple[Words, ...]:
        """The lines, made now if they have not been."""
        if self._made is None:
            self._made = tuple(self._make())
            self._make = tuple  # what they were made from is let go
        return self._made

    @overload
    def __getitem__(self, index: int) -> Words: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Words, ...]: ...
    def __getitem__(self, index: int | slice) -> Words | tuple[Words, ...]:
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

    def __reduce__(self) -> tuple[type[tuple[Words, ...]], tuple[tuple[Words, ...]]]:
        """A tuple in another process: what the lines are made from stays in this one."""
        return (tuple, (self.lines,))
