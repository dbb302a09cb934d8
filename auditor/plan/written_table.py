"""What all tables of a plan file share."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Written(BaseModel):
    """Base of all tables of a plan: an unknown key is a fault."""

    # A model is built when it is first used, and the rules of a hand-over often are not.
    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True
    )
