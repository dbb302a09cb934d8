"""What can be said of every picture: sharpness, tone, and the form of the frame."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.critique.noun import has_subject, noun, sure
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import aspect, decimal

SURE_DEEP, SURE_IN_FOCUS, LEAST_SHARPNESS = 0.7, 0.85, 0.7
# CIELAB L*: the mean over the frame, and its range from dark to light (our choice, no source).
DARK, LIGHT = 36.0, 66.0
LOW_CONTRAST, HIGH_CONTRAST = 48.0, 79.0
SQUARE = 0.03  # of the ratio of the sides


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
    return Statement(sentence_of(f"the picture is {said}"), figures)


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


def format_statement(picture: MeasuredPictureRecord) -> Statement:
    """Say whether the frame is upright, square or wide."""
    ratio = picture.width / picture.height
    long_side = max(ratio, 1 / ratio)
    if long_side <= 1 + SQUARE:
        return Statement("The format is square.", aspect(ratio))
    way = "wide" if ratio > 1 else "upright"
    name, nearest = min(_RATIOS, key=lambda one: abs(one[1] - long_side))
    named = f", about {name}" if abs(nearest - long_side) <= NEAR_RATIO else ""
    return Statement(sentence_of(f"the format is {way}{named}"), aspect(ratio))


NEAR_RATIO = 0.04  # of the long side over the short one
_RATIOS = (
    ("five to four", 5 / 4),
    ("four to three", 4 / 3),
    ("three to two", 3 / 2),
    ("sixteen to nine", 16 / 9),
    ("two to one", 2.0),
)
