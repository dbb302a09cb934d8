"""Findings about a hand-over: one for each rule that is broken, and what these replace."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from auditor.delivery.judged import JudgedRule
from auditor.delivery.models import RULE_NAMES
from auditor.delivery.written_values import LOOK as LOOK_NAMES
from auditor.findings.codes import FindingCode
from auditor.findings.finding import Finding
from auditor.values import Words

# Findings that say the same as a broken rule of a hand-over, by the key of the rule.
SAME_FACT = {
    "location": {FindingCode.LOCATION},
    "writing": {FindingCode.WRITING},
    "border": {FindingCode.BORDER},
    "same_picture_twice": {FindingCode.SAME_FILE, FindingCode.NEARLY_THE_SAME},
    "crops_of_one_picture": {FindingCode.CROPPED},
}
LOOK = "one_look"
# Findings that say more of a picture that leaves the set than the rule of one look does, and that
# are broken rules themselves.
_TELLS_LOOK = {FindingCode.SET_OUTLIER, FindingCode.OFTEN_MISSED, FindingCode.MISSED}


def delivery_findings(delivery: Sequence[JudgedRule] | None) -> Iterator[Finding]:
    """One finding for each broken rule with all pictures that break it."""
    missed: dict[tuple[str, str | None], list[JudgedRule]] = {}
    for judged in delivery or ():
        if judged.outcome.verdict == "missed":
            missed.setdefault((judged.rule.name, judged.rule.channel), []).append(judged)
    for (name, channel), group in missed.items():
        files = dict.fromkeys(
            file for one in group for file in ((one.file,) if one.file else one.files)
        )
        yield Finding(
            FindingCode.DELIVERY,
            tuple(files),
            severity=_severity(name),
            expected=Words(group[0].rule.asked.words),
            rule=name,
            channel=channel,
        )


def merged(found: Sequence[Finding], broken: Sequence[Finding]) -> Iterator[Finding]:
    """Findings with those of a hand-over, each fact once.

    A broken rule replaces a finding that says the same of its pictures, and one of the plan for
    the set that asks the same; a picture that leaves the set is told as such, with the remedy.
    """
    told: dict[FindingCode, set[str]] = {}
    for finding in broken:
        for code in SAME_FACT.get(finding.rule or "", ()):
            told.setdefault(code, set()).update(finding.files)
    asked = {(one.rule, one.expected) for one in broken if one.channel is None}
    for finding in found:
        is_told = bool(finding.files) and set(finding.files) <= told.get(finding.code, set())
        is_asked = (
            finding.code is FindingCode.SET_RULE and (finding.rule, finding.expected) in asked
        )
        if not is_told and not is_asked:
            yield finding
    leaving = {
        file
        for finding in found
        if finding.code in _TELLS_LOOK and _is_of_look(finding)
        for file in finding.files
    }
    for finding in broken:
        if finding.rule != LOOK or not set(finding.files) <= leaving:
            yield finding


def _is_of_look(finding: Finding) -> bool:
    """Whether a finding says that its pictures leave the set in colours or tones."""
    if finding.explained_by_exposure_ev is not None:
        return True
    leaves = finding.code is FindingCode.SET_OUTLIER or finding.set_deviation is not None
    return leaves and (finding.quantity or "").replace("_", " ") in LOOK_NAMES


def _severity(rule: str) -> float:
    """The earlier among the rules, the graver; that a channel has no pictures goes first."""
    return float(len(RULE_NAMES) - RULE_NAMES.index(rule)) if rule in RULE_NAMES else 1e3
