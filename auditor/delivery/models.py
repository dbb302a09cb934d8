"""The form of a file of rules: its keys, and the values that each may have.

Every rule has one key, the same under its heading for all pictures and in a ``[[channel]]``.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, PlainValidator

from auditor.delivery import units
from auditor.delivery import written_values as values
from auditor.delivery.rules import Asked
from auditor.plan.written_table import Written
from auditor.plan.written_values import read_files, read_pattern, read_text

Text = Annotated[str, PlainValidator(read_text)]
Pattern = Annotated[str, PlainValidator(read_pattern)]
Px = Annotated[Asked, PlainValidator(values.limit_reader(units.PIXELS))]
Megapixels = Annotated[Asked, PlainValidator(values.limit_reader(units.MEGAPIXELS))]
Bytes = Annotated[Asked, PlainValidator(values.limit_reader(units.BYTES))]
Share = Annotated[Asked, PlainValidator(values.limit_reader(units.SHARE))]
Sharpness = Annotated[Asked, PlainValidator(values.limit_reader(units.SHARPNESS))]
Bits = Annotated[Asked, PlainValidator(values.limit_reader(units.BITS))]
Ratio = Annotated[Asked, PlainValidator(values.read_ratio)]
FileType = Annotated[Asked, PlainValidator(values.read_type)]
ColourModel = Annotated[Asked, PlainValidator(values.read_model)]
Profile = Annotated[Asked, PlainValidator(values.read_texts)]
Names = Annotated[Asked, PlainValidator(values.read_name_pattern)]
Never = Annotated[Asked, PlainValidator(values.read_never)]
Always = Annotated[Asked, PlainValidator(values.read_always)]
Presence = Annotated[Asked, PlainValidator(values.read_presence)]
Stated = Annotated[Asked, PlainValidator(values.read_stated)]
Keywords = Annotated[Asked, PlainValidator(values.read_keywords)]
Look = Annotated[Asked, PlainValidator(values.read_look)]
Length = Annotated[Asked, PlainValidator(values.number_of("characters", 1))]
FirstNumber = Annotated[Asked, PlainValidator(values.number_of("the first picture"))]
Pictures = Annotated[Asked, PlainValidator(values.number_of("pictures", 1))]
SomePictures = Annotated[Asked, PlainValidator(values.number_of("pictures"))]


class WrittenMetadata(Written):
    """``[metadata]``: what the file says beside its pixels."""

    location: Presence | None = None
    serial_numbers: Never | None = None
    creator: Stated | None = None
    copyright: Stated | None = None
    caption: Presence | None = None
    keywords: Keywords | None = None


class WrittenPicture(Written):
    """``[picture]``: what is seen in each."""

    writing: Never | None = None
    border: Never | None = None
    clipped_highlights: Share | None = None
    clipped_shadows: Share | None = None
    subject_highlights: Share | None = None
    subject_shadows: Share | None = None
    subject_sharpness: Sharpness | None = None
    halos: Share | None = None


class WrittenPixels(Written):
    """``[pixels]``: the size and shape of each picture as it is displayed."""

    long_side: Px | None = None
    short_side: Px | None = None
    width: Px | None = None
    height: Px | None = None
    megapixels: Megapixels | None = None
    ratio: Ratio | None = None


class WrittenFile(Written):
    """``[file]``: the file itself and its name."""

    type: FileType | None = None
    bytes: Bytes | None = None
    profile: Profile | None = None
    embedded_profile: Always | None = None
    colours: ColourModel | None = None
    bits: Bits | None = None
    names: Names | None = None
    first_number: FirstNumber | None = None
    number_gaps: Never | None = None
    number_doubles: Never | None = None
    spaces_in_names: Never | None = None
    safe_names: Always | None = None
    lower_case_names: Always | None = None
    name_length: Length | None = None


class WrittenSet(Written):
    """``[set]``: the pictures together."""

    pictures: Pictures | None = None
    portrait: SomePictures | None = None
    landscape: SomePictures | None = None
    square: SomePictures | None = None
    overhead: SomePictures | None = None
    high: SomePictures | None = None
    three_quarter: SomePictures | None = None
    low: SomePictures | None = None
    straight_on: SomePictures | None = None
    same_picture_twice: Never | None = None
    crops_of_one_picture: Never | None = None
    one_look: Look | None = None


class WrittenChannel(WrittenSet, WrittenFile, WrittenPixels, WrittenPicture, WrittenMetadata):
    """``[[channel]]``: the pictures for one use, and every rule that they have of their own."""

    name: Text
    files: Annotated[tuple[Pattern, ...], BeforeValidator(read_files)]


class WrittenRules(Written):
    """A whole file of rules."""

    title: Text | None = None
    metadata: WrittenMetadata = WrittenMetadata()
    picture: WrittenPicture = WrittenPicture()
    pixels: WrittenPixels = WrittenPixels()
    file: WrittenFile = WrittenFile()
    set: WrittenSet = WrittenSet()
    channel: tuple[WrittenChannel, ...] = ()


TABLES: dict[str, type[Written]] = {
    "": WrittenRules,
    "metadata": WrittenMetadata,
    "picture": WrittenPicture,
    "pixels": WrittenPixels,
    "file": WrittenFile,
    "set": WrittenSet,
    "channel": WrittenChannel,
}
GROUPS = tuple(name for name in TABLES if name not in {"", "channel"})


def known_keys(table: str) -> tuple[str, ...]:
    """The keys of a table, as they are written in the file."""
    return tuple(TABLES[table].model_fields)


# Every rule by its key, what cannot be undone after a hand-over first.
RULE_NAMES = tuple(name for group in GROUPS for name in known_keys(group))
# Rules about the pictures together; all others are about each picture.
SET_RULES = frozenset((*known_keys("set"), "number_gaps", "number_doubles", "first_number")) - {
    "one_look"
}

_UNITS = {
    **dict.fromkeys(("long_side", "short_side", "width", "height"), units.PIXELS),
    "megapixels": units.MEGAPIXELS,
    "bytes": units.BYTES,
    "bits": units.BITS,
    "subject_sharpness": units.SHARPNESS,
    **dict.fromkeys(
        (
            "clipped_highlights",
            "clipped_shadows",
            "subject_highlights",
            "subject_shadows",
            "halos",
        ),
        units.SHARE,
    ),
}


def unit_of(rule: str) -> str:
    """The unit of what is found for a rule; empty for numbers of things and for ratios."""
    return _UNITS[rule].name if rule in _UNITS else ""
