"""What makes the bytes of a pack: the program, and the libraries that write or decide them."""

from __future__ import annotations

from functools import cache
from typing import Final

LIBRARIES: Final = (
    "ezdxf", "jinja2", "matplotlib", "numpy", "segno", "shapely", "typst", "xlsxwriter",
)  # fmt: skip
"""Another version of one of these may give other bytes of the same job."""


@cache
def generator() -> dict[str, object]:
    """Name and version of the program, and version by name of the libraries."""
    from importlib.metadata import version

    import girderply

    return {
        "name": "girderply",
        "version": girderply.__version__,
        "libraries": {name: version(name) for name in LIBRARIES},
    }
