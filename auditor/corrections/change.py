"""One change of a picture, as numbers alone: whoever has the picture can make it again."""

from __future__ import annotations

from dataclasses import dataclass

from auditor.geometry import Box

WHOLE_FRAME = Box(0.0, 0.0, 1.0, 1.0)

# Decimals to which the numbers of a change are rounded before it is tried, so that what is
# written down is what was tried. A hundredth of a per cent of a side is less than a pixel on most
# pictures; the others are finer than is seen (our choice, no source).
BOX_STEPS = 10_000
_BOX_DECIMALS, _DEG_DECIMALS, _MIRED_DECIMALS = 4, 1, 0
_EV_DECIMALS, _SATURATION_DECIMALS = 2, 2


@dataclass(frozen=True, slots=True)
class Change:
    """What is done to a picture, in this order: turn, crop, white and exposure, saturation.

    Attributes
    ----------
    turn_deg : float
        Turn about the middle of the frame, clockwise positive. The frame keeps its size; its
        corners are then empty, so that a turn is followed by a crop.
    crop : Box
        The rectangle to keep, as fractions of the frame after the turn.
    mired : float
        Shift of the white point along the Planckian locus from D65, by Bradford adaptation;
        positive is warmer.
    exposure_ev : float
        Linear light is multiplied by two to this power.
    saturation : float
        Factor of the CIELAB chroma; 1 changes nothing.
    """

    turn_deg: float = 0.0
    crop: Box = WHOLE_FRAME
    mired: float = 0.0
    exposure_ev: float = 0.0
    saturation: float = 1.0

    @property
    def is_colour(self) -> bool:
        """Whether any colour changes."""
        return bool(self.mired or self.exposure_ev or self.saturation != 1.0)

    @property
    def is_frame(self) -> bool:
        """Whether the frame changes."""
        return bool(self.turn_deg) or self.crop != WHOLE_FRAME

    @property
    def is_nothing(self) -> bool:
        """Whether nothing changes."""
        return not (self.is_colour or self.is_frame)

    @property
    def key(self) -> str:
        """A text that is the same for the same change alone."""
        numbers = (self.turn_deg, *self.crop, self.mired, self.exposure_ev, self.saturation)
        return " ".join(f"{number:.6g}" for number in numbers)

    def rounded(self) -> Change:
        """The same with numbers as they are written down."""
        left, top, right, bottom = (round(edge, _BOX_DECIMALS) for edge in self.crop)
        return Change(
            round(self.turn_deg, _DEG_DECIMALS),
            Box(left, top, right, bottom),
            round(self.mired, _MIRED_DECIMALS),
            round(self.exposure_ev, _EV_DECIMALS),
            round(self.saturation, _SATURATION_DECIMALS),
        )

    def size_px(self, width: int, height: int) -> tuple[int, int]:
        """Width and height that remain of a picture."""
        left, top, right, bottom = self.edges_px(width, height)
        return right - left, bottom - top

    def edges_px(self, width: int, height: int) -> tuple[int, int, int, int]:
        """Edges of the rectangle to keep, whole pixels: left, top, right, bottom."""
        left, right = _whole_pixels(self.crop.left, self.crop.right, width)
        top, bottom = _whole_pixels(self.crop.top, self.crop.bottom, height)
        return left, top, right, bottom


def _whole_pixels(start: float, end: float, length: int) -> tuple[int, int]:
    first = min(round(start * length), length - 1)
    return first, max(first + 1, round(end * length))
