"""Choose and order what is said of one picture: three sentences at least, six at most."""

from __future__ import annotations

from collections.abc import Callable

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.critique.camera_and_light import (
    camera_and_light_statement,
    unknown_camera_statement,
)
from auditor.wording.critique.colours import colours_statement
from auditor.wording.critique.division import division_statement
from auditor.wording.critique.frame_within import may_be_several
from auditor.wording.critique.overall import (
    clear_tone_statement,
    depth_statement,
    empty_share_statement,
    focus_statement,
    tone_statement,
    with_format,
)
from auditor.wording.critique.statement import Statement, joined
from auditor.wording.critique.strengths import strengths
from auditor.wording.critique.subject import subject_statement
from auditor.wording.critique.weaknesses import weaknesses

LEAST, MOST = 3, 6


def critique(picture: MeasuredPictureRecord) -> tuple[Statement, ...]:
    """Say in `LEAST` to `MOST` sentences what is seen in a picture.

    First what it shows, then what is strong, then what works against it. What is said among the
    strong or weak points is left out before; what is always true is added where there is little.
    """
    if may_be_several(picture):
        colours = colours_statement(picture)
        seen = tone_statement(picture) if colours is None else with_format(colours, picture)
        return (subject_statement(picture), seen, _UNTOLD)
    weak = weaknesses(picture)
    against = {one.topic for one in weak}
    strong = [one for one in strengths(picture) if one.topic not in against]
    said = [
        subject_statement(picture),
        division_statement(picture),
        camera_and_light_statement(picture),
        colours_statement(picture),
    ]
    ends = [joined("What is strong", strong), joined("What works against it", weak)]
    kept = [one for one in said if one is not None]
    last = [one for one in ends if one is not None]
    is_focus_said = any(one.topic == "focus" for one in [*weak, *strong])
    if not is_focus_said:
        kept = _filled(kept, focus_statement(picture), MOST - len(last))
    for more in _MORE:
        if len(kept) + len(last) >= LEAST:
            break
        if more is depth_statement and is_focus_said:
            continue
        if (said_more := more(picture)) is not None:
            kept.append(said_more)
    return (*kept, *last)


# What can be said of a picture of which little is sure, the most useful first.
_MORE: tuple[Callable[[MeasuredPictureRecord], Statement | None], ...] = (
    clear_tone_statement,
    empty_share_statement,
    depth_statement,
    unknown_camera_statement,
    tone_statement,
)
_UNTOLD = Statement(
    "Where things lie in it and from where the camera looks could therefore not be told.", ""
)


def _filled(kept: list[Statement], more: Statement | None, most: int) -> list[Statement]:
    return [*kept, more] if more is not None and len(kept) < most else kept
