from __future__ import annotations

from collections.abc import Iterator

import pytest
from browser import chromium
from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with chromium() as found:
        yield found
