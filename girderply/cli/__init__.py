"""The `girderply` command."""

from __future__ import annotations

import gc
import os
import sys

GARBAGE_AFTER = 50_000  # new objects; Python looks for garbage in cycles after every 700


def main() -> None:
    """Run the command named on the command line; the exit code says how it went."""
    seldom_collect()
    keep_streams()
    from girderply.cli.app import run

    run()


def seldom_collect() -> None:
    """Look for garbage in cycles less often: loading modules makes many objects and none of it."""
    gc.set_threshold(GARBAGE_AFTER)


def keep_streams() -> None:
    """Where a caller has closed the output or the messages, they go nowhere: no fault of ours."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
