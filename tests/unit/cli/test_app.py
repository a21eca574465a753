"""The root command: version, help of every command, and what becomes of a fault."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from command import girderply

from girderply import standards
from girderply.cli import app as app_module
from girderply.errors import OutputError

COMMANDS = [str(command.name) for command in app_module.app.registered_commands]


def test_version_names_the_editions(capsys):
    ran = girderply(capsys, "--version")
    assert (ran.code, ran.err) == (0, "")
    packages = list(Path(standards.__path__[0]).glob("*/__init__.py"))
    assert len(ran.out.splitlines()) == 1 + len(packages)
    assert "NDS 2018" in ran.out
    assert "EN 1995-1-1:2004" in ran.out


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_one_real_example(capsys, command):
    ran = girderply(capsys, command, "--help")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.count(f"girderply {command} ") == 2, "usage and one example"


@pytest.mark.parametrize(
    "words",
    [("paint",), ("pack",), ("schedule", "x.toml", "--format", "dwg"), ("check", "--fast", "x")],
    ids=" ".join,
)
def test_wrong_command_line_is_exit_2(capsys, words):
    ran = girderply(capsys, *words)
    assert (ran.code, ran.out) == (2, "")
    assert "Usage" in ran.err


@pytest.mark.parametrize(
    ("fault", "code", "line"),
    [
        (OutputError("cannot write x: full"), 2, "ERROR   cannot write x: full"),
        (PermissionError(13, "Permission denied", "job.toml"), 2, "ERROR   job.toml: Permission"),
        (ZeroDivisionError("by zero"), 2, "ERROR   girderply itself is at fault: ZeroDivision"),
        (KeyboardInterrupt(), 130, ""),
    ],
    ids=lambda v: type(v).__name__ if isinstance(v, BaseException) else None,
)
def test_no_traceback_for_a_fault(capsys, monkeypatch, fault, code, line):
    def fail() -> None:
        raise fault

    monkeypatch.setattr(app_module, "app", fail)
    ran = girderply(capsys, "check", "x")
    assert (ran.code, ran.out) == (code, "")
    assert ran.err.startswith(line)
    assert "Traceback" not in ran.err


def test_debugging_keeps_the_traceback(monkeypatch):
    def fail() -> None:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(app_module, "app", fail)
    monkeypatch.setenv(app_module.DEBUG, "1")
    with pytest.raises(ZeroDivisionError, match="by zero"):
        app_module.run()


@pytest.mark.skipif(os.name == "nt", reason="a shell of POSIX closes the streams")
@pytest.mark.parametrize(("closed", "talk"), [("1", ">&-"), ("2", "2>&-"), ("12", ">&- 2>&-")])
def test_a_closed_stream_is_no_fault_of_ours(closed, talk, tmp_path):
    """The exit code is that of the command, and what is still open says what it says."""
    job = Path(__file__).parents[3] / "sample_jobs" / "two-ply-screwed.toml"
    line = f'"{sys.executable}" -m girderply check "{job}" > out 2> err {talk}'
    ran = subprocess.run(["/bin/sh", "-c", line], cwd=tmp_path, check=False)
    assert ran.returncode == 0
    out, err = ((tmp_path / name).read_text("utf-8") for name in ("out", "err"))
    assert ("RH-109 G9 rev A: good" in out) == ("1" not in closed)
    assert ("CAUTION" in err) == ("2" not in closed)
    assert "at fault" not in err
