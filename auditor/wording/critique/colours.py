"""What the colours do: of which part of the hue circle they are, and what differs from it."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.record.colour_records import PaletteRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.colour_names import chroma, colour_words
from auditor.wording.critique.empty_ground import is_patterned
from auditor.wording.critique.hues import Part, hue_part, hues_apart_deg
from auditor.wording.critique.noun import has_subject, whole_noun
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import decimal, percent
from auditor.wording.texts import listed

# Chroma C* over the frame (our choice after looking at pictures, no source): below the first a
# picture looks nearly grey; a tenth of it above the second looks strongly coloured.
PALE_MEAN, STRONG_HIGH = 9.0, 58.0
LEAST_ACCENT, MOST_ACCENT = 0.012, 0.15  # of the frame, of another part of the hue circle
MOST_ACCENT_OF_MAIN = 0.35  # of what the main part covers
CONTRAST_DEG = 60.0  # of hue, from which two colours stand against each other
LEAST_GROUND = 0.2  # of the frame, of the colour around the subject
HALF = 0.5  # of the frame in greys, white and black
ACCENT_CHROMA = 18.0  # a weaker one is not seen as a colour of its own
LEAST_NAMED = 0.05  # of the frame: what is named as one of the main colours
MOST_NAMED = 3
GREY_WEIGHT = 25.0  # of chroma, added before colours are compared by share times chroma
NEUTRAL_FRAME = 0.8  # of the frame in greys, white and black

_MOSTLY: dict[Part, str] = {
    "warm": "mostly warm colours",
    "green": "mostly greens",
    "cool": "mostly cool colours",
    "pink": "mostly pinks and purples",
}


def colours_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say which colours the picture has and how they stand to each other."""
    palette = picture.palette
    if not palette:
        return None
    words = _grey(picture) or _one_part(palette) or _against(picture) or _mostly(palette)
    words += _own_colour(picture, words)
    found = picture.saturation
    if found is not None and found.high_chroma >= STRONG_HIGH:
        words += "; the colours are strong"
    return Statement(sentence_of(words), _figures(picture))


def _figures(picture: MeasuredPictureRecord) -> str:
    shares = listed([f"{colour_words(one.lab)} {percent(one.share)}" for one in picture.palette])
    found = picture.saturation
    strength = "" if found is None else f"mean chroma {decimal(found.mean_chroma, 0)} C*"
    return figures_of([shares, strength])


def _grey(picture: MeasuredPictureRecord) -> str:
    """A picture of greys, with what colour it has."""
    palette = picture.palette
    neutral = sum(one.share for one in palette if hue_part(one.lab) == "neutral")
    total = sum(one.share for one in palette)
    found = picture.saturation
    is_pale = found is not None and found.mean_chroma < PALE_MEAN
    if not is_pale and neutral < NEUTRAL_FRAME * total:
        return ""
    coloured = [one for one in palette if chroma(one.lab) >= ACCENT_CHROMA]
    greys = _names([one for one in palette if one not in coloured])
    if not coloured:
        return f"hardly any colour: {greys}"
    return f"hardly any colour but {_names(coloured, LEAST_ACCENT)}, among {greys}"


def _one_part(palette: Sequence[PaletteRecord]) -> str:
    """Colours of one part of the hue circle, alone, among greys, or with a small one of another."""
    shares = _by_part(palette)
    if not shares:
        return ""
    main = max(shares, key=lambda part: shares[part])
    rest = sum(shares.values()) - shares[main]
    if rest > min(MOST_ACCENT, MOST_ACCENT_OF_MAIN * shares[main]):
        return ""
    own = [one for one in palette if hue_part(one.lab) == main]
    greys = [one for one in palette if hue_part(one.lab) == "neutral"]
    accents = _accents(palette, main)
    if sum(one.share for one in greys) >= HALF:
        verb = "take" if " and " in _names(greys) else "takes"
        words = f"{_names(greys)} {verb} up most of the frame; the colour in it is {_names(own)}"
        return f"{words}, with {_names(accents, LEAST_ACCENT)} as an accent" if accents else words
    if accents:
        verb = "sets an accent" if len(accents) == 1 else "set accents"
        return f"{_MOSTLY[main]}, above all {_names(own)}; {_names(accents, LEAST_ACCENT)} {verb}"
    return f"{_MOSTLY[main].removeprefix('mostly ')} throughout, above all {_names(own)}"


def _against(picture: MeasuredPictureRecord) -> str:
    """The subject's main colour against that of its surroundings, where both are colours."""
    echo, ground = picture.echo, picture.ground_palette
    if echo is None or not ground or not has_subject(picture):
        return ""
    around = max(ground, key=lambda one: one.share)
    parts = (hue_part(echo.lab), hue_part(around.lab))
    if "neutral" in parts or parts[0] == parts[1] or is_patterned(picture):
        return ""
    if hues_apart_deg(echo.lab, around.lab) < CONTRAST_DEG or around.share < LEAST_GROUND:
        return ""
    own, other = colour_words(echo.lab), colour_words(around.lab)
    return f"the {own} of the subject meets {other} around it, a contrast of hues"


def _own_colour(picture: MeasuredPictureRecord, said: str) -> str:
    """The subject's main colour, where it is of another hue than all that is named."""
    echo = picture.echo
    if echo is None or not has_subject(picture):
        return ""
    part = hue_part(echo.lab)
    others = {hue_part(one.lab) for one in picture.palette if colour_words(one.lab) in said}
    if part in {*others, "neutral"} or chroma(echo.lab) < ACCENT_CHROMA:
        return ""
    return f"; {whole_noun(picture)} adds {colour_words(echo.lab)}"


def _mostly(palette: Sequence[PaletteRecord]) -> str:
    return f"among the main colours are {_names(palette)}"


def _accents(palette: Sequence[PaletteRecord], main: Part) -> list[PaletteRecord]:
    return [
        one
        for one in palette
        if hue_part(one.lab) not in {main, "neutral"}
        and one.share >= LEAST_ACCENT
        and chroma(one.lab) >= ACCENT_CHROMA
    ]


def _by_part(palette: Sequence[PaletteRecord]) -> dict[Part, float]:
    shares: dict[Part, float] = {}
    for one in palette:
        part = hue_part(one.lab)
        if part != "neutral":
            shares[part] = shares.get(part, 0.0) + one.share
    return shares


def _names(palette: Sequence[PaletteRecord], least: float = LEAST_NAMED) -> str:
    """The names of the colours that are seen most, each once, of at least a share of the frame."""
    by_name: dict[str, float] = {}
    for one in palette:
        name = colour_words(one.lab)
        by_name[name] = by_name.get(name, 0.0) + one.share
    seen = {
        name: sum(_seen(one) for one in palette if colour_words(one.lab) == name)
        for name in by_name
    }
    largest = sorted(by_name, key=lambda name: -seen[name])[:MOST_NAMED]
    kept = [name for name in largest if by_name[name] >= least] or largest[:1]
    return listed(kept)


def _seen(one: PaletteRecord) -> float:
    """How much of a colour one sees: its share, and more where it is a strong colour."""
    return one.share * (GREY_WEIGHT + chroma(one.lab))
