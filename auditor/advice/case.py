"""What a picture lacks beside its plan and its set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.comparison.exposure_cause import is_explained
from auditor.comparison.item import ComparedItem, Verdict
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.plan.shot_plan import Shot, Tolerances
from auditor.series.series import Series

# Quantities in which a finished picture can still be brought to its plan, by what changes them.
# What is not here cannot be mended: a missed focus, the camera angle, the light.
OF_FRAME = frozenset(
    (
        "subject",
        "subject_size",
        "supporting",
        "technique",
        "negative_space",
        "negative_space_side",
        "aspect_ratio",
    )
)
OF_COLOUR = frozenset(("colour_temperature", "palette", "background", "surface"))
# Quantities in which it can be brought back to its set.
OF_SET = ("colour_temperature", "exposure", "saturation", "roll")

TO_CORRECT = (Verdict.MISSED, Verdict.CLOSE)

Key = tuple[str, str | None]


@dataclass(frozen=True, slots=True)
class Case:
    """One picture, what is planned for it, and what it lacks.

    Attributes
    ----------
    measured : MeasuredPhotograph
    shot : Shot or None
        None without a plan, or if the plan has none for it.
    tolerances : Tolerances or None
        Of the plan; None without a plan.
    items : tuple of ComparedItem
        The picture compared with that shot.
    off_set : mapping of str to float
        The quantities of `OF_SET` in which it leaves the set, with the deviation; of saturation
        the ratio. What is so on purpose is left out.
    """

    measured: MeasuredPhotograph
    shot: Shot | None
    tolerances: Tolerances | None
    items: tuple[ComparedItem, ...]
    off_set: dict[str, float]

    @property
    def missed(self) -> dict[Key, ComparedItem]:
        """The items to correct: missed or close, and not on purpose."""
        return {
            key_of(item): item
            for item in self.items
            if item.verdict in TO_CORRECT and not item.on_purpose
        }

    @property
    def has_border(self) -> bool:
        """Whether a border was put around it, which crop and turn would cut into."""
        return self.measured.border is not None


def key_of(item: ComparedItem) -> Key:
    """What an item is about."""
    return item.quantity, item.element


def make_case(
    measured: MeasuredPhotograph,
    shot: Shot | None,
    items: Sequence[ComparedItem],
    series: Series,
    tolerances: Tolerances | None,
) -> Case:
    """Gather what a picture lacks."""
    off_set = {}
    for name in OF_SET:
        deviation = deviation_from(series, name, measured.file)
        if deviation is not None and not _is_meant(name, deviation, shot, items):
            off_set[name] = deviation
    return Case(measured, shot, tolerances, tuple(items), off_set)


def deviation_from(series: Series, quantity: str, file: str) -> float | None:
    """How far a picture lies from the set; None if it does not leave it."""
    outlier = series.outliers_of.get(file, {}).get(quantity)
    if outlier is None:
        return None
    return outlier.deviation if outlier.ratio is None else outlier.ratio


def _is_meant(
    name: str, deviation: float, shot: Shot | None, items: Sequence[ComparedItem]
) -> bool:
    """Whether the plan says that the picture is so on purpose."""
    if shot is not None and any(is_about(name, shot)):
        return True
    if name == "exposure":
        return any(item.on_purpose and is_explained(item, deviation) for item in items)
    return any(item.on_purpose for item in items if item.quantity == name)


def is_about(name: str, shot: Shot) -> list[bool]:
    """Of each reason that the shot gives, whether it covers a quantity of the set."""
    return [
        purpose.element is None and (not purpose.quantities or name in purpose.quantities)
        for purpose in shot.on_purpose
    ]
