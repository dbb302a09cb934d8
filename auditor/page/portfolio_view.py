"""Pictures that are no one set as the page shows them: variety, repetition, weakest, order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from auditor.output.previews import Preview
from auditor.page.links import Link, LinkedPicture, link_to, linked_pictures
from auditor.record.audit_record import AuditRecord
from auditor.record.portfolio_record import PortfolioRecord, VarietyRecord
from auditor.wording.portfolio_names import TITLES, class_name

BAR_LENGTH = 100.0  # units of the drawing, which the page stretches
MOST_NUMBERS = 24  # of pictures beside a bar; more would be a wall
MOST_GROUPS = 6  # of pictures that repeat each other; the rest folds away


@dataclass(frozen=True, slots=True)
class ClassView:
    """One class: its name, how many pictures it has, and the first of them."""

    name: str
    n: int
    length: str
    links: tuple[Link, ...]
    n_more: int


@dataclass(frozen=True, slots=True)
class VarietyView:
    """One dimension; `unknown` is None where every picture has a class."""

    title: str
    message: str
    classes: tuple[ClassView, ...]
    unknown: ClassView | None


@dataclass(frozen=True, slots=True)
class RepetitionView:
    """Pictures that repeat each other, and in what."""

    pictures: tuple[LinkedPicture, ...]
    message: str


@dataclass(frozen=True, slots=True)
class Said:
    """A picture and what is said of it."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class OnlyView:
    """What single pictures alone have in one dimension."""

    title: str
    pictures: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class WeakView:
    """One of the technically weakest pictures."""

    picture: LinkedPicture
    message: str


@dataclass(frozen=True, slots=True)
class OrderView:
    """The order: what is said of the present one, and each step of the suggested one."""

    message: str
    steps: tuple[Said, ...]


@dataclass(frozen=True, slots=True)
class PortfolioView:
    """The portfolio."""

    how_known: str
    varieties: tuple[VarietyView, ...]
    repetitions: tuple[RepetitionView, ...]
    more_repetitions: tuple[RepetitionView, ...]
    shared: tuple[str, ...]
    only: tuple[OnlyView, ...]
    weakest: tuple[WeakView, ...]
    order: OrderView


def portfolio_view(
    record: AuditRecord, links: Mapping[str, Link], previews: Mapping[str, Preview]
) -> PortfolioView | None:
    """Make the page's data of a portfolio; None of any other pictures."""
    portfolio = record.portfolio
    if portfolio is None:
        return None
    groups = tuple(
        RepetitionView(linked_pictures(group.files, links, previews), group.message)
        for group in portfolio.repetitions
    )
    return PortfolioView(
        "" if record.kind is None else record.kind.message,
        tuple(_variety(variety, links) for variety in portfolio.varieties),
        groups[:MOST_GROUPS],
        groups[MOST_GROUPS:],
        tuple(one.message for one in portfolio.shared),
        _only(portfolio, links),
        tuple(
            WeakView(shown, weak.message)
            for weak, shown in zip(
                portfolio.weakest,
                linked_pictures((weak.file for weak in portfolio.weakest), links, previews),
                strict=True,
            )
        ),
        _order(portfolio, links),
    )


def _variety(variety: VarietyRecord, links: Mapping[str, Link]) -> VarietyView:
    counts = [len(one.files) for one in variety.classes]
    most = max([*counts, len(variety.unknown), 1])

    def view(name: str, files: list[str]) -> ClassView:
        shown = tuple(link_to(file, links) for file in files[:MOST_NUMBERS])
        length = f"{len(files) / most * BAR_LENGTH:.2f}"
        return ClassView(name, len(files), length, shown, len(files[MOST_NUMBERS:]))

    return VarietyView(
        TITLES[variety.dimension],
        variety.message,
        tuple(view(class_name(variety.dimension, one.name), one.files) for one in variety.classes),
        view("", variety.unknown) if variety.unknown else None,
    )


def _only(portfolio: PortfolioRecord, links: Mapping[str, Link]) -> tuple[OnlyView, ...]:
    by_dimension = groupby(portfolio.only, key=lambda one: one.dimension)
    return tuple(
        OnlyView(
            TITLES[dimension],
            tuple(Said(link_to(one.file, links), one.message) for one in ones),
        )
        for dimension, ones in by_dimension
    )


def _order(portfolio: PortfolioRecord, links: Mapping[str, Link]) -> OrderView:
    order = portfolio.order
    opening = [] if order.opening is None else [order.opening]
    return OrderView(
        order.message,
        (
            *(Said(link_to(one.file, links), one.message) for one in opening),
            *(Said(link_to(move.file, links), move.message) for move in order.moves),
        ),
    )
