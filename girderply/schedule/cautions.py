"""What every output says in plain words, whatever the girder is."""

from __future__ import annotations

SCOPE = (
    "Fastening instructions only. The truss design, the loads and the strength of the plies are "
    "the truss designer's.",
    "Where these sheets and the local code or the engineer's drawing differ, follow the code and "
    "the engineer's drawing.",
    "Do not load or lift the girder before every stage is done and inspected.",
    "Wear eye protection. Turn the girder over with enough people or a crane.",
    "Never cut, notch or drill the girder anywhere else than shown.",
)
DEMO = "Demo: the values of this job are invented. Not for building."
PLATES_ASSUMED = (
    "Plates assumed: the nail plates were estimated, not given. Check them before you nail."
)
NOT_FOR_ASSEMBLY = "NOT FOR ASSEMBLY"
