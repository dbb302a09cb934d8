"""The findings gathered by picture, the gravest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from auditor.findings.codes import FindingCode
from auditor.findings.gravity import ORDER, AdviceOf, Found, Gravity, ItemsOf, gravity_of

PAIR = 2
# Of two pictures, such a finding stands beside the first and names the second.
ABOUT_PAIRS = frozenset({FindingCode.SAME_FILE, FindingCode.NEARLY_THE_SAME, FindingCode.CROPPED})
# About several pictures even where only one counts.
ABOUT_THE_SET = frozenset({FindingCode.SET_RULE, FindingCode.UNREADABLE_FOLDER})


@dataclass(frozen=True, slots=True)
class Attention:
    """What there is to do about one picture, or about several together.

    Attributes
    ----------
    file : str or None
        None for the set: several pictures, or shots without any.
    gravity : Gravity
        Of the gravest finding.
    findings : tuple of int
        Places of its findings, the gravest first.
    """

    file: str | None
    gravity: Gravity
    findings: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ByPicture:
    """All findings by picture.

    Attributes
    ----------
    gravities : tuple of Gravity
        Of each finding, in their order.
    entries : tuple of Attention
        The gravest first; each finding is in exactly one, and each picture has at most one.
    """

    gravities: tuple[Gravity, ...]
    entries: tuple[Attention, ...]


def gather_by_picture(
    findings: Sequence[Found], advice_of: AdviceOf, items_of: ItemsOf
) -> ByPicture:
    """Gather findings by picture.

    Parameters
    ----------
    findings : sequence of Found
        The gravest first.
    advice_of : mapping of str to sequence of Advised
        All advice for each picture.
    items_of : mapping of str to sequence of Item
        All planned items of each picture.
    """
    gravities = tuple(gravity_of(finding, advice_of, items_of) for finding in findings)
    n_located = sum(finding.code is FindingCode.LOCATION for finding in findings)
    places_of: dict[tuple[str, str], list[int]] = {}
    for place, finding in enumerate(findings):
        places_of.setdefault(_key(place, finding, n_located), []).append(place)
    entries = []
    for (kind, name), places in places_of.items():
        own = sorted(places, key=lambda place: (ORDER[gravities[place]], place))
        file = name if kind == "picture" else None
        entries.append(Attention(file, gravities[own[0]], tuple(own)))
    entries.sort(key=lambda entry: (ORDER[entry.gravity], entry.findings[0]))
    return ByPicture(gravities, tuple(entries))


def is_of_one_picture(finding: Found) -> bool:
    """Whether a finding is about the first of its pictures, rather than about all of them."""
    is_pair = finding.code in ABOUT_PAIRS and len(finding.files) == PAIR
    return is_pair or (len(finding.files) == 1 and finding.code not in ABOUT_THE_SET)


def _key(place: int, finding: Found, n_located: int) -> tuple[str, str]:
    """The entry that a finding belongs to."""
    if finding.code is FindingCode.MISSING_SHOT:
        return "together", finding.code
    if finding.code is FindingCode.LOCATION and n_located > 1:
        return "together", finding.code
    if is_of_one_picture(finding):
        return "picture", finding.files[0]
    return "set", str(place)
