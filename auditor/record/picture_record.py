"""The models of one picture in the record."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from auditor.record.addition_records import BorderRecord, WritingRecord
from auditor.record.advice_record import AdviceRecord
from auditor.record.base import (
    Estimated,
    Fraction,
    Position,
    ReasonRecord,
    Record,
    Rectangle,
)
from auditor.record.colour_records import (
    ColourTemperatureRecord,
    EchoRecord,
    GroundRecord,
    KnownTemperatureRecord,
    PaletteRecord,
    SaturationRecord,
    SubjectToneRecord,
    ToneRecord,
)
from auditor.record.plan_records import PicturePlanRecord


class CameraRecord(Record):
    """Camera settings from EXIF.

    `exposed_ratio` is the width over the height, as displayed, of the frame that the camera wrote,
    if it is known and the picture has another.
    """

    make: str | None
    model: str | None
    lens: str | None
    focal_length_mm: float | None
    focal_length_35mm: float | None
    exposure_time_s: float | None
    f_number: float | None
    iso: int | None
    taken: str | None
    has_gps: bool
    exposed_ratio: float | None = None


class SubjectRecord(Estimated):
    """The subject; tolerance is a distance of the centroid, as a fraction of the diagonal.

    `part` is "food" if the subject is only the food on a dish that nearly fills the frame. The dish
    still counts as occupied, and its rims are measured.
    """

    centroid: Position | None
    bbox: Rectangle | None
    area_fraction: Fraction | None
    elongation: float | None = None
    axis_deg: float | None = None
    source: Literal["estimated", "metadata"]
    part: Literal["food"] | None = None


class ElementRecord(Estimated):
    """A supporting element.

    `elongation` is its length over its width, at least 1; `axis_deg` the direction of its longer
    axis, in (-90, 90], counter-clockwise.
    """

    centroid: Position
    bbox: Rectangle
    area_fraction: Fraction
    elongation: float | None = None
    axis_deg: float | None = None


class ThinThingRecord(Record):
    """Something that looks long and thin: the ends of its axis and its width.

    Two straight edges with one colour between them: a spoon, a skewer, now and then a stripe. The
    width is a fraction of the diagonal; the confidence is that it is a thing.
    """

    ends: tuple[Position, Position]
    width_fraction: float
    confidence: Fraction


class LargestRegionRecord(Record):
    """The largest quiet region.

    `outline` has the ring around it first and then those around the holes in it, each a closed
    polygon; filled by the even-odd rule they cover the region.
    """

    bbox: Rectangle
    fraction: Fraction
    outline: list[list[Position]] = Field(default_factory=list)


class NegativeSpaceRecord(Estimated):
    """Negative space.

    `sides` are the halves with clearly more of the emptiness than their opposites, `side` first;
    `plain_fraction` is the share without patterned ground (granite, prints, grids), which some
    count as empty and some do not, and `plain_sides` are its sides.
    """

    fraction: Fraction | None
    plain_fraction: Fraction | None = None
    largest_region: LargestRegionRecord | None
    side: Literal["left", "right", "top", "bottom", "around", "none"] | None
    sides: list[Literal["left", "right", "top", "bottom", "around", "none"]] = Field(
        default_factory=list
    )
    plain_sides: list[Literal["left", "right", "top", "bottom", "around", "none"]] = Field(
        default_factory=list
    )


class DiagonalRecord(Estimated):
    """The dominant diagonal; tolerance in degrees."""

    angle_deg: float
    ends: tuple[Position, Position]
    strength: Fraction
    drawn_by: Literal["edges", "arrangement"]


class LeadingLinesRecord(Estimated):
    """Lines or a curve of things that lead to the subject.

    `distance` is that of `leads_to` from the subject's centroid, as a fraction of the diagonal, and
    so is the tolerance; each of `paths` runs towards the subject.
    """

    kind: Literal["lines", "arc", "S-curve"]
    leads_to: Position
    distance: float
    strength: Fraction
    paths: list[list[Position]]


class TechniqueFitRecord(Record):
    """Distance of the subject from the nearest point of a technique.

    Exact for the subject's centroid, so its confidence and tolerance are the subject's. Where the
    technique asks something of the picture itself, `fit` is how much of it is there and `is_there`
    whether that is enough, `outline` has the corners of what was found, and the confidence is that
    of `fit`. `chance` is the share of the frame that lies as near to the technique's points or
    lines; distances below the error of the centroid (0.017) count as that error. `near_rank` is 1
    for the technique to name by the subject's place and null where the subject is not near or too
    many places are as near, as they always are to a diagonal.
    """

    distance: float
    point: Position
    fit: Fraction | None = None
    is_there: bool = True
    chance: Fraction | None = None
    near_rank: Annotated[int, Field(ge=1)] | None = None
    outline: list[Position] = Field(default_factory=list)
    confidence: Fraction | None
    tolerance: float | None


class EllipseRecord(Record):
    """A fitted rim; semi-axes are fractions of the diagonal, the major one first."""

    centre: Position
    semi_axes: tuple[float, float]
    angle_deg: float


class CameraElevationRecord(Estimated):
    """Camera elevation, and the rims, rectangles or lines it was read from; tolerance in degrees.

    The corners of a rectangle (a board, a tray, a cloth) may lie outside the frame. `lines` are the
    ends of straight edges that lie along and across the table. `cropped_from` is the ratio of the
    frame, such as "3:2", that the picture was presumably cut from; the angle of view is then less
    certain.
    """

    deg: float | None
    ellipses: list[EllipseRecord]
    rectangles: list[list[Position]] = Field(default_factory=list)
    lines: list[tuple[Position, Position]] = Field(default_factory=list)
    cropped_from: str | None = None


class LightRecord(Estimated):
    """Light direction; tolerance in hours of the clock."""

    clock: float | None
    name: Literal["back light", "three-quarter back light", "side light", "front light"] | None
    side: Literal["left", "right"] | None


class RollRecord(Estimated):
    """Roll; tolerance in degrees."""

    deg: float | None


class FocusRecord(Estimated):
    """Focus; confidence is that of `subject_in_focus`, `cause_confidence` that of `cause`."""

    subject_sharpness: float | None
    sharpest_at: Position | None
    subject_in_focus: bool | None
    cause: (
        Literal["shallow focus", "deep focus", "missed focus", "motion blur", "soft all over"]
        | None
    ) = None
    cause_confidence: Fraction | None = None


class MeasuredPictureRecord(Record):
    """A measured picture.

    `reading` says in three to six sentences what is seen in it, `reading_figures` the figures
    behind each, in the same order.
    """

    file: str
    status: Literal["measured"]
    reason: None
    width: int
    height: int
    sha256: str
    colour_profile: str
    creator: str | None
    copyright: str | None
    camera: CameraRecord
    subject: SubjectRecord
    elements: list[ElementRecord]
    thin_things: list[ThinThingRecord] = Field(default_factory=list)
    negative_space: NegativeSpaceRecord
    diagonal: DiagonalRecord | None
    leading_lines: LeadingLinesRecord | None
    technique_fit: dict[str, TechniqueFitRecord]
    camera_elevation: CameraElevationRecord
    light: LightRecord
    roll: RollRecord
    colour_temperature: ColourTemperatureRecord
    known_temperature: KnownTemperatureRecord | None = None
    palette: list[PaletteRecord]
    subject_palette: list[PaletteRecord] = Field(default_factory=list)
    ground_palette: list[PaletteRecord] = Field(default_factory=list)
    echo: EchoRecord | None = None
    saturation: SaturationRecord | None = None
    background: GroundRecord | None
    surface: GroundRecord | None
    tone: ToneRecord
    subject_tone: SubjectToneRecord | None = None
    focus: FocusRecord
    border: BorderRecord | None = None
    writing: list[WritingRecord] = Field(default_factory=list)
    reasons: dict[str, ReasonRecord] = Field(
        description="Why each quantity that is null, or whose value is null, has no value."
    )
    plan: PicturePlanRecord | None
    advice: list[AdviceRecord]
    reading: list[str] = Field(default_factory=list)
    reading_figures: list[str] = Field(default_factory=list)

    @property
    def near_techniques(self) -> list[str]:
        """Techniques to which the subject is near, the one to name first."""
        ranks = {name: fit.near_rank for name, fit in self.technique_fit.items() if fit.near_rank}
        return sorted(ranks, key=ranks.__getitem__)


class RefusedPictureRecord(Record):
    """A picture that could not be read."""

    file: str
    status: Literal["refused"]
    reason: ReasonRecord


PictureRecord = Annotated[
    MeasuredPictureRecord | RefusedPictureRecord, Field(discriminator="status")
]
