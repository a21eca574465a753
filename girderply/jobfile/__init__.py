"""The job file: TOML in, plain values or every finding at once out."""

from girderply.jobfile.jsonschema import json_schema
from girderply.jobfile.new_job import new_job
from girderply.jobfile.reader import parse_job, read_job

__all__ = ["json_schema", "new_job", "parse_job", "read_job"]
