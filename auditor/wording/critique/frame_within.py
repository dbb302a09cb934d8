"""Whether the frame is a picture within a wide border, or several pictures beside each other."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.additions import LEAST_WIDTH
from auditor.wording.critique.noun import may_have_subject

SURE_BORDER = 0.6
# Of the frame (our choice after looking at collages, no source): with several pictures the finder
# takes a piece of one for the subject and all the rest for its ground.
LEAST_OF_ONE, MOST_EMPTY, SURE_SPACE = 0.05, 0.8, 0.3


def has_border(picture: MeasuredPictureRecord) -> bool:
    """Whether a border goes all around."""
    border = picture.border
    if border is None or (border.confidence or 0.0) < SURE_BORDER:
        return False
    left, top, right, bottom = border.inside
    return min(left, top, 1 - right, 1 - bottom) >= LEAST_WIDTH


def may_be_several(picture: MeasuredPictureRecord) -> bool:
    """Whether several pictures may stand within the border."""
    if not has_border(picture):
        return False
    space = picture.negative_space
    is_small = (picture.subject.area_fraction or 0.0) < LEAST_OF_ONE
    is_empty = (space.fraction or 0.0) > MOST_EMPTY and (space.confidence or 0.0) < SURE_SPACE
    return not may_have_subject(picture) or is_small or is_empty
