"""Pages and their files: from the folder of templates, nothing else, and every text a text."""

from __future__ import annotations

import json
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from girderply.desk.all_words import words
from girderply.drawing.resources import template_folder
from girderply.wording import LANGUAGES, Voice

if TYPE_CHECKING:
    from jinja2 import Template

TYPES: Final = {"js": "text/javascript", "css": "text/css", "svg": "image/svg+xml"}


@cache
def _files() -> dict[str, bytes]:
    folder = template_folder() / "desk"
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.suffix[1:] in TYPES}


def static(name: str) -> bytes | None:
    """A script, style or picture of ours by its name; None where there is none."""
    return _files().get(name)


def page(voice: Voice, name: str, /, **values: Any) -> str:
    """A page in a language; `data` goes into it as a block that is no script."""
    data = values.pop("data", {})
    said = words(voice)
    return _template(name).render(
        words=said,
        language=voice.language,
        languages=LANGUAGES,
        json=_block(voice, {"words": said, "language": voice.language, **data}),
        **values,
    )


def _block(voice: Voice, data: Any) -> Any:
    from markupsafe import Markup

    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), default=voice.plain)
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)


@cache
def _template(name: str) -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(template_folder() / "desk"),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)
