"""The set in words: values at an axis, where a quantity lies, which pictures cannot be compared."""

from __future__ import annotations

from auditor.quantities import QUANTITIES, set_rule
from auditor.record.series_records import (
    CropRecord,
    GroupRecord,
    SeriesQuantityRecord,
    SeriesRecord,
)
from auditor.vocabulary.counts import count
from auditor.wording.cells import colour_text
from auditor.wording.numbers import amount, clock, decimal, degrees, kelvin_from_mired, percent
from auditor.wording.positions import light_text
from auditor.wording.temperature import warmer
from auditor.wording.texts import capital

# Units in which a spread is written like the values themselves.
SPREAD_LIKE_VALUES = frozenset({"deg", "fraction of frame"})
# Fewer pictures have no median or spread worth a chart: their values stand side by side (our
# choice, no source).
LEAST_CHARTED = 4
WHOLE_FRAME = (0.0, 0.0, 1.0, 1.0)


def is_charted(n_measured: int) -> bool:
    """Whether a set is large enough for its charts."""
    return n_measured >= LEAST_CHARTED


def set_value_text(value: float, quantity: SeriesQuantityRecord) -> str:
    """Write a value of a quantity of the set, as at its axis."""
    decimals = QUANTITIES[quantity.quantity].decimals
    match quantity.unit:
        case "deg":
            return degrees(value, decimals)
        case "mired":
            return kelvin_from_mired(value)
        case "fraction of frame":
            return percent(value)
        case "h":
            return clock(value)
        case unit:
            return decimal(value, decimals, signed=unit == "EV")


def axis_ends(quantity: SeriesQuantityRecord) -> tuple[str, ...]:
    """Words at the low and the high end of an axis; none where its numbers say enough."""
    return (warmer(-1.0), warmer(1.0)) if quantity.unit == "mired" else ()


def quantity_summary(quantity: SeriesQuantityRecord, n_measured: int) -> str:
    """Say where the set lies, how far it spreads and of how many pictures that is known."""
    n = len(quantity.values)
    known = count(n, "picture") if n == n_measured else f"{n} of {n_measured} pictures"
    known = f"all {known}" if n == n_measured and n > 1 else known
    if quantity.centre is None or quantity.spread is None:
        return f"{capital(known)}; too few for a median"
    if quantity.is_several:
        return f"{_several(quantity)}; {known}"
    centre = set_value_text(quantity.centre, quantity)
    if quantity.unit == "h":
        return f"Median {light_text(quantity.centre)}; {known}"
    spread = (
        set_value_text(quantity.spread, quantity)
        if quantity.unit in SPREAD_LIKE_VALUES
        else amount(quantity.spread, quantity.unit)
    )
    return f"Median {centre}, spread {spread}; {known}"


def of_largest_group(summary: str, series: SeriesRecord) -> str:
    """The same summary, for a set whose centre is that of its largest group."""
    if len(series.colour_temperature_clusters) < 2:
        return summary
    return summary.replace("Median", "Largest group at", 1)


def _several(quantity: SeriesQuantityRecord) -> str:
    if quantity.unit == "h":  # a dial has no lowest and highest value
        return set_rule(quantity.quantity).varied_as
    values = [value for _, value in quantity.values]
    low, high = set_value_text(min(values), quantity), set_value_text(max(values), quantity)
    return f"{set_rule(quantity.quantity).varied_as}, {low} to {high}"


def chart_description(summary: str, quantity: SeriesQuantityRecord) -> str:
    """Describe a chart for those who cannot see it."""
    leave = f" Leaving the set: {len(quantity.outliers)}." if quantity.outliers else ""
    return f"{QUANTITIES[quantity.quantity].title}: {summary}{leave}"


def not_compared_words(series: SeriesRecord, n_known: int) -> str:
    """Say how many pictures belong to no group of colour temperature; empty for none."""
    n_grouped = sum(len(cluster.files) for cluster in series.colour_temperature_clusters)
    n_not_compared = max(0, n_known - n_grouped)
    if not n_not_compared:
        return ""
    few = count(n_not_compared, "picture shares", "pictures share")
    return f"{few} too little with the others to be compared reliably"


def group_words(group: GroupRecord) -> str:
    """Say what the pictures of a group share."""
    return f"surface near {colour_text(group.surface)}"


def crop_words(crop: CropRecord) -> str:
    """Say how a picture was cropped, beside the picture that shows more of the photograph."""
    if crop.crop_box != WHOLE_FRAME:
        return "cropped differently"
    left, top, right, bottom = crop.box
    return f"cropped to {percent((right - left) * (bottom - top))} of it"
