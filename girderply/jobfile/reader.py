"""Reads a job file: a `Job`, or one `JobError` with every finding at once, never anything else."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from girderply.errors import Finding, JobError
from girderply.jobfile.job import Job
from girderply.jobfile.paths import error, table
from girderply.units.short_text import printable

MOST_BYTES: Final = 5_000_000
MOST_NESTING: Final = 12
MOST_FINDINGS: Final = 200


def read_job(path: str | Path) -> Job:
    """Read a job file.

    Args:
        path: a TOML file in UTF-8 of at most 5 MB.

    Returns:
        The job in N, mm and rad; its folder is that of the file.

    Raises:
        JobError: with every finding: no such file, not TOML, values that are not allowed.
    """
    file = Path(path)
    return parse_job(_text(file), folder=str(file.parent))


def parse_job(text: str, folder: str = "") -> Job:
    """Read a job from the text of a job file.

    Args:
        text: TOML.
        folder: where the file lies, for the files that it names.

    Returns:
        The job in N, mm and rad.

    Raises:
        JobError: with every finding: not TOML, values that are not allowed or do not agree.
    """
    return replace(_checked(_toml(text), folder), source=text)


def _text(file: Path) -> str:
    name = printable(str(file))
    try:
        with file.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _no_job("no-file", f"{name} does not exist") from None
    except IsADirectoryError:
        raise _no_job("is-folder", f"{name} is a folder; the job file in it is needed") from None
    except (OSError, ValueError) as problem:  # ValueError: a null character in the path
        reason = getattr(problem, "strerror", None) or "the name is not allowed"
        raise _no_job("no-file", f"{name} cannot be read: {reason}") from problem
    return decoded(content, name)


def decoded(content: bytes, name: str) -> str:
    """Bytes of a job file as text.

    Args:
        content: at most one byte more than the most that is read.
        name: of the file, for the message.

    Raises:
        JobError: too large, or not UTF-8.
    """
    if len(content) > MOST_BYTES:
        raise _no_job("too-big", f"{name} is larger than 5 MB; a job file has a few kB")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        message = f"{name} is not text in UTF-8 (byte {problem.start + 1})"
        raise _no_job("not-utf8", message, "save it as UTF-8 in your editor") from None


def _no_job(code: str, message: str, tip: str = "") -> JobError:
    return JobError([error(code, (), message, tip)])


def _toml(text: str) -> dict[str, Any]:
    try:
        data = tomllib.loads(text)
    except RecursionError:
        raise _no_job("too-deep", "the file is nested too deeply for a job file") from None
    except ValueError as problem:  # TOMLDecodeError, or a number of thousands of digits
        message = f"the file is not TOML: {printable(str(problem))[:300]}"
        tip = 'every line is a [table], a key = value, or a # comment; text stands in "quotes"'
        raise _no_job("not-toml", message, tip) from None
    if _deeper_than(data, MOST_NESTING):
        raise _no_job("too-deep", f"the file is nested more than {MOST_NESTING} levels deep")
    return data


def _deeper_than(data: object, most: int) -> bool:
    level: list[Any] = [data]
    for _ in range(most):
        inner = [v for v in level if isinstance(v, dict | list)]
        level = [x for v in inner for x in (v.values() if isinstance(v, dict) else v)]
        if not level:
            return False
    return any(isinstance(v, dict | list) for v in level)


def _checked(data: Mapping[str, Any], folder: str) -> Job:
    # pydantic is imported where a job is read, not where a command is only parsed.
    from pydantic import ValidationError  # noqa: PLC0415

    from girderply.jobfile.convert import to_job  # noqa: PLC0415
    from girderply.jobfile.cross import cross_findings  # noqa: PLC0415
    from girderply.jobfile.findings import from_pydantic  # noqa: PLC0415
    from girderply.jobfile.given import given_values  # noqa: PLC0415
    from girderply.jobfile.job_form import JobFile  # noqa: PLC0415

    units = table(data, "job").get("units")
    system = units if units in ("metric", "imperial") else "metric"
    findings: list[Finding] = []
    file = None
    try:
        file = JobFile.model_validate(data, context={"system": system})
    except ValidationError as raised:
        findings = from_pydantic(raised, MOST_FINDINGS)
    findings += cross_findings(data, system)
    if findings or file is None:
        raise JobError(_shortened(findings))
    return to_job(file, folder, tuple(given_values(data).items()))


def _shortened(findings: list[Finding]) -> list[Finding]:
    unique = list({(f.where, f.message): f for f in reversed(findings)}.values())[::-1]
    if len(unique) <= MOST_FINDINGS:
        return unique
    left_out = len(unique) - MOST_FINDINGS
    more = error("more", (), f"{left_out} more findings are left out; mend these first")
    return [*unique[:MOST_FINDINGS], more]
