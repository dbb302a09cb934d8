"""The sentence of each finding: the one place where a finding is put into words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from auditor.findings.by_picture import is_of_one_picture
from auditor.findings.codes import FindingCode
from auditor.record.audit_record import AuditRecord
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import (
    MeasuredPictureRecord,
    PictureRecord,
    RefusedPictureRecord,
)
from auditor.record.plan_records import ItemRecord
from auditor.record.series_records import OutlierRecord, SeriesQuantityRecord
from auditor.safe_text import one_line
from auditor.wording.additions import written_sentence
from auditor.wording.delivery import broken_rule_message
from auditor.wording.focus import SEEN
from auditor.wording.matches import assumed_sentence
from auditor.wording.misses import light_miss, miss_sentence, temperature_misses
from auditor.wording.numbers import clock, percent
from auditor.wording.portfolio import repeated_words
from auditor.wording.quantity_names import title
from auditor.wording.set_outliers import outlier_words
from auditor.wording.set_rules import rule_message
from auditor.wording.set_summary import crop_words
from auditor.wording.shot_findings import (
    claimed_twice_sentence,
    fits_other_sentence,
    missing_shot_sentence,
    unplanned_sentence,
)
from auditor.wording.temperature import warmer_words
from auditor.wording.temperature_groups import rest_words
from auditor.wording.texts import capital

PAIR = 2


class _Lookup:
    """What a sentence may need of the record, by name."""

    def __init__(self, record: AuditRecord) -> None:
        self.pictures: Mapping[str, PictureRecord] = {p.file: p for p in record.images}
        self.assumed_of = {shot.name: shot.assumed for shot in record.shots}
        self.n_measured = sum(isinstance(p, MeasuredPictureRecord) for p in record.images)
        self.numbers = {picture.file: n for n, picture in enumerate(record.images, start=1)}
        self.outliers = {
            (quantity.quantity, outlier.file): (outlier, quantity)
            for quantity in record.series.quantities
            for outlier in quantity.outliers
        }
        self.temperature_clusters = record.series.colour_temperature_clusters
        self.rules = {rule.rule: rule for rule in record.set_rules}
        self.delivery = record.delivery or []
        self.crops = {(pair.crop, pair.whole): pair for pair in record.series.crops}
        repetitions = [] if record.portfolio is None else record.portfolio.repetitions
        self.repeated_traits = {tuple(group.files): group.traits for group in repetitions}

    def picture(self, finding: FindingRecord) -> MeasuredPictureRecord:
        """The first picture that a finding is about."""
        picture = self.pictures[finding.files[0]]
        if not isinstance(picture, MeasuredPictureRecord):
            raise KeyError(picture.file)
        return picture

    def item(self, finding: FindingRecord) -> tuple[ItemRecord, MeasuredPictureRecord]:
        """The planned item that a finding is about, with its picture."""
        picture = self.pictures[finding.files[0]]
        if isinstance(picture, MeasuredPictureRecord) and picture.plan is not None:
            for item in picture.plan.items:
                if _is_about(finding, item):
                    return item, picture
        raise KeyError(finding.files[0])

    def outlier(self, finding: FindingRecord) -> tuple[OutlierRecord, SeriesQuantityRecord]:
        """The outlier of the set that a finding is about, with its quantity."""
        return self.outliers[finding.quantity or "", finding.files[0]]


def _is_about(finding: FindingRecord, item: ItemRecord) -> bool:
    """Whether a finding is about an item; two elements of one name differ in their values."""
    return (item.quantity, item.element, item.planned, item.measured) == (
        finding.quantity,
        finding.element,
        finding.expected,
        finding.value,
    )


def finding_messages(record: AuditRecord) -> list[str]:
    """The sentence of each finding of a record, in their order; without the pictures' names."""
    lookup = _Lookup(record)
    return [SENTENCES[finding.code](finding, lookup) for finding in record.findings]


def _location(_: FindingRecord, __: _Lookup) -> str:
    return "The file contains the place where it was taken (GPS)."


def _writing(finding: FindingRecord, lookup: _Lookup) -> str:
    n = len(finding.files)
    if n > 1:
        return f"{n} pictures carry a caption, a signature or a watermark"
    return written_sentence(lookup.picture(finding))


def _border(finding: FindingRecord, lookup: _Lookup) -> str:
    n, has_border = len(finding.files), finding.expected == 0
    rest = "the other" if lookup.n_measured - n == 1 else "the others"
    if n > 1:
        return f"{n} pictures have {'a' if has_border else 'no'} border, unlike {rest}"
    return f"The picture has {'a' if has_border else 'no'} border, unlike {rest}."


def _focus(finding: FindingRecord, lookup: _Lookup) -> str:
    return SEEN[lookup.picture(finding).focus.cause or ""]


def _unreadable_folder(finding: FindingRecord, _: _Lookup) -> str:
    return f"The folder “{finding.files[0]}” could not be read, so no picture in it was measured."


def _refused(finding: FindingRecord, lookup: _Lookup) -> str:
    picture = lookup.pictures[finding.files[0]]
    return picture.reason.message if isinstance(picture, RefusedPictureRecord) else ""


def _incomplete(finding: FindingRecord, _: _Lookup) -> str:
    share = f"{percent(finding.value)} of" if isinstance(finding.value, float) else "A part of"
    return f"{share} the picture is one flat grey, as where data of a JPEG are missing."


