"""Nailing rule sets: built in, from a file of the user's own, and changed by a job."""

from girderply.rules.change import from_one_face
from girderply.rules.loading import load_rule_file, load_rule_set, rule_set_names
from girderply.rules.overrides import OVERRIDES, apply_overrides
from girderply.rules.rule_set import BoltRule, NailLimits, PlyRule, RowRule, RuleSet, StageRule

__all__ = [
    "OVERRIDES",
    "BoltRule",
    "NailLimits",
    "PlyRule",
    "RowRule",
    "RuleSet",
    "StageRule",
    "apply_overrides",
    "from_one_face",
    "load_rule_file",
    "load_rule_set",
    "rule_set_names",
]
