"""Everything measured in one picture, row by row."""

from __future__ import annotations

from collections.abc import Callable

from auditor.measurements.technique_fit import FITS_FROM
from auditor.page.drawing.mixed_light import mixed_light_words
from auditor.record.picture_record import (
    CameraRecord,
    GroundRecord,
    MeasuredImageRecord,
)
from auditor.wording.colour_rows import (
    clipping_row,
    echo_row,
    ground_palette_row,
    palette_row,
    saturation_row,
    subject_palette_row,
    subject_tone_row,
    tone_row,
)
from auditor.wording.focus import focus_sentence
from auditor.wording.names import camera_words, diagonal_words, light_text, place_text
from auditor.wording.numbers import (
    aspect,
    count,
    decimal,
    degrees,
    file_name,
    kelvin,
    kelvin_from_mired,
    listed,
    moment,
    percent,
)
from auditor.wording.row import Detail, certainty, reason_cell
from auditor.wording.values import Cell, amount

MOST_TECHNIQUES = 3  # the nearest ones; the rest stands in the table of measurements


def details_of(image: MeasuredImageRecord) -> tuple[Detail, ...]:
    """All rows of a picture."""
    rows = (make(image) for make in ROWS)
    return tuple(row for row in rows if row is not None)


def _subject(image: MeasuredImageRecord) -> Detail:
    subject = image.subject
    if subject.centroid is None or subject.area_fraction is None:
        return Detail("Subject", reason_cell(image, "subject"), "")
    origin = {
        "estimated": "found in the picture",
        "metadata": "named in the file’s metadata",
        "plan": "as planned",
    }[subject.source]
    size = f"{percent(subject.area_fraction)} of the frame"
    text = f"{place_text(*subject.centroid)}; {size}; {origin}"
    return Detail("Subject", Cell(text), certainty(subject, "fraction of diagonal"))


def _elements(image: MeasuredImageRecord) -> Detail:
    if not image.elements:
        return Detail("Supporting elements", Cell("none found"), "")
    sizes = listed([percent(element.area_fraction) for element in image.elements])
    return Detail(
        "Supporting elements", Cell(f"{len(image.elements)}, covering {sizes} of the frame"), ""
    )


def _space(image: MeasuredImageRecord) -> Detail:
    space = image.negative_space
    if space.fraction is None:
        return Detail("Empty space", reason_cell(image, "negative_space"), "")
    side = f", mostly {space.side}" if space.side not in {None, "none"} else ""
    return Detail(
        "Empty space",
        Cell(f"{percent(space.fraction)} of the frame{side}"),
        certainty(space, "fraction of frame"),
    )


def _diagonal(image: MeasuredImageRecord) -> Detail:
    diagonal = image.diagonal
    if diagonal is None:
        return Detail("Diagonal", reason_cell(image, "diagonal"), "")
    drawn = "edges" if diagonal.drawn_by == "edges" else "the arrangement"
    text = (
        f"{degrees(diagonal.angle_deg, signed=True)}, {diagonal_words(diagonal.angle_deg)}, drawn "
        f"by {drawn}; strength {decimal(diagonal.strength, 2)} of 1"
    )
    return Detail("Diagonal", Cell(text), certainty(diagonal, "deg"))


def _technique(image: MeasuredImageRecord) -> Detail:
    if not image.technique_fit:
        return Detail("Nearest techniques", reason_cell(image, "subject"), "")
    fits = image.technique_fit
    places = [name for name in fits if fits[name].fit is None]
    nearest = sorted(places, key=lambda name: fits[name].distance)[:MOST_TECHNIQUES]
    said = ", ".join(f"{name} {decimal(fits[name].distance, 2)}" for name in nearest)
    text = f"{said} of the diagonal away"
    seen = [name for name, fit in fits.items() if fit.fit is not None and fit.fit >= FITS_FROM]
    if seen:
        text += f"; seen in the picture: {listed(seen)}"
    return Detail("Nearest techniques", Cell(text), "")


def _leading(image: MeasuredImageRecord) -> Detail:
    leading = image.leading_lines
    if leading is None:
        return Detail("Leading lines", reason_cell(image, "leading_lines"), "")
    n_lines = len(leading.paths)
    away = f"{decimal(leading.distance, 2)} of the diagonal from the subject’s middle"
    text = {
        "lines": f"{count(n_lines, 'line')} {'meet' if n_lines > 1 else 'passes'} {away}",
        "arc": f"an arc of {len(leading.paths[0])} things leads to a point {away}",
        "S-curve": f"an S-curve of {len(leading.paths[0])} things ends {away}",
    }[leading.kind]
    return Detail("Leading lines", Cell(text), certainty(leading, "fraction of diagonal"))


def _camera_angle(image: MeasuredImageRecord) -> Detail:
    elevation = image.camera_elevation
    if elevation.deg is None:
        return Detail("Camera angle", reason_cell(image, "camera_elevation"), "")
    rims, rectangles = len(elevation.ellipses), len(elevation.rectangles)
    source = count(rims, "rim") if rims else count(rectangles, "rectangle")
    text = f"{degrees(elevation.deg)}, {camera_words(elevation.deg)}; read from {source}"
    return Detail("Camera angle", Cell(text), certainty(elevation, "deg"))


