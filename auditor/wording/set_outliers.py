"""How a picture leaves the set, in words: ``"32 mired warmer than the rest of the set"``."""

from __future__ import annotations

from auditor.quantities import QUANTITIES
from auditor.record.series_records import (
    ForeignColoursRecord,
    OutlierRecord,
    SeriesQuantityRecord,
)
from auditor.vocabulary.light import light_words
from auditor.wording.colour_names import colour_name
from auditor.wording.everyday import stops_words
from auditor.wording.numbers import amount, degrees, percent, ratio_words, two_digits
from auditor.wording.temperature import warmer_words

REST = "than the rest of the set"


def outlier_words(outlier: OutlierRecord, quantity: SeriesQuantityRecord) -> str:
    """Say how a picture leaves the set in one quantity; no capital, no full stop."""
    if outlier.foreign is not None:
        return _foreign(outlier.foreign)
    if outlier.ratio is not None:
        words = _comparative(quantity.quantity, outlier.ratio - 1)
        return f"{words} {REST}, throughout ({ratio_words(outlier.ratio)})"
    if quantity.unit == "h":
        rest = light_words(quantity.centre) if quantity.centre is not None else "another light"
        return f"{light_words(outlier.value)}, the rest of the set {rest}"
    return _deviation(quantity.quantity, outlier.deviation)


def farthest_words(outlier: OutlierRecord, quantity: SeriesQuantityRecord) -> str:
    """Say of a picture that does not leave the set that it is the farthest from it."""
    return f"{outlier_words(outlier, quantity)}; the farthest, but it may be chance"


def _comparative(quantity: str, deviation: float) -> str:
    entry = QUANTITIES[quantity]
    return entry.higher if deviation > 0 else entry.lower


def _deviation(quantity: str, deviation: float) -> str:
    words, size = _comparative(quantity, deviation), abs(deviation)
    match quantity:
        case "colour_temperature":
            return warmer_words(deviation, REST)
        case "exposure":
            return f"{stops_words(size)} {words} {REST} ({amount(size, 'EV')})"
        case "tint":
            way = "higher" if deviation > 0 else "lower"
            return f"{words} {REST} (Duv {two_digits(size)} {way})"
        case "subject_size":
            more = "more" if deviation > 0 else "less"
            return f"the subject fills {more} of the frame {REST} (by {percent(size)} of it)"
        case "negative_space":
            return f"{words} {REST} (by {percent(size)} of the frame)"
        case "camera_elevation":
            return f"seen from {words} {REST} (by {degrees(size)})"
        case "roll":
            return f"{words} against the rest of the set (by {degrees(size, 1)})"
        case "subject_sharpness":
            return f"the subject is {words} {REST} (by {_of_scale(size)})"
    return f"{words} {REST} (by {two_digits(size)})"


def _of_scale(size: float) -> str:
    return f"{percent(size)} of the scale from soft to sharp"


def _foreign(foreign: ForeignColoursRecord) -> str:
    strongest = foreign.strongest
    colour = f"{colour_name(strongest.hex)} ({strongest.hex})"
    share = percent(strongest.share)
    if foreign.is_whole_picture:
        return f"most of its colours are not in the set, mainly {colour} on {share} of it"
    return f"{colour} on {share} of the frame is foreign to the set"
