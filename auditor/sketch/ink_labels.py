"""What a network says of each part of a frame's ink."""

from __future__ import annotations

INPUT_PX = 320  # sides of the canvas as the network sees it
OUTPUT_PX = INPUT_PX // 2
MARGIN = 0.25  # around the frame, of its longer side

TECHNIQUES = ("rule of thirds", "golden ratio", "diagonals", "centred")
CHANNELS = (
    "subject",
    "supporting",
    "core",
    *(f"grid of {technique}" for technique in TECHNIQUES),
    "arrow",
    "to light x",
    "to light y",
    "notes",
    "hatching",
    "oval",
    "side view",
    "cloth",
    "shows angle",
    "squash",
)
