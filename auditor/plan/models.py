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
)

from auditor.geometry import Point
from auditor.plan import written_values as written
from auditor.quantities import QUANTITIES, tolerance_rule
from auditor.vocabulary.diagonals import DiagonalWord
from auditor.vocabulary.sides import Side

Title = Annotated[str, PlainValidator(written.read_text)]
Pattern = Annotated[str, PlainValidator(written.read_pattern)]
Place = Annotated[str | Point, PlainValidator(written.read_place)]
PlaceBeside = Annotated[str | Point, PlainValidator(written.read_place_beside)]
Size = Annotated[float, PlainValidator(written.read_size)]
Fraction = Annotated[float, PlainValidator(written.read_fraction)]
Colour = Annotated[str, PlainValidator(written.read_colour)]


class Written(BaseModel):
    """Base of all tables of a plan: an unknown key is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class WrittenThing(Written):
    """``subject``, or one of ``supporting``."""

    at: Place | None = None
    size: Size | None = None


class WrittenElement(WrittenThing):
    """One of ``supporting``."""

    at: PlaceBeside | None = None
    name: Title | None = None


class WrittenLight(Written):
    """``light``, in words or as a clock position; both are read as a clock position."""

    in_words: Annotated[float, PlainValidator(written.read_light_words)] | None = Field(
        default=None, alias="from"
    )
    clock: Annotated[float, PlainValidator(written.read_clock)] | None = None

    @property
    def planned_clock(self) -> float | None:
        """The clock position, however it was written."""
        return self.in_words if self.in_words is not None else self.clock


class WrittenNegativeSpace(Written):
    """``negative_space``: a share, a side, or both."""

    fraction: Fraction | None = None
    side: Annotated[Side, PlainValidator(written.read_side)] | None = None


class WrittenColourTemperature(Written):
    """``colour_temperature``, in kelvin or in mired."""

    kelvin: Annotated[float, PlainValidator(written.read_kelvin)] | None = None
    mired: Annotated[float, PlainValidator(written.read_mired)] | None = None

    @property
    def planned_mired(self) -> float | None:
        """The temperature in mired, however it was written."""
        return 1e6 / self.kelvin if self.kelvin is not None else self.mired


class WrittenIntent(Written):
    """What one picture should be; None where the plan says nothing."""

    technique: Annotated[str, PlainValidator(written.read_technique)] | None = None
    subject: WrittenThing | None = None
    supporting: tuple[WrittenElement, ...] | None = None
    camera_elevation: Annotated[float, PlainValidator(written.read_elevation)] | None = None
    light: WrittenLight | None = None
    negative_space: WrittenNegativeSpace | None = None
    diagonal: Annotated[DiagonalWord | float, PlainValidator(written.read_diagonal)] | None = None
    colour_temperature: WrittenColourTemperature | None = None
    palette: tuple[Colour, ...] | None = None
    background: tuple[Colour, ...] | None = None
    surface: tuple[Colour, ...] | None = None
    aspect_ratio: Annotated[float, PlainValidator(written.read_aspect_ratio)] | None = None


class WrittenShot(WrittenIntent):
    """``[[shot]]``."""

    name: Title
    files: Annotated[tuple[Pattern, ...], BeforeValidator(written.check_some_files)]


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
    return written.number_reader(0, most, must_be, open_below=True)


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
    "subject": WrittenThing,
    "supporting": WrittenElement,
    "light": WrittenLight,
    "negative_space": WrittenNegativeSpace,
    "colour_temperature": WrittenColourTemperature,
    "tolerance": WrittenTolerance,
}


def known_keys(table: str) -> tuple[str, ...]:
    """The keys of a table, as they are written in the file."""
    return tuple(field.alias or name for name, field in TABLES[table].model_fields.items())
