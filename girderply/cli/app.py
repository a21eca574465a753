"""The root of the commands: their list, the version, and what happens to a fault."""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

# Before numpy is loaded: the matrices here are small, so that threads cost ten times what they
# save, and what is rounded must not hang on how many a machine has.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import girderply
from girderply.cli import (
    batch,
    catalogue,
    check,
    desk,
    draw,
    explain,
    inspect,
    issue,
    lot,
    new,
    pack,
    schedule,
    schema,
    share,
    swap,
    verify,
)
from girderply.cli.talk import Exit, say_bug, say_fault
from girderply.errors import GirderplyError

DEBUG = "GIRDERPLY_DEBUG"
app = typer.Typer(
    name="girderply",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help=(
        "Fasten the plies of a timber girder truss: every nail, bolt and washer decided, checked "
        "and drawn for the people who do the work.\n\n"
        "Example: girderply pack two-ply-howe.toml --out out\n\n"
        "Exit codes: 0 good; 1 a check failed or a finding is an error; 2 the job could not be "
        "read or the command was wrong."
    ),
)
app.command("new")(new.new)
app.command("check")(check.check)
app.command("schedule")(schedule.schedule)
app.command("draw")(draw.draw)
app.command("pack")(pack.pack)
app.command("batch")(batch.batch)
app.command("issue")(issue.issue)
app.command("explain")(explain.explain)
app.command("share")(share.share)
app.command("swap")(swap.swap)
app.command("inspect")(inspect.inspect)
app.command("lot")(lot.lot)
app.command("verify")(verify.verify)
app.command("desk")(desk.desk)
app.command("catalogue")(catalogue.catalogue)
app.command("schema")(schema.schema)


def editions() -> list[str]:
    """The documents that the checks and limits are from, with their editions."""
    from importlib import import_module
    from pkgutil import iter_modules

    from girderply import standards

    found = (m.name for m in iter_modules(standards.__path__, "girderply.standards.") if m.ispkg)
    return [import_module(name).DOCUMENT for name in sorted(found)]


def _version(wanted: bool) -> None:
    if wanted:
        print(f"girderply {girderply.__version__}", *editions(), sep="\n")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool,
        typer.Option(
            "--version",
            callback=_version,
            is_eager=True,
            help="Say the version and the editions of the standards used.",
        ),
    ] = False,
) -> None:
    del version


def run() -> None:
    """Run the command line; user errors become a line and a tip, never a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        app()
    except (GirderplyError, OSError) as fault:
        say_fault(fault)
        sys.exit(Exit.UNREADABLE)
    except KeyboardInterrupt:
        sys.exit(130)
    except Exception as fault:  # reason: a bug must not look like the result "a check failed"
        # Why everything: the last line of defence. A bug may raise anything, and a traceback ends
        # with exit code 1, which is that result's.
        if os.environ.get(DEBUG):
            raise
        say_bug(fault, DEBUG)
        sys.exit(Exit.UNREADABLE)
