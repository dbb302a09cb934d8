"""Rows of a picture's colours and tones."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.record.picture_record import MeasuredImageRecord, PaletteRecord, ToneRecord
from auditor.wording.names import place_words
from auditor.wording.numbers import count, decimal, listed, percent
from auditor.wording.row import ClippingMap, Detail, MapBox, reason_cell
from auditor.wording.values import Cell, NamedPatch

KEYS = {"high": "high key", "middle": "middle key", "low": "low key"}
CLIPPED = {"highlights": "blown highlights", "shadows": "blocked shadows"}
CHANNELS = ("red", "green", "blue")
MAP_LENGTH = 96.0  # units of the drawing along the longest side of the frame
# What fills a fifth of the frame is table or wall, not an echo (common practice, no source).
GROUND_SHARE = 0.2
# Between texts of one L* more or less nobody sees a difference; common practice, no source.
SAME_LIGHTNESS = 1.0


def named_colours(palette: Sequence[PaletteRecord]) -> tuple[NamedPatch, ...]:
    """Colours with names and shares."""
    return tuple(
        NamedPatch(
            swatch.hex,
            " ".join(part for part in (swatch.name, swatch.hex, percent(swatch.share)) if part),
        )
        for swatch in palette
    )


def _palette(title: str, palette: Sequence[PaletteRecord], without: Cell) -> Detail:
    return Detail(title, Cell("", named=named_colours(palette)) if palette else without, "")


def palette_row(image: MeasuredImageRecord) -> Detail:
    """The main colours of the frame."""
    return _palette("Palette", image.palette, Cell("none"))


def subject_palette_row(image: MeasuredImageRecord) -> Detail:
    """The main colours of the subject."""
    return _palette("Subject’s colours", image.subject_palette, reason_cell(image, "subject"))


def ground_palette_row(image: MeasuredImageRecord) -> Detail:
    """The main colours of what lies outside all elements."""
    return _palette("Colours around", image.ground_palette, Cell("the elements fill the frame"))


def echo_row(image: MeasuredImageRecord) -> Detail:
    """Whether the subject's main colour returns."""
    echo = image.echo
    if echo is None:
        return Detail("Echo", reason_cell(image, "echo"), "")
    patch = (NamedPatch(echo.hex, f"{echo.name} {echo.hex}"),)
    if not echo.places:
        return Detail("Echo", Cell("does not return outside the subject", named=patch), "")
    if echo.share >= GROUND_SHARE:
        text = f"is the colour of its surroundings too, on {percent(echo.share)} of the frame"
        return Detail("Echo", Cell(text, named=patch), _sure_as_subject(echo.confidence))
    where = listed([place_words(*place.centroid) for place in echo.places])
    text = f"returns on {percent(echo.share)} of the frame: {where}"
    return Detail("Echo", Cell(text, named=patch), _sure_as_subject(echo.confidence))


def _sure_as_subject(confidence: float | None) -> str:
    return "" if confidence is None else f"as sure as the subject: {percent(confidence)} probable"


def saturation_row(image: MeasuredImageRecord) -> Detail:
    """How colourful the picture is."""
    found = image.saturation
    if found is None:
        return Detail("Saturation", Cell("Could not be told."), "")
    text = (
        f"mean chroma {decimal(found.mean_chroma, 0)} C*; half of the frame above "
        f"{decimal(found.median_chroma, 0)}, a tenth above {decimal(found.high_chroma, 0)}"
    )
    return Detail("Saturation", Cell(text), "")


def tone_row(image: MeasuredImageRecord) -> Detail:
    """Lightness, contrast and exposure of the frame."""
    tone = image.tone
    parts = [KEYS[tone.key]] if tone.key else []
    parts += [
        f"mean lightness {decimal(tone.mean_lightness, 0)} of 100",
        f"contrast {decimal(tone.contrast, 0)}",
        f"exposure {decimal(tone.exposure_ev, 1, signed=True)} EV from middle grey"
        + _midtones(tone),
    ]
    return Detail("Tone", Cell("; ".join(parts)), "")


def _midtones(tone: ToneRecord) -> str:
    if tone.midtone_ev is None:
        return ""
    return f", its midtones {decimal(tone.midtone_ev, 1, signed=True)} EV"


def clipping_row(image: MeasuredImageRecord) -> Detail:
    """What is clipped, in which channel, and where."""
    tone = image.tone
    text = (
        f"blown highlights {percent(tone.clipped_highlights)}, blocked shadows "
        f"{percent(tone.clipped_shadows)}"
    )
    if tone.clipping is None:
        return Detail("Clipping", Cell(text), "")
    said = [
        f"{word} in {channels}"
        for word, shares in (
            ("blown", tone.clipping.highlights),
            ("blocked", tone.clipping.shadows),
        )
        if (channels := _by_channel(shares))
    ]
    return Detail("Clipping", Cell("; ".join([text, *said])), "", clipping_map(image))


def _by_channel(shares: tuple[float, float, float]) -> str:
    named = zip(CHANNELS, shares, strict=True)
    return listed([f"{name} {percent(share)}" for name, share in named if share > 0])


def clipping_map(image: MeasuredImageRecord) -> ClippingMap | None:
    """Draw where clipping lies; None where it lies nowhere in particular."""
    regions = image.tone.clipping.regions if image.tone.clipping else []
    if not regions:
        return None
    scale = MAP_LENGTH / max(image.width, image.height)
    width, height = image.width * scale, image.height * scale
    boxes = tuple(
        MapBox(
            region.kind,
            f"{region.bbox[0] * width:.1f}",
            f"{region.bbox[1] * height:.1f}",
            f"{(region.bbox[2] - region.bbox[0]) * width:.1f}",
            f"{(region.bbox[3] - region.bbox[1]) * height:.1f}",
        )
        for region in regions
    )
    kinds = [
        count(n, f"place with {words}", f"places with {words}")
        for kind, words in CLIPPED.items()
        if (n := sum(region.kind == kind for region in regions))
    ]
    return ClippingMap(f"{width:.1f}", f"{height:.1f}", boxes, f"Map of the frame: {listed(kinds)}")


def subject_tone_row(image: MeasuredImageRecord) -> Detail:
    """The subject against what surrounds it."""
    found = image.subject_tone
    if found is None:
        return Detail("Subject’s tone", reason_cell(image, "subject_tone"), "")
    by = found.lightness_difference
    against = (
        "as light as what surrounds it"
        if abs(by) < SAME_LIGHTNESS
        else f"{decimal(abs(by), 0)} L* {'lighter' if by > 0 else 'darker'} than what surrounds it"
    )
    text = (
        f"{against}, {decimal(found.colour_difference, 0)} ΔE₀₀ apart; texture "
        f"{decimal(found.texture, 1)} L*"
    )
    return Detail("Subject’s tone", Cell(text), _sure_as_subject(found.confidence))
