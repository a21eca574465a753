"""The `girderply` command."""

from __future__ import annotations


def main() -> None:
    """Run the command named on the command line; the exit code says how it went."""
    from girderply.cli.app import run

    run()
