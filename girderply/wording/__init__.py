"""Every wording of the sheets, one table of messages per language.

A message has a key; `data/<language>/<area>.json` holds its text. What is decided about a girder is
a value, `said("stage.lay", plies="2, 3")`, in no language; `text(words, language)` puts it into
words. That is done at the edge alone: a paper or a page is made in the language spoken there
(`speaking`), `told` says in it what was decided and `phrase` its own labels; files for programs,
terminals and errors are `english`.
"""

from girderply.wording.later import Later
from girderply.wording.messages import DEFAULT, LANGUAGES, Language, usual_language
from girderply.wording.sayings import Said, Words, english, figures, joined, numeral, said, text
from girderply.wording.voice import phrase, plain, speaking, spoken, told

__all__ = [
    "DEFAULT",
    "LANGUAGES",
    "Language",
    "Later",
    "Said",
    "Words",
    "english",
    "figures",
    "joined",
    "numeral",
    "phrase",
    "plain",
    "said",
    "speaking",
    "spoken",
    "text",
    "told",
    "usual_language",
]
