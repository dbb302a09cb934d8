"""All measurements of one picture; this and `measured_lines` alone pass masks between them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch
from auditor.colour_signature import ColourSignature, cells_of, colour_signature
from auditor.geometry import Box, Region
from auditor.line_segments import find_line_segments
from auditor.measurements.additions import (
    Additions,
    Border,
    Writing,
    filled,
    measure_additions,
)
from auditor.measurements.background_and_surface import measure_background_and_surface
from auditor.measurements.camera_elevation import CameraElevation, measure_camera_elevation
from auditor.measurements.colour_temperature import ColourTemperature, measure_colour_temperature
from auditor.measurements.diagonal import Diagonal, UnseenDiagonals
from auditor.measurements.elements import FoundElements, measure_elements, placed_map
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.focus import Focus, measure_focus
from auditor.measurements.keypoints import Keypoints, measure_keypoints
from auditor.measurements.leading_lines import LeadingLines
from auditor.measurements.light import Light, measure_light
from auditor.measurements.measured_lines import measure_lines
from auditor.measurements.negative_space import NegativeSpace, measure_negative_space
from auditor.measurements.palette import Echo, Saturation, measure_colours
from auditor.measurements.rims import find_rims
from auditor.measurements.roll import Roll, measure_roll
from auditor.measurements.subject import (
    FoundSubject,
    food_on_dish,
    measure_subject,
    subject_from_metadata,
)
from auditor.measurements.technique_fit import TechniqueFit, measure_technique_fit
from auditor.measurements.thin_things import ThinThing, measure_thin_things
from auditor.measurements.tone import (
    SubjectTone,
    Tone,
    measure_subject_tone,
    measure_tone,
)
from auditor.measurements.whole_frame import in_whole_frame
from auditor.photograph.photograph import CameraSettings, ImageRegion, Photograph
from auditor.quantity import Quantity
from auditor.saliency.finder import SubjectFinder, SubjectMaps


@dataclass(frozen=True, slots=True)
class MeasuredPhotograph:
    """All quantities of one picture, without its pixels.

    Each attribute is documented with its type. `technique_fit` is empty without a subject, and
    leaves out techniques that could not be measured. What was put onto the picture (`border`,
    `writing`) is left out of all the others.
    """

    file: str
    width: int
    height: int
    sha256: str
    colour_profile: str
    camera: CameraSettings
    creator: str | None
    copyright: str | None
    subject: Quantity[Region]
    subject_source: Literal["estimated", "metadata"]
    subject_is_food_on_dish: bool
    elements: tuple[Quantity[Region], ...]
    placed: tuple[str, ...]
    thin_things: tuple[ThinThing, ...]
    negative_space: Quantity[NegativeSpace]
    diagonal: Quantity[Diagonal]
    unseen_diagonals: UnseenDiagonals
    leading_lines: Quantity[LeadingLines]
    technique_fit: dict[str, TechniqueFit]
    camera_elevation: Quantity[CameraElevation]
    light: Quantity[Light]
    roll: Quantity[Roll]
    colour_temperature: Quantity[ColourTemperature]
    colours: ColourSignature
    palette: tuple[Swatch, ...]
    subject_palette: tuple[Swatch, ...]
    ground_palette: tuple[Swatch, ...]
    echo: Echo | None
    saturation: Saturation
    background: Quantity[Swatch]
    surface: Quantity[Swatch]
    tone: Tone
    subject_tone: SubjectTone | None
    focus: Quantity[Focus]
    fingerprint: str
    keypoints: Keypoints
    border: Quantity[Border] | None = None
    writing: tuple[Quantity[Writing], ...] = ()
    undecoded_fraction: float = 0.0


def measure(photograph: Photograph, finder: SubjectFinder) -> MeasuredPhotograph:
    """Measure everything in one picture.

    Parameters
    ----------
    photograph : Photograph
    finder : SubjectFinder
        Finds the subject and the placed things.
    """
    additions = measure_additions(photograph.pixels)
    measured = _measure(_without(photograph, additions), finder, additions.mask)
    if additions.border is None or additions.border.value is None:
        return replace(measured, writing=additions.writing)
    inside = additions.border.value.inside
    return replace(
        in_whole_frame(measured, inside, photograph.width, photograph.height),
        width=photograph.width,
        height=photograph.height,
        border=additions.border,
        writing=additions.writing,
    )


def _without(photograph: Photograph, additions: Additions) -> Photograph:
    """The picture within its border, with the writing filled in."""
    pixels = filled(photograph.pixels[additions.rows, additions.columns], additions.mask)
    border = None if additions.border is None else additions.border.value
    if border is None:
        return replace(photograph, pixels=pixels)
    inside = border.inside
    rows, columns = photograph.detail.shape[:2]
    return replace(
        photograph,
        width=round(photograph.width * (inside.right - inside.left)),
        height=round(photograph.height * (inside.bottom - inside.top)),
        regions=tuple(_within(region, inside) for region in photograph.regions),
        pixels=pixels,
        detail=photograph.detail[
            math.ceil(inside.top * rows) : math.floor(inside.bottom * rows),
            math.ceil(inside.left * columns) : math.floor(inside.right * columns),
        ],
    )


def _within(region: ImageRegion, inside: Box) -> ImageRegion:
    """A region of the frame in fractions of the picture within its border."""
    width, height = inside.right - inside.left, inside.bottom - inside.top
    places = (
        (region.box.left - inside.left) / width,
        (region.box.top - inside.top) / height,
        (region.box.right - inside.left) / width,
        (region.box.bottom - inside.top) / height,
    )
    return replace(region, box=Box(*(min(1.0, max(0.0, place)) for place in places)))


def _measure(
    photograph: Photograph, finder: SubjectFinder, additions: NDArray[np.bool_]
) -> MeasuredPhotograph:
    """Measure a picture without its border; `additions` is what was filled in, (h, w)."""
    pixels = photograph.pixels
    maps = finder.find(pixels).in_frame(photograph.width, photograph.height)
    found_subject, source = _subject(photograph, maps)
    subject = food_on_dish(pixels, found_subject)
    elements = measure_elements(maps, subject.mask, pixels)
    occupied: NDArray[np.bool_] = subject.mask | (elements.labels > 0)
    things = _label_things(subject, elements)
    found = find_rims(pixels, things)
    rims = [rim for rim in found if not rim.is_faint]
    ellipses = [rim.ellipse for rim in rims]
    segments = find_line_segments(pixels)
    # A dish that nearly fills the frame is still one thing, on which lines and arrangements end.
    lines = measure_lines(pixels, found_subject, elements, ellipses, segments)
    cells = cells_of(pixels, occupied)
    elevation = measure_camera_elevation(
        [(rim.ellipse, rim.support, rim.axis_ratio_error) for rim in rims],
        photograph.width,
        photograph.height,
        photograph.camera.focal_length_35mm,
        segments,
        [(rim.ellipse, rim.support, rim.axis_ratio_error) for rim in found if rim.is_faint],
        things=things,
        exposed_ratio=photograph.camera.exposed_ratio,
    )
    elevation_deg = _exact_elevation_deg(elevation, are_faint=not rims)
    background_and_surface = measure_background_and_surface(pixels, occupied, elevation_deg)
    colours = measure_colours(pixels, subject.mask, occupied)
    return MeasuredPhotograph(
        file=photograph.file,
        width=photograph.width,
        height=photograph.height,
        sha256=photograph.sha256,
        colour_profile=photograph.colour_profile,
        camera=photograph.camera,
        creator=photograph.creator,
        copyright=photograph.copyright,
        subject=subject.region,
        subject_source=source,
        subject_is_food_on_dish=subject.is_food_on_dish,
        elements=elements.regions,
        placed=placed_map(maps.elements, subject.mask),
        thin_things=measure_thin_things(
            pixels, segments, maps.elements, subject.mask, [rim.ellipse for rim in found]
        ),
        negative_space=measure_negative_space(pixels, occupied, maps.elements),
        diagonal=lines.diagonal,
        unseen_diagonals=lines.unseen_diagonals,
        leading_lines=lines.leading_lines,
        technique_fit=measure_technique_fit(
            pixels, subject.region, elements.regions, elements.labels
        ),
        camera_elevation=elevation,
        light=measure_light(pixels, subject.mask, elements.labels, elevation_deg),
        roll=measure_roll(
            pixels,
            ellipses,
            elevation_deg,
            tilts=() if elevation.value is None else elevation.value.tilts,
            segments=segments,
        ),
        colour_temperature=measure_colour_temperature(cells),
        colours=colour_signature(cells),
        palette=colours.palette,
        subject_palette=colours.subject_palette,
        ground_palette=colours.ground_palette,
        echo=colours.echo,
        saturation=colours.saturation,
        background=background_and_surface.background,
        surface=background_and_surface.surface,
        tone=measure_tone(pixels),
        subject_tone=measure_subject_tone(pixels, subject.mask),
        focus=measure_focus(photograph.detail, subject.mask, additions),
        fingerprint=fingerprint(pixels),
        keypoints=measure_keypoints(pixels),
        undecoded_fraction=photograph.undecoded_fraction,
    )


def _subject(
    photograph: Photograph, maps: SubjectMaps
) -> tuple[FoundSubject, Literal["estimated", "metadata"]]:
    """The thing that the metadata point at, else the estimated subject."""
    for region in photograph.regions:  # programs write the main region first
        named = subject_from_metadata(
            region.box,
            maps.subject,
            maps.elements,
            is_point=region.is_point,
            is_by_camera=region.is_by_camera,
        )
        if named is not None:
            return named, "metadata"
    return measure_subject(maps.subject, maps.elements), "estimated"


def _exact_elevation_deg(elevation: Quantity[CameraElevation], *, are_faint: bool) -> float | None:
    """The elevation; None if it is too rough for what follows from it.

    Elevations from faint rims and from single lines are.
    """
    found = elevation.value
    if found is None or not (found.rectangles or (found.ellipses and not are_faint)):
        return None
    return found.deg


def _label_things(subject: FoundSubject, elements: FoundElements) -> NDArray[np.int32]:
    """Subject and elements as one label map, the subject last."""
    number = np.int32(elements.labels.max() + 1)
    return np.where(subject.mask, number, elements.labels)
