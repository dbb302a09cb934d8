"""What needs attention as plain lines, for a terminal."""

from __future__ import annotations

from auditor.findings.codes import FindingCode
from auditor.record.audit_record import AuditRecord
from auditor.record.finding_record import FindingRecord
from auditor.safe_text import one_line
from auditor.wording.findings import is_of_one_picture

MOST_NAMED_ON_A_LINE = 20  # names of files that a terminal still shows readably


def attention_lines(record: AuditRecord) -> list[str]:
    """All findings as plain lines with the names of their pictures, the gravest first."""
    pairs_of = {rule.rule: rule.pairs for rule in record.set_rules}
    return [_line(finding, pairs_of.get(finding.rule or "", [])) for finding in record.findings]


def _line(finding: FindingRecord, pairs: list[tuple[str, str]]) -> str:
    if finding.code is FindingCode.UNREADABLE_FOLDER or not finding.files:
        return finding.message
    if is_of_one_picture(finding):
        return f"{one_line(finding.files[0])}: {finding.message}"
    if pairs:
        most = MOST_NAMED_ON_A_LINE // 2
        named = "; ".join(
            f"{one_line(first)} and {one_line(second)}" for first, second in pairs[:most]
        )
        return f"{finding.message}: {named}{_more(len(pairs) - most)}"
    named = ", ".join(one_line(file) for file in finding.files[:MOST_NAMED_ON_A_LINE])
    return f"{finding.message}: {named}{_more(len(finding.files) - MOST_NAMED_ON_A_LINE)}"


def _more(rest: int) -> str:
    return f" and {rest} more" if rest > 0 else ""
