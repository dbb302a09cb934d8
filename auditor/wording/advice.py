"""What would help a picture, in words."""

from __future__ import annotations

from auditor.record.advice_record import AdviceRecord
from auditor.wording.numbers import amount, degrees, percent
from auditor.wording.quantity_names import in_sentence
from auditor.wording.temperature import shift_words
from auditor.wording.texts import capital, listed


def advice_words(advice: AdviceRecord) -> str:
    """Say what to do and what that would bring back."""
    return " ".join(part for part in (_action(advice), _effect(advice)) if part)


def _action(advice: AdviceRecord) -> str:
    match advice.kind:
        case "crop":
            return _crop(advice)
        case "rotate":
            way = "clockwise" if advice.amount > 0 else "anticlockwise"
            return f"Turn the picture {degrees(abs(advice.amount), 1)} {way}."
        case "colour temperature":
            return f"{capital(shift_words(advice.amount, 'the picture'))}."
        case "exposure":
            way = "Lighten" if advice.amount > 0 else "Darken"
            return f"{way} the picture by {amount(abs(advice.amount), 'EV')}."


def _crop(advice: AdviceRecord) -> str:
    kept = f"Crop to {percent(advice.amount)} of the frame"
    if advice.crop is None:
        return f"{kept}."
    left, top, right, bottom = advice.crop
    cuts = {"the left": left, "the top": top, "the right": 1 - right, "the bottom": 1 - bottom}
    taken = [f"{percent(cut)} from {side}" for side, cut in cuts.items() if cut > 0]
    return f"{kept}: take {listed(taken)}." if taken else f"{kept}."


def _effect(advice: AdviceRecord) -> str:
    planned = [in_sentence(quantity) for quantity in advice.reaches]
    joined = [in_sentence(quantity) for quantity in advice.rejoins]
    parts = [f"meet the plan in {listed(planned)}"] if planned else []
    if joined:
        parts.append(f"rejoin the set in {listed(joined)}")
    return f"It would then {listed(parts)}." if parts else ""
