"""girderply schema."""

from __future__ import annotations

from girderply.cli.talk import product


def schema() -> None:
    """Print the JSON Schema of a job file, so that an editor completes and checks it.

    Example: girderply schema > girderply-job.schema.json
    """
    import json  # noqa: PLC0415

    from girderply.jobfile import json_schema  # noqa: PLC0415

    product(json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n")
