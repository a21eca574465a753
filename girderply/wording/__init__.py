"""Every wording of the sheets, one table of messages per language.

A message has a key; `data/<language>/<area>.json` holds its text. What is decided about a girder is
a value, `said("stage.lay", plies="2, 3")`, in no language; `text(words, language)` puts it into
words. That is done at the edge alone: whatever writes a paper or a page is handed a `Voice`, whose
`told` says what was decided and `phrase` the paper's own labels; files for programs, terminals and
errors are `english`.
"""

from girderply.wording.later import Later
from girderply.wording.messages import DEFAULT, LANGUAGES, Language, usual_language
from girderply.wording.sayings import Said, Words, english, figures, joined, numeral, said, text
from girderply.wording.voice import ENGLISH, Voice

__all__ = [
    "DEFAULT",
    "ENGLISH",
    "LANGUAGES",
    "Language",
    "Later",
    "Said",
    "Voice",
    "Words",
    "english",
    "figures",
    "joined",
    "numeral",
    "said",
    "text",
    "usual_language",
]
