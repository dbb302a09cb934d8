"""The form of a plan file: its keys, and the values that each may have."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainValidator,
    ValidationInfo,
    field_validator,
    model_validator,
)

from auditor.accepted import Accepted, AcceptedColour
from auditor.plan import written_phrases as phrases
from auditor.plan import written_things as things
from auditor.plan import written_values as values
from auditor.quantities import QUANTITIES, tolerance_rule
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.light import LightWords
from auditor.vocabulary.sides import PlannedSide

Title = Annotated[str, PlainValidator(values.read_text)]
Pattern = Annotated[str, PlainValidator(values.read_pattern)]
Place = Annotated[things.Place, PlainValidator(things.read_place)]
PlaceBeside = Annotated[things.Place, PlainValidator(things.read_place_beside)]
Size = Annotated[Accepted, PlainValidator(phrases.read_size_of_thing)]
# Each item is a text, which may name several colours.
Colours = Annotated[
    tuple[Annotated[tuple[AcceptedColour, ...], PlainValidator(phrases.read_colour)], ...],
    BeforeValidator(phrases.listed_alone),
]


class Written(BaseModel):
    """Base of all tables of a plan: an unknown key is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


class WrittenThing(Written):
    """``subject``, or one of ``supporting``."""

    at: Place | None = None
    size: Size | None = None


class WrittenSubject(WrittenThing):
    """``subject``: a table, or a place and a size in words."""

    @model_validator(mode="before")
    @classmethod
    def _from_words(cls, value: object) -> object:
        return value if isinstance(value, dict) else things.read_subject(value)


class WrittenElement(WrittenThing):
    """One of ``supporting``: a table, or a name that may have a place after it."""

    at: PlaceBeside | None = None
    name: Title | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_words(cls, value: object) -> object:
        return things.read_element(value)


class WrittenLight(Written):
    """``light``, in words or as a clock position; both are read in one way."""

    in_words: Annotated[LightWords, PlainValidator(phrases.read_light)] | None = Field(
        default=None, alias="from"
    )
    clock: Annotated[LightWords, PlainValidator(phrases.read_clock_value)] | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_words(cls, value: object) -> object:
        return value if isinstance(value, dict) else {"from": phrases.read_light(value)}

    @property
    def planned(self) -> LightWords:
        """What was said, however it was written."""
        return self.in_words or self.clock or LightWords()


class WrittenNegativeSpace(Written):
    """``negative_space``: a share, a side, or both."""

    fraction: Annotated[Accepted, PlainValidator(phrases.read_share)] | None = None
    side: Annotated[tuple[PlannedSide, ...], PlainValidator(phrases.read_sides)] | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_words(cls, value: object) -> object:
        if isinstance(value, dict):
            return value
        space = phrases.read_space(value)
        return {"fraction": space.share, "side": space.sides or None}


class WrittenColourTemperature(Written):
    """``colour_temperature``, in words, in kelvin or in mired; all in mired."""

    kelvin: Annotated[Accepted, PlainValidator(phrases.read_kelvin_or_words)] | None = None
    mired: Annotated[Accepted, PlainValidator(phrases.read_mired_value)] | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_words(cls, value: object) -> object:
        return value if isinstance(value, dict) else {"kelvin": phrases.read_kelvin_or_words(value)}

    @property
    def planned(self) -> Accepted | None:
        """The temperature in mired, however it was written."""
        return self.kelvin or self.mired


class WrittenIntent(Written):
    """What one picture should be; None where the plan says nothing."""

    technique: Annotated[tuple[str, ...], PlainValidator(phrases.read_techniques)] | None = None
    subject: WrittenSubject | None = None
    supporting: (
        Annotated[tuple[WrittenElement, ...], BeforeValidator(things.read_supporting)] | None
    ) = None
    camera_elevation: Annotated[Accepted, PlainValidator(phrases.read_elevation)] | None = None
    light: WrittenLight | None = None
    negative_space: WrittenNegativeSpace | None = None
    diagonal: Annotated[DiagonalWord | float, PlainValidator(phrases.read_diagonal)] | None = None
    colour_temperature: WrittenColourTemperature | None = None
    palette: Colours | None = None
    background: Colours | None = None
    surface: Colours | None = None
    aspect_ratio: Annotated[Accepted, PlainValidator(phrases.read_aspect_ratio)] | None = None


class WrittenShot(WrittenIntent):
    """``[[shot]]``; one without ``files`` is matched by what pictures show."""

    name: Title
    files: Annotated[tuple[Pattern, ...], BeforeValidator(values.read_files)] = ()


class WrittenTolerance(Written):
    """``[tolerance]``."""

    subject: float | None = None
    subject_size: float | None = None
    supporting: float | None = None
    technique: float | None = None
    camera_elevation: float | None = None
    light: float | None = None
    diagonal: float | None = None
    negative_space: float | None = None
    colour_temperature: float | None = None
    palette: float | None = None
    background: float | None = None
    surface: float | None = None
    aspect_ratio: float | None = None

    @field_validator("*", mode="plain")
    @classmethod
    def _in_range(cls, value: object, info: ValidationInfo) -> float:
        return _tolerance_reader(str(info.field_name))(value)


def _tolerance_reader(quantity: str) -> Callable[[Any], float]:
    most = tolerance_rule(quantity).most
    must_be = f"above 0 and at most {most:g} ({QUANTITIES[quantity].unit})"
    return values.number_reader(0, most, must_be, open_below=True)


class WrittenPlan(Written):
    """A whole plan file."""

    title: Title | None = None
    series: WrittenIntent = WrittenIntent()
    shot: tuple[WrittenShot, ...] = ()
    tolerance: WrittenTolerance = WrittenTolerance()


# The tables by the last name in their path, which no two tables share.
TABLES: dict[str, type[Written]] = {
    "": WrittenPlan,
    "series": WrittenIntent,
    "shot": WrittenShot,
    "subject": WrittenSubject,
    "supporting": WrittenElement,
    "light": WrittenLight,
    "negative_space": WrittenNegativeSpace,
    "colour_temperature": WrittenColourTemperature,
    "tolerance": WrittenTolerance,
}


def known_keys(table: str) -> tuple[str, ...]:
    """The keys of a table, as they are written in the file."""
    return tuple(field.alias or name for name, field in TABLES[table].model_fields.items())
