"""One HTML file from a schedule: data, styles and scripts inside, nothing fetched, ever.

The content policy names the one style and the one script by their sha256; whatever else might
look like a script in the page, wherever it came from, is not run by the browser. The data lie in
a block that is not a script, with every sign that could end the block written as an escape.
"""

from __future__ import annotations

import base64
import hashlib
import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from girderply.drawing.resources import template_folder
from girderply.papers.tablet.after import After
from girderply.papers.tablet.page_data import Plain, tablet_data
from girderply.schedule.speech import own_voice
from girderply.schedule.types import Schedule

if TYPE_CHECKING:
    from jinja2 import Template

# In the order they build on each other.
SCRIPTS = (
    "words.js",
    "dom.js",
    "sha256.js",
    "lengths.js",
    "girder.js",
    "record.js",
    "store.js",
    "state.js",
    "blind.js",
    "view.js",
    "glyphs.js",
    "drawing.js",
    "pick.js",
    "touch.js",
    "photos.js",
    "panel_mark.js",
    "panel_shift.js",
    "panel_blind.js",
    "panel_counts.js",
    "panel_sign.js",
    "panel_record.js",
    "panel_help.js",
    "printing.js",
    "main.js",
)


def render_html(schedule: Schedule, after: After | None = None) -> str:
    """The tick-off of one girder as one self-contained HTML page.

    Args:
        schedule: the finished schedule of one girder; of a history with what was to be added.
        after: where a record was judged before: the page goes on from there.

    Returns:
        HTML; the same bytes for the same schedule.
    """
    voice = own_voice(schedule)
    style, script = _inline("tablet.css"), _script()
    data = tablet_data(voice, schedule, after)
    return _template().render(
        data=data,
        words=data["words"],
        lines=_lines(data),
        policy=content_policy(style, script),
        style=_markup(style),
        script=_markup(script),
        json=_markup(json_block(data)),
    )


def content_policy(style: str, script: str) -> str:
    """The policy that lets this style and this script in and nothing else."""
    return "; ".join([
        "default-src 'none'",
        f"script-src '{_digest(script)}'",
        f"style-src '{_digest(style)}'",
        "base-uri 'none'",
        "form-action 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    ])  # fmt: skip


def json_block(data: Plain) -> str:
    """JSON that nothing inside can end early, whatever the job's texts are."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _markup(text: str) -> str:
    from markupsafe import Markup

    return Markup(text)


def _script() -> str:
    body = "\n".join(_inline(name) for name in SCRIPTS)
    return f"\n'use strict';\n{body}"


@cache
def _inline(name: str) -> str:
    """A file of ours to be put inside the page, line ends as a browser reads them."""
    text = _folder().joinpath(name).read_text("utf-8")
    if "</" in text.replace("</*", ""):
        raise ValueError(f"{name} holds an end tag and cannot stand inside a page")
    return text


def _folder() -> Path:
    return template_folder() / "html"


@cache
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(_folder()),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["said"] = lambda text, **values: text.format(**values)
    return environment.get_template("tablet.html")


def _lines(data: Plain) -> list[list[Plain]]:
    """The lines of the printed list, stage by stage, every text ready."""
    said = data["words"]
    found: list[list[Plain]] = [[] for _ in data["stages"]]
    places = {s["number"]: i for i, s in enumerate(data["stages"])}
    for number, group in enumerate(data["groups"]):
        found[places[group["stage"]]].append({
            "number": number,
            "member": data["members"][group["member"]]["id"],
            "where": where_words(said, group),
            "kind": said[group["kind"]],
            "face": said[f"face_{group['face']}"],
            "due": group["due"],
        })  # fmt: skip
    return found


def where_words(said: dict[str, str], group: Plain) -> str:
    """Which row of a member, in words."""
    if group["added"]:
        return said["to_add"]
    if group["row"] == 0:
        return said["beside_joints"]
    return said["one_row"] if group["only"] else said["row"].format(n=group["row"])
