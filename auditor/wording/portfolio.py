"""Pictures that are no one set in words: variety, repetition, the weakest, an order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from auditor.record.portfolio_record import (
    FaultRecord,
    MoveRecord,
    OnlyOneRecord,
    OpeningRecord,
    OrderRecord,
    PortfolioRecord,
    RepetitionRecord,
    SharedClassRecord,
    VarietyRecord,
    WeakPictureRecord,
)
from auditor.vocabulary.counts import count
from auditor.wording.numbers import percent
from auditor.wording.portfolio_names import CLASS_NAMES, DIFFERENCES, IS, TRAITS, VERBS, of_class
from auditor.wording.texts import capital, listed

# Share of the known pictures from which a class is most of them (our choice, no source).
MOST_SHARE = 0.6
LEAST_KNOWN_SHARE = 0.5  # of all pictures, before most of them are spoken of
LEAST_PICTURES = 4
COVERED = ("camera_angle", "light", "subject_size")  # of which it is said that all are there
ORDERED = ("camera_angle", "subject_size", "key")  # whose missing classes are named
MOST_NEIGHBOURS_NAMED = 6


def _verb(dimension: str, n: int) -> str:
    one, many, _ = VERBS.get(dimension, IS)
    return one if n == 1 else many


def with_portfolio_messages(
    portfolio: PortfolioRecord, numbers: Mapping[str, int]
) -> PortfolioRecord:
    """The same with its sentences.

    Parameters
    ----------
    portfolio : PortfolioRecord
    numbers : mapping of str to int
        The number of each file on the page.
    """
    return portfolio.model_copy(
        update={
            "varieties": [
                one.model_copy(update={"message": variety_words(one)})
                for one in portfolio.varieties
            ],
            "shared": [
                one.model_copy(update={"message": shared_words(one)}) for one in portfolio.shared
            ],
            "only": [one.model_copy(update={"message": only_words(one)}) for one in portfolio.only],
            "repetitions": [
                one.model_copy(update={"message": repetition_words(one)})
                for one in portfolio.repetitions
            ],
            "weakest": [
                one.model_copy(update={"message": weak_words(one)}) for one in portfolio.weakest
            ],
            "order": _order(portfolio.order, numbers),
        }
    )


def variety_words(variety: VarietyRecord) -> str:
    """Say where one class is most of the pictures, or that all classes are there."""
    n_known = sum(len(one.files) for one in variety.classes)
    n_all = n_known + len(variety.unknown)
    if n_known < max(LEAST_PICTURES, LEAST_KNOWN_SHARE * n_all):
        return ""
    most = max(variety.classes, key=lambda one: len(one.files))
    n_most = len(most.files)
    names = CLASS_NAMES.get(variety.dimension, {})
    if n_most >= MOST_SHARE * n_known:
        verb = _verb(variety.dimension, n_most)
        said = f"{_of_known(n_most, n_known)} {verb} {of_class(variety.dimension, most.name)}"
        least = _least(variety, most.name)
        return f"{said}{least}."
    is_all = variety.dimension in COVERED and len(variety.classes) == len(names)
    return f"All {len(names)} are there." if is_all else ""


def _of_known(n: int, n_known: int) -> str:
    return f"All {n} pictures" if n == n_known else f"{n} of {n_known} pictures"


def _least(variety: VarietyRecord, most: str) -> str:
    """What is rare where another class is most: none of it, or the fewest."""
    if variety.dimension not in ORDERED:
        return ""
    names = CLASS_NAMES[variety.dimension]
    missing = [name for name in names if name not in {one.name for one in variety.classes}]
    if missing:
        where = " or ".join(of_class(variety.dimension, name) for name in _ends(missing, names))
        return f"; none {_verb(variety.dimension, 1)} {where}"
    least = min(
        (one for one in variety.classes if one.name != most), key=lambda one: len(one.files)
    )
    n = len(least.files)
    return f"; only {n} {_verb(variety.dimension, n)} {of_class(variety.dimension, least.name)}"


def _ends(missing: Sequence[str], names: Mapping[str, object]) -> list[str]:
    """Of several missing classes those at the ends of the dimension, which are furthest away."""
    ends = [name for name in (next(iter(names)), list(names)[-1]) if name in missing]
    return ends or list(missing[:1])


def shared_words(shared: SharedClassRecord) -> str:
    """Say what all or nearly all pictures are."""
    verb = _verb(shared.dimension, shared.n_pictures)
    said = f"{verb} {of_class(shared.dimension, shared.name)}"
    if shared.n_pictures == shared.n_known:
        return f"All {shared.n_known} pictures of which it is known {said}."
    return f"Nearly all pictures {said}: {shared.n_pictures} of {shared.n_known}."


def only_words(only: OnlyOneRecord) -> str:
    """Say what only this picture is."""
    before = "in " if only.dimension == "ratio" and only.name != "other" else ""
    before = before or VERBS.get(only.dimension, IS)[2]
    return f"the only one {before}{of_class(only.dimension, only.name)}"


def repetition_words(repetition: RepetitionRecord) -> str:
    """Say in what the pictures are alike."""
    return f"alike in {listed([TRAITS[trait] for trait in repetition.traits])}"


def weak_words(weak: WeakPictureRecord) -> str:
    """Say the picture's faults, the gravest first."""
    return capital("; ".join(_fault(fault) for fault in weak.faults)) + "."


