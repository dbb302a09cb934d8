"""What to do about a picture or the set: at most two short sentences an entry."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from auditor.findings.by_picture import is_of_one_picture
from auditor.findings.codes import FindingCode
from auditor.findings.gravity import NEIGHBOURS, Gravity, helping, is_against_plan
from auditor.record.advice_record import AdviceRecord
from auditor.record.finding_record import FindingRecord
from auditor.safe_text import one_line
from auditor.wording.advice import advice_words
from auditor.wording.focus import REMEDIES
from auditor.wording.hand_over_to_do import hand_over_to_do
from auditor.wording.quantity_names import in_sentence
from auditor.wording.temperature import shift_words
from auditor.wording.texts import capital, listed

MOST_TO_DO = 2  # what a tired reader keeps in mind (our choice, no source)
PLANNED = frozenset({FindingCode.MISSED, FindingCode.SET_OUTLIER})

_OF_ONE: dict[FindingCode, str] = {
    FindingCode.LOCATION: "Remove the location from the file, unless the client asked for it.",
    FindingCode.WRITING: "Hand it over without the writing, unless the client asked for it.",
    FindingCode.REFUSED: "Export it again, and run the audit again.",
    FindingCode.INCOMPLETE: "Copy or export it again, and run the audit again.",
    FindingCode.UNREADABLE_FOLDER: (
        "Give yourself permission to read the folder, or check the disk, and run the audit again."
    ),
    FindingCode.MISSED_FOCUS: REMEDIES["missed focus"],
    FindingCode.MOTION_BLUR: REMEDIES["motion blur"],
    FindingCode.BORDER: "Decide whether all pictures have a border, or none.",
    FindingCode.UNPLANNED: "Name it in the plan, or leave it out.",
    FindingCode.DOUBTFUL_MATCH: "Check which shot it is of.",
    FindingCode.FITS_OTHER_SHOT: "Check which shot names it.",
    FindingCode.CLAIMED_TWICE: "Name it in one shot only.",
    FindingCode.SAME_FILE: "Hand it over once.",
    FindingCode.NEARLY_THE_SAME: "Decide whether you hand over both.",
    FindingCode.CROPPED: "Decide whether you hand over both.",
    FindingCode.REPEATED: "Decide whether you show both.",
}
_OF_SEVERAL: dict[FindingCode, str] = {
    **_OF_ONE,
    FindingCode.LOCATION: "Remove the location from the files, unless the client asked for it.",
    FindingCode.WRITING: "Hand them over without the writing, unless the client asked for it.",
    FindingCode.DOUBTFUL_MATCH: "Check which shots they are of.",
    FindingCode.NEARLY_THE_SAME: "Decide which of them you hand over.",
    FindingCode.CROPPED: "Decide which of them you hand over.",
    FindingCode.REPEATED: "Decide which of them you show.",
}
_OFTEN = {
    Gravity.RESHOOT: "Look for one cause, in the pictures or in the plan, before you shoot again.",
    Gravity.DEVELOP: "Correct them together; what helps stands beside each picture.",
    Gravity.CROP: "Crop them together; what helps stands beside each picture.",
    Gravity.LOOK: "Look at them together: one cause may explain them all.",
}
BY_EYE = "no single correction was found that meets the plan"


def to_do(findings: Sequence[FindingRecord], advice: Sequence[AdviceRecord]) -> list[str]:
    """What to do about the findings of one entry, the gravest first.

    Of a picture that has to be shot again, nothing else is worth doing.

    Parameters
    ----------
    findings : sequence of FindingRecord
        The gravest first.
    advice : sequence of AdviceRecord
        For the picture; none for the set.
    """
    sentences: list[str] = []
    for gravity in Gravity:
        own = [finding for finding in findings if finding.gravity is gravity]
        sentences += _OF_GRAVITY[gravity](own, advice) if own else []
        if gravity is Gravity.RESHOOT and own:
            break
    return list(dict.fromkeys(sentences))[:MOST_TO_DO]


def _fixed(findings: Sequence[FindingRecord], _: Sequence[AdviceRecord] = ()) -> list[str]:
    """The sentences of what needs no more than its code."""
    is_several = len(findings) > 1 or not is_of_one_picture(findings[0])
    sentences = _OF_SEVERAL if is_several else _OF_ONE
    return [
        hand_over_to_do(one) if one.code is FindingCode.DELIVERY else sentences[one.code]
        for one in findings
        if one.code is FindingCode.DELIVERY or one.code in sentences
    ]


def _reshoot(findings: Sequence[FindingRecord], _: Sequence[AdviceRecord]) -> list[str]:
    shots = [one.shot or "" for one in findings if one.code is FindingCode.MISSING_SHOT]
    taken = any(one.other_shots for one in findings if one.code is FindingCode.MISSING_SHOT)
    named = listed([f"“{one_line(shot)}”" for shot in shots]) if len(shots) > 1 else "it"
    sentences = [f"Shoot {named}."] if shots else []
    if taken:
        sentences.append("Or name the pictures of each shot in the plan.")
    for finding in findings:
        if finding.code is FindingCode.SET_RULE:
            sentences.append("Shoot what is missing, or change the rule.")
        elif finding.code is FindingCode.OFTEN_MISSED:
            sentences.append(_OFTEN[Gravity.RESHOOT])
    sentences += _fixed(findings)
    missed = [one for one in findings if one.code is FindingCode.MISSED]
    return [*sentences, _shoot_again(missed)] if missed else sentences


def _shoot_again(missed: Sequence[FindingRecord]) -> str:
    """Say that no edit helps, and what has to be in the next picture."""
    absent = [_named(one) for one in missed if one.element is not None and one.value is None]
    wrong = [_named(one) for one in missed if one.element is None or one.value is not None]
    again = f"Shoot it again with {listed(absent)}" if absent else "Shoot it again"
    return f"{again}: no edit mends {listed(wrong)}." if wrong else f"{again}."


def _develop(findings: Sequence[FindingRecord], advice: Sequence[AdviceRecord]) -> list[str]:
    sentences = []
    for finding in findings:
        if finding.code is FindingCode.OFTEN_MISSED:
            sentences.append(_OFTEN[finding.gravity or Gravity.LOOK])
        elif len(finding.files) > 1:
            sentences.append(_together(finding))
    own = [one for one in findings if len(one.files) == 1]
    sentences += advised(own, advice)
    by_plan: list[str] = []
    by_set: list[str] = []
    for finding in own:
        if finding.code is FindingCode.TEMPERATURE_GROUP:
            sentences.append(_together(finding))
        elif finding.code in PLANNED and not helping(finding, advice):
            is_set = finding.code is FindingCode.SET_OUTLIER
            (by_set if is_set else by_plan).append(f"its {in_sentence(finding.quantity or '')}")
    if by_plan:
        sentences.append(f"Correct {listed(by_plan)} by eye: {BY_EYE}.")
    if by_set:
        sentences.append(f"Bring {listed(by_set)} back to the rest of the set.")
    return sentences


def advised(findings: Sequence[FindingRecord], advice: Sequence[AdviceRecord]) -> list[str]:
    """What the advice says that mends the findings, that which mends the most of them first."""
    helped = {
        place: {at for at, one in enumerate(findings) if place in helping(one, advice)}
        for place in range(len(advice))
    }
    sentences, mended = [], set[int]()
    for place in sorted(helped, key=lambda place: (-len(helped[place]), place)):
        if helped[place] - mended:
            mended |= helped[place]
            sentences.append(_first_sentence(advice_words(advice[place])))
    return sentences


def _together(finding: FindingRecord) -> str:
    """How pictures of another colour temperature join the rest."""
    what = "it" if len(finding.files) == 1 else "them"
    return f"{capital(shift_words(-(finding.difference or 0.0), what))}."


def _crop(findings: Sequence[FindingRecord], advice: Sequence[AdviceRecord]) -> list[str]:
    often = [_OFTEN[Gravity.CROP] for one in findings if one.code is FindingCode.OFTEN_MISSED]
    own = [one for one in findings if one.code is not FindingCode.OFTEN_MISSED]
    rest = [_named(one) for one in own if not helping(one, advice)]
    plain = [f"Crop to {listed(rest)} of the plan, and look at what is lost."] if rest else []
    return [*often, *advised(own, advice), *plain]


def _look(findings: Sequence[FindingRecord], advice: Sequence[AdviceRecord]) -> list[str]:
    sentences = []
    against: list[str] = []
    named: list[str] = []
    for finding in findings:
        if finding.code is FindingCode.OFTEN_MISSED:
            sentences.append(_OFTEN[Gravity.LOOK])
        elif finding.code is FindingCode.SET_RULE:
            order = "Change the order of the pictures, or the rule."
            fewer = "Leave pictures out, or change the rule."
            sentences.append(order if finding.rule == NEIGHBOURS else fewer)
        elif finding.code in PLANNED:
            is_against = len(finding.files) == 1 and is_against_plan(finding, advice)
            (against if is_against else named).append(_named(finding))
    if named:
        sentences.append(f"Look at {listed(list(dict.fromkeys(named)))}.")
    if against:
        sentences.append(f"Its plan asks for {listed(against)}: the plan or the set has to give.")
    return [*sentences, *_fixed(findings)]


_OF_GRAVITY: dict[
    Gravity, Callable[[Sequence[FindingRecord], Sequence[AdviceRecord]], list[str]]
] = {
    Gravity.HAND_OVER: _fixed,
    Gravity.RESHOOT: _reshoot,
    Gravity.DEVELOP: _develop,
    Gravity.CROP: _crop,
    Gravity.LOOK: _look,
}


def _named(finding: FindingRecord) -> str:
    """What a finding is about, inside a sentence: ``"the light"``."""
    named = in_sentence(finding.quantity or "", finding.element)
    return named if finding.element is not None else f"the {named}"


def _first_sentence(text: str) -> str:
    """What advice begins with is what to do."""
    return f"{text.split('. ')[0].removesuffix('.')}."
