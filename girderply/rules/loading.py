"""Loading a rule set by its name or from a file of the user's own."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from girderply.catalogue.find_by_name import unknown
from girderply.errors import RuleSetError
from girderply.jobfile.paths import key_path
from girderply.rules.coherence import problems
from girderply.rules.rule_set import RuleSet
from girderply.units.short_text import did_you_mean, reason, shown

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails


def rule_set_names() -> tuple[str, ...]:
    """Names of the rule sets that are built in, sorted."""
    folder = files("girderply.rules") / "data"
    return tuple(
        sorted(f.name.removesuffix(".toml") for f in folder.iterdir() if f.name.endswith(".toml"))
    )


@cache
def load_rule_set(name: str) -> RuleSet:
    """Load a rule set that is built in.

    Args:
        name: such as "common-practice"; see `rule_set_names`.

    Raises:
        CatalogueError: no rule set of this name; the message names what there is.
    """
    if name not in rule_set_names():
        raise unknown("rule set", name, rule_set_names())
    text = (files("girderply.rules") / "data" / f"{name}.toml").read_text(encoding="utf-8")
    return parse_rules(text, name)


def load_rule_file(path: str | Path) -> RuleSet:
    """Load a rule set from a TOML file of the user's own.

    Args:
        path: of the file. The format is explained at the head of the built-in
            `common-practice.toml`.

    Raises:
        RuleSetError: the file cannot be read or used; the message names every fault with its
            key, the value found and what is allowed.
    """
    name = Path(path).name  # the folder is the user's own business
    try:
        text = Path(path).read_text(encoding="utf-8")
    except OSError as error:
        raise RuleSetError(f"rule set {name} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise RuleSetError(f"rule set {name} cannot be read: it is not UTF-8 text") from error
    return parse_rules(text, name)


def parse_rules(text: str, where: str) -> RuleSet:
    """Make a rule set of the text of a rule set file.

    Args:
        text: TOML.
        where: name of the file, for messages.

    Raises:
        RuleSetError: every fault at once.
    """
    from pydantic import ValidationError  # noqa: PLC0415 - heavy, only where a file is read

    from girderply.rules.file_model import RuleFile  # noqa: PLC0415
    from girderply.rules.from_file import build, row_problems  # noqa: PLC0415

    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RuleSetError(f"rule set {where} is not TOML: {error}") from error
    units = "imperial" if data.get("units") == "imperial" else "metric"
    try:
        file = RuleFile.model_validate(data, context={"units": units})
    except ValidationError as error:
        _refuse(where, (_sentence(e) for e in error.errors()))
        raise
    _refuse(where, row_problems(file))
    rules = build(file)
    _refuse(where, problems(rules))
    return rules


def _refuse(where: str, faults: Iterable[str]) -> None:
    """Raise when there are any faults."""
    found = list(faults)
    if found:
        raise RuleSetError(f"rule set {where}: " + "; ".join(found))


def _sentence(error: ErrorDetails) -> str:
    """One fault that pydantic found: key path, value, what is allowed, nearest right key."""
    path = key_path(error["loc"])
    if error["type"] == "extra_forbidden":
        from girderply.rules.file_model import known_keys  # noqa: PLC0415

        tip = did_you_mean(error["loc"][-1], known_keys())
        return f"{path}: no such key" + (f"; {tip}" if tip else "")
    if error["type"] == "missing":
        return f"{path}: is missing"
    return f"{path}: {shown(error['input'])} cannot be used: {reason(error['msg'])}"
