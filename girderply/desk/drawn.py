"""A new girder from a drawing of its truss: read beside the pages, shown, kept as a job file."""

from __future__ import annotations

import tempfile
from functools import partial
from pathlib import Path
from typing import Any, Final

from girderply.desk.addresses import BadRequestError
from girderply.desk.folder import Folder
from girderply.desk.scene import outline_scene
from girderply.desk.workers import Workers, waited
from girderply.errors import Finding, JobError
from girderply.exchange.names import safe_name
from girderply.wording import Voice

Plain = dict[str, Any]

KINDS: Final = (".dxf", ".btlx", ".ifc", ".xlsx")  # what one file can say
_SAID: Final = ("unit", "plies", "mark", "number", "units", "timber", "ply_thickness")
_WORKED_AT: Final = "(a drawing)"  # no girder is called so: it is no name of a file


def begun(
    voice: Voice, folder: Folder, workers: Workers, name: str, data: bytes, said: Plain
) -> Plain:
    """Begin a new girder from a drawing, or only show what would come of it.

    Args:
        voice: that tells it.
        folder: that its file goes into.
        workers: the process beside the pages, which opens the drawing.
        name: of the drawing.
        data: the drawing itself.
        said: what the person says who has it; `keep` writes the job file.

    Returns:
        `scene`, `guesses` (about what, value, why) and `notes`, and `name` of the file where it was
        kept; or `findings` where no girder comes of it.
    """
    options = {key: str(said[key]) for key in _SAID if said.get(key)}
    if not options.get("plies", "2").isdecimal():
        raise BadRequestError("plies are a whole number, 2 to 6")
    key = ("drawn", name, voice, *sorted(options.items()))
    text = data.decode("latin-1")  # a task is known by a text: one character for each byte
    task = workers.ask(_WORKED_AT, text, key, partial(drawn_of, voice), name, options)
    made: Plain = dict(waited(task))
    job = made.pop("job", None)
    if said.get("keep") and job is not None:
        made["name"] = folder.create(str(options.get("mark") or Path(name).stem), job)
    return made


def drawn_of(voice: Voice, text: str, name: str, options: dict[str, str]) -> Plain:
    """What comes of a drawing, as `girderply trace` makes it.

    Args:
        voice: that tells it.
        text: the bytes of the drawing, one character for each.
        name: of the drawing, which tells its kind.
        options: what the person says, by the option's name.
    """
    from girderply.jobfile import parse_job
    from girderply.tracing.drawing import Options
    from girderply.tracing.file import built, trace_file

    wanted: Plain = dict(options)
    if "plies" in wanted:
        wanted["plies"] = int(wanted["plies"])
    with tempfile.TemporaryDirectory() as inner:
        ending = Path(name).suffix.lower()
        path = Path(inner) / f"{safe_name(Path(name).stem) or 'drawing'}{ending}"
        path.write_bytes(text.encode("latin-1"))
        try:
            made = trace_file(path, Options(**wanted))
        except JobError as fault:
            return {"findings": [_finding(voice, f) for f in fault.findings]}
    return {
        "job": made.text,
        "scene": outline_scene(voice, built(made.text), parse_job(made.text)),
        "guesses": [[voice.told(w) for w in (g.about, g.value, g.why)] for g in made.guesses],
        "notes": [voice.told(n) for n in made.notes],
    }


def _finding(voice: Voice, f: Finding) -> Plain:
    return {
        "where": voice.told(f.where),
        "message": voice.told(f.message),
        "tip": voice.told(f.tip),
    }
