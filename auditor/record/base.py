"""What all models of the record share."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from auditor.quantities import QUANTITIES

Fraction = Annotated[float, Field(ge=0, le=1)]
Position = tuple[float, float]
Rectangle = tuple[float, float, float, float]


def _in_registry(name: str) -> str:
    if name not in QUANTITIES:
        raise ValueError(f"no quantity is called {name}")
    return name


QuantityName = Annotated[str, AfterValidator(_in_registry)]
HexColour = Annotated[str, Field(pattern="^#[0-9a-f]{6}$")]
LabColour = tuple[float, float, float]


class Record(BaseModel):
    """Base of all records: nothing unknown, nothing infinite."""

    # A model is built when it is first used: most are only parts of another, which builds them in.
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


class ReasonRecord(Record):
    """Why something is absent: a code of the registry and its explanation."""

    code: str
    message: str


class Estimated(Record):
    """An estimated quantity: confidence that the error is within the tolerance, or a reason.

    The confidence follows from `spread`, the standard deviation of the error if the reading is
    right, in the unit of the tolerance, and from `doubt`, the probability that it is wrong
    altogether.
    """

    confidence: Fraction | None = None
    tolerance: float | None = None
    spread: float | None = None
    doubt: Fraction | None = None
    reason: ReasonRecord | None = None
