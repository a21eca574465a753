"""One way in for every kind of file: read, traced, written, and built once to be sure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from girderply.errors import JobError, TraceError
from girderply.jobfile.job import MemberSpec, NodeSpec
from girderply.model.girder import Girder
from girderply.tracing.btlx_in import read_btlx
from girderply.tracing.drawing import Drawing, Guess, Options, refusal
from girderply.tracing.dxf_in import read_dxf
from girderply.tracing.from_outlines import girder_of
from girderply.tracing.from_shape import as_nodes
from girderply.tracing.ifc_in import read_ifc
from girderply.tracing.job_text import all_guesses, job_text, table_text
from girderply.tracing.picture import picture
from girderply.tracing.tables_in import lists_of, loads_text, read_tables
from girderply.tracing.traced import TracedGirder
from girderply.wording import Words

Reader = Callable[[Path, Options], Drawing]
TABLES: Final = (".csv", ".xlsx", ".ods", ".xls")
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
    notes: tuple[Words, ...]


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
    if path.is_dir() or path.suffix.lower() in TABLES:
        return _of_tables(path, options)
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        known = ", ".join(sorted([*READERS, *TABLES, ".toml"]))
        message = f"is none of the kinds that are traced: {known}"
        raise TraceError([refusal("kind", path.name, message)])
    girder = girder_of(reader(path, options), options)
    text = job_text(girder, options, path.name)
    built(text)
    guesses = tuple(all_guesses(girder, options))
    return Traced(text, picture(girder, f"Traced from {path.name}"), guesses, girder.notes)


def _of_tables(path: Path, options: Options) -> Traced:
    tables = read_tables(path)
    loads = options.loads or loads_text(tables.get("loads", []))
    options = replace(options, loads=loads)
    text = table_text(lists_of(tables), options, path.name)
    girder = built(text)
    guesses = tuple(all_guesses(TracedGirder((), ()), options))
    return Traced(text, picture(shown_as(girder), f"Tables of {path.name}"), guesses, ())


def shown_as(girder: Girder) -> TracedGirder:
    """A girder that was built, for its picture."""
    at = {j.id: NodeSpec(j.id, j.x, j.y) for j in girder.joints}
    members = tuple(MemberSpec(m.id, m.role, m.joints, m.depth) for m in girder.members)
    outlines = {m.id: tuple((float(x), float(y)) for x, y in m.outline) for m in girder.members}
    bearings = girder.bearings
    return TracedGirder(tuple(at.values()), members, (), bearings, outlines)


def read_text(path: Path) -> str:
    """The text of a job file."""
    from girderply.jobfile.reader import decoded

    return decoded(path.read_bytes(), path.name)


def built(text: str) -> Girder:
    """Read and build what was written: a job that cannot be built is none.

    Raises:
        TraceError: with the findings of the job.
    """
    from girderply.jobfile.reader import parse_job
    from girderply.model.build_girder import build_girder

    try:
        return build_girder(parse_job(text))[0]
    except JobError as fault:
        raise TraceError(fault.findings) from fault
