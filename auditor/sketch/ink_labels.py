"""What a network says of each part of a frame's ink."""

from __future__ import annotations

INPUT_PX = 320  # sides of the canvas as the network sees it
OUTPUT_PX = INPUT_PX // 2
MARGIN = 0.25  # around the frame, of its longer side
FRAME_PX = OUTPUT_PX / (1 + 2 * MARGIN)  # longer side of the frame in the network's answer

TECHNIQUES = ("rule of thirds", "golden ratio", "diagonals", "centred")
CHANNELS = (
    "subject",  # filled outline
    "supporting",
    "core",  # the inner part of a thing, apart from that of its neighbour
    *(f"grid of {technique}" for technique in TECHNIQUES),
    "arrow",
    "to light x",  # where there is an arrow: direction to the light, 0 is -1, 1 is 1; y downwards
    "to light y",
    "notes",
    "hatching",
    "oval",  # kinds of things, filled
    "side view",
    "cloth",
    "shows angle",  # things that show from how high the camera looks, and
    "squash",  # how flat a circle on the table then is: minor over major axis
)
