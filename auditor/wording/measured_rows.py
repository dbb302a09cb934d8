"""Everything measured in one picture, row by row."""

from __future__ import annotations

from collections.abc import Callable

from auditor.record.colour_records import (
    GroundRecord,
)
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.safe_text import one_line
from auditor.values import Angle
from auditor.vocabulary.counts import count
from auditor.wording.additions import additions_words
from auditor.wording.camera_settings import capture_line
from auditor.wording.cells import Cell, colour_patch, value_text
from auditor.wording.empty_space import pattern_words, sides_words
from auditor.wording.focus import focus_sentence
from auditor.wording.measured_colours import (
    clipping_row,
    echo_row,
    ground_palette_row,
    palette_row,
    remember_colour_names,
    saturation_row,
    subject_palette_row,
    subject_tone_row,
    tone_row,
)
from auditor.wording.measured_row import MeasuredRow, certainty_words, reason_cell
from auditor.wording.mixed_light import mixed_light_words
from auditor.wording.numbers import (
    amount,
    aspect,
    decimal,
    kelvin,
    percent,
    tilt_text,
)
from auditor.wording.positions import light_text, place_text
from auditor.wording.quantity_names import title
from auditor.wording.temperature import mired_amount, temperature_words
from auditor.wording.texts import listed

MOST_TECHNIQUES = 3  # the least likely by chance; the rest stands in the table of measurements


def measured_rows(picture: MeasuredPictureRecord) -> tuple[MeasuredRow, ...]:
    """All rows of a picture."""
    remember_colour_names(picture)
    rows = (make(picture) for make in ROWS)
    return tuple(row for row in rows if row is not None)


def _subject(picture: MeasuredPictureRecord) -> MeasuredRow:
    subject = picture.subject
    if subject.centroid is None or subject.area_fraction is None:
        return MeasuredRow("Subject", reason_cell(picture, "subject"), "")
    origin = {
        "estimated": "found in the picture",
        "metadata": "chosen by the file’s metadata",
    }[subject.source]
    size = f"{percent(subject.area_fraction)} of the frame"
    part = "; the food alone, as its dish nearly fills the frame" if subject.part else ""
    text = f"{place_text(*subject.centroid)}; {size}; {origin}{part}"
    return MeasuredRow("Subject", Cell(text), certainty_words(subject, "fraction of diagonal"))


def _elements(picture: MeasuredPictureRecord) -> MeasuredRow:
    if not picture.elements:
        return MeasuredRow(title("supporting"), Cell("none found"), "")
    sizes = listed([percent(element.area_fraction) for element in picture.elements])
    return MeasuredRow(
        title("supporting"), Cell(f"{len(picture.elements)}, covering {sizes} of the frame"), ""
    )


def _space(picture: MeasuredPictureRecord) -> MeasuredRow:
    space = picture.negative_space
    if space.fraction is None:
        return MeasuredRow(title("negative_space"), reason_cell(picture, "negative_space"), "")
    where = sides_words(space.sides)
    share = f"{percent(space.fraction)} of the frame"
    text = f"{share}, {where}" if where else share
    return MeasuredRow(
        title("negative_space"),
        Cell("; ".join(part for part in (text, pattern_words(space)) if part)),
        certainty_words(space, "fraction of frame"),
    )


def _diagonal(picture: MeasuredPictureRecord) -> MeasuredRow:
    diagonal = picture.diagonal
    if diagonal is None:
        return MeasuredRow(title("diagonal"), reason_cell(picture, "diagonal"), "")
    drawn = "edges" if diagonal.drawn_by == "edges" else "the arrangement"
    text = (
        f"{value_text('diagonal', Angle(diagonal.angle_deg))}, drawn by {drawn}; strength "
        f"{percent(diagonal.strength)}"
    )
    return MeasuredRow(title("diagonal"), Cell(text), certainty_words(diagonal, "deg"))


def _technique(picture: MeasuredPictureRecord) -> MeasuredRow:
    if not picture.technique_fit:
        return MeasuredRow("Nearest techniques", reason_cell(picture, "subject"), "")
    fits = picture.technique_fit
    places = [name for name in picture.near_techniques if fits[name].fit is None]
    nearest = places[:MOST_TECHNIQUES]
    names = listed([f"{name} ({_away(fits[name].distance)})" for name in nearest])
    text = names or "near no point of a technique"
    seen = [name for name, fit in fits.items() if fit.fit is not None and fit.is_there]
    if seen:
        text += f"; seen in the picture: {listed(seen)}"
    return MeasuredRow("Nearest techniques", Cell(text), "")


def _away(distance: float) -> str:
    return f"{amount(distance, 'fraction of diagonal')} away"


def _leading(picture: MeasuredPictureRecord) -> MeasuredRow:
    leading = picture.leading_lines
    if leading is None:
        return MeasuredRow(title("leading_lines"), reason_cell(picture, "leading_lines"), "")
    n_lines = len(leading.paths)
    away = f"{decimal(leading.distance, 2)} of the diagonal from the subject’s middle"
    text = {
        "lines": f"{count(n_lines, 'line')} {'meet' if n_lines > 1 else 'passes'} {away}",
        "arc": f"an arc of {len(leading.paths[0])} things leads to a point {away}",
        "S-curve": f"an S-curve of {len(leading.paths[0])} things ends {away}",
    }[leading.kind]
    return MeasuredRow(
        title("leading_lines"), Cell(text), certainty_words(leading, "fraction of diagonal")
    )


