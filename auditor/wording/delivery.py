"""The rules of a hand-over: what each asks, and how far the pictures keep it."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.record.delivery_record import DeliveryRecord
from auditor.record.finding_record import FindingRecord
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.vocabulary.written_units import DIGITS, bytes_text, share_text
from auditor.wording.delivery_reasons import NOT_CHECKABLE
from auditor.wording.numbers import aspect
from auditor.wording.set_rules import TITLES_OF_COUNTS, counted_as
from auditor.wording.texts import capital

MOST_DIGITS = 8  # by which a value beyond a limit is told from the limit

# The name of each rule; what it asks follows after a colon.
_TITLES = {
    "long_side": "Long side",
    "short_side": "Short side",
    "width": "Width",
    "height": "Height",
    "megapixels": "Size",
    "ratio": "Ratio",
    "type": "File type",
    "bytes": "Size of the file",
    "profile": "Colour profile",
    "colours": "Colours",
    "bits": "Depth",
    "names": "Names",
    "first_number": "First number",
    "name_length": "Length of the name",
    "clipped_highlights": "Clipped highlights",
    "clipped_shadows": "Clipped shadows",
    "subject_highlights": "Clipped highlights around the subject",
    "subject_shadows": "Clipped shadows around the subject",
    "subject_sharpness": "Sharpness of the subject",
    "halos": "Halos of sharpening",
    "keywords": "Keywords",
    "creator": "Creator",
    "copyright": "Copyright",
    **TITLES_OF_COUNTS,
    "one_look": "One look",
    "files": "Pictures",
}
# Of rules that are kept or broken without a number: what they ask, by `asked`.
_WHOLE = {
    ("location", "none"): "No location in the metadata",
    ("location", "there"): "Location in the metadata",
    ("serial_numbers", "none"): "No serial numbers, no owner of the camera",
    ("creator", "none"): "No creator in the metadata",
    ("creator", "there"): "Creator in the metadata",
    ("copyright", "none"): "No copyright in the metadata",
    ("copyright", "there"): "Copyright in the metadata",
    ("caption", "none"): "No caption in the metadata",
    ("caption", "there"): "Caption in the metadata",
    ("keywords", "none"): "No keywords in the metadata",
    ("keywords", "there"): "Keywords in the metadata",
    ("writing", "none"): "No writing on the picture",
    ("border", "none"): "No border",
    ("embedded_profile", "yes"): "Colour profile in the file",
    ("number_gaps", "none"): "No gap in the numbers",
    ("number_doubles", "none"): "No number twice",
    ("spaces_in_names", "none"): "No spaces in names",
    ("safe_names", "yes"): "Only safe characters in names (A–Z a–z 0–9 . _ -)",
    ("lower_case_names", "yes"): "Names in lower case",
    ("same_picture_twice", "none"): "No picture twice",
    ("crops_of_one_picture", "none"): "No two crops of one picture",
}
# What is wrong, by the rule and the reason; the first reason of a rule stands for all others.
_WRONG = {
    ("location", "present"): "The file contains the place where it was taken (GPS).",
    ("location", "missing"): "The file does not contain the place where it was taken.",
    ("serial_numbers", "present"): (
        "The file contains a serial number of the camera or the lens, or the name of its owner."
    ),
    ("creator", "missing"): "The file names no creator.",
    ("creator", "present"): "The file names a creator.",
    ("creator", "other"): "The file names another creator.",
    ("copyright", "missing"): "The file has no copyright notice.",
    ("copyright", "present"): "The file has a copyright notice.",
    ("copyright", "other"): "The file has another copyright notice.",
    ("caption", "missing"): "The file has no caption in its metadata.",
    ("caption", "present"): "The file has a caption in its metadata.",
    ("keywords", "missing"): "The file has no keywords.",
    ("keywords", "present"): "The file has keywords.",
    ("writing", "present"): "Writing was found on the picture.",
    ("border", "present"): "The picture has a border.",
    ("embedded_profile", "missing"): "The file has no embedded colour profile.",
    ("profile", "no_profile"): "The file states no colour profile",
    ("type", "not_a_picture"): "The file is no picture of a known type",
    ("names", ""): "The name has another form",
    ("spaces_in_names", ""): "The name has a space.",
    ("safe_names", ""): "The name has characters that are not safe on every system.",
    ("lower_case_names", ""): "The name has capital letters.",
}
_COUNTED = frozenset(
    ("portrait", "landscape", "square", "overhead", "high", "three_quarter", "low", "straight_on")
)
_IN_CHANNEL = " (channel {})"


def rule_title(rule: str, asked: str, channel: str | None) -> str:
    """What a rule asks: ``"Long side: at least 3000 px"``."""
    asked = one_line(asked)
    title = _WHOLE.get((rule, asked)) or f"{_TITLES.get(rule, rule)}: {asked}"
    return title + ("" if channel is None else _IN_CHANNEL.format(one_line(channel)))


def delivery_message(one: DeliveryRecord) -> str:
    """What was found for a rule, or why it could not be checked."""
    if one.verdict == "undecided":
        return _undecided(one)
    found = _found(one)
    if one.verdict == "met":
        return f"{capital(found)}." if found else "As asked."
    return _wrong(one, found)


def _undecided(one: DeliveryRecord) -> str:
    why = NOT_CHECKABLE[one.reason or ""]
    if one.reason == "near_limit":
        return f"Not checkable: {_found(one)}, {why}: {one.asked} asked."
    return f"Not checkable: {why}."


def _wrong(one: DeliveryRecord, found: str) -> str:
    asked = one_line(one.asked)
    if one.rule in _SENTENCES and found:
        return capital(_SENTENCES[one.rule].format(found=found, asked=asked))
    sentence = _WRONG.get((one.rule, one.reason or ""))
    if sentence is not None:
        return sentence if sentence.endswith(".") else f"{sentence}; {asked} asked."
    if one.reason == "wrong_ending":
        return f"The file is a {found}, and its name ends as another type."
    if one.rule in _COUNTED:
        n = round(one.found) if isinstance(one.found, float) else 0
        return (
            f"{count(n, 'picture') if n else 'No picture'} {counted_as(one.rule)}, {asked} asked."
        )
    return f"{_TITLES[one.rule]} {found}, {asked} asked."


_SENTENCES = {
    "number_gaps": "Missing between the first and the last number: {found}.",
    "number_doubles": "More than one picture has the number {found}.",
    "first_number": "The first number is {found}, {asked} asked.",
    "same_picture_twice": "The same picture, or nearly the same, is there more than once.",
    "crops_of_one_picture": "Some pictures are crops of one picture.",
    "one_look": "Leaves the set in {found}.",
    "pictures": "{found}, {asked} asked.",
    "keywords": "{found}, {asked} asked.",
    "files": "There is no picture in {asked}.",
}


def _found(one: DeliveryRecord) -> str:
    """What was found, with so many digits that a value beyond a limit is told from it."""
    if isinstance(one.found, str):
        return one_line(one.found)
    if one.found is None:
        return ""
    texts = [_number(one, one.found, digits) for digits in range(DIGITS, MOST_DIGITS + 1)]
    if one.verdict == "met":
        return texts[0]
    return next((text for text in texts if text not in one.asked), texts[-1])


def _number(one: DeliveryRecord, value: float, digits: int) -> str:
    match one.unit:
        case "bytes":
            return bytes_text(value, digits)
        case "share":
            return share_text(value, digits)
        case "":
            return _without_unit(one, value)
        case "sharpness":
            return f"{value:.{digits - 1}f}"
    return f"{float(f'{value:.{max(digits, 6)}g}'):.10g} {one.unit}"


def _without_unit(one: DeliveryRecord, value: float) -> str:
    if one.rule == "ratio":
        return aspect(value)
    if one.rule == "pictures" or one.rule in _COUNTED:
        return count(round(value), "picture") if value else "no picture"
    if one.rule == "keywords":
        return count(round(value), "keyword") if value else "no keyword"
    if one.rule == "name_length":
        return count(round(value), "character")
    return f"{value:.0f}"


def broken_rule_message(finding: FindingRecord, delivery: Sequence[DeliveryRecord]) -> str:
    """The sentence of a broken rule: of one picture what is wrong, of several the rule."""
    rows = [
        one
        for one in delivery
        if (one.rule, one.channel, one.verdict) == (finding.rule, finding.channel, "missed")
    ]
    if not rows:
        raise KeyError(finding.rule)
    inside = "" if finding.channel is None else _IN_CHANNEL.format(one_line(finding.channel))
    if len(rows) == 1:
        message = delivery_message(rows[0])
        if len(finding.files) > 1:
            return message.rstrip(".") + inside
        return f"{message[:-1]}{inside}." if inside else message
    title = rule_title(rows[0].rule, rows[0].asked, finding.channel)
    return f"{len(finding.files)} pictures break the rule “{title}”"
