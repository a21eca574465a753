"""What the plies are made of, and the sizes of their planks."""

from __future__ import annotations

from girderply.catalogue.nominal import nominal_size
from girderply.model.girder import Girder
from girderply.units.show import Printed
from girderply.wording import Voice, joined


def timber_words(voice: Voice, girder: Girder, show: Printed) -> str:
    """Timber and every size of plank, the deepest first."""
    depths = sorted({round(m.depth, 2) for m in girder.members}, reverse=True)
    sizes = [plank_words(voice, girder.ply_thickness, depth, show) for depth in depths]
    return voice.phrase("cover.of_sizes", timber=girder.timber_line, sizes=joined(", ", sizes))


def depth_words(voice: Voice, thickness: float, depth: float, show: Printed) -> str:
    """The depth of a plank; of inches what it is called, too."""
    nominal = nominal_size(thickness, depth) if show.imperial else None
    size = show.length(depth)
    return voice.phrase("cover.nominal", nominal=nominal, size=size) if nominal else size


def plank_words(voice: Voice, thickness: float, depth: float, show: Printed) -> str:
    """A plank by its size; of inches by what it is called too."""
    size = voice.phrase(
        "cover.plank", thickness=show.value(thickness, "small"), depth=show.small(depth)
    )
    nominal = nominal_size(thickness, depth) if show.imperial else None
    return voice.phrase("cover.nominal", nominal=nominal, size=size) if nominal else size
