"""The colours of a picture, reduced to what a comparison with the others of its set needs."""

from auditor.colour_signature.neutral_plane import (
    Cells,
    cells_of,
    mired_from_warmth,
    warmth_from_mired,
)
from auditor.colour_signature.signature import ColourSignature, colour_signature

__all__ = [
    "Cells",
    "ColourSignature",
    "cells_of",
    "colour_signature",
    "mired_from_warmth",
    "warmth_from_mired",
]
