"""girderply check."""

from __future__ import annotations

import typer

from girderply.cli.talk import clean, product
from girderply.cli.work import JobPath, exit_code, make_schedule, say_result


def check(job: JobPath) -> None:
    """Read a job and say everything that is wrong with it or worth knowing.

    Nothing is written. Example: girderply check two-ply-howe.toml
    """
    schedule = make_schedule(job)
    say_result(schedule)
    counts = schedule.fasteners.kind.tolist()
    judged = "NOT FOR ASSEMBLY" if schedule.failed else "good"
    info, girder = schedule.job.info, schedule.girder
    line = (
        f"{info.number} {girder.mark} rev {info.revision}: {judged}; {girder.plies} plies, "
        f"nails: {counts.count('nail')}, bolts: {counts.count('bolt')}, "
        f"checks: {len(schedule.checks)}, findings: {len(schedule.findings)}"
    )
    product(clean(line) + "\n")
    if schedule.shares is not None:
        product(clean(f"{schedule.shares.words()}.") + "\n")
    raise typer.Exit(exit_code(schedule))
