"""What several values of a job file must agree on.

These checks look at the file as read, before anything is known to be right, so that a fault in
one place does not hide a fault in another: what cannot be understood is passed over here, since
the schema has its own finding for it. Geometry (a load off the girder) is the model's to check.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from girderply.errors import Finding
from girderply.jobfile.cross_basis import basis_findings
from girderply.jobfile.cross_cases import case_findings
from girderply.jobfile.cross_fastening import fastening_findings
from girderply.jobfile.cross_girder import designer_findings, girder_findings
from girderply.jobfile.cross_loads import load_findings
from girderply.jobfile.given import assumed_findings


def cross_findings(data: Mapping[str, Any], system: str) -> Iterator[Finding]:
    """Find what does not agree.

    Args:
        data: the job file as `tomllib` reads it; any types.
        system: "metric" or "imperial": what bare numbers are in.

    Yields:
        Findings of severity error, in the order of the file's tables.
    """
    yield from assumed_findings(data)
    yield from girder_findings(data)
    yield from designer_findings(data)
    yield from load_findings(data, system)
    yield from basis_findings(data, system)
    yield from case_findings(data, system)
    yield from fastening_findings(data, system)
