"""The summary for a client: what there is, what of the plan, and what is still to do.

Facts in plain sentences. What is only of use to the photographer stands in the report: files and
where they lie, measurements and how sure they are.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import PurePath

from auditor.findings.codes import FindingCode
from auditor.record.audit_record import AuditRecord, ShotRecord
from auditor.record.picture_record import MeasuredPictureRecord, RefusedPictureRecord
from auditor.record.plan_records import ItemRecord
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.quantity_names import in_sentence
from auditor.wording.set_title import last_part
from auditor.wording.texts import day, listed

SUMMARY_TEXTS: dict[str, str] = {
    "page_title": "{}: summary",
    "planned": "What was planned",
    "to_do": "Still to do",
    "pictures": "Pictures",
    "to_come": "still to come",
    "picture_named": "Picture {}: {}",
}
# One page holds no more; what is left out is counted.
MOST_NAMED = 4  # shots in a sentence
MOST_NUMBERED = 8  # pictures in a sentence
MOST_QUANTITIES = 6
ADVISED: dict[str, str] = {
    "exposure": "Adjust the brightness of {}.",
    "colour temperature": "Adjust the white balance of {}.",
    "rotate": "Straighten {}.",
    "crop": "Crop {}.",
}
SOFT = frozenset({FindingCode.MISSED_FOCUS, FindingCode.MOTION_BLUR})


def facts(record: AuditRecord) -> tuple[str, ...]:
    """How many pictures there are, from when, and in which formats."""
    pictures = _measured(record)
    return (f"{count(len(pictures), 'picture')}{_when(record)}.", _formats(pictures))


def plan_facts(record: AuditRecord) -> tuple[str, ...]:
    """What there is of what was planned; empty without a plan."""
    sentences = []
    if record.shots:
        there = sum(not shot.missing for shot in record.shots)
        are = "is" if there == 1 else "are"
        sentences.append(f"{there} of {count(len(record.shots), 'planned shot')} {are} there.")
    planned = [p for p in _measured(record) if p.plan is not None and p.plan.items]
    if planned:
        kept = sum(not any(item.is_fault for item in _items(picture)) for picture in planned)
        are = "is" if kept == 1 else "are"
        sentences.append(
            f"{kept} of {count(len(planned), 'picture')} {are} as planned in everything that could "
            "be checked."
        )
    if differing := _differing(planned):
        sentences.append(f"Different from the plan: {differing}.")
    return tuple(sentences)


def to_do(record: AuditRecord) -> tuple[str, ...]:
    """What is still to do, as the record states it: what is missing, and what is advised."""
    numbers = {picture.file: n for n, picture in enumerate(record.images, start=1)}
    missing = [shot for shot in record.shots if shot.missing]
    sentences = [f"Photograph {_shots_named(missing)}."] if missing else []
    soft = {file for one in record.findings if one.code in SOFT for file in one.files}
    if soft:
        looked_at = _pictures_named(sorted(numbers[file] for file in soft if file in numbers))
        sentences.append(f"Look again at the sharpness of {looked_at}.")
    for kind, words in ADVISED.items():
        advised = [p.file for p in _measured(record) if any(a.kind == kind for a in p.advice)]
        if advised:
            sentences.append(words.format(_pictures_named([numbers[file] for file in advised])))
    refused = sum(isinstance(picture, RefusedPictureRecord) for picture in record.images)
    if refused:
        sentences.append(f"Replace {count(refused, 'file')} that could not be opened.")
    return tuple(sentences) or ("This check found nothing that is left to do.",)


def picture_name(picture: MeasuredPictureRecord) -> str:
    """What a client calls a picture: its shot, else the name of its file without folders."""
    if picture.plan is not None and picture.plan.shot:
        return one_line(picture.plan.shot)
    return PurePath(last_part(picture.file)).stem


def shown_words(n_shown: int, n_pictures: int) -> str:
    """Say that not all pictures are shown; empty where they are."""
    rest = n_pictures - n_shown
    return f"{n_shown} of {n_pictures} pictures; {rest} more are not shown here." if rest else ""


def more_shots(shots: Sequence[ShotRecord]) -> str:
    """Say how many shots the list leaves out, and how many of them are there."""
    if not shots:
        return ""
    there = sum(not shot.missing for shot in shots)
    are = "is" if there == 1 else "are"
    return f"and {count(len(shots), 'more shot')}, of which {there} {are} there"


def checked_on(record: AuditRecord) -> str:
    """The day of the audit."""
    return f"Checked on {day(record.created)}."


def _measured(record: AuditRecord) -> list[MeasuredPictureRecord]:
    return [p for p in record.images if isinstance(p, MeasuredPictureRecord)]


def _items(picture: MeasuredPictureRecord) -> list[ItemRecord]:
    return picture.plan.items if picture.plan else []


def _when(record: AuditRecord) -> str:
    """The days on which the pictures were taken, where all of them say it."""
    taken = [picture.camera.taken for picture in _measured(record)]
    if not all(taken):
        return ""
    first, last = day(min(filter(None, taken))), day(max(filter(None, taken)))
    days = f"on {first}" if first == last else f"from {first} to {last}"
    return f", photographed {days}"


def _formats(pictures: Sequence[MeasuredPictureRecord]) -> str:
    kinds: dict[str, Callable[[MeasuredPictureRecord], bool]] = {
        "in portrait format": lambda picture: picture.height > picture.width,
        "in landscape format": lambda picture: picture.width > picture.height,
        "square": lambda picture: picture.width == picture.height,
    }
    counts = {words: sum(map(is_one, pictures)) for words, is_one in kinds.items()}
    found = [(words, n) for words, n in counts.items() if n]
    if len(found) == 1:
        words = found[0][0]
        return f"{'All' if len(pictures) > 1 else 'It is'} {words}."
    return f"{', '.join(f'{n} {words}' for words, n in found)}."


def _differing(pictures: Sequence[MeasuredPictureRecord]) -> str:
    """The quantities that differ from the plan, each with its number of pictures."""
    counts: Counter[str] = Counter()
    for picture in pictures:
        missed = [in_sentence(item.quantity) for item in _items(picture) if item.is_fault]
        counts.update(dict.fromkeys(missed, 1))
    named = counts.most_common(MOST_QUANTITIES)
    parts = []
    for n in dict.fromkeys(n for _, n in named):
        names = [name for name, times in named if times == n]
        parts.append(f"{listed(names)} in {count(n, 'picture')}{' each' if names[1:] else ''}")
    rest = len(counts) - len(named)
    return "; ".join(parts + ([count(rest, "other thing")] if rest else []))


def _shots_named(shots: Sequence[ShotRecord]) -> str:
    named = [f"“{one_line(shot.name)}”" for shot in shots[:MOST_NAMED]]
    rest = len(shots) - len(named)
    return listed(named + ([count(rest, "more shot")] if rest else []))


def _pictures_named(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"picture {numbers[0]}"
    if len(numbers) > MOST_NUMBERED:
        return count(len(numbers), "picture")
    return f"pictures {listed([str(number) for number in numbers])}"
