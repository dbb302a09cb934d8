"""What can be said of most pictures: sharpness, tone, empty space, and the form of the frame."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.critique.amounts import rough_share
from auditor.wording.critique.empty_ground import is_patterned
from auditor.wording.critique.noun import has_subject, noun, sure
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import aspect, decimal, percent

SURE_DEEP, SURE_IN_FOCUS, LEAST_SHARPNESS = 0.7, 0.85, 0.7
# CIELAB L*: the mean over the frame, and its range from dark to light (our choice, no source).
DARK, LIGHT = 36.0, 66.0
LOW_CONTRAST, HIGH_CONTRAST = 48.0, 79.0
SQUARE = 0.03  # of the ratio of the sides
SURE_EMPTY, LEAST_EMPTY = 0.6, 0.3
"""Confidence from which a rough share of empty space is said without its sides, and the least such
share of the frame (our choice, no source)."""


def focus_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say that the focus lies on the subject, where it does, and how light the picture is.

    What is not sharp stands among what works against it.
    """
    focus = picture.focus
    sharpness = focus.subject_sharpness or 0.0
    if not focus.subject_in_focus or (focus.confidence or 0.0) < SURE_IN_FOCUS:
        return None
    if not has_subject(picture) or sharpness < LEAST_SHARPNESS:
        return None
    words = f"the focus lies on {noun(picture)}"
    if focus.cause == "deep focus" and (focus.cause_confidence or 0.0) >= SURE_DEEP:
        words += ", and most of the rest is sharp too"
    tone, figures = _tone(picture)
    if tone:
        words += f"; the picture is {tone}"
    sharp = f"sharpness of the subject {decimal(sharpness, 2)} of 1, {sure(focus.confidence)}"
    return Statement(sentence_of(words), figures_of([sharp, figures if tone else ""]))


def clear_tone_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say how light the picture is, where it is clearly dark or light, low or high in contrast."""
    return tone_statement(picture) if _tone(picture)[0] else None


def tone_statement(picture: MeasuredPictureRecord) -> Statement:
    """Say how light the picture is and how far its tones lie apart."""
    words, figures = _tone(picture)
    said = words or "neither dark nor light overall, with middling contrast"
    return with_format(Statement(sentence_of(f"the picture is {said}"), figures), picture)


def _tone(picture: MeasuredPictureRecord) -> tuple[str, str]:
    """Lightness and contrast where they are not middling, with their figures."""
    tone = picture.tone
    parts = []
    if tone.mean_lightness < DARK:
        parts.append("dark overall")
    elif tone.mean_lightness > LIGHT:
        parts.append("light overall")
    if tone.contrast < LOW_CONTRAST:
        parts.append("low in contrast")
    elif tone.contrast > HIGH_CONTRAST:
        parts.append("high in contrast")
    figures = (
        f"mean lightness {decimal(tone.mean_lightness, 0)} of 100, contrast "
        f"{decimal(tone.contrast, 0)} L*"
    )
    return " and ".join(parts), figures


def empty_share_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say roughly how much of the frame stays empty, where its sides are not sure."""
    space = picture.negative_space
    share = space.fraction or 0.0
    is_sure = (space.confidence or 0.0) >= SURE_EMPTY
    if not is_sure or share < LEAST_EMPTY or is_patterned(picture):
        return None
    figures = [f"{percent(share)} of the frame empty", sure(space.confidence)]
    return Statement(
        sentence_of(f"{rough_share(share)} of the frame stays empty"), figures_of(figures)
    )


def depth_statement(picture: MeasuredPictureRecord) -> Statement | None:
    """Say how much of the frame is sharp."""
    focus = picture.focus
    if focus.cause not in DEPTHS or (focus.cause_confidence or 0.0) < SURE_DEEP:
        return None
    return Statement(
        sentence_of(DEPTHS[focus.cause]), f"{focus.cause}, {sure(focus.cause_confidence)}"
    )


DEPTHS = {
    "deep focus": "most of the picture is sharp",
    "shallow focus": "only a part of the picture is sharp",
}


def with_format(said: Statement, picture: MeasuredPictureRecord) -> Statement:
    """Add the form of the frame to a sentence: alone it would say too little for one of its own."""
    sentence = f"{said.sentence.removesuffix('.')}; {format_clause(picture)}."
    return Statement(sentence, figures_of([said.figures, aspect(picture.width / picture.height)]))


def format_clause(picture: MeasuredPictureRecord) -> str:
    """Say whether the frame is upright, square or wide, as a clause."""
    ratio = picture.width / picture.height
    long_side = max(ratio, 1 / ratio)
    if long_side <= 1 + SQUARE:
        return "the format is square"
    way = "wide" if ratio > 1 else "upright"
    name, nearest = min(_RATIOS, key=lambda one: abs(one[1] - long_side))
    named = f", about {name}" if abs(nearest - long_side) <= NEAR_RATIO else ""
    return f"the format is {way}{named}"


NEAR_RATIO = 0.04  # of the long side over the short one
_RATIOS = (
    ("five to four", 5 / 4),
    ("four to three", 4 / 3),
    ("three to two", 3 / 2),
    ("sixteen to nine", 16 / 9),
    ("two to one", 2.0),
)
