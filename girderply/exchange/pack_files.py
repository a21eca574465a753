"""The files of one pack: what goes to the yard, the inspector and the supplier."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from girderply.errors import OutputError
from girderply.exchange.atomic import as_output_error, listed, write_folder
from girderply.exchange.csv_out import fasteners_csv, forces_csv, order_csv
from girderply.exchange.json_out import schedule_json
from girderply.exchange.names import pack_folder, safe_name
from girderply.jobfile.job import Job
from girderply.schedule.types import Schedule

# Spreadsheets take a CSV for UTF-8 only when it starts with this mark.
_CSV_ENCODING = "utf-8-sig"
ISSUED = "issued.txt"  # in a pack that went out; see `register`


def pack_name(schedule: Schedule) -> str:
    """Folder name of a pack: job number, girder mark and revision."""
    return folder_name(schedule.job)


def folder_name(job: Job) -> str:
    """Folder name of the pack that a job will have."""
    return pack_folder(job.info.number, job.girder.mark, job.info.revision)


@dataclass(frozen=True, slots=True)
class Put:
    """What a pack found in its place.

    Attributes:
        kept: names under which files changed by hand are kept beside the new ones.
        replaced: what the pack there was, in words, where it was of other content; else empty.
    """

    kept: tuple[str, ...]
    replaced: str

    @property
    def words(self) -> tuple[str, ...]:
        """What a person must know of it, in sentences."""
        kept = ", ".join(self.kept)
        found = [f"replaced {self.replaced}"] if self.replaced else []
        if kept:
            found.append(f"files of the pack before that were changed by hand are kept: {kept}")
        return tuple(found)


def put_pack(folder: Path, schedule: Schedule, files: Mapping[str, bytes]) -> Put:
    """Put a pack in its place; an issued one is never replaced.

    Args:
        folder: of the pack.
        schedule: that the files were made from.
        files: name in the pack -> content.

    Raises:
        OutputError: a pack that was issued lies there, or it cannot be written.
    """
    if ISSUED in listed(folder):
        raise OutputError(
            f"{folder} was issued and stays as it is; choose another folder with --out"
        )
    before = other_content(folder, schedule)
    return Put(write_folder(folder, files), before)


def other_content(folder: Path, schedule: Schedule) -> str:
    """What the pack in a folder is, where it is not of this content."""
    try:
        told = json.loads((folder / "schedule.json").read_text("utf-8"))
        digest, title = str(told["content_hash"]), str(told["job"]["title"])
    except (OSError, ValueError, LookupError, TypeError):
        return ""
    if digest == schedule.content_hash:
        return ""
    return f"a pack of the same revision with other content ({title}, {digest[:12]})"


def source_files(schedule: Schedule) -> dict[str, bytes]:
    """What a pack was made from: job.toml, rules.toml where the job brings its own rules, the logo.

    Raises:
        OutputError: the rule file cannot be read any more.
    """
    job = schedule.job
    if not job.source:
        return {}
    files = {"job.toml": job.source.encode()}
    if job.fastening.rules_file is not None:
        path = Path(job.folder) / job.fastening.rules_file
        with as_output_error(path):
            files["rules.toml"] = path.read_bytes()
    if schedule.logo is not None:
        files[schedule.logo.file] = schedule.logo.content
    return files


def data_files(schedule: Schedule) -> dict[str, bytes]:
    """The data of a pack: the job, schedule.json, schedule.csv, order.csv, forces.csv."""
    return {
        **source_files(schedule),
        "schedule.json": schedule_json(schedule).encode(),
        "schedule.csv": fasteners_csv(schedule).encode(_CSV_ENCODING),
        "order.csv": order_csv(schedule).encode(_CSV_ENCODING),
        "forces.csv": forces_csv(schedule).encode(_CSV_ENCODING),
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
