"""What is strong in a picture, as clauses."""

from __future__ import annotations

from collections.abc import Callable

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.vocabulary.diagonals import diagonal_words
from auditor.vocabulary.techniques import CENTRED, INNER_FRAME, SYMMETRY
from auditor.wording.colour_names import chroma
from auditor.wording.critique.amounts import from_phrase, place_phrase
from auditor.wording.critique.empty_ground import is_patterned
from auditor.wording.critique.families import shade
from auditor.wording.critique.noun import (
    has_subject,
    has_sure_outline,
    has_sure_place,
    is_food,
    noun,
    sure,
    whole_noun,
    whole_share,
)
from auditor.wording.critique.planned import met_clause
from auditor.wording.critique.statement import Clause, figures_of
from auditor.wording.numbers import decimal, degrees, percent
from auditor.wording.texts import listed

# Confidences and limits: chosen by looking at pictures beside the sentences, no other source.
SURE_LINES, NEAR_SUBJECT = 0.6, 0.12  # the second: of the diagonal, from the subject's middle
APART_LIGHTNESS, APART_COLOUR = 25.0, 28.0  # CIELAB L*, CIEDE2000 (our choice, no source)
SURE_FALL_OFF, STEEP_DEG = 0.7, 60.0  # seen from above, little lies at another distance
MOST_AREA = 0.6  # of the frame: what is larger leaves little to stand out from
CALM_SHARE, SURE_SPACE = 0.3, 0.45
OFF_CENTRE = 0.09  # of the frame's side, from its middle
RARE = 0.06  # share of the frame that lies as near to a technique's points
SURE_DIAGONAL, FLAT_DEG, UPRIGHT_DEG = 0.8, 12.0, 78.0
SURE_TECHNIQUE, SURE_SYMMETRY, ON_AXIS = 0.6, 0.66, 0.03
LARGEST_AT_CROSSING = 0.25
"""Of the frame: of a larger thing nobody sees where its middle lies (our choice, no source)."""
LARGEST_WITH_ECHO = 0.6  # of the frame: beside a larger thing an echo is its own reflection
LEAST_ECHO, MOST_ECHO, ECHO_CHROMA = 0.004, 0.08, 22.0
CROSSING = {"rule of thirds": "the thirds", "golden ratio": "the golden ratio"}
OPPOSITE = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


def strengths(picture: MeasuredPictureRecord) -> list[Clause]:
    """All that is strong."""
    found = (make(picture) for make in _MAKERS)
    return [one for one in found if one is not None]


def _lines(picture: MeasuredPictureRecord) -> Clause | None:
    lines = picture.leading_lines
    if lines is None or not has_subject(picture) or not lines.paths:
        return None
    if (lines.confidence or 0.0) < SURE_LINES or lines.distance > NEAR_SUBJECT:
        return None
    figures = f"ends {decimal(lines.distance, 2)} of the diagonal from its middle"
    name = noun(picture)
    if lines.kind != "lines":
        words = f"an arc of things leads to {name}"
    elif len(lines.paths) == 1:
        words = f"a line{from_phrase(*lines.paths[0][0])} leads to {name}"
    else:
        words = f"lines lead to {name}"
    return Clause(words, f"{figures}, {sure(lines.confidence)}", "lines", 0.8)


def _apart(picture: MeasuredPictureRecord) -> Clause | None:
    tone = picture.subject_tone
    if tone is None or not has_sure_outline(picture):
        return None
    by = tone.lightness_difference
    figures = f"{decimal(abs(by), 0)} L* and {decimal(tone.colour_difference, 0)} ΔE₀₀ apart"
    if (picture.subject.area_fraction or 0.0) > MOST_AREA:
        return None
    name = whole_noun(picture)
    if abs(by) >= APART_LIGHTNESS:
        word = "lighter" if by > 0 else "darker"
        return Clause(
            f"{name} is clearly {word} than what surrounds it, so it stands out at once",
            figures,
            "apart",
            0.72,
        )
    if tone.colour_difference >= APART_COLOUR:
        words = f"the colour of {name} sets it clearly apart from what surrounds it"
        return Clause(words, figures, "apart", 0.7)
    return None


def _fall_off(picture: MeasuredPictureRecord) -> Clause | None:
    focus, camera = picture.focus, picture.camera_elevation.deg
    if focus.cause != "shallow focus" or (focus.cause_confidence or 0.0) < SURE_FALL_OFF:
        return None
    if not has_subject(picture):
        return None
    if camera is not None and camera > STEEP_DEG:
        return None
    words = f"{noun(picture)} is sharp and much of the rest is soft, which keeps the eye on it"
    return Clause(words, f"shallow focus, {sure(focus.cause_confidence)}", "focus", 0.75)


