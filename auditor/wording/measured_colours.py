"""Rows of a picture's colours and tones."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.record.colour_records import (
    PaletteRecord,
    ToneRecord,
)
from auditor.record.picture_record import (
    MeasuredPictureRecord,
)
from auditor.vocabulary.counts import count
from auditor.vocabulary.places import place_words
from auditor.wording.cells import Cell, NamedPatch, colour_patch
from auditor.wording.colour_names import remember_names
from auditor.wording.everyday import LEAST_STOPS, stops_words
from auditor.wording.measured_row import MeasuredRow, reason_cell
from auditor.wording.numbers import decimal, percent
from auditor.wording.quantity_names import title
from auditor.wording.texts import listed

KEYS = {"high": "high key", "middle": "middle key", "low": "low key"}
CLIPPED = {"highlights": "blown highlights", "shadows": "blocked shadows"}
CHANNELS = ("red", "green", "blue")
# What fills a fifth of the frame is table or wall, not an echo (common practice, no source).
GROUND_SHARE = 0.2
# Between texts of one L* more or less nobody sees a difference; common practice, no source.
SAME_LIGHTNESS = 1.0


def remember_colour_names(picture: MeasuredPictureRecord) -> None:
    """Name all colours that are told of a picture in one computation, so that each is known."""
    palettes = picture.palette, picture.subject_palette, picture.ground_palette
    colours = [swatch.hex for palette in palettes for swatch in palette]
    others = picture.echo, picture.background, picture.surface
    remember_names([*colours, *(one.hex for one in others if one is not None and one.hex)])


def named_colours(palette: Sequence[PaletteRecord]) -> tuple[NamedPatch, ...]:
    """Colours with names and shares."""
    return tuple(colour_patch(swatch.hex, f" {percent(swatch.share)}") for swatch in palette)


def _palette(heading: str, palette: Sequence[PaletteRecord], without: Cell) -> MeasuredRow:
    return MeasuredRow(heading, Cell("", named_colours(palette)) if palette else without, "")


def palette_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """The main colours of the frame."""
    return _palette(title("palette"), picture.palette, Cell("none"))


def subject_palette_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """The main colours of the subject."""
    return _palette("Subject’s colours", picture.subject_palette, reason_cell(picture, "subject"))


def ground_palette_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """The main colours of what lies outside all elements."""
    return _palette("Colours around", picture.ground_palette, Cell("the elements fill the frame"))


def echo_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """Whether the subject's main colour returns."""
    echo = picture.echo
    if echo is None:
        return MeasuredRow(title("echo"), reason_cell(picture, "echo"), "")
    patch = (colour_patch(echo.hex),)
    if not echo.places:
        return MeasuredRow(
            title("echo"), Cell("does not return outside the subject", colours=patch), ""
        )
    if echo.share >= GROUND_SHARE:
        text = f"is the colour of its surroundings too, on {percent(echo.share)} of the frame"
        return MeasuredRow(
            title("echo"), Cell(text, colours=patch), _sure_as_subject(echo.confidence)
        )
    where = listed([place_words(*place.centroid) for place in echo.places])
    text = f"returns on {percent(echo.share)} of the frame: {where}"
    return MeasuredRow(title("echo"), Cell(text, colours=patch), _sure_as_subject(echo.confidence))


def _sure_as_subject(confidence: float | None) -> str:
    return "" if confidence is None else f"as probable as the subject: {percent(confidence)}"


def saturation_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """How colourful the picture is."""
    found = picture.saturation
    if found is None:
        return MeasuredRow(title("saturation"), Cell("Could not be measured."), "")
    text = (
        f"mean chroma {decimal(found.mean_chroma, 0)} C*; half of the frame has more than "
        f"{decimal(found.median_chroma, 0)} C*, a tenth more than "
        f"{decimal(found.high_chroma, 0)} C*"
    )
    return MeasuredRow(title("saturation"), Cell(text), "")


def tone_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """Lightness, contrast and exposure of the frame."""
    tone = picture.tone
    parts = [KEYS[tone.key]] if tone.key else []
    parts += [
        f"mean lightness {decimal(tone.mean_lightness, 0)} L* of 100",
        f"contrast {decimal(tone.contrast, 0)} L*",
        f"the whole {_against_grey(tone.exposure_ev)}" + _midtones(tone),
    ]
    return MeasuredRow("Tone", Cell("; ".join(parts)), "")


def _midtones(tone: ToneRecord) -> str:
    if tone.midtone_ev is None:
        return ""
    return f"; its midtones {_against_grey(tone.midtone_ev)}"


def _against_grey(ev: float) -> str:
    """Compare with middle grey: ``"a stop darker than middle grey (−1.0 EV)"``."""
    number = f"{decimal(ev, 1, signed=True)} EV"
    if abs(ev) < LEAST_STOPS:
        return f"as light as middle grey ({number})"
    word = "lighter" if ev > 0 else "darker"
    return f"{stops_words(abs(ev))} {word} than middle grey ({number})"


def clipping_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """What is clipped, in which channel, and where."""
    tone = picture.tone
    text = (
        f"blown highlights on {percent(tone.clipped_highlights)} of the frame, blocked shadows on "
        f"{percent(tone.clipped_shadows)}"
    )
    if tone.clipping is None:
        return MeasuredRow("Clipping", Cell(text), "")
    parts = [
        f"{word} in {channels}"
        for word, shares in (
            ("blown", tone.clipping.highlights),
            ("blocked", tone.clipping.shadows),
        )
        if (channels := _by_channel(shares))
    ]
    has_map = bool(tone.clipping.regions)
    return MeasuredRow("Clipping", Cell("; ".join([text, *parts])), "", has_map)


def _by_channel(shares: tuple[float, float, float]) -> str:
    named = zip(CHANNELS, shares, strict=True)
    return listed([f"{name} {percent(share)}" for name, share in named if share > 0])


def clipping_map_words(picture: MeasuredPictureRecord) -> str:
    """Describe the map of clipped places for those who cannot see it."""
    regions = picture.tone.clipping.regions if picture.tone.clipping else []
    kinds = [
        count(n, f"place with {words}", f"places with {words}")
        for kind, words in CLIPPED.items()
        if (n := sum(region.kind == kind for region in regions))
    ]
    return f"Map of the frame: {listed(kinds)}"


def subject_tone_row(picture: MeasuredPictureRecord) -> MeasuredRow:
    """The subject against what surrounds it."""
    found = picture.subject_tone
    if found is None:
        return MeasuredRow(title("subject_tone"), reason_cell(picture, "subject_tone"), "")
    by = found.lightness_difference
    against = (
        "as light as what surrounds it"
        if abs(by) < SAME_LIGHTNESS
        else f"{'lighter' if by > 0 else 'darker'} than what surrounds it"
        f" ({decimal(abs(by), 0)} L*)"
    )
    text = (
        f"{against}; colours {decimal(found.colour_difference, 0)} ΔE₀₀ apart; texture "
        f"{decimal(found.texture, 1)} L*"
    )
    return MeasuredRow(title("subject_tone"), Cell(text), _sure_as_subject(found.confidence))
