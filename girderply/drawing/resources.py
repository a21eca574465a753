"""Where templates and fonts are: in the installed package, or beside it in a checkout."""

from __future__ import annotations

import importlib.util
from functools import cache
from pathlib import Path


@cache
def template_folder() -> Path:
    """The folder of templates and fonts, whether installed from a wheel or in a checkout."""
    beside = Path(__file__).resolve().parents[2] / "templates"
    if (beside / "fonts" / "widths.json").is_file():
        return beside
    spec = importlib.util.find_spec("girderply.templates")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("the templates that belong to girderply are not installed")
    return Path(next(iter(spec.submodule_search_locations)))
