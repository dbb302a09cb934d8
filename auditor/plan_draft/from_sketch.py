"""What a draft states about one drawn frame: numbers as drawn, guesses marked as such."""

from __future__ import annotations

from collections.abc import Iterator

from auditor.plan_draft import rounding
from auditor.plan_draft.draft import Entry, Remarked, ShotDraft, TomlValue
from auditor.plan_draft.names import unique
from auditor.plan_draft.phrases import drawn_as, entry_comment, notes_not_read
from auditor.sketch.drawn import LEAST_STATED, DrawnFrame, DrawnThing, Shape
from auditor.vocabulary.camera_angle import camera_words
from auditor.vocabulary.places import place_words

# Relative difference up to which a frame drawn by hand means the usual ratio nearest to it: half
# of the step between 5:4 and 4:3, and a little more, as nobody rules a frame (our choice).
DRAWN_RATIO_WITHIN = 0.05
# From this relative difference on the ratio as drawn is given beside the usual one.
DRAWN_RATIO_SHOWN = 0.02


def shot_of_frame(frame: DrawnFrame, name: str) -> ShotDraft:
    """The shot of a drawn frame."""
    remark = notes_not_read(frame.notes)
    return ShotDraft(name, (), tuple(_entries(frame)), (remark,) if remark else ())


def _entries(frame: DrawnFrame) -> Iterator[Entry]:
    yield _aspect_ratio(frame.page.aspect_ratio)
    if frame.technique is not None:
        yield Entry("technique", frame.technique.value, confidence=frame.technique.confidence)
    if frame.subject is not None:
        subject = frame.subject
        words = place_words(*subject.centre)
        yield Entry("subject", _placed(subject), words, subject.confidence)
    yield from _supporting(frame)
    yield from _camera_and_light(frame)
    yield from _negative_space(frame)


def _aspect_ratio(ratio: float) -> Entry:
    usual = rounding.usual_ratio(ratio, DRAWN_RATIO_WITHIN, rounding.DRAWN_RATIOS)
    if usual is None:
        return Entry("aspect_ratio", round(ratio, 2))
    is_exact = abs(rounding.ratio_value(usual) / ratio - 1) <= DRAWN_RATIO_SHOWN
    return Entry("aspect_ratio", usual, "" if is_exact else drawn_as(ratio))


def _placed(thing: DrawnThing) -> dict[str, TomlValue]:
    return {
        "at": rounding.drawn_place(thing.centre),
        "size": rounding.drawn_share(thing.area_fraction),
    }


def names_of_supporting(frame: DrawnFrame) -> tuple[str | None, ...]:
    """What a draft calls each supporting element of a frame; None for one that it leaves out."""
    things = frame.supporting
    names = iter(unique([_name(thing) for thing in things if thing.confidence >= LEAST_STATED]))
    return tuple(next(names) if thing.confidence >= LEAST_STATED else None for thing in things)


def _supporting(frame: DrawnFrame) -> Iterator[Entry]:
    named = zip(names_of_supporting(frame), frame.supporting, strict=True)
    stated = [(name, thing) for name, thing in named if name is not None]
    if stated:
        yield Entry(
            "supporting",
            [
                Remarked(
                    {"name": name, **_placed(thing)},
                    entry_comment(place_words(*thing.centre), thing.confidence),
                )
                for name, thing in stated
            ],
        )


def _name(thing: DrawnThing) -> str:
    """A name by the shape alone."""
    left, top, right, bottom = thing.box
    if thing.shape is Shape.SIDE_VIEW and bottom - top > right - left:
        return "tall thing"
    return {Shape.OVAL: "dish", Shape.CLOTH: "cloth"}.get(thing.shape, "thing")


def _camera_and_light(frame: DrawnFrame) -> Iterator[Entry]:
    camera, light = frame.camera_elevation_deg, frame.light_clock
    if camera is not None:
        deg = rounding.elevation(camera.value)
        yield Entry("camera_elevation", deg, camera_words(camera.value), camera.confidence)
    if light is not None:
        hours = rounding.clock(light.value)
        yield Entry("light", {"clock": hours}, rounding.light_word(light.value), light.confidence)


def _negative_space(frame: DrawnFrame) -> Iterator[Entry]:
    """Share and side; of the two only what is stated, where one of them is."""
    fraction, side = frame.empty_fraction, frame.empty_side
    parts: list[tuple[str, TomlValue, float]] = []
    if fraction is not None:
        parts.append(("fraction", rounding.share(fraction.value), fraction.confidence))
    if side is not None:
        parts.append(("side", side.value, side.confidence))
    parts = [one for one in parts if one[2] >= LEAST_STATED] or parts
    if parts:
        value = {name: part for name, part, _ in parts}
        least = min(confidence for _, _, confidence in parts)
        yield Entry("negative_space", value, confidence=least)
