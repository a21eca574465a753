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
    accept,
    batch,
    catalogue,
    check,
    decide,
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
    sign,
    swap,
    trace,
    verify,
)
from girderply.cli.talk import Exit, say_bug, say_fault
from girderply.errors import GirderplyError

DEBUG = "GIRDERPLY_DEBUG"
app = typer.Typer(
    name="girderply",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    help=(
        "Fasten the plies of a timber girder truss: every nail, bolt and washer decided, checked "
        "and drawn for the people who do the work.\n\n"
        "Example: girderply pack two-ply-howe.toml --out out\n\n"
        "Exit codes: 0 good; 1 a check failed or a finding is an error; 2 the job could not be "
        "read or the command was wrong."
    ),
)
app.command("new", short_help="Start a job file from a shape and a span.")(new.new)
app.command("trace", short_help="Turn a drawing of a truss into a job file.")(trace.trace)
app.command("check", short_help="Say everything that is wrong with a job, and read it back.")(
    check.check
)
app.command("schedule", short_help="List the fasteners: table, JSON, CSV, XLSX or DXF.")(
    schedule.schedule
)
app.command("draw", short_help="Draw chosen sheets, true to scale.")(draw.draw)
app.command("pack", short_help="Make the whole pack of a girder.")(pack.pack)
app.command("batch", short_help="Make the packs of many girders, and a summary.")(batch.batch)
app.command("issue", short_help="Issue a delivery: packs, delivery note, labels, register.")(
    issue.issue
)
app.command("explain", short_help="Follow one check by hand, step by step.")(explain.explain)
app.command("share", short_help="Ask how the plies really share the load.")(share.share)
app.command("swap", short_help="Ask what another nail, screw, bolt or ply count changes.")(
    swap.swap
)
app.command("inspect", short_help="Judge what an inspector found.")(inspect.inspect)
app.command("lot", short_help="Say which girders of a lot to inspect; judge the lot.")(lot.lot)
app.command("decide", short_help="Record what was decided about a girder.")(decide.decide)
app.command("accept", short_help="Certify girders whose records leave nothing open.")(accept.accept)
app.command("verify", short_help="Say whether a pack is as made, and measure it again.")(
    verify.verify
)
app.command("sign", short_help="Sign a PDF; its own bytes stay.")(sign.sign)
app.command("desk", short_help="Work on girders in the browser.")(desk.desk)
app.command("catalogue", short_help="List nails, bolts, washers, timbers and rule sets.")(
    catalogue.catalogue
)
app.command("schema", short_help="Print the JSON Schema of a job file.")(schema.schema)


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
