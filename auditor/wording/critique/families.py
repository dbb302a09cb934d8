"""Colours merged into the families that one sees in a picture, with their shares of the frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from auditor.colorimetry import Lab
from auditor.record.colour_records import PaletteRecord
from auditor.wording.colour_names import chroma, hue_deg

Part = Literal["neutral", "warm", "green", "cool", "pink"]

# CIELAB; all chosen by looking at pictures beside the names, no other source.
NEUTRAL, LIGHT_NEUTRAL, DARK_NEUTRAL, NEAR_BLACK = 12.0, 13.0, 11.0, 14.0
TINTED_WHITE, GREENISH_WHITE, WARM_WHITE = 14.0, 16.5, 17.0
"""Chroma below which a colour looks grey; of light colours with a bluish or greenish tint (white in
shade), of very dark ones, and of white in warm light it may be higher."""
LIGHT, MID, DARK, VERY_DARK = 62.0, 38.0, 25.0, 10.0  # lightness
# Lightness, mean of a family: of its name, and where two greys are one. From the third a grey of a
# plate or a cloth is called white (our choice, no source).
NEARLY_WHITE, BRIGHT, WHITE, WHITISH, BLACK = 90.0, 84.0, 75.0, 71.5, 18.0
LIGHT_GREY, DARK_GREY_TO = 68.0, 46.0
OFF_WHITE = 8.0  # chroma of a light grey, mean of a family, from which it looks warm
WARM_FROM, WARM_TO = 25.0, 96.0  # hue in degrees: red to yellow
GREEN_TO, COOL_TO, PURPLE_TO = 180.0, 306.0, 345.0
BLUE_FROM, OLIVE_TO, YELLOW_TO, YELLOW_GREEN_TO = 232.0, 104.0, 108.0, 112.0
VIVID, RICH, MUTED, GOLDEN, RED_CHROMA = 50.0, 46.0, 43.0, 34.0, 38.0  # chroma
DEEP_RED_TO, DEEP_RED_CHROMA = 38.0, 26.0  # up to this hue a weaker colour is still red
RED_TO, ORANGE_RED_TO, ORANGE_TO, REDDISH_TO = 48.0, 57.0, 72.0, 52.0  # hue in degrees
MUTED_ORANGE_TO, MUTED_LIGHTNESS = 70.0, 58.0
MUTED_YELLOW_FROM, MUTED_YELLOW = 82.0, 36.0  # hue and chroma: bananas, corn, batter in shade
DEEP_ORANGE_TO, DEEP_LIGHTNESS, DEEP_CHROMA = 66.0, 45.0, 45.0  # an orange with its shaded side
PALE, WARM_WHITE_FROM = 66.0, 76.0  # lightness: beige, and white in warm light
GREYISH, WEAK_GREEN = 20.0, 18.0  # chroma: of a blue, and of what is still a brown
CRIMSON_TO = 48.0  # lightness
LIGHT_BROWN, DARK_BROWN = 57.0, 33.0  # lightness
OF_ITS_FAMILY, SEEN_OF_FAMILY = 0.7, 0.25
"""Of a family, from which one of its shades gives its name, and from which it is named too."""
GOLDEN_BROWN = "golden brown"


@dataclass(frozen=True, slots=True)
class Shade:
    """The name of one colour, and the family that it belongs to."""

    name: str
    family: str
    part: Part


@dataclass(frozen=True, slots=True)
class Family:
    """A family of colours with its share of the frame, its name there and its mean CIELAB."""

    name: str
    share: float
    lab: Lab
    part: Part


def shade(lab: Lab) -> Shade:
    """Name a colour as one sees it, and its family."""
    lightness, strength, hue = lab[0], chroma(lab), hue_deg(lab)
    if _is_neutral(lightness, strength, hue):
        name = "light" if lightness >= LIGHT else "mid" if lightness >= MID else "dark"
        return Shade(name, name, "neutral")
    cream = WARM_WHITE if lightness >= BRIGHT else TINTED_WHITE
    if lightness >= WARM_WHITE_FROM and strength < cream and hue <= YELLOW_TO:
        return Shade("cream", "cream", "neutral")
    if WARM_FROM <= hue <= WARM_TO:
        return _warm(lightness, strength, hue)
    if WARM_TO < hue <= GREEN_TO:
        return _green(lightness, strength, hue)
    if GREEN_TO < hue <= COOL_TO:
        return _blue(lightness, strength, hue)
    if COOL_TO < hue <= PURPLE_TO:
        return Shade("purple" if lightness < LIGHT else "lavender", "purple", "pink")
    if lightness < DARK_BROWN:
        return Shade("dark red", "red", "warm")
    return Shade("crimson" if lightness < CRIMSON_TO else "pink", "pink", "pink")


def _is_neutral(lightness: float, strength: float, hue: float) -> bool:
    is_warm = WARM_FROM <= hue <= WARM_TO
    if lightness < VERY_DARK:
        return strength < NEAR_BLACK
    if lightness < DARK and not is_warm:
        return strength <= NEAR_BLACK
    if lightness >= LIGHT and is_warm:
        return strength < LIGHT_NEUTRAL
    is_turquoise = GREEN_TO < hue < BLUE_FROM and lightness < NEARLY_WHITE
    if lightness >= LIGHT and YELLOW_TO < hue < PURPLE_TO and not is_turquoise:
        is_bright = lightness >= NEARLY_WHITE
        is_greenish_white = is_bright or (hue < GREEN_TO and lightness >= WARM_WHITE_FROM)
        return strength < (GREENISH_WHITE if is_greenish_white else TINTED_WHITE)
    return strength < (NEUTRAL if lightness >= MID else DARK_NEUTRAL)


def _warm(lightness: float, strength: float, hue: float) -> Shade:
    least_red = DEEP_RED_CHROMA if hue <= DEEP_RED_TO else RED_CHROMA
    if hue <= RED_TO and strength >= least_red:
        return Shade("dark red" if lightness < DARK_BROWN else "red", "red", "warm")
    if hue <= ORANGE_RED_TO and strength >= MUTED:
        return Shade("orange red", "red", "warm")
    if strength >= VIVID and lightness >= RICH:
        name = "orange" if hue <= ORANGE_TO else "golden yellow"
        return Shade(name, "orange" if hue <= ORANGE_TO else "yellow", "warm")
    is_light = lightness >= MUTED_LIGHTNESS
    if is_light and strength >= MUTED and hue <= MUTED_ORANGE_TO:
        return Shade("orange", "orange", "warm")
    is_deep = lightness >= DEEP_LIGHTNESS and strength >= DEEP_CHROMA
    if is_deep and hue <= DEEP_ORANGE_TO:
        return Shade("orange", "orange", "warm")
    is_yellow = hue >= MUTED_YELLOW_FROM and strength >= MUTED_YELLOW
    if is_yellow and lightness >= RICH:
        return Shade("golden yellow", "yellow", "warm")
    if lightness >= PALE and strength < GOLDEN:
        return Shade("beige", "beige", "warm")
    if lightness >= LIGHT_BROWN and strength >= GOLDEN:
        return Shade(GOLDEN_BROWN, "brown", "warm")
    if hue <= REDDISH_TO and strength >= 2 * NEUTRAL and lightness < LIGHT_BROWN:
        return Shade("reddish brown", "brown", "warm")
    return _brown(lightness)


def _brown(lightness: float) -> Shade:
    if lightness >= LIGHT_BROWN:
        return Shade("light brown", "brown", "warm")
    return Shade("dark brown" if lightness < DARK_BROWN else "brown", "brown", "warm")


def _green(lightness: float, strength: float, hue: float) -> Shade:
    if lightness >= PALE and hue <= YELLOW_TO and strength >= GOLDEN:
        return Shade("yellow", "yellow", "warm")
    if lightness >= PALE and hue <= YELLOW_GREEN_TO:
        return Shade("pale yellow" if strength >= 2 * NEUTRAL else "beige", "beige", "warm")
    if hue <= YELLOW_GREEN_TO and strength < WEAK_GREEN:
        return Shade("beige", "beige", "warm") if lightness >= LIGHT else _brown(lightness)
    if hue <= OLIVE_TO:
        return Shade("olive green", "green", "green")
    return Shade("dark green" if lightness < DARK_BROWN else "green", "green", "green")


def _blue(lightness: float, strength: float, hue: float) -> Shade:
    if hue < BLUE_FROM:
        name = "turquoise" if strength >= GREYISH else "greyish turquoise"
        name = "pale turquoise" if lightness >= WARM_WHITE_FROM else name
        return Shade(name if lightness >= MID else "dark turquoise", "turquoise", "cool")
    if lightness >= LIGHT:
        return Shade("light blue", "blue", "cool")
    if strength < GREYISH and lightness >= DARK_BROWN:
        return Shade("greyish blue", "blue", "cool")
    is_dark = lightness < (DARK if strength >= GREYISH else DARK_BROWN)
    return Shade("dark blue" if is_dark else "blue", "blue", "cool")


def families(palette: Sequence[PaletteRecord]) -> list[Family]:
    """The families of a palette, the largest first; shares are the palette's."""
    by_family: dict[str, list[PaletteRecord]] = {}
    for one in palette:
        by_family.setdefault(shade(one.lab).family, []).append(one)
    light = by_family.get("light", [])
    if "mid" in by_family and light and _mean(light)[0] < LIGHT_GREY:
        by_family["mid"] += by_family.pop("light")  # one grey ground, lighter and darker
    mid = by_family.get("mid", [])
    if "dark" in by_family and mid and _mean(mid)[0] < DARK_GREY_TO:
        n_mid = sum(one.share for one in mid)
        by_family["dark"] += by_family.pop("mid")
        if n_mid >= SEEN_OF_FAMILY * sum(one.share for one in by_family["dark"]):
            by_family["dark to mid"] = by_family.pop("dark")
    found = [_merged(family, members) for family, members in by_family.items()]
    return sorted(found, key=lambda one: -one.share)


