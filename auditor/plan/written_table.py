"""What all tables of a plan file share."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Written(BaseModel):
    """Base of all tables of a plan: an unknown key is a fault."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
