"""What makes the bytes of a pack is named with its versions."""

from __future__ import annotations

import tomllib
from importlib.metadata import version
from pathlib import Path

import girderply.exchange.batch_kept as kept
from girderply.cli.pack import pack_files
from girderply.exchange.atomic import write_folder
from girderply.jobfile.reader import parse_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.generator import LIBRARIES, generator

ROOT = Path(__file__).parents[3]
SAMPLE = ROOT / "sample_jobs" / "two-ply-howe.toml"


def test_every_library_named_is_one_that_the_program_depends_on():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    needed = {line.split(">=")[0] for line in project["dependencies"]}
    assert set(LIBRARIES) <= needed
    assert generator()["libraries"] == {name: version(name) for name in LIBRARIES}


def test_a_pack_of_other_libraries_is_made_anew(tmp_path, monkeypatch):
    schedule = build_schedule(parse_job(SAMPLE.read_text("utf-8")))
    write_folder(tmp_path / "pack", pack_files(schedule))
    assert kept.is_unchanged(tmp_path / "pack", schedule)
    newer = generator() | {"libraries": generator()["libraries"] | {"typst": "99.0"}}
    monkeypatch.setattr(kept, "generator", lambda: newer)
    assert not kept.is_unchanged(tmp_path / "pack", schedule)
