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
from auditor.wording.critique.empty_ground import is_patterned
from auditor.wording.critique.frame_within import may_be_several
from auditor.wording.critique.noun import (
    has_subject,
    has_sure_place,
    is_food,
    sure,
    whole_share,
)
from auditor.wording.critique.statement import Statement, figures_of, sentence_of
from auditor.wording.numbers import decimal, percent

# Shares of the frame (our choice after looking at pictures, no source).
FILLS, LARGE, SMALL = 0.7, 0.4, 0.12
MOST_OF_IT, FILLS_FRAME = 0.53, 0.88  # of the frame: what a dish covers
WHOLE_FRAME = 0.9  # of the frame: one element of this size is all there is
SAME_SIZE = 0.6  # of the larger of two things, from which they are of about one size
LEAST_OF_TWO = 0.08  # of the frame, of the smaller of two things that share it
IN_THE_MIDDLE = 0.03  # of the diagonal: nobody sees a smaller distance from the middle
MOST_EDGES_NAMED = 2
NOTHING_COMPETES = "so nothing around it competes"


def subject_statement(picture: MeasuredPictureRecord) -> Statement:
    """Say what the subject is and where; where there is none, why not."""
    if may_be_several(picture):
        words = "several pictures, or one with a wide border, make up the frame"
        return Statement(sentence_of(words), _border_figures(picture))
    if not has_subject(picture):
        return _without(picture)
    subject = picture.subject
    x, y = subject.centroid or (0.5, 0.5)
    share = subject.area_fraction or 0.0
    box = subject.bbox or (0.0, 0.0, 1.0, 1.0)
    where = _where(picture, Point(x, y), share)
    # The box of food on a dish is not exact enough to say what the frame cuts.
    cut = "" if is_food(picture) else _cut(box, where)
    words = f"{_called(subject)} {where}{cut}"
    figures = figures_of(
        [
            f"middle at {decimal(x, 2)}, {decimal(y, 2)} of the frame",
            f"{percent(share)} of it",
            sure(subject.confidence),
        ]
    )
    return Statement(sentence_of(words), figures)


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
    is_alone = not picture.elements and not is_patterned(picture)
    if share >= FILLS:
        size = "fills most of the frame"
        return f"{size}, {NOTHING_COMPETES}" if is_alone else size
    place = place_phrase(*at)
    centred = picture.technique_fit.get("centred")
    if place == _MIDDLE and (centred is None or centred.distance > IN_THE_MIDDLE):
        place = "close to the middle"
    if picture.subject.part == "food":
        # Its outline on the dish is not sure: the size said is the dish's.
        return _on_dish(picture, place)
    if share < SMALL:
        return f"lies {place} and is small: {share_in_words(share)} of the frame"
    size = f"lies {place} and covers {share_in_words(share)} of the frame"
    if share >= LARGE and is_alone:
        return f"{size}, {NOTHING_COMPETES}"
    return size


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


def _cut(box: tuple[float, float, float, float], before: str) -> str:
    edges = edges_surely_reached(box)
    if not edges:
        return ""
    start = ";" if NOTHING_COMPETES in before else ", and"
    if len(edges) > MOST_EDGES_NAMED:
        return f"{start} it reaches the edge of the frame on {_NUMBERS[len(edges)]} sides"
    return f"{start} it reaches {edges_phrase(edges)}"


_NUMBERS = {3: "three", 4: "all"}


def is_full(picture: MeasuredPictureRecord) -> bool:
    """Whether there is no subject because what is shown goes from edge to edge."""
    areas = [one.area_fraction for one in picture.elements]
    return not has_subject(picture) and max(areas, default=0.0) >= WHOLE_FRAME


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
