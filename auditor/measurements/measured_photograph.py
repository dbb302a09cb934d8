"""All measurements of one picture; the only module that passes masks between measurements."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from auditor.colorimetry import Swatch
from auditor.colour_signature import ColourSignature, cells_of, colour_signature
from auditor.geometry import Region
from auditor.line_segments import find_line_segments
from auditor.measurements.background_and_surface import measure_background_and_surface
from auditor.measurements.camera_elevation import CameraElevation, measure_camera_elevation
from auditor.measurements.colour_temperature import ColourTemperature, measure_colour_temperature
from auditor.measurements.diagonal import Diagonal, measure_diagonal
from auditor.measurements.elements import FoundElements, measure_elements, placed_map
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.focus import Focus, measure_focus
from auditor.measurements.keypoints import Keypoints, measure_keypoints
from auditor.measurements.leading_lines import LeadingLines, measure_leading_lines
from auditor.measurements.light import Light, measure_light
from auditor.measurements.negative_space import NegativeSpace, measure_negative_space
from auditor.measurements.palette import Echo, Saturation, measure_colours
from auditor.measurements.rims import find_rims
from auditor.measurements.roll import Roll, measure_roll
from auditor.measurements.subject import FoundSubject, measure_subject, subject_from_metadata
from auditor.measurements.technique_fit import TechniqueFit, measure_technique_fit
from auditor.measurements.thin_things import ThinThing, measure_thin_things
from auditor.measurements.tone import (
    SubjectTone,
    Tone,
    measure_subject_tone,
    measure_tone,
)
from auditor.photograph.photograph import CameraSettings, Photograph
from auditor.quantity import Quantity
from auditor.saliency.finder import SubjectFinder, SubjectMaps


@dataclass(frozen=True, slots=True)
class MeasuredPhotograph:
    """All quantities of one picture, without its pixels.

    Each attribute is documented with its type. `technique_fit` is empty without a subject, and
    leaves out techniques that could not be measured.
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
    elements: tuple[Quantity[Region], ...]
    placed: tuple[str, ...]
    thin_things: tuple[ThinThing, ...]
    negative_space: Quantity[NegativeSpace]
    diagonal: Quantity[Diagonal]
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


def measure(photograph: Photograph, finder: SubjectFinder) -> MeasuredPhotograph:
    """Measure everything in one picture.

    Parameters
    ----------
    photograph : Photograph
    finder : SubjectFinder
        Finds the subject and the placed things.
    """
    pixels = photograph.pixels
    maps = finder.find(pixels).in_frame(photograph.width, photograph.height)
    subject, source = _subject(photograph, maps)
    elements = measure_elements(maps, subject.mask, pixels)
    occupied: NDArray[np.bool_] = subject.mask | (elements.labels > 0)
    found = find_rims(pixels, _label_things(subject, elements))
    rims = [rim for rim in found if not rim.is_faint]
    ellipses = [rim.ellipse for rim in rims]
    segments = find_line_segments(pixels)
    cells = cells_of(pixels, occupied)
    elevation = measure_camera_elevation(
        [(rim.ellipse, rim.support, rim.axis_ratio_error) for rim in rims],
        photograph.width,
        photograph.height,
        photograph.camera.focal_length_35mm,
        segments,
        [(rim.ellipse, rim.support, rim.axis_ratio_error) for rim in found if rim.is_faint],
    )
    # An elevation from faint rims is too rough for what follows from it.
    is_known = elevation.value is not None and (rims or elevation.value.rectangles)
    elevation_deg = elevation.value.deg if elevation.value is not None and is_known else None
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
        elements=elements.regions,
        placed=placed_map(maps.elements, subject.mask),
        thin_things=measure_thin_things(
            pixels, segments, maps.elements, subject.mask, [rim.ellipse for rim in found]
        ),
        negative_space=measure_negative_space(pixels, occupied, maps.elements),
        diagonal=measure_diagonal(
            pixels, subject.region.value, _element_regions(elements), ellipses, segments=segments
        ),
        leading_lines=measure_leading_lines(
            segments, subject.region.value, _element_regions(elements), ellipses
        ),
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
        focus=measure_focus(photograph.detail, subject.mask),
        fingerprint=fingerprint(pixels),
        keypoints=measure_keypoints(pixels),
    )


def _subject(
    photograph: Photograph, maps: SubjectMaps
) -> tuple[FoundSubject, Literal["estimated", "metadata"]]:
    """The subject named in the metadata, else the estimated one."""
    if photograph.regions:
        # Programs write the main region first.
        region = photograph.regions[0]
        return (
            subject_from_metadata(
                region.box, maps.subject, maps.elements, is_point=region.is_point
            ),
            "metadata",
        )
    return measure_subject(maps.subject, maps.elements), "estimated"


def _label_things(subject: FoundSubject, elements: FoundElements) -> NDArray[np.int32]:
    """Subject and elements as one label map, the subject last."""
    number = np.int32(elements.labels.max() + 1)
    return np.where(subject.mask, number, elements.labels)


def _element_regions(elements: FoundElements) -> list[Region]:
    return [element.value for element in elements.regions if element.value is not None]
