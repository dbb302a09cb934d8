"""What to do, by picture, in words: the headings of the page, and plain lines for a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from auditor.findings.codes import FindingCode
from auditor.findings.gravity import Gravity
from auditor.record.attention_record import AttentionRecord
from auditor.record.audit_record import AuditRecord
from auditor.record.finding_record import FindingRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.texts import ended
from auditor.wording.to_do import to_do

MOST_NAMED_ON_A_LINE = 20  # names of files that a terminal still shows readably

HEADINGS: dict[Gravity, str] = {
    Gravity.HAND_OVER: "Before you hand over",
    Gravity.RESHOOT: "Shoot again",
    Gravity.DEVELOP: "Correct in development",
    Gravity.CROP: "Crop",
    Gravity.LOOK: "Look at it",
}


def with_to_do(record: AuditRecord) -> AuditRecord:
    """The same record with what to do about each picture, in words."""
    advice_of = {
        picture.file: picture.advice
        for picture in record.images
        if isinstance(picture, MeasuredPictureRecord)
    }
    entries = [
        entry.model_copy(
            update={
                "to_do": [
                    one_line(sentence)
                    for sentence in to_do(
                        findings_of(entry, record), advice_of.get(entry.file or "", [])
                    )
                ]
            }
        )
        for entry in record.attention
    ]
    return record.model_copy(update={"attention": entries})


def findings_of(entry: AttentionRecord, record: AuditRecord) -> list[FindingRecord]:
    """The findings that an entry gathers, the gravest first."""
    by_rank = {finding.rank: finding for finding in record.findings}
    return [by_rank[rank] for rank in entry.findings]


def entry_title(
    entry: AttentionRecord, findings: Sequence[FindingRecord], record: AuditRecord
) -> str:
    """What an entry is about: a picture, a shot, or how many pictures."""
    if entry.file is not None:
        return one_line(entry.file)
    if findings[0].code is FindingCode.UNREADABLE_FOLDER:
        return one_line(findings[0].files[0])
    if findings[0].code is FindingCode.MISSING_SHOT:
        n = len(findings)
        return one_line(entry.shot) if entry.shot else f"{count(n, 'planned shot')}"
    files = files_of(entry, findings)
    if is_of_all(files, record):
        return f"All {count(len(files), 'picture')}"
    return count(len(files), "picture") if files else "The set"


def is_of_all(files: Sequence[str], record: AuditRecord) -> bool:
    """Whether an entry is about every picture of several, so that none has to be named."""
    return len(files) > 1 and {picture.file for picture in record.images} == set(files)


def files_of(entry: AttentionRecord, findings: Sequence[FindingRecord]) -> list[str]:
    """The pictures of an entry of the set; none of an entry of one picture."""
    if entry.file is not None or findings[0].code is FindingCode.UNREADABLE_FOLDER:
        return []
    return list(dict.fromkeys(file for finding in findings for file in finding.files))


def entry_messages(findings: Sequence[FindingRecord]) -> list[str]:
    """What was found, as sentences, each once."""
    return list(dict.fromkeys(ended(finding.message) for finding in findings if finding.message))


def attention_lines(record: AuditRecord, most: int) -> list[str]:
    """What to do as plain lines for a terminal, by picture, the gravest first.

    Parameters
    ----------
    record : AuditRecord
    most : int
        Entries that are written out; how many more there are is said after them.
    """
    pairs_of = {rule.rule: rule.pairs for rule in record.set_rules}
    lines: list[str] = []
    heading = ""
    for entry in record.attention[:most]:
        if HEADINGS[entry.gravity] != heading:
            heading = HEADINGS[entry.gravity]
            lines.append(f"{heading}:")
        lines.append(f"- {_line(entry, record, pairs_of)}")
    rest = len(record.attention) - most
    return [*lines, f"- and {rest} more, in the report"] if rest > 0 else lines


def _line(
    entry: AttentionRecord, record: AuditRecord, pairs_of: dict[str, list[tuple[str, str]]]
) -> str:
    findings = findings_of(entry, record)
    said = " ".join([*entry.to_do, *entry_messages(findings)])
    pairs = pairs_of.get(findings[0].rule or "", [])
    most = MOST_NAMED_ON_A_LINE
    if pairs:
        names = [f"{one_line(first)} and {one_line(second)}" for first, second in pairs]
        most //= 2
    else:
        files = files_of(entry, findings)
        names = [] if is_of_all(files, record) else [one_line(file) for file in files]
    more = f" and {len(names) - most} more" if len(names) > most else ""
    named = f" ({', '.join(names[:most])}{more})" if names else ""
    return f"{entry_title(entry, findings, record)}{named}: {said}"
