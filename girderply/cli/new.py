"""girderply new."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, cast

import typer

from girderply.cli.talk import say
from girderply.cli.work import deliver_job
from girderply.shapes.all_shapes import shapes
from girderply.shapes.webs import PATTERNS

if TYPE_CHECKING:
    from girderply.jobfile.new_job import NewOptions

_OWN = ("shape", "span", "form", "out", "panel_lengths", "web_depth", "timber_of")
Text = str | None


def _option(name: str, words: str) -> Any:
    return typer.Option(name, help=words)


class Form(StrEnum):
    """How the girder is written."""

    SHAPE = "shape"
    NODES = "nodes"


SHAPES = f"Trade name: {', '.join(shapes())}."


def new(
    ctx: typer.Context,
    shape: Annotated[str, _option("--shape", SHAPES)],
    span: Annotated[str, _option("--span", "Out to out of the bottom chord: '9.6 m', '31 ft'.")],
    units: Annotated[Text, _option("--units", "metric or imperial; for all of the job.")] = None,
    plies: Annotated[int | None, _option("--plies", "Number of plies, 2 to 6.")] = None,
    ply_thickness: Annotated[Text, _option("--ply-thickness", "Of one ply: '38 mm'.")] = None,
    pitch: Annotated[Text, _option("--pitch", "Slope: '22.5 deg' or '6:12'.")] = None,
    height: Annotated[Text, _option("--height", "Overall height, instead of a pitch.")] = None,
    flat_height: Annotated[Text, _option("--flat-height", "Of a flat top.")] = None,
    heel_height: Annotated[Text, _option("--heel-height", "At the end of the girder.")] = None,
    overhang: Annotated[Text, _option("--overhang", "Beyond each sloping end.")] = None,
    panels: Annotated[int | None, _option("--panels", "Of the bottom chord.")] = None,
    panel_lengths: Annotated[
        Text, _option("--panel-lengths", "From the left, instead: '1.5 m, 1.8 m, 1.8 m, 1.5 m'.")
    ] = None,
    web_pattern: Annotated[Text, _option("--web-pattern", f"{', '.join(PATTERNS)}.")] = None,
    top_chord: Annotated[Text, _option("--top-chord", "Depth: '195 mm'.")] = None,
    bottom_chord: Annotated[Text, _option("--bottom-chord", "Depth: '195 mm'.")] = None,
    web: Annotated[Text, _option("--web", "Depth: '95 mm'.")] = None,
    web_depth: Annotated[
        list[str] | None, _option("--web-depth", "Of one web: 'W3 = 145 mm'; again for more.")
    ] = None,
    timber: Annotated[Text, _option("--timber", "As girderply catalogue timber names it.")] = None,
    timber_of: Annotated[
        list[str] | None, _option("--timber-of", "A better one: 'BC1 = C30'; again for more.")
    ] = None,
    load_every: Annotated[Text, _option("--load-every", "Spacing of what hangs.")] = None,
    load_permanent: Annotated[Text, _option("--load-permanent", "Of each: '0.8 kN'.")] = None,
    load_variable: Annotated[Text, _option("--load-variable", "Of each: '1.2 kN'.")] = None,
    number: Annotated[Text, _option("--number", "Job number.")] = None,
    title: Annotated[Text, _option("--title", "Job title.")] = None,
    mark: Annotated[Text, _option("--mark", "The girder's mark.")] = None,
    form: Annotated[
        Form, _option("--as", "shape, or nodes: the same girder by nodes and members.")
    ] = Form.SHAPE,
    out: Annotated[Path | None, _option("--out", "Write to this file, not the terminal.")] = None,
) -> None:
    """Start a job file from a shape and a span, with comments and usual values.

    girderply check accepts it as it is. Numbers without a unit are in the job's units.

    Example: girderply new --shape howe --span "9.6 m" --plies 3 > job.toml
    """
    from girderply.jobfile import new_job, parse_job

    given = {k: _value(v) for k, v in ctx.params.items() if k not in _OWN and v is not None}
    if panel_lengths is not None:
        given["panel_lengths"] = [_value(v.strip()) for v in panel_lengths.split(",")]
    if web_depth:
        given["web_depths"] = {k: _value(v) for k, v in map(_of_member, web_depth)}
    if timber_of:
        given["timbers"] = dict(map(_of_member, timber_of))
    text = new_job(shape, _value(span), **cast("NewOptions", given))
    if form is Form.NODES:
        from girderply.tracing.from_shape import as_nodes

        text, _ = as_nodes(text)
    deliver_job(text, out)
    assumed = parse_job(text).info.assumed
    say(f"ASSUMED {len(assumed)} values that you did not give: {', '.join(assumed)}")
    say("TIP     Put in your own loads and nail plates, then run: girderply check JOB")


def _of_member(said: str) -> tuple[str, str]:
    """`W3 = 145 mm` as the name of a member and what is said of it.

    Raises:
        typer.BadParameter: it does not say of which.
    """
    name, sign, value = said.partition("=")
    if not sign:
        raise typer.BadParameter(f"{said!r} has no =; such as 'W3 = 145 mm' or 'BC1 = C30'")
    return name.strip(), value.strip()


def _value(given: Any) -> Any:
    """A bare number as a number, which is in the job's units; anything else as it is."""
    if not isinstance(given, str):
        return given
    try:
        return float(given)
    except ValueError:
        return given
