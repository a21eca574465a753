"""The calls for programs: README's example, typed, silent, in threads, errors with findings."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from command import girderply as command
from made_schedules import SAMPLES, sample

import girderply
from girderply.errors import JobError, TraceError
from girderply.exchange.json_out import schedule_json

README = Path(__file__).parents[2] / "README.md"
HOWE = SAMPLES / "two-ply-howe.toml"


def test_the_example_of_the_readme_runs_as_it_is(tmp_path):
    """In a process of its own, in a copy of the samples; what it prints is looked at."""
    mark = "<!-- example for programs"
    code = re.findall(r"```python\n(.*?)```", README.read_text("utf-8").split(mark)[1], re.S)[0]
    (tmp_path / HOWE.name).write_bytes(HOWE.read_bytes())
    ran = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"PYTHONUTF8": "1"},
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr == ""
    girder, share, guesses = ran.stdout.splitlines()
    count = len(sample("two-ply-howe").fasteners)
    assert girder == f"G1 {count} True"
    assert re.fullmatch(r"0\.\d\d of the left reaction is ply 1's", share)
    assert "girder.ply_thickness" in guesses
    assert "girder.timber" not in guesses


def test_the_first_job_of_the_readme_runs_line_by_line(capsys, tmp_path, monkeypatch):
    block = README.read_text("utf-8").split("<!-- first job -->")[1].split("```")[1]
    lines = [shlex.split(line) for line in block.splitlines()[1:] if line]
    monkeypatch.chdir(tmp_path)
    for program, *words in lines:
        assert program == "girderply"
        ran = command(capsys, *words)
        assert ran.code == 0, ran.err
    assert (tmp_path / "G1-nodes.toml").is_file()
    assert any((tmp_path / "out").glob("*/exchange/girder.ifc"))


def test_path_text_and_dictionary_are_the_same_job():
    import tomllib

    text = HOWE.read_text("utf-8")
    by_path = girderply.schedule(HOWE)
    assert girderply.schedule(str(HOWE)).content_hash == by_path.content_hash
    assert girderply.schedule(text).content_hash == by_path.content_hash
    assert girderply.schedule(girderply.read(tomllib.loads(text))).content_hash == (
        by_path.content_hash
    )


def test_errors_carry_every_finding_and_nothing_is_printed(capfd):
    with pytest.raises(JobError, match="pitch") as caught:
        girderply.read(HOWE.read_text("utf-8").replace('"22.5 deg"', '"95 deg"', 1))
    assert [f.where for f in caught.value.findings] == ["girder.shape.pitch"]
    with pytest.raises(JobError, match="does not exist"):
        girderply.schedule("no-such-job.toml")
    with pytest.raises(TraceError, match="none of the kinds"):
        girderply.trace(HOWE.with_suffix(".dwg"))
    verdict = girderply.check(SAMPLES / "refused-overloaded.toml")
    assert not verdict.good
    assert verdict.failed or any(f.severity == "error" for f in verdict.findings)
    assert capfd.readouterr() == ("", "")


def test_calls_stay_calls_when_rooms_of_the_same_name_are_imported():
    import girderply.schedule.build_schedule

    assert callable(girderply.schedule)
    assert girderply.schedule is girderply.schedule
    assert set(girderply._CALLS) <= set(dir(girderply))
    with pytest.raises(AttributeError, match="has no attribute 'weld'"):
        girderply.weld  # noqa: B018


def test_threads_give_what_one_after_the_other_gives():
    names = ["two-ply-howe", "three-ply-pratt", "two-ply-imperial", "two-ply-howe"]
    with ThreadPoolExecutor(4) as pool:
        made = list(pool.map(girderply.schedule, [SAMPLES / f"{n}.toml" for n in names]))
    for name, one in zip(names, made, strict=True):
        assert schedule_json(one) == schedule_json(sample(name))


def test_importing_is_light_and_the_package_is_typed():
    code = "import sys, girderply; print([m for m in sys.modules if m.startswith('girderply.')])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
    assert (Path(girderply.__file__).parent / "py.typed").is_file()
