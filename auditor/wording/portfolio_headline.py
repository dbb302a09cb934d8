"""The headline of pictures that are no one set."""

from __future__ import annotations

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import MeasuredPictureRecord
from auditor.record.portfolio_record import PortfolioRecord
from auditor.vocabulary.counts import count
from auditor.wording.portfolio import MOST_SHARE, variety_words

# Of which the most uneven one is named: what is seen first.
NAMED = ("camera_angle", "light", "subject_size", "division", "dish_shape")


def portfolio_sentences(record: AuditRecord, portfolio: PortfolioRecord) -> tuple[str, ...]:
    """Say at most two sentences on pictures that are no one set."""
    n = sum(isinstance(picture, MeasuredPictureRecord) for picture in record.images)
    return (_first(n, portfolio), *_uneven(portfolio))


def _first(n: int, portfolio: PortfolioRecord) -> str:
    repeated = sum(len(group.files) for group in portfolio.repetitions)
    if not repeated:
        return f"{count(n, 'picture')} that are not one set; none repeats another."
    groups = count(len(portfolio.repetitions), "group")
    return f"{count(n, 'picture')} that are not one set; {repeated} repeat each other, in {groups}."


def _uneven(portfolio: PortfolioRecord) -> tuple[str, ...]:
    """The sentence of the dimension in which most pictures are alike."""
    found = []
    for variety in portfolio.varieties:
        n_known = sum(len(one.files) for one in variety.classes)
        said = variety_words(variety)
        if variety.dimension in NAMED and said and n_known:
            share = max(len(one.files) for one in variety.classes) / n_known
            found += [(share, -NAMED.index(variety.dimension), said)]
    return (max(found)[2],) if found and max(found)[0] >= MOST_SHARE else ()