def _light(image: MeasuredImageRecord) -> Detail:
    if image.light.clock is None:
        return Detail("Light", reason_cell(image, "light"), "")
    return Detail("Light", Cell(light_text(image.light.clock)), certainty(image.light, "h"))


def _roll(image: MeasuredImageRecord) -> Detail:
    if image.roll.deg is None:
        return Detail("Level", reason_cell(image, "roll"), "")
    deg = image.roll.deg
    way = "" if deg == 0 else f", rising to the {'right' if deg > 0 else 'left'}"
    return Detail("Level", Cell(degrees(abs(deg), 1) + way), certainty(image.roll, "deg of tilt"))


def _temperature(image: MeasuredImageRecord) -> Detail:
    found = image.colour_temperature
    if found.cct_k is None or found.duv is None or found.mired is None:
        return Detail("Colour temperature", reason_cell(image, "colour_temperature"), "")
    text = (
        f"{kelvin(found.cct_k)} ({decimal(found.mired, 0)} mired), "
        f"Duv {decimal(found.duv, 3, signed=True)}"
    )
    if mixed := mixed_light_words(found):
        text += f"; {mixed}"
    return Detail("Colour temperature", Cell(text), certainty(found, "mired"))


def _temperature_by_set(image: MeasuredImageRecord) -> Detail | None:
    """What the set knows better than the picture."""
    known = image.known_temperature
    if known is None or not known.by_set:
        return None
    text = f"{kelvin_from_mired(known.mired)} ({decimal(known.mired, 0)} mired), by what it shares"
    sure = f"within {amount(known.tolerance, 'mired')}: {percent(known.confidence)} probable"
    return Detail("Colour temperature by the set", Cell(text), sure)


def _background(image: MeasuredImageRecord) -> Detail:
    return _ground(image, "background", "Background", image.background)


def _surface(image: MeasuredImageRecord) -> Detail:
    return _ground(image, "surface", "Surface", image.surface)


def _ground(
    image: MeasuredImageRecord, quantity: str, title: str, ground: GroundRecord | None
) -> Detail:
    if ground is None:
        return Detail(title, reason_cell(image, quantity), "")
    text = f"{ground.hex}, {percent(ground.share)} of the frame"
    return Detail(title, Cell(text), certainty(ground, "CIEDE2000"))


def _focus(image: MeasuredImageRecord) -> Detail:
    focus = image.focus
    if focus.subject_in_focus is None or focus.subject_sharpness is None:
        return Detail("Focus", reason_cell(image, "focus"), "")
    text = f"{focus_sentence(focus)} Subject’s sharpness {decimal(focus.subject_sharpness, 2)} of 1"
    if focus.sharpest_at is not None:
        text += f"; sharpest at {place_text(*focus.sharpest_at)}"
    sure = focus.cause_confidence or focus.confidence
    return Detail("Focus", Cell(text), "" if sure is None else f"{percent(sure)} probable")


def _file(image: MeasuredImageRecord) -> Detail:
    frame = f"{image.width} × {image.height} px ({aspect(image.width / image.height)})"
    rights = [file_name(text) for text in (image.creator, image.copyright) if text]
    return Detail("File", Cell("; ".join([frame, file_name(image.colour_profile), *rights])), "")


def _camera(image: MeasuredImageRecord) -> Detail:
    return Detail("Camera", Cell(capture_line(image.camera) or "the file does not say"), "")


def capture_line(camera: CameraRecord) -> str:
    """How the picture was taken, as photographers write it."""
    body = " ".join(text for text in (camera.make, camera.model) if text)
    focal = camera.focal_length_mm
    parts = [
        file_name(body),
        file_name(camera.lens or ""),
        "" if focal is None else f"{focal:g} mm",
        "" if camera.f_number is None else f"f/{camera.f_number:g}",
        exposure_time(camera.exposure_time_s),
        "" if camera.iso is None else f"ISO {camera.iso}",
        moment(camera.taken),
    ]
    return " · ".join(part for part in parts if part)


LONG_EXPOSURE_S = 0.3  # from here cameras write seconds, below it fractions (common practice)


def exposure_time(seconds: float | None) -> str:
    """Write a shutter speed as a camera shows it."""
    if seconds is None or seconds <= 0:
        return ""
    return f"{seconds:g} s" if seconds >= LONG_EXPOSURE_S else f"1/{1 / seconds:.0f} s"


ROWS: tuple[Callable[[MeasuredImageRecord], Detail | None], ...] = (
    _subject,
    _elements,
    _space,
    _technique,
    _diagonal,
    _leading,
    _camera_angle,
    _light,
    _roll,
    _temperature,
    _temperature_by_set,
    palette_row,
    subject_palette_row,
    ground_palette_row,
    echo_row,
    saturation_row,
    _background,
    _surface,
    tone_row,
    clipping_row,
    subject_tone_row,
    _focus,
    _file,
    _camera,
)
