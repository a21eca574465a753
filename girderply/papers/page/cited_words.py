"""What is data and yet has words in it, in the language of a sheet: clauses, rule sets, places.

In files for programs they stay as they are, in English.
"""

from __future__ import annotations

import re
from typing import Final

from girderply.schedule.types import Schedule
from girderply.wording import Voice, Words, english, said

_RULE_SETS: Final = ("common_practice", "french_36mm", "north_american_built_up")
_CITED: Final = {"Eq.": "equation", "to": "to", "Table": "table"}
_WORD: Final = re.compile(r"(?<![\w.])(Eq\.|to|Table)(?= )")
# Tables of a job file that a finding names by a path of keys.
_TABLES: Final = ("job", "girder", "designer", "loads", "basis", "fastening", "assembly")
_PATH: Final = re.compile(rf"({'|'.join(_TABLES)})(?=$|[.\[])")


def clause_words(voice: Voice, clause: str) -> str:
    """A clause as it is cited: numbers stay, "Eq." and "to" are said; or a rule set's source."""
    known = _shipped(voice, clause, "source")
    if known:
        return known
    return _WORD.sub(lambda found: voice.phrase(f"cited.{_CITED[found[1]]}"), clause)


def rule_set_title(voice: Voice, schedule: Schedule) -> str:
    """The title of the rule set: of one that is shipped, in the language of the sheet."""
    return _shipped(voice, schedule.rules.title, "title") or schedule.rules.title


def _shipped(voice: Voice, written: str, what: str) -> str:
    keys = (said(f"cited.{name}_{what}") for name in _RULE_SETS)
    return next((voice.told(key) for key in keys if english(key) == written), "")


def place_words(voice: Voice, where: Words) -> str:
    """Where a finding is: a member, joint, load or check; for a key of the job file, its part."""
    place = voice.told(where)
    found = _PATH.match(place)
    return voice.phrase(f"cited.at_{found[1]}") if found else place
