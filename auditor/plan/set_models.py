"""The form of ``[set]``: rules for the pictures of the set together."""

from __future__ import annotations

from typing import Annotated

from pydantic import PlainValidator

from auditor.accepted import Accepted
from auditor.plan import written_counts as counts
from auditor.plan.written_table import Written

Pictures = Annotated[Accepted, PlainValidator(counts.count_reader(1, "pictures"))]
SomePictures = Annotated[Accepted, PlainValidator(counts.count_reader(0, "pictures"))]
Neighbours = Annotated[str, PlainValidator(counts.read_rule_for_neighbours)]


class WrittenSet(Written):
    """``[set]``: how many pictures there are, how many of a kind, and what neighbours share."""

    pictures: Pictures | None = None
    portrait: SomePictures | None = None
    landscape: SomePictures | None = None
    square: SomePictures | None = None
    overhead: SomePictures | None = None
    high: SomePictures | None = None
    three_quarter: SomePictures | None = None
    low: SomePictures | None = None
    straight_on: SomePictures | None = None
    hero: SomePictures | None = None
    neighbours: Neighbours | None = None
