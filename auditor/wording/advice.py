"""What would help a picture, in words: what to do, what it reaches, what remains, what it costs."""

from __future__ import annotations

from auditor.record.advice_record import AdviceRecord, ChangeRecord, CostRecord
from auditor.wording.numbers import amount, degrees, kelvin, percent
from auditor.wording.quantity_names import in_sentence
from auditor.wording.temperature import shift_words
from auditor.wording.texts import capital, listed

WHOLE = (0.0, 0.0, 1.0, 1.0)
# Cuts of less than so much of a side are not spoken of: they are the rounding of the numbers.
LEAST_CUT = 0.0005
# Below this share a cut is written with a decimal: 1.5 % is not 2 %.
FEW_PERCENT = 0.1


def advice_words(advice: AdviceRecord) -> str:
    """Say what to do, what that reaches, what remains and what it costs."""
    parts = (_action(advice), _effect(advice), _remains(advice), _costs(advice))
    return " ".join(part for part in parts if part)


def _action(advice: AdviceRecord) -> str:
    change = advice.change or _stated(advice)
    steps = [*_frame_steps(advice, change), *_colour_steps(change)]
    return f"{capital(listed(steps))}." if steps else ""


def _stated(advice: AdviceRecord) -> ChangeRecord:
    """The change by the main number alone, as records of earlier versions have it."""
    match advice.kind:
        case "rotate":
            return ChangeRecord(turn_deg=advice.amount, crop=advice.crop or WHOLE)
        case "colour temperature":
            return ChangeRecord(mired=advice.amount)
        case "exposure":
            return ChangeRecord(exposure_ev=advice.amount)
        case "saturation":
            return ChangeRecord(saturation=advice.amount)
    return ChangeRecord(crop=advice.crop or WHOLE)


def _frame_steps(advice: AdviceRecord, change: ChangeRecord) -> list[str]:
    steps = []
    if change.turn_deg:
        way = "clockwise" if change.turn_deg > 0 else "anticlockwise"
        steps.append(f"turn the picture {degrees(abs(change.turn_deg), 1)} {way}")
        if advice.kind == "rotate":
            return steps
    left, top, right, bottom = change.crop
    cuts = {"the left": left, "the top": top, "the right": 1 - right, "the bottom": 1 - bottom}
    taken = [f"{_share(cut)} from {side}" for side, cut in cuts.items() if cut >= LEAST_CUT]
    return [*steps, f"cut {listed(taken)}"] if taken else steps


def _colour_steps(change: ChangeRecord) -> list[str]:
    steps = []
    if change.mired:
        steps.append(shift_words(change.mired, "the picture"))
    if change.exposure_ev:
        way = "lighten" if change.exposure_ev > 0 else "darken"
        steps.append(f"{way} the picture by {amount(abs(change.exposure_ev), 'EV')}")
    if change.saturation != 1:
        way = "strengthen" if change.saturation > 1 else "weaken"
        steps.append(f"{way} all its colours by {percent(abs(change.saturation - 1))}")
    return steps


def _share(fraction: float) -> str:
    """A share of a side; small ones with a decimal."""
    if fraction >= FEW_PERCENT:
        return percent(fraction)
    return f"{fraction * 100:.1f}%".replace(".0%", "%")


def _effect(advice: AdviceRecord) -> str:
    planned = [in_sentence(quantity) for quantity in advice.reaches]
    joined = [in_sentence(quantity) for quantity in advice.rejoins]
    parts = ["is level"] if advice.levels else []
    if planned and planned == joined:
        parts.append(f"meets the plan and no longer leaves the set in {listed(planned)}")
    elif planned:
        parts.append(f"meets the plan in {listed(planned)}")
    if joined and planned != joined:
        parts.append(f"no longer leaves the set in {listed(joined)}")
    if advice.kelvin is not None:
        before, after = (kelvin(one) for one in advice.kelvin)
        parts.append(f"reads {after} in its greys and whites instead of {before}")
    return f"Then it {listed(parts)}." if parts else ""


def _remains(advice: AdviceRecord) -> str:
    is_smaller = advice.crop is not None and tuple(advice.crop) != WHOLE
    if not is_smaller or advice.width is None or advice.height is None:
        return ""
    return f"{advice.width} × {advice.height} pixels remain."


def _costs(advice: AdviceRecord) -> str:
    parts = [words for cost in advice.costs if (words := _cost(cost))]
    return f"It costs {listed(parts)}." if parts else ""


def _cost(cost: CostRecord) -> str:
    share = percent(cost.amount) if cost.kind != "too_small" else ""
    named = "a supporting element" if cost.element is None else in_sentence("", cost.element)
    match cost.kind:
        case "frame":
            return f"{_share(cost.amount)} of the frame"
        case "corners":
            return f"{_share(cost.amount)} of the frame at its edges and corners"
        case "element_cut":
            return f"{share} of {named}"
        case "element_lost":
            return f"all of {named}" if cost.element else "a supporting element"
        case "highlights":
            return f"highlights, clipped on {_share(cost.amount)} more of the frame"
        case "shadows":
            return f"shadows, clipped on {_share(cost.amount)} more of the frame"
    limit = 0.0 if cost.limit is None else cost.limit
    return f"pixels: a side then has {cost.amount:.0f}, and the hand-over asks for {limit:.0f}"