def _merged(family: str, members: list[PaletteRecord]) -> Family:
    share = sum(one.share for one in members)
    lab = _mean(members)
    part = shade(members[0].lab).part
    if part == "neutral":
        return Family(_grey_name(family, lab), share, lab, part)
    names: dict[str, float] = {}
    for one in members:
        name = shade(one.lab).name
        names[name] = names.get(name, 0.0) + one.share
    name = max(names, key=lambda each: names[each])
    own = name if names[name] >= OF_ITS_FAMILY * share else family
    if own == "brown" and names.get(GOLDEN_BROWN, 0.0) >= SEEN_OF_FAMILY * share:
        own = f"brown to {GOLDEN_BROWN}"
    return Family(own, share, lab, part)


def _mean(members: Sequence[PaletteRecord]) -> Lab:
    share, sums = sum(one.share for one in members), [0.0, 0.0, 0.0]
    for one in members:
        sums = [total + value * one.share for total, value in zip(sums, one.lab, strict=True)]
    lightness, a, b = (total / max(share, 1e-9) for total in sums)
    return (lightness, a, b)


def _grey_name(family: str, lab: Lab) -> str:
    """White in shade is a light grey in the picture: the record cannot tell one from the other."""
    lightness = lab[0]
    is_warm = chroma(lab) >= OFF_WHITE and WARM_FROM <= hue_deg(lab) <= WARM_TO
    if family == "light" and lightness >= WHITISH and is_warm:
        return "off-white"
    if family == "light":
        if lightness >= WHITE:
            return "white"
        return "white to light grey" if lightness >= WHITISH else "light grey"
    if family == "cream":
        return family
    if family == "dark to mid":
        return "dark grey to grey" if lightness >= BLACK else "black to grey"
    if family == "mid":
        return "grey"
    return "black" if lightness < BLACK else "dark grey"
