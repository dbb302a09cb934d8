"""The subject: what it is taken to be, where it lies, how large it is."""

from __future__ import annotations

from auditor.geometry import Point
from auditor.record.picture_record import MeasuredPictureRecord, SubjectRecord
from auditor.wording.critique.amounts import (
    edges_phrase,
    edges_surely_reached,
    place_phrase,
    share_in_words,
)
from auditor.wording.critique.frame_within import may_be_several
from auditor.wording.critique.noun import (
    has_subject,
    has_sure_outline,
    has_sure_place,
    is_food,
    may_have_subject,
    sure,
    whole_share,
)
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import decimal, percent

# Shares of the frame (our choice after looking at pictures, no source).
FILLS, SMALL = 0.7, 0.12
MOST_OF_IT, FILLS_FRAME = 0.53, 0.88  # of the frame: what a dish covers
WHOLE_FRAME = 0.9  # of the frame: one element of this size is all there is
SAME_SIZE = 0.6  # of the larger of two things, from which they are of about one size
LEAST_OF_TWO = 0.08  # of the frame, of the smaller of two things that share it
IN_THE_MIDDLE = 0.03  # of the diagonal: nobody sees a smaller distance from the middle
MOST_EDGES_NAMED = 2


def subject_statement(picture: MeasuredPictureRecord) -> Statement:
    """Say what the subject is and where; where there is none, why not."""
    if may_be_several(picture):
        words = "several pictures, or one with a wide border, make up the frame"
        return Statement(sentence_of(words), _border_figures(picture))
    if not has_subject(picture):
        return _probable(picture) if may_have_subject(picture) else _without(picture)
    subject = picture.subject
    x, y = subject.centroid or (0.5, 0.5)
    share = subject.area_fraction or 0.0
    box = subject.bbox or (0.0, 0.0, 1.0, 1.0)
    where = _where(picture, Point(x, y), share)
    # The box of food on a dish is not exact enough to say what the frame cuts.
    cut = _cut(box) if has_sure_outline(picture) and not is_food(picture) else ""
    words = f"{_called(subject)} {where}{cut}"
    figures = figures_of(
        [
            f"middle at {decimal(x, 2)}, {decimal(y, 2)} of the frame",
            f"{percent(share)} of it",
            sure(subject.confidence),
        ]
    )
    return Statement(sentence_of(words), figures)


def _probable(picture: MeasuredPictureRecord) -> Statement:
    """A subject that is not sure: its place alone."""
    x, y = picture.subject.centroid or (0.5, 0.5)
    if is_food(picture):
        words = "the subject is probably the food on the dish"
    else:
        words = f"the subject is probably what lies {place_phrase(x, y)}"
    at = f"middle at {decimal(x, 2)}, {decimal(y, 2)} of the frame"
    return Statement(sentence_of(words), figures_of([at, sure(picture.subject.confidence)]))


def _border_figures(picture: MeasuredPictureRecord) -> str:
    border = picture.border
    return "" if border is None else f"border found, {sure(border.confidence)}"


def _called(subject: SubjectRecord) -> str:
    if subject.part == "food":
        return "the food (taken as the subject)"
    if subject.source == "metadata":
        return "the subject (marked in the file’s metadata)"
    return "the subject (what stands out most)"


def _where(picture: MeasuredPictureRecord, at: Point, share: float) -> str:
    if share >= FILLS:
        return "fills most of the frame"
    place = place_phrase(*at)
    centred = picture.technique_fit.get("centred")
    if place == _MIDDLE and (centred is None or centred.distance > IN_THE_MIDDLE):
        place = "close to the middle"
    if picture.subject.part == "food":
        # Its outline on the dish is not sure: the size said is the dish's.
        return _on_dish(picture, place)
    if share < SMALL:
        return f"lies {place} and is small: {share_in_words(share)} of the frame"
    return f"lies {place} and covers {share_in_words(share)} of the frame"


def _on_dish(picture: MeasuredPictureRecord, place: str) -> str:
    dish = whole_share(picture)
    covers = share_in_words(dish)
    if not picture.subject_palette or MOST_OF_IT <= dish < FILLS_FRAME:
        covers = "most"
    elif dish >= FILLS_FRAME:
        covers = "almost all"
    if not has_sure_place(picture):
        return f"lies on a dish that takes up {covers} of the frame"
    return f"lies {place}, and its dish takes up {covers} of the frame"


_MIDDLE = place_phrase(0.5, 0.5)


def _cut(box: tuple[float, float, float, float]) -> str:
    edges = edges_surely_reached(box)
    if not edges:
        return ""
    if len(edges) > MOST_EDGES_NAMED:
        return f", and it reaches the edge of the frame on {_NUMBERS[len(edges)]} sides"
    return f", and it reaches {edges_phrase(edges)}"


_NUMBERS = {3: "three", 4: "all"}


def is_full(picture: MeasuredPictureRecord) -> bool:
    """Whether there is no subject because what is shown goes from edge to edge."""
    areas = [one.area_fraction for one in picture.elements]
    return not may_have_subject(picture) and max(areas, default=0.0) >= WHOLE_FRAME


def _without(picture: MeasuredPictureRecord) -> Statement:
    """No subject: the frame is full of one thing, two share it, or the reason."""
    areas = sorted((one.area_fraction for one in picture.elements), reverse=True)
    if is_full(picture):
        words = "the picture is full from edge to edge; no single subject could be told apart"
        return Statement(sentence_of(words), f"{percent(areas[0])} of the frame")
    if len(areas) > 1 and areas[1] >= max(SAME_SIZE * areas[0], LEAST_OF_TWO):
        words = (
            "which of the things in the frame is the subject could not be told, as "
            "the two largest are about the same size"
        )
        return Statement(sentence_of(words), f"{percent(areas[0])} and {percent(areas[1])}")
    reason = picture.reasons.get("subject")
    words = "what the subject is could not be told"
    if reason is not None:
        return Statement(f"{sentence_of(words)[:-1]}: {_inside(reason.message)}", reason.code)
    words += ", as no single thing stands out clearly enough"
    return Statement(sentence_of(words), sure(picture.subject.confidence) or "no region found")


def _inside(message: str) -> str:
    return message[:1].lower() + message[1:]
