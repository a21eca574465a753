"""Sheets and packs of one girder, made from its schedule alone.

`sheet_names` says which sheets there are, `render_pdf` puts any of them in one PDF, `render_svg`
gives the drawings of one sheet as SVG files of full pages.
"""

from __future__ import annotations

from girderply.papers.sheets import (
    DOCUMENTS,
    render_all,
    render_document,
    render_pdf,
    render_svg,
    sheet_names,
)

__all__ = [
    "DOCUMENTS",
    "render_all",
    "render_document",
    "render_pdf",
    "render_svg",
    "sheet_names",
]
