"""Records of made-up inspections, as the tablet writes them."""

from __future__ import annotations

import base64
import io
import json
from functools import cache
from pathlib import Path

from PIL import Image

import girderply
from girderply.inspection.record import Record, file_text, parse_record
from girderply.jobfile.reader import read_job
from girderply.schedule.build_schedule import build_schedule
from girderply.schedule.types import Schedule

SAMPLES = Path(girderply.__file__).parents[1] / "sample_jobs"


@cache
def sample(name: str) -> Schedule:
    """The schedule of a sample job; made once."""
    return build_schedule(read_job(SAMPLES / f"{name}.toml"))


def record_data(schedule, states=None, only=None, **other):
    """A record with every fastener marked good but these: id -> state or (state, by_mm, note)."""
    states = states or {}

    def mark(name):
        said = states.get(name, "good")
        state, by, note = said if isinstance(said, tuple) else (said, None, "")
        return {"id": name, "state": state, "by_mm": by, "note": note}

    names = schedule.fasteners.id.tolist() if only is None else only
    return {
        "schema": "girderply.record/2",
        "job": schedule.job.info.number,
        "mark": schedule.girder.mark,
        "piece": 1,
        "revision": schedule.job.info.revision,
        "content_hash": schedule.content_hash,
        "inspector": "A. Inspector",
        "date": "2026-11-25",
        "previous": None,
        "marks": [mark(name) for name in names],
        "counts": [],
        "plies": {"gap_mm": 0.0, "alignment_mm": 0.0},
        "signatures": [
            {"stage": s.number, "name": "A. Inspector", "date": "2026-11-25"}
            for s in schedule.stages
            if s.hold_point
        ],
        "note": "",
        "stages": stages_seen(schedule),
        "shifts": [],
        "decisions": [],
        "photos": photos_of(schedule, states),
    } | other


@cache
def jpeg(width: int = 8, height: int = 6) -> str:
    """A picture in base64, as a record holds it."""
    content = io.BytesIO()
    Image.new("RGB", (width, height), (200, 120, 40)).save(content, "JPEG")
    return base64.b64encode(content.getvalue()).decode()


def photo(of, width=8, height=6):
    """A photo of a stage or a fastener."""
    return {
        "of": of, "taken": "2026-11-25T10:00", "width": width, "height": height,
        "jpeg": jpeg(width, height),
    }  # fmt: skip


def photos_of(schedule, states):
    """One of every hold point and of every fault, as far as a record holds them."""
    stages = [f"stage {s.number}" for s in schedule.stages if s.hold_point]
    found = {n: said if isinstance(said, str) else said[0] for n, said in states.items()}
    faults = [n for n, state in found.items() if state != "good"]
    return [photo(of) for of in [*stages, *faults][:60]]


def stages_seen(schedule):
    """Of every stage what a signature needs: sizes as due, finish, washers, points clenched."""
    f, found = schedule.fasteners, []
    for stage in schedule.stages:
        mine = f.stage == stage.number
        nails = [schedule.nails[spec] for spec in dict.fromkeys(f.spec[mine & f.driven].tolist())]
        found.append(
            {
                "stage": stage.number,
                "nails": [{"d_mm": n.d, "length_mm": n.length, "read_from": "box"} for n in nails],
                "finish": finish_due(schedule, set(f.spec[mine].tolist())) or "zinc",
                "washers": "as drawn" if (mine & (f.kind == "bolt")).any() else None,
                "clenched": int((mine & f.clench).sum()),
            }
        )
    return found


def finish_due(schedule, specs):
    """What the job asks for these, in its own words; its own finish goes for all its nails."""
    own = schedule.job.fastening
    bolted = any(spec in schedule.bolts for spec in specs)
    return (own.bolt_finish if bolted else None) or own.finish


def record(schedule, states=None, only=None, **other) -> Record:
    """The same, read."""
    return parse_record(json.dumps(record_data(schedule, states, only, **other)), schedule)


def ids(schedule, member, kind="nail", stage=None):
    """Ids of a member's fasteners of one kind, along the tape."""
    f = schedule.fasteners
    mask = (f.member == member) & (f.kind == kind)
    if stage is not None:
        mask &= f.stage == stage
    return f.id[mask].tolist()


def read_record(path, schedule):
    """The record of a girder in a file."""
    return parse_record(file_text(path), schedule)
