"""Whether the empty ground of a picture is patterned, and whether that is sure enough to say."""

from __future__ import annotations

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.critique.noun import whole_share

# Chosen by looking at pictures: checks, granite, planks and prints are above, shading is below.
LEAST_PATTERN = 0.2  # of the frame, from which it is what one sees round the subject
PATTERN_OF_EMPTY = 0.55  # plain ground over empty ground, below which most of it is patterned
SURE_PATTERN = 0.28
"""Confidence of the empty space (within 5 hundredths) from which a pattern is one: below it were
almonds on slate, stripes of shade, a hob and a collage; checks, granite and prints lie above. It
is enough to say nothing of calm or empty ground."""
SAID_PATTERN, LARGEST_ON_PATTERN = 0.85, 0.6
"""Confidence of the empty space from which a pattern is spoken of, and share of the frame above
which a subject leaves no ground to speak of (our choice, no source)."""


def is_patterned(picture: MeasuredPictureRecord) -> bool:
    """Whether most of the empty ground has a pattern."""
    space = picture.negative_space
    if space.fraction is None or space.plain_fraction is None:
        return False
    if (space.confidence or 0.0) < SURE_PATTERN:
        return False
    patterned = space.fraction - space.plain_fraction
    return patterned >= LEAST_PATTERN and space.plain_fraction < PATTERN_OF_EMPTY * space.fraction


def is_surely_patterned(picture: MeasuredPictureRecord) -> bool:
    """Whether the ground has a pattern that is sure and large enough to be spoken of."""
    is_sure = (picture.negative_space.confidence or 0.0) >= SAID_PATTERN
    return is_sure and whole_share(picture) <= LARGEST_ON_PATTERN and is_patterned(picture)