def _space(picture: MeasuredPictureRecord) -> Clause | None:
    space = picture.negative_space
    if space.plain_fraction is None or not has_subject(picture) or is_patterned(picture):
        return None
    if picture.elements:  # what lies opposite may be another thing
        return None
    if space.plain_fraction < CALM_SHARE or (space.confidence or 0.0) < SURE_SPACE:
        return None
    figures = f"{percent(space.plain_fraction)} calm ground"
    x, y = picture.subject.centroid or (0.5, 0.5)
    sides = {
        "left": x < 1 / 2 - OFF_CENTRE,
        "right": x > 1 / 2 + OFF_CENTRE,
        "top": y < 1 / 2 - OFF_CENTRE,
        "bottom": y > 1 / 2 + OFF_CENTRE,
    }
    name = noun(picture)
    for side in space.sides:
        if side in OPPOSITE and sides[OPPOSITE[side]]:
            words = f"the calm space balances {name}, which lies opposite to it"
            return Clause(words, figures, "space", 0.74)
    return None


def _technique(picture: MeasuredPictureRecord) -> Clause | None:
    if not has_sure_outline(picture) or not has_sure_place(picture):
        return None
    if whole_share(picture) > LARGEST_AT_CROSSING or _is_centred(picture):
        return None
    for name in picture.near_techniques:
        fit = picture.technique_fit[name]
        if name in CROSSING and fit.chance is not None and fit.chance <= RARE:
            words = f"{noun(picture)} sits on a crossing of {CROSSING[name]}"
            figures = f"{decimal(fit.distance, 2)} of the diagonal away"
            return Clause(words, figures, "place", 0.65)
    return None


def _is_centred(picture: MeasuredPictureRecord) -> bool:
    """Whether the subject reads as centred: then nobody sees it on a crossing."""
    x, y = picture.subject.centroid or (0.5, 0.5)
    is_middle = place_phrase(x, y) == place_phrase(0.5, 0.5)
    return is_middle or CENTRED in picture.near_techniques


def _symmetry(picture: MeasuredPictureRecord) -> Clause | None:
    fit = picture.technique_fit.get(SYMMETRY)
    if fit is None or fit.fit is None or not fit.is_there:
        return None
    if (fit.confidence or 0.0) < SURE_SYMMETRY or not has_subject(picture):
        return None
    if fit.distance > ON_AXIS:
        return None
    words = "the two halves almost mirror each other, which makes the picture calm"
    figures = f"symmetry {decimal(fit.fit, 2)} of 1, {sure(fit.confidence)}"
    return Clause(words, figures, "symmetry", 0.55)


def _inner_frame(picture: MeasuredPictureRecord) -> Clause | None:
    fit = picture.technique_fit.get(INNER_FRAME)
    if fit is None or fit.fit is None or not fit.is_there or not has_sure_outline(picture):
        return None
    if (fit.confidence or 0.0) < SURE_TECHNIQUE:
        return None
    what = "its dish" if is_food(picture) else "what surrounds it"
    words = f"{what} frames {noun(picture)} on all sides"
    return Clause(words, f"frame {decimal(fit.fit, 2)} of 1, {sure(fit.confidence)}", "frame", 0.6)


def _diagonal(picture: MeasuredPictureRecord) -> Clause | None:
    diagonal = picture.diagonal
    if diagonal is None or (diagonal.confidence or 0.0) < SURE_DIAGONAL:
        return None
    if not FLAT_DEG <= abs(diagonal.angle_deg) <= UPRIGHT_DEG:
        return None
    words = f"a {diagonal_words(diagonal.angle_deg)} diagonal brings movement into the frame"
    figures = f"{degrees(diagonal.angle_deg, signed=True)}, {sure(diagonal.confidence)}"
    return Clause(words, figures, "diagonal", 0.7)


def _echo(picture: MeasuredPictureRecord) -> Clause | None:
    echo = picture.echo
    if echo is None or not echo.places or not has_subject(picture):
        return None
    if not LEAST_ECHO <= echo.share <= MOST_ECHO or chroma(echo.lab) < ECHO_CHROMA:
        return None
    name = shade(echo.lab).name
    if "brown" in name or name == "beige" or whole_share(picture) > LARGEST_WITH_ECHO:
        return None  # the colour of most tables: nobody sees an echo in it
    places = dict.fromkeys(place_phrase(*place.centroid) for place in echo.places[:2])
    words = f"the {name} of {whole_noun(picture)} returns {listed(list(places))}"
    return Clause(words, figures_of([f"{percent(echo.share)} of the frame"]), "echo", 0.6)


_MAKERS: tuple[Callable[[MeasuredPictureRecord], Clause | None], ...] = (
    met_clause,
    _lines,
    _apart,
    _fall_off,
    _space,
    _technique,
    _symmetry,
    _inner_frame,
    _diagonal,
    _echo,
)
