"""Runs the command line in this process, as the shell would see it."""

from __future__ import annotations

import sys
from dataclasses import dataclass

import pytest


@dataclass(frozen=True)
class Ran:
    """What a command left behind."""

    code: int
    out: str
    err: str


def girderply(capsys, *words: object) -> Ran:
    """Run `girderply words...`; output so far is thrown away."""
    from girderply.cli import main

    capsys.readouterr()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["girderply", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            main()
    said = capsys.readouterr()
    return Ran(int(left.value.code or 0), said.out, said.err)
