"""Everything that needs the photographer's attention, the gravest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from auditor.delivery.judged import JudgedRule
from auditor.findings.audited_set import AuditedSet
from auditor.findings.codes import FindingCode
from auditor.findings.finding import Finding
from auditor.findings.picture_findings import addition_findings, focus_findings
from auditor.findings.plan_findings import (
    broken_rules,
    doubtful_matches,
    finding_of_miss,
    is_often,
    misses_by_quantity,
    missing_shots,
    often_missed,
    on_purpose,
)
from auditor.findings.set_findings import (
    TEMPERATURE,
    alike_findings,
    crop_findings,
    group_findings,
    leaving_of,
    outlier_findings,
    repetition_findings,
)
from auditor.measurements.measured_photograph import MeasuredPhotograph
from auditor.runs.outcome import RefusedPicture
from auditor.series.kind import SetKind

ORDER = {code: place for place, code in enumerate(FindingCode)}


def gather_findings(audited: AuditedSet) -> tuple[Finding, ...]:
    """Gather all findings: by code, then by severity, then in the order of the set.

    What one cause explains is one finding: a quantity that many pictures miss, a group of pictures
    of another colour temperature, a picture that misses its plan and leaves the set alike, a rule
    of a hand-over that is broken. What is
    off its plan on purpose may leave the set in the same quantity, or in the exposure that causes
    it.
    """
    series = audited.series
    missed = misses_by_quantity(audited.planned)
    leaving = leaving_of(series)
    single = [
        finding_of_miss(miss, leaving)
        for misses in missed.values()
        if not is_often(misses)
        for miss in misses
    ]
    explained = on_purpose(audited.planned, leaving)
    explained |= {pair for finding in single for pair in _explained_by(finding)}
    groups = list(group_findings(series, explained))
    explained |= {(file, TEMPERATURE) for finding in groups for file in finding.files}
    found = [
        *_about_files(audited.pictures, audited.unreadable_folders),
        *addition_findings(audited.pictures, is_set=audited.kind.kind is SetKind.SET),
        *focus_findings(audited.pictures),
        *missing_shots(audited.matches),
        *broken_rules(audited.rules),
        *often_missed(missed),
        *single,
        *groups,
        *outlier_findings(series, explained),
        *doubtful_matches(audited.matches, _refused(audited)),
        *alike_findings(series),
        *crop_findings(series),
        *repetition_findings(audited.portfolio, series),
    ]
    return tuple(
        sorted(
            _with_delivery(found, audited.delivery),
            key=lambda finding: (ORDER[finding.code], -finding.severity),
        )
    )


def _with_delivery(
    found: list[Finding], delivery: Sequence[JudgedRule] | None
) -> Iterable[Finding]:
    if delivery is None:
        return found
    # Slow to load, and most audits have no rules.
    from auditor.findings.delivery_findings import delivery_findings, merged

    return merged(found, tuple(delivery_findings(delivery)))


def _explained_by(finding: Finding) -> Iterator[tuple[str, str]]:
    """File and quantity of the outliers of the set that a miss covers as well."""
    (file,) = finding.files
    if finding.set_deviation is not None and finding.quantity is not None:
        yield file, finding.quantity
    if finding.explained_by_exposure_ev is not None:
        yield file, "exposure"


def _about_files(
    pictures: Sequence[MeasuredPhotograph | RefusedPicture], unreadable_folders: Sequence[str]
) -> Iterator[Finding]:
    for picture in pictures:
        if isinstance(picture, RefusedPicture):
            yield Finding(FindingCode.REFUSED, (picture.file,))
            continue
        if picture.camera.has_gps:
            yield Finding(FindingCode.LOCATION, (picture.file,))
        if picture.undecoded_fraction:
            yield _incomplete(picture)
    for folder in unreadable_folders:
        yield Finding(FindingCode.UNREADABLE_FOLDER, (folder,))


def _incomplete(picture: MeasuredPhotograph) -> Finding:
    fraction = picture.undecoded_fraction
    return Finding(
        FindingCode.INCOMPLETE,
        (picture.file,),
        severity=fraction,
        value=fraction,
        unit="fraction of frame",
    )


def _refused(audited: AuditedSet) -> frozenset[str]:
    return frozenset(
        picture.file for picture in audited.pictures if isinstance(picture, RefusedPicture)
    )
