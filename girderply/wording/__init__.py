"""Every wording of the sheets, one table of messages per language.

A message has a key; `data/<language>/<area>.json` holds its text. Code says what it means by
`phrase("stage.lay", plies="2, 3")` and never writes the words itself.

A `Phrase` is text in the language that is spoken where it is made (`speaking`), and it knows its
key and its values: what was said in English while a schedule was decided is said `again` in the
language of a pack, numbers too. So files for programs stay as they are, whatever the language of
the sheets.
"""

from girderply.wording.later import Later
from girderply.wording.messages import DEFAULT, LANGUAGES, Language, usual_language
from girderply.wording.phrases import (
    Phrase,
    again,
    figures,
    joined,
    numeral,
    phrase,
    speaking,
    spoken,
)
from girderply.wording.retell import retold

__all__ = [
    "DEFAULT",
    "LANGUAGES",
    "Language",
    "Later",
    "Phrase",
    "again",
    "figures",
    "joined",
    "numeral",
    "phrase",
    "retold",
    "speaking",
    "spoken",
    "usual_language",
]
