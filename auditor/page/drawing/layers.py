"""What a drawing over a picture is made of: marks and words in layers, in pixels of the preview."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from auditor.geometry import Box, Point, diagonal_px

Role = Literal["measured", "planned", "guide", "zone", "space", "plate", "warm", "cool", "between"]
Width = Literal["wide", "narrow"]
"""Of the page: words are larger in the smaller pictures of a narrow one."""

FILLED: tuple[Role, ...] = ("zone", "space", "plate", "warm", "cool", "between")
"""Roles of areas; all others are lines."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One line or area of the drawing: SVG path data and what it stands for."""

    path: str
    role: Role

    @property
    def is_filled(self) -> bool:
        """Whether it is an area."""
        return self.role in FILLED


@dataclass(frozen=True, slots=True)
class Label:
    """A word in the drawing, for a page of one width."""

    x: str
    y: str
    text: str
    anchor: Literal["start", "middle", "end"]
    role: Role
    layer: str
    width: Width


@dataclass(frozen=True, slots=True)
class Layer:
    """Marks that are shown or hidden together; `name` is one of `LAYERS`."""

    name: str
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...] = ()


@dataclass(frozen=True, slots=True)
class Frame:
    """A preview's size, and fractions of the frame brought to its pixels."""

    width: int
    height: int

    @property
    def longer(self) -> int:
        """The longer side."""
        return max(self.width, self.height)

    @property
    def diagonal(self) -> float:
        """Length of the diagonal."""
        return diagonal_px(self.width, self.height)

    def point(self, position: tuple[float, float]) -> Point:
        """Bring a position to pixels."""
        return Point(position[0] * self.width, position[1] * self.height)

    def box(self, bbox: tuple[float, float, float, float]) -> Box:
        """Bring a rectangle to pixels."""
        left, top, right, bottom = bbox
        return Box(left * self.width, top * self.height, right * self.width, bottom * self.height)
