"""The folder at a glance: each girder in few words, and how a new one is begun."""

from __future__ import annotations

from functools import cache
from typing import Any, Final, cast, get_args

from girderply.desk.amend import Edit, amended
from girderply.desk.amounts import bare, pointed
from girderply.desk.firm import Firm, read_firm
from girderply.desk.folder import Folder
from girderply.desk.forms import choice_words
from girderply.desk.inspections import inspected_words
from girderply.desk.on_desk import OnDesk
from girderply.desk.papers import issued
from girderply.desk.plain_faults import message_of
from girderply.desk.scene import outline_scene
from girderply.desk.state import assumed, errors_of, hardest, load_sum, verdict, worst_share
from girderply.desk.where import field_path
from girderply.errors import Finding, GirderplyError, JobError
from girderply.jobfile import new_job, parse_job
from girderply.jobfile.new_job import NewOptions
from girderply.model.build_girder import build_girder
from girderply.shapes.all_shapes import shapes
from girderply.units.show import Printed
from girderply.wording import DEFAULT, Voice

Plain = dict[str, Any]

SPAN: Final = "9.6 m"
_SAID: Final = {"units", "plies", "mark", "number", "title", "pitch", "height", "panels"}
_TYPED: Final = ("pitch", "height", "panels")


def summary(voice: Voice, girder: OnDesk) -> Plain:
    """What a card of the overview says of a girder."""
    decided = girder.decided()
    found: Plain = {
        "name": girder.name,
        "verdict": verdict(voice, decided),
        "errors": errors_of(decided),
        "first": next((voice.told(f.message) for f in decided.findings), ""),
        "scene": None,
        "lines": [],
    }
    job = decided.job
    if job is not None:
        number, revision = job.info.number, job.info.revision
        found |= {"mark": job.girder.mark, "title": job.info.title}
        found["job"] = voice.phrase("desk.job_line", number=number, revision=revision)
    schedule = decided.schedule
    if schedule is not None:
        show = Printed(schedule.job.info.units, voice)
        found["scene"] = outline_scene(voice, schedule.girder, schedule.job)
        found["loads"] = [[h.x, h.y, h.face == "back"] for h in schedule.girder.loads]
        lines: list[list[str]] = [
            [voice.phrase("desk.figure_plies"),
             voice.phrase("desk.plies_of", n=schedule.girder.plies,
                          thickness=show.small(schedule.girder.ply_thickness))],
            [voice.phrase("desk.figure_load"), load_sum(voice, schedule, show)],
            [voice.phrase("desk.figure_hardest"), hardest(voice, schedule)[0]],
            [voice.phrase("desk.figure_share"), worst_share(voice, schedule)],
            [voice.phrase("desk.figure_assumed"), assumed(voice, schedule)],
            [voice.phrase("desk.figure_issued"), issued_words(voice, girder)],
            [voice.phrase("desk.figure_inspected"), inspected_words(voice, girder)],
        ]  # fmt: skip
        found["lines"] = [line for line in lines if line[1]]
    return found


def issued_words(voice: Voice, girder: OnDesk) -> str:
    """The last revision that went out."""
    try:
        found = issued(girder.folder, girder.name)
    except GirderplyError as fault:
        return str(fault)
    return voice.phrase("desk.issued_as", revision=str(found[0]["revision"])) if found else ""


def shape_kinds() -> tuple[str, ...]:
    """Trade names of the shapes, as the job's schema lists them."""
    from girderply.jobfile.schema_girder import ShapeKind

    return get_args(ShapeKind)


@cache
def sketches(voice: Voice) -> tuple[Plain, ...]:
    """Every shape as a drawing to choose from."""
    return tuple(
        {"kind": k, "said": _shape_words(voice, k), "scene": _sketch(voice, k), "takes": _takes(k)}
        for k in shape_kinds()
    )


def _takes(kind: str) -> list[str]:
    """Keys that say how high or steep a shape is."""
    return [key for group in shapes()[kind].needs for key in group]


def _shape_words(voice: Voice, kind: str) -> str:
    """A shape by its name."""
    return voice.told(choice_words("kind", kind))


def _sketch(voice: Voice, kind: str) -> Plain:
    job = parse_job(new_job(kind, SPAN))
    girder, _ = build_girder(job)
    return outline_scene(voice, girder, job)


def begins(voice: Voice, firm: Firm) -> list[Edit]:
    """What a new girder begins with: as the firm's file says, else papers as the page speaks."""
    own = [*firm.begins()]
    language = ("job", "language")
    if voice.language != DEFAULT and all(e.path != language for e in own):
        own.append(Edit(language, "set", voice.language))
    return own


def started(voice: Voice, folder: Folder, said: Plain) -> Plain:
    """Begin a new girder, or only draw it.

    Args:
        voice: that tells it.
        folder: that its file goes into.
        said: shape and span, and what else was said; `keep` False draws it and writes nothing.

    Returns:
        `name` of the file (only where it was kept) and `scene`; or `findings` where it cannot be.
    """
    firm = read_firm(folder)
    kind, span = str(said.get("kind")), pointed(str(said.get("span", "")))
    options = {k: v for k, v in said.items() if k in _SAID and v not in (None, "")}
    options |= {k: bare(pointed(str(options[k]))) for k in _TYPED if k in options}
    options.setdefault(
        "title", voice.phrase("desk.new_title", shape=_shape_words(voice, kind), span=span)
    )
    try:
        text = new_job(kind, span, **cast("NewOptions", options))
        text = amended(text, [*begins(voice, firm)])
        job = parse_job(text)
        girder, _ = build_girder(job)
    except JobError as fault:
        return {
            "findings": [
                {
                    "where": voice.told(f.where),
                    "message": _wrong(voice, f, said),
                    "tip": voice.told(f.tip),
                }
                for f in fault.findings
            ]
        }
    drawn: Plain = {"scene": outline_scene(voice, girder, job)}
    if said.get("keep"):
        drawn["name"] = folder.create(str(options.get("mark", "G1")), text)
    return drawn


def _wrong(voice: Voice, finding: Finding, said: Plain) -> str:
    """What is wrong with what was said of a new girder."""
    path = field_path(voice.told(finding.where), {})
    data = {"girder": {"shape": said}, "job": {"units": said.get("units")}}
    return message_of(voice, finding, path, data)
