"""One way in for every kind of file: read, traced, written, and built once to be sure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from girderply.errors import JobError, TraceError
from girderply.tracing.btlx_in import read_btlx
from girderply.tracing.drawing import Drawing, Guess, Options, refusal
from girderply.tracing.dxf_in import read_dxf
from girderply.tracing.from_shape import as_nodes
from girderply.tracing.girder import girder_of
from girderply.tracing.ifc_in import read_ifc
from girderply.tracing.job_text import all_guesses, job_text
from girderply.tracing.picture import picture

Reader = Callable[[Path, Options], Drawing]
READERS: Final[dict[str, Reader]] = {
    ".dxf": lambda path, _: read_dxf(path),
    ".btlx": read_btlx,
    ".ifc": read_ifc,
}


@dataclass(frozen=True, slots=True)
class Traced:
    """What came of a drawing.

    Attributes:
        text: the commented job file. picture: an SVG of what was taken for what.
        guesses: everything that nobody said. notes: what was left out.
    """

    text: str
    picture: str
    guesses: tuple[Guess, ...]
    notes: tuple[str, ...]


def trace_file(path: Path, options: Options | None = None) -> Traced:
    """Trace a girder from a drawing or a model.

    Args:
        path: a file of a kind in `READERS`, or a job whose girder is a shape.
        options: what the person says who has the drawing.

    Raises:
        TraceError: with every finding: unreadable, unclear, or no girder.
    """
    options = options or Options()
    if path.suffix.lower() == ".toml":
        text, lists = as_nodes(read_text(path), str(path.parent))
        return Traced(text, picture(lists, f"{path.name} by nodes and members"), (), ())
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        known = ", ".join(sorted([*READERS, ".toml"]))
        message = f"is none of the kinds that are traced: {known}"
        raise TraceError([refusal("kind", path.name, message)])
    girder = girder_of(reader(path, options), options)
    text = job_text(girder, options, path.name)
    _build(text)
    guesses = tuple(all_guesses(girder, options))
    return Traced(text, picture(girder, f"Traced from {path.name}"), guesses, girder.notes)


def read_text(path: Path) -> str:
    """The text of a job file."""
    from girderply.jobfile.reader import decoded

    return decoded(path.read_bytes(), path.name)


def _build(text: str) -> None:
    """Read and build what was written: a job that cannot be built is none.

    Raises:
        TraceError: with the findings of the job.
    """
    from girderply.jobfile.reader import parse_job
    from girderply.model.build import build_girder

    try:
        build_girder(parse_job(text))
    except JobError as fault:
        raise TraceError(fault.findings) from fault
