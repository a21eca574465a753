"""README's tables are complete: every command, and every file of a pack, is there and is real."""

from __future__ import annotations

import re
from fnmatch import fnmatch
from pathlib import Path

import pytest
from made_schedules import sample

from girderply.cli.app import app
from girderply.cli.pack import pack_files
from girderply.exchange.atomic import CONTENTS

README = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
ONLY_SOME = {"rules.toml", "logo.*"}  # where a job brings rules or a mark of its own


def rows(heading: str) -> list[list[str]]:
    """Cells of the first table under a heading, without its head."""
    table = README.split(f"## {heading}\n")[1].split("\n## ")[0]
    lines = [line for line in table.splitlines() if line.startswith("| ")]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines[1:]]


def test_every_command_is_told():
    told = {w for row in rows("Commands") for w in re.findall(r"`girderply ([\w-]+)", row[0])}
    assert told == {command.name for command in app.registered_commands}


def test_every_file_of_a_pack_is_told_and_every_file_told_is_in_one():
    told = [name for row in rows("A pack") for name in re.findall(r"`([^`]+)`", row[0])]
    made = {*pack_files(sample("two-ply-howe")), CONTENTS}
    assert [f for f in sorted(made) if not any(fnmatch(f, name) for name in told)] == []
    unreal = {name for name in told if not any(fnmatch(f, name) for f in made)}
    assert unreal == ONLY_SOME


@pytest.mark.parametrize("command", app.registered_commands, ids=lambda c: str(c.name))
def test_options_of_a_command_s_example_are_its_own(command):
    """The example of a help names no option that is gone."""
    (example,) = re.findall(r"Example: (girderply .*(?:\n.+)*)", command.callback.__doc__)
    assert example.split()[1] == command.name
    flags = set(re.findall(r"(?<=\s)(--[\w-]+)", example))
    import typer

    known = {o for p in typer.main.get_command(app).commands[command.name].params for o in p.opts}
    assert flags <= known, flags - known