def _fault(fault: FaultRecord) -> str:
    value = fault.value or 0.0
    match fault.fault:
        case "missed_focus":
            return "the subject is soft and something else is sharp"
        case "motion_blur":
            return "the subject is blurred in one direction"
        case "clipped":
            return f"highlights are clipped on {percent(value)} of the subject"
        case "small":
            return f"only {value:.0f} pixels on the longer side"
        case "mixed_light":
            return f"two colours of light, {value:.0f} mired apart"
        case "tilt":
            side = "right" if value > 0 else "left"
            return f"level lines rise {abs(value):.0f}° to the {side}"
        case _:
            return _cast(fault)


def _cast(fault: FaultRecord) -> str:
    if fault.duv is not None:
        return f"a strong {'green' if fault.duv > 0 else 'magenta'} cast"
    warm = "warm" if (fault.value or 0.0) > 0 else "cool"
    return f"a strong {warm} cast, {abs(fault.value or 0.0):.0f} mired from neutral"


def _order(order: OrderRecord, numbers: Mapping[str, int]) -> OrderRecord:
    opening = order.opening
    return order.model_copy(
        update={
            "message": order_words(order, numbers),
            "opening": None
            if opening is None
            else opening.model_copy(update={"message": opening_words(opening)}),
            "moves": [
                move.model_copy(update={"message": move_words(move, numbers)})
                for move in order.moves
            ],
        }
    )


def order_words(order: OrderRecord, numbers: Mapping[str, int]) -> str:
    """Say whether pictures that repeat each other follow each other in the present order."""
    if not order.beside:
        return (
            "In the present order no picture follows one that it repeats, so no other order is "
            "suggested."
        )
    named = [f"{numbers[a]} and {numbers[b]}" for a, b in order.beside[:MOST_NEIGHBOURS_NAMED]]
    rest = len(order.beside) - len(named)
    pairs = "; ".join([*named, *([f"{count(rest, 'pair')} more"] if rest > 0 else [])])
    said = f"In the present order these follow each other although they are alike: {pairs}."
    if not order.moves:
        return f"{said} Too many pictures are alike for another order to part them."
    return said


def opening_words(opening: OpeningRecord) -> str:
    """Say why a picture may open the portfolio."""
    share = percent(opening.subject_share)
    return f"opens: the largest subject that is in focus, {share} of the frame"


def move_words(move: MoveRecord, numbers: Mapping[str, int]) -> str:
    """Say where a picture goes and why."""
    repeats = f"away from {numbers[move.repeats]}, which it repeats"
    if move.after is not None and move.before is not None:
        where = f"to between {numbers[move.after]} and {numbers[move.before]}"
    elif move.after is not None:
        where = f"to the end, after {numbers[move.after]}"
    else:
        where = "to the beginning"
    if not move.differs_in:
        return f"{where}, {repeats}"
    others = "both" if move.after is not None and move.before is not None else "it"
    differs = listed([DIFFERENCES[one] for one in move.differs_in])
    return f"{where}, {repeats}; it differs from {others} in {differs}"


def repeated_words(traits: Sequence[str], files: Sequence[str]) -> str:
    """Say that pictures repeat each other, as a finding."""
    said = listed([TRAITS[trait] for trait in traits])
    return f"{len(files)} pictures repeat each other, in {said}"
