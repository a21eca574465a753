"""The files of one pack: what goes to the yard, the inspector and the supplier."""

from __future__ import annotations

from collections.abc import Mapping

from girderply.exchange.csv_out import fasteners_csv, order_csv
from girderply.exchange.json_out import schedule_json
from girderply.exchange.names import safe_name
from girderply.jobfile.job import Job
from girderply.schedule.types import Schedule

# Spreadsheets take a CSV for UTF-8 only when it starts with this mark.
_CSV_ENCODING = "utf-8-sig"


def pack_name(schedule: Schedule) -> str:
    """Folder name of a pack: job number, girder mark and revision."""
    return folder_name(schedule.job)


def folder_name(job: Job) -> str:
    """Folder name of the pack that a job will have."""
    return safe_name(f"{job.info.number}-{job.girder.mark}-rev-{job.info.revision}")


def data_files(schedule: Schedule) -> dict[str, bytes]:
    """The data of a pack: schedule.json, schedule.csv and order.csv."""
    return {
        "schedule.json": schedule_json(schedule).encode(),
        "schedule.csv": fasteners_csv(schedule).encode(_CSV_ENCODING),
        "order.csv": order_csv(schedule).encode(_CSV_ENCODING),
    }


def svg_files(drawings: Mapping[str, str]) -> dict[str, bytes]:
    """Drawings as SVG files; names that would fall together get a number."""
    files: dict[str, bytes] = {}
    taken: set[str] = set()
    for title, svg in drawings.items():
        name, n = safe_name(title), 1
        while name.casefold() in taken:
            n += 1
            name = f"{safe_name(title)}-{n}"
        taken.add(name.casefold())
        files[f"{name}.svg"] = svg.encode()
    return files