def _camera_angle(picture: MeasuredPictureRecord) -> MeasuredRow:
    elevation = picture.camera_elevation
    if elevation.deg is None:
        return MeasuredRow(title("camera_elevation"), reason_cell(picture, "camera_elevation"), "")
    sources = (
        (len(elevation.ellipses), "rim"),
        (len(elevation.rectangles), "rectangle"),
        (len(elevation.lines), "straight edge"),
    )
    source = next((count(number, name) for number, name in sources if number), "")
    text = f"{value_text('camera_elevation', Angle(elevation.deg))}; read from {source}"
    if elevation.cropped_from is not None:
        text += f"; less certain where the picture was cropped from {elevation.cropped_from}"
    return MeasuredRow(title("camera_elevation"), Cell(text), certainty_words(elevation, "deg"))


def _light(picture: MeasuredPictureRecord) -> MeasuredRow:
    if picture.light.clock is None:
        return MeasuredRow(title("light"), reason_cell(picture, "light"), "")
    return MeasuredRow(
        title("light"), Cell(light_text(picture.light.clock)), certainty_words(picture.light, "h")
    )


def _roll(picture: MeasuredPictureRecord) -> MeasuredRow:
    if picture.roll.deg is None:
        return MeasuredRow(title("roll"), reason_cell(picture, "roll"), "")
    tilt = tilt_text(picture.roll.deg)
    return MeasuredRow(title("roll"), Cell(tilt), certainty_words(picture.roll, "deg of tilt"))


def _temperature(picture: MeasuredPictureRecord) -> MeasuredRow:
    found = picture.colour_temperature
    if found.cct_k is None or found.mired is None:
        return MeasuredRow(
            title("colour_temperature"), reason_cell(picture, "colour_temperature"), ""
        )
    text = f"{temperature_words(found.mired)} ({kelvin(found.cct_k)}, {mired_amount(found.mired)})"
    if found.duv is not None:
        text += f"; tint Duv {decimal(found.duv, 3, signed=True)}"
    if found.source == "set":
        text += "; by what it shares with other pictures of the set"
    if mixed := mixed_light_words(found):
        text += f"; {mixed}"
    return MeasuredRow(title("colour_temperature"), Cell(text), certainty_words(found, "mired"))


def _background(picture: MeasuredPictureRecord) -> MeasuredRow:
    return _ground(picture, "background", picture.background)


def _surface(picture: MeasuredPictureRecord) -> MeasuredRow:
    return _ground(picture, "surface", picture.surface)


def _ground(
    picture: MeasuredPictureRecord, quantity: str, ground: GroundRecord | None
) -> MeasuredRow:
    if ground is None:
        return MeasuredRow(title(quantity), reason_cell(picture, quantity), "")
    patch = colour_patch(ground.hex, f", {percent(ground.share)} of the frame")
    return MeasuredRow(title(quantity), Cell("", (patch,)), certainty_words(ground, "CIEDE2000"))


def _focus(picture: MeasuredPictureRecord) -> MeasuredRow:
    focus = picture.focus
    if focus.subject_in_focus is None or focus.subject_sharpness is None:
        return MeasuredRow(title("focus"), reason_cell(picture, "focus"), "")
    text = f"{focus_sentence(focus)} Subject’s sharpness {percent(focus.subject_sharpness)}"
    if focus.sharpest_at is not None:
        text += f"; sharpest at {place_text(*focus.sharpest_at)}"
    sure = focus.cause_confidence or focus.confidence
    return MeasuredRow(
        title("focus"), Cell(text), "" if sure is None else f"{percent(sure)} probable"
    )


def _additions(picture: MeasuredPictureRecord) -> MeasuredRow | None:
    words = additions_words(picture)
    if not words:
        return None
    found = [*picture.writing, *([picture.border] if picture.border else [])]
    sure = min((one.confidence or 0.0 for one in found), default=0.0)
    return MeasuredRow("Border and writing", Cell(words), f"{percent(sure)} probable")


def _file(picture: MeasuredPictureRecord) -> MeasuredRow:
    frame = f"{picture.width} × {picture.height} px ({aspect(picture.width / picture.height)})"
    rights = [one_line(text) for text in (picture.creator, picture.copyright) if text]
    return MeasuredRow(
        "File", Cell("; ".join([frame, one_line(picture.colour_profile), *rights])), ""
    )


def _camera(picture: MeasuredPictureRecord) -> MeasuredRow:
    return MeasuredRow("Camera", Cell(capture_line(picture.camera) or "the file does not say"), "")


ROWS: tuple[Callable[[MeasuredPictureRecord], MeasuredRow | None], ...] = (
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
    _additions,
    _file,
    _camera,
)
