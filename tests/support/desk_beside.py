"""Work beside the pages that is done when a test says so, in the test's own process."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from typing import Any

from girderply.desk.on_desk import OnDesk
from girderply.wording import ENGLISH


class Beside:
    """Stands for the process beside the pages; what is asked waits until it is `done`."""

    def __init__(self) -> None:
        self.tasks: dict[Any, tuple[Future[Any], Callable[[], Any]]] = {}

    def ask(
        self, name: str, text: str, key: Any, task: Callable[..., Any], *args: Any
    ) -> Future[Any]:
        """As `Workers.ask`; nothing is dropped, so that old answers come late."""
        found = self.tasks.setdefault((name, text, key), (Future(), lambda: task(text, *args)))
        return found[0]

    def done(self, text: str) -> None:
        """Do what was asked for a text."""
        for (_, asked, _), (future, work) in self.tasks.items():
            if asked == text and not future.done():
                future.set_result(work())


def all_of(girder: OnDesk) -> OnDesk:
    """The girder once all of it has come from beside the pages, as a page gets it."""
    beside = Beside()
    if not girder.worked_out(ENGLISH, beside):  # type: ignore[arg-type]
        beside.done(girder.text)
        assert girder.worked_out(ENGLISH, beside)  # type: ignore[arg-type]
    return girder
