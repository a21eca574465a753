"""What the commands say: the product to stdout, everything else to stderr."""

from __future__ import annotations

import os
import sys
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from enum import IntEnum
from typing import TextIO

from girderply.errors import Finding, GirderplyError, JobError, Severity, alike_as_one
from girderply.wording import english


class Exit(IntEnum):
    """Exit codes of every command."""

    GOOD = 0
    FAILED = 1
    UNREADABLE = 2


def clean(text: str) -> str:
    """The text on one line without anything that could steer a terminal.

    Control characters (C0, C1, line and paragraph separators) and the characters that turn the
    direction of writing become a space or vanish.
    """
    spaced = "".join(" " if c in "\t\n\r\v\f\x85\u2028\u2029" else c for c in text)
    return "".join(c for c in spaced if unicodedata.category(c) not in ("Cc", "Cf", "Cs"))


def product(text: str) -> None:
    """Write the product to stdout; a reader that has gone away is no fault."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        _let_go(sys.stdout)


def say(line: str) -> None:
    """Write one line of talk to stderr."""
    try:
        print(clean(line), file=sys.stderr, flush=True)
    except BrokenPipeError:
        _let_go(sys.stderr)


def _let_go(stream: TextIO) -> None:
    """Point a broken stream at nothing, so that closing it at exit says nothing either."""
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, stream.fileno())
    os.close(null)


def say_findings(findings: Iterable[Finding]) -> None:
    """Say every finding in words, errors first, each with its tip."""
    order = list(Severity)
    for finding in sorted(alike_as_one(findings), key=lambda f: order.index(f.severity)):
        clause = f" [{finding.clause}]" if finding.clause else ""
        place, message = english(finding.where), english(finding.message)
        where = "" if not place or message.startswith(place) else f"{place}: "
        say(f"{finding.severity.upper():<8}{where}{message}{clause}")
        if finding.tip:
            say(f"  TIP   {english(finding.tip)}")


def say_fault(fault: GirderplyError | OSError) -> None:
    """Say why the work could not be done, and what to do next."""
    if isinstance(fault, JobError):
        say_findings(fault.findings)
        return
    reason = str(fault)
    if type(fault) is OSError or not isinstance(fault, GirderplyError):
        reason = f"{getattr(fault, 'filename', None) or ''}: {fault.strerror or fault}".lstrip(": ")
    say(f"ERROR   {reason}")
    tip = getattr(fault, "tip", "") or _TIPS.get(type(fault).__name__, "")
    if tip:
        say(f"  TIP   {tip}")


_TIPS = {
    "CatalogueError": "girderply catalogue lists every name that is known.",
    "RuleSetError": "girderply catalogue rules lists the rule sets that are built in.",
    "OutputError": "See that the place can be written, or choose another with --out.",
    "RangeError": "Look at the value named; girderply check JOB says where it comes from.",
}


def say_bug(fault: Exception, variable: str) -> None:
    """Say that the tool itself is at fault, and how to see where."""
    say(f"ERROR   girderply itself is at fault: {type(fault).__name__}: {fault}")
    say(f"  TIP   Nothing of this job was written. Set {variable}=1 to see where, and report it.")


@contextmanager
def working(what: str) -> Iterator[None]:
    """Shown on a terminal that something is being done; silent when stderr is not one."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console

    with Console(stderr=True).status(clean(what)):
        yield
