"""Choose and order what is said of one picture: three sentences at least, six at most."""

from __future__ import annotations

from collections.abc import Callable

from auditor.record.picture_record import MeasuredPictureRecord
from auditor.wording.critique.camera_and_light import (
    camera_and_light_statement,
    unknown_camera_statement,
)
from auditor.wording.critique.colours import colours_statement
from auditor.wording.critique.division import COMPANY, division_statement, is_company_alone
from auditor.wording.critique.frame_within import may_be_several
from auditor.wording.critique.overall import (
    clear_tone_statement,
    focus_statement,
    format_statement,
    tone_statement,
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
        colours = colours_statement(picture) or tone_statement(picture)
        return (subject_statement(picture), colours, format_statement(picture))
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
    if len(kept) + len(last) > LEAST and any(one.topic == COMPANY for one in weak):
        kept = [one for one in kept if not is_company_alone(one)]
    if not any(one.topic == "focus" for one in [*weak, *strong]):
        kept = _filled(kept, focus_statement(picture), MOST - len(last))
    for more in _MORE:
        if len(kept) + len(last) < LEAST and (said_more := more(picture)) is not None:
            kept.append(said_more)
    return (*kept, *last)


# What can be said of a picture of which little is sure, the most useful first.
_MORE: tuple[Callable[[MeasuredPictureRecord], Statement | None], ...] = (
    clear_tone_statement,
    unknown_camera_statement,
    format_statement,
    tone_statement,
)


def _filled(kept: list[Statement], more: Statement | None, most: int) -> list[Statement]:
    return [*kept, more] if more is not None and len(kept) < most else kept
