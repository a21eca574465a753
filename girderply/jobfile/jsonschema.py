"""The JSON Schema of a job file, so that an editor completes and checks it."""

from __future__ import annotations

from typing import Any, Final

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, Any]:
    """Describe a job file as JSON Schema, draft 2020-12.

    Returns:
        A plain dictionary, the same in every run; every key has a description.
    """
    from girderply.jobfile.job_form import JobFile  # noqa: PLC0415  pydantic is slow to import

    return {"$schema": DIALECT, **JobFile.model_json_schema()}
