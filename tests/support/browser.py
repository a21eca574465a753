"""A real Chromium with a tablet page in it, for the tests in tests/browser.

A machine without Chromium fails these tests; nothing is skipped.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import (
    Browser,
    BrowserContext,
    FilePayload,
    Page,
    ViewportSize,
    sync_playwright,
)

from girderply.schedule.types import Fasteners, Schedule

ARGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
LANDSCAPE: ViewportSize = {"width": 1280, "height": 800}
PORTRAIT: ViewportSize = {"width": 800, "height": 1280}


@contextmanager
def chromium() -> Iterator[Browser]:
    """The system's Chromium without a window.

    Raises:
        FileNotFoundError: there is none.
    """
    path = shutil.which("chromium")
    if path is None:
        raise FileNotFoundError("these tests need chromium on the path")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, headless=True, args=[*ARGS])
        try:
            yield browser
        finally:
            browser.close()


@dataclass
class Tablet:
    """One page on a touch screen, with everything that it complained about or asked for."""

    page: Page
    context: BrowserContext
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def js(self, code: str, value: object = None) -> Any:
        """What an expression gives in the page."""
        return self.page.evaluate(code, value)

    def frames(self) -> None:
        """Wait until what was asked for has been painted."""
        self.js("() => new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r)))")

    def spot(self, mark: str) -> tuple[float, float]:
        """Where a mark is on the screen, CSS px."""
        at = "(id) => ['x', 'y'].map((k) => girder.M[k][girder.index.get(id)])"
        x, y = self.js("(p) => view.toScreen(...p)", self.js(at, mark))
        box = self.page.locator("#picture").bounding_box()
        assert box is not None
        return box["x"] + x, box["y"] + y

    def tap_mark(self, mark: str, dx: float = 0.0, dy: float = 0.0) -> None:
        """Touch the screen where a mark is, or beside it."""
        x, y = self.spot(mark)
        self.page.touchscreen.tap(x + dx, y + dy)
        self.frames()

    def press(self, selector: str) -> None:
        """Touch a button."""
        self.page.locator(selector).tap()
        self.frames()

    def member(self, name: str) -> None:
        """Fit one member."""
        self.page.locator("#members button", has_text=name).first.tap()
        self.frames()

    def type_in(self, selector: str, text: str) -> None:
        """Type into a field and leave it."""
        self.page.locator(selector).fill(text)
        self.page.locator(selector).blur()
        self.frames()

    def record(self) -> dict[str, Any]:
        """The record as the page would write it now."""
        found: dict[str, Any] = json.loads(self.js("JSON.stringify(state.current())"))
        return found

    def marks(self) -> dict[str, str]:
        """Id -> state of what has been looked at."""
        return {m["id"]: m["state"] for m in self.record()["marks"]}

    def export(self, to: Path) -> Path:
        """Export the record to a file."""
        self.press("#tab-record")
        with self.page.expect_download() as waiting:
            self.press("#export")
        waiting.value.save_as(to)
        return to

    def load(self, record: Path | dict[str, Any]) -> str:
        """Import a record; gives what the page says to it."""
        self.press("#tab-record")
        # what was said before is not the answer
        self.js("document.querySelectorAll('#message p').forEach((p) => p.remove())")
        if isinstance(record, Path):
            self.page.locator("#import-file").set_input_files(record)
        else:
            content: FilePayload = {
                "name": "record.json",
                "mimeType": "application/json",
                "buffer": json.dumps(record).encode(),
            }
            self.page.locator("#import-file").set_input_files(content)
        self.page.locator("#message p").wait_for()
        self.frames()
        return self.page.locator("#message").inner_text()


@contextmanager
def tablet(
    browser: Browser,
    file: Path,
    size: ViewportSize | None = None,
    before: str = "",
) -> Iterator[Tablet]:
    """A page from a file on a touch screen; `before` runs ahead of the page's own script."""
    context = browser.new_context(viewport=size or LANDSCAPE, has_touch=True, accept_downloads=True)
    page = context.new_page()
    found = Tablet(page, context)
    page.on("console", lambda m: found.said.append(f"{m.type}: {m.text}"))
    page.on("pageerror", lambda e: found.said.append(f"error: {e}"))
    page.on("request", lambda r: found.asked.append(r.url))
    if before:
        page.add_init_script(before)
    page.goto(file.as_uri())
    found.frames()
    try:
        yield found
    finally:
        context.close()


def open_counting(schedule: Schedule) -> Schedule:
    """The same with what is due on the page from the start."""
    return replace(
        schedule, job=replace(schedule.job, info=replace(schedule.job.info, counting="open"))
    )


def many(schedule: Schedule, count: int) -> Schedule:
    """The same girder with `count` nails in stage 1, strewn again with other offsets."""
    f = schedule.fasteners
    first = f.select((f.stage == 1) & (f.kind == "nail"))
    take = np.arange(count) % len(first)
    shift = (np.arange(count) // len(first)) * 7.0
    columns = {c.name: getattr(first, c.name)[take] for c in fields(first)}
    columns["x"] = columns["x"] + shift
    columns["id"] = np.array([f"{m}-N{i + 1}" for i, m in enumerate(columns["member"])])
    return replace(schedule, fasteners=Fasteners(**columns))
