"""A person before the desk in a real Chromium, with a count of clicks and keys."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

from desk_server import Served
from playwright.sync_api import Browser, Page, ViewportSize

SIZES: dict[str, ViewportSize] = {
    "small": {"width": 1280, "height": 800},
    "large": {"width": 1920, "height": 1080},
    "tablet": {"width": 800, "height": 1280},
}


@dataclass
class Hands:
    """One page, what it complained about, and how often it was clicked and keyed."""

    page: Page
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    clicks: int = 0
    keys: int = 0

    def js(self, code: str, value: Any = None) -> Any:
        """What an expression gives in the page."""
        return self.page.evaluate(code, value)

    def click(self, what: str) -> None:
        """One click with the mouse."""
        self.page.locator(what).first.click()
        self.clicks += 1

    def press(self, key: str, times: int = 1) -> None:
        """A key, or the same again."""
        for _ in range(times):
            self.page.keyboard.press(key)
            self.keys += 1

    def type(self, text: str) -> None:
        """A text, key by key."""
        self.page.keyboard.type(text)
        self.keys += len(text)

    def tab_to(self, what: str, most: int = 60, key: str = "Tab") -> None:
        """Tab until this has the cursor."""
        for _ in range(most):
            if self.js("(s) => document.activeElement?.matches(s)", what):
                return
            self.press(key)
        raise AssertionError(f"{what} is not reached by {most} x {key}")

    def settled(self) -> None:
        """Wait until every change has come back, the shares of the plies too, and is painted."""
        self.page.wait_for_function(
            "() => { const { turn, painted, whole } = document.documentElement.dataset;"
            " return turn && painted === turn && whole === 'true'; }"
        )

    def shown(self) -> None:
        """Wait until the state at hand is painted, whether or not the shares are in."""
        self.page.wait_for_function(
            "() => { const { turn, painted } = document.documentElement.dataset;"
            " return turn && painted === turn; }"
        )

    def turn(self) -> int:
        """Number of the state that is shown."""
        return int(self.js("document.documentElement.dataset.turn"))

    def next_turn(self, before: int) -> None:
        """Wait for a later state."""
        self.page.wait_for_function(
            "(n) => Number(document.documentElement.dataset.turn) > n", arg=before
        )


@contextmanager
def hands(
    browser: Browser,
    desk: Served,
    size: str = "small",
    language: str = "en-GB",
    light: str = "light",
    at: str = "",
) -> Iterator[Hands]:
    """A fresh browser that has opened the desk's first address, or a page of one opened before."""
    context = browser.new_context(
        viewport=SIZES[size], locale=language, color_scheme="dark" if light == "dark" else "light"
    )
    context.set_default_timeout(30_000)
    page = context.new_page()
    found = Hands(page)
    page.on("console", lambda m: found.said.append(m.text) if m.type == "error" else None)
    page.on("pageerror", lambda e: found.said.append(str(e)))
    page.on("request", lambda r: found.asked.append(r.url))
    if at:  # as the first address leaves it, without the drawings of the overview
        known = desk.known
        context.add_cookies(
            [{"name": known.cookie_name, "value": known.cookie, "url": known.origin,
              "sameSite": "Strict", "httpOnly": True}]
        )  # fmt: skip
    page.goto(f"{desk.known.origin}{at}" if at else desk.known.address)
    try:
        yield found
    finally:
        context.close()


def axe(page: Page) -> list[str]:
    """What axe finds serious or critical on a page as it is shown."""
    if not page.evaluate("'axe' in window"):
        source = files("axe_playwright_python").joinpath("axe.min.js").read_text("utf-8")
        page.evaluate(source)
    found = page.evaluate("() => axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{v['id']}: {n['target']}"
        for v in found["violations"]
        if v["impact"] in ("serious", "critical")
        for n in v["nodes"]
    ]
