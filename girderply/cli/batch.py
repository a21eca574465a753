"""girderply batch."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Generator, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from girderply.cli.talk import Exit, clean, product, say
from girderply.cli.work import LanguageOption
from girderply.errors import OutputError
from girderply.wording import english

if TYPE_CHECKING:
    from girderply.cli.batch_run import Batch
    from girderply.papers.supplier.batch_summary import Line

CSV, HTML = "summary.csv", "summary.html"
PAUSE = 5.0  # s at least between two writings of a summary that grows


def batch(
    jobs: Annotated[
        list[str],
        typer.Argument(metavar="JOBS", help="Job files, folders of them, or patterns."),
    ],
    out: Annotated[Path, typer.Option("--out", help="Folder that the packs go into.")] = Path("."),
    workers: Annotated[
        int | None,
        typer.Option("--workers", min=1, max=256, help="Processes. Default: one per core."),
    ] = None,
    resume: Annotated[
        bool, typer.Option("--resume", help="Keep packs that are whole and unchanged.")
    ] = False,
    scheduler: Annotated[
        str,
        typer.Option(
            "--scheduler",
            help="Send the jobs to a Dask cluster, tcp://host:port (girderply[cluster]); its "
            "workers must reach --out under the same name.",
        ),
    ] = "",
    language: LanguageOption = None,
) -> None:
    """Make the packs of many girders at once, and a summary of them (CSV and HTML).

    A job that cannot be read spoils only itself: it is listed with its reason, and the rest is
    done. Ctrl-C leaves whole packs and a summary of what was done; --resume goes on from there.

    Example: girderply batch season/ --out packs --workers 4 --resume
    """
    from girderply.cli.batch_run import Batch
    from girderply.exchange.batch_jobs import job_files

    files = job_files(jobs)
    work = Batch(files, out, min(workers or os.cpu_count() or 1, len(files)), resume, language)
    done: list[Line] = []
    stopped = False
    try:
        with _summary(out, done, len(files)) as note, _bar(len(files)) as show:
            try:
                with closing(_results(work, scheduler)) as lines:
                    for line in lines:
                        done.append(line)
                        show(line.girder or line.job_file)
                        note()
            except KeyboardInterrupt:
                stopped = True
    except OutputError:
        if done:  # what is on no disk is at least said
            _say_all(done, len(files))
        raise
    _say_all(done, len(files))
    product("".join(clean(str(out / name)) + "\n" for name in (CSV, HTML)))
    if stopped:
        raise typer.Exit(130)
    raise typer.Exit(_code({x.state for x in done}))


def _code(states: set[str]) -> Exit:
    """2 where a job could not be read or its pack not be made, 1 where one may not be assembled."""
    if "failed" in states:
        return Exit.UNREADABLE
    return Exit.GOOD if states <= {"good"} else Exit.FAILED


def _results(work: Batch, scheduler: str) -> Generator[Line, None, None]:
    if scheduler:
        from girderply.cli.batch_cluster import cluster_results

        return cluster_results(work, scheduler)
    from girderply.cli.batch_run import results

    return results(work)


@contextmanager
def _summary(out: Path, done: list[Line], count: int) -> Iterator[Callable[[], None]]:
    """Write the summary again and again while it grows, each time as a whole, and at the end."""
    from girderply.exchange.atomic import as_output_error

    with as_output_error(out):
        out.mkdir(parents=True, exist_ok=True)
    _write_summary(out, [], count)  # a place that cannot be written is told before any work
    last, took = time.monotonic(), 0.0

    def note() -> None:
        nonlocal last, took
        if time.monotonic() - last < max(PAUSE, 20 * took):
            return
        start = time.monotonic()
        _write_summary(out, done, count)
        last = time.monotonic()
        took = last - start

    try:
        yield note
    finally:
        _write_summary(out, done, count)


def _write_summary(out: Path, done: list[Line], count: int) -> None:
    from girderply.exchange.atomic import write_text
    from girderply.exchange.csv_out import table_text
    from girderply.papers.supplier.batch_summary import CSV_HEADS, csv_rows, summary_html

    write_text(out / CSV, table_text(CSV_HEADS, csv_rows(done)), encoding="utf-8-sig")
    write_text(out / HTML, summary_html(done, count - len(done)))


@contextmanager
def _bar(count: int) -> Iterator[Callable[[str], None]]:
    """One bar with the name of what was done last and the time left; only on a terminal."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
    from rich.progress import TimeRemainingColumn as Left

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), Left())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("reading", total=count)

        def show(name: str) -> None:
            progress.update(task, advance=1, description=escape(clean(name)[-40:]))

        yield show


def _say_all(done: list[Line], count: int) -> None:
    """Every job that is not good, with its reason; then the numbers."""
    from girderply.schedule import cautions

    for line in done:
        if line.state != "good":
            word = "FAILED " if line.state == "failed" else "REFUSED"
            say(f"{word} {line.job_file}: {line.reason}")
    states = [x.state for x in done]
    kept = sum(not x.redone for x in done)
    say(
        f"{len(done)} of {count} jobs done: {states.count('good')} good, "
        f"{states.count('not for assembly')} NOT FOR ASSEMBLY, {states.count('failed')} failed; "
        f"{kept} unchanged packs kept."
    )
    if "failed" in states:
        say(
            f"ERROR   {states.count('failed')} of {count} jobs have no pack of this run: each is "
            "named above as FAILED, with its reason"
        )
        say("  TIP   Mend what is named; the same command with --resume then makes only those.")
    if len(done) < count:
        say("  TIP   Stopped early; the same command with --resume goes on from here.")
    say(f"CAUTION {' '.join(map(english, cautions.scope()))}")
