"""The `girderply` command."""

from __future__ import annotations

import gc

GARBAGE_AFTER = 50_000  # new objects; Python looks for garbage in cycles after every 700


def main() -> None:
    """Run the command named on the command line; the exit code says how it went."""
    seldom_collect()
    from girderply.cli.app import run

    run()


def seldom_collect() -> None:
    """Look for garbage in cycles less often: loading modules makes many objects and none of it."""
    gc.set_threshold(GARBAGE_AFTER)