def _set_rule(finding: FindingRecord, lookup: _Lookup) -> str:
    said = rule_message(lookup.rules[finding.rule or ""])
    return said.removesuffix(".") if finding.files else said


def _doubtful_match(finding: FindingRecord, lookup: _Lookup) -> str:
    n = len(finding.files)
    if n > 1:
        return f"It is not certain which shots {n} pictures are of, the least certain first"
    plan = lookup.picture(finding).plan
    if plan is None or plan.assumed is None:
        return ""
    return assumed_sentence(plan, lookup.assumed_of[plan.shot])


def _often_missed(finding: FindingRecord, _: _Lookup) -> str:
    return f"{title(finding.quantity or '')} in {len(finding.files)} pictures, worst first"


def _missed(finding: FindingRecord, lookup: _Lookup) -> str:
    item, picture = lookup.item(finding)
    if finding.set_deviation is not None:
        return _missed_within_set(finding, item)
    sentence = miss_sentence(item, picture)
    if finding.explained_by_exposure_ev is None:
        return sentence
    outlier, exposure = lookup.outliers["exposure", finding.files[0]]
    return f"{sentence} The exposure explains it: {outlier_words(outlier, exposure)}."


def _missed_within_set(finding: FindingRecord, item: ItemRecord) -> str:
    """A miss and how the picture leaves the set, as one."""
    if not isinstance(finding.value, float) or not isinstance(finding.expected, float):
        raise TypeError(f"{finding.quantity} is no number")
    deviation, centre = finding.set_deviation or 0.0, finding.set_centre
    if finding.quantity == "colour_temperature":
        return temperature_misses(item, finding.value, finding.expected, deviation)
    rest = "" if centre is None else f", and the rest of the set is lit from {clock(centre)}"
    return f"{light_miss(item)}{rest}."


def _set_outlier(finding: FindingRecord, lookup: _Lookup) -> str:
    if len(finding.files) > 1:
        return _temperature_group(finding, lookup)
    outlier, quantity = lookup.outlier(finding)
    return f"{capital(outlier_words(outlier, quantity))}."


def _temperature_group(finding: FindingRecord, lookup: _Lookup) -> str:
    n = len(finding.files)
    clusters = lookup.temperature_clusters
    rest = rest_words(len(clusters[0].files), is_only_rest=len(clusters) == PAIR)
    words = warmer_words(finding.difference or 0.0, f"than {rest}")
    return f"{n} pictures are {words}" if n > 1 else f"{capital(words)}."


def _same_file(finding: FindingRecord, lookup: _Lookup) -> str:
    words = same_file_words(len(finding.files))
    if is_of_one_picture(finding):
        return f"{words}, here and as {_numbered(finding.files, lookup)}."
    return words


def _nearly_the_same(finding: FindingRecord, lookup: _Lookup) -> str:
    if is_of_one_picture(finding):
        return f"Nearly the same picture as {_numbered(finding.files, lookup)}."
    return f"{len(finding.files)} pictures are nearly the same"


def _cropped(finding: FindingRecord, lookup: _Lookup) -> str:
    if is_of_one_picture(finding):
        crop, whole = finding.files
        how = crop_words(lookup.crops[crop, whole])
        return f"The same picture as {_numbered(finding.files, lookup)}, {how}."
    return f"{len(finding.files)} pictures are the same picture, cropped differently"


def _repeated(finding: FindingRecord, lookup: _Lookup) -> str:
    return repeated_words(lookup.repeated_traits[tuple(finding.files)], finding.files)


def _numbered(files: Sequence[str], lookup: _Lookup) -> str:
    """The second picture of a pair, with its number on the page."""
    return f"{lookup.numbers[files[1]]}, {one_line(files[1])}"


def same_file_words(n: int) -> str:
    """Say that `n` pictures are one file."""
    return f"The same file {'twice' if n == PAIR else f'{n} times'}"


SENTENCES: dict[FindingCode, Callable[[FindingRecord, _Lookup], str]] = {
    FindingCode.LOCATION: _location,
    FindingCode.DELIVERY: lambda finding, at: broken_rule_message(finding, at.delivery),
    FindingCode.WRITING: _writing,
    FindingCode.UNREADABLE_FOLDER: _unreadable_folder,
    FindingCode.REFUSED: _refused,
    FindingCode.INCOMPLETE: _incomplete,
    FindingCode.MISSING_SHOT: lambda finding, _: missing_shot_sentence(finding),
    FindingCode.SET_RULE: _set_rule,
    FindingCode.MISSED_FOCUS: _focus,
    FindingCode.MOTION_BLUR: _focus,
    FindingCode.OFTEN_MISSED: _often_missed,
    FindingCode.MISSED: _missed,
    FindingCode.SET_OUTLIER: _set_outlier,
    FindingCode.TEMPERATURE_GROUP: _temperature_group,
    FindingCode.BORDER: _border,
    FindingCode.UNPLANNED: lambda finding, at: unplanned_sentence(finding, at.assumed_of),
    FindingCode.DOUBTFUL_MATCH: _doubtful_match,
    FindingCode.FITS_OTHER_SHOT: lambda finding, _: fits_other_sentence(finding),
    FindingCode.CLAIMED_TWICE: lambda finding, _: claimed_twice_sentence(finding),
    FindingCode.SAME_FILE: _same_file,
    FindingCode.NEARLY_THE_SAME: _nearly_the_same,
    FindingCode.CROPPED: _cropped,
    FindingCode.REPEATED: _repeated,
}
