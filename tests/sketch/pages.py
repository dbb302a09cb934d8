"""Pages of drawn frames with their truth, drawn for the tests."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage

PX_PER_MM = 8
SHADOW_STEP_PX = 8  # the softness of a shadow's edge in a picture
PAGE_MM = (297, 210)  # A4, width and height
WHITE = (238, 236, 230)
WOOD = (121, 84, 55)
GRAPHITE = (88, 88, 92)


@dataclass
class Page:
    """A page as it is drawn, before it is photographed; lengths in mm."""

    seed: int = 0
    size_mm: tuple[float, float] = PAGE_MM
    paper: tuple[int, int, int] = WHITE
    frames: list[np.ndarray] = field(default_factory=list)

    def __post_init__(self):
        self.random = np.random.default_rng(self.seed)
        width, height = (round(side * PX_PER_MM) for side in self.size_mm)
        self.pixels = np.empty((height, width, 3))
        self.pixels[:] = self.paper

    def lay(self, coverage, colour):
        """Cover the page with a colour."""
        alpha = coverage[..., None]
        self.pixels = self.pixels * (1 - alpha) + np.array(colour) * alpha

    def layer(self):
        height, width = self.pixels.shape[:2]
        image = Image.new("L", (width, height), 0)
        return image, ImageDraw.Draw(image)

    def print_lines(
        self, step_mm=5.0, colour=(150, 175, 215), kind="squared", width_px=2, angle=0.0
    ):
        """Squared, ruled or dotted paper."""
        image, draw = self.layer()
        width, height = image.size
        step = step_mm * PX_PER_MM
        rows = np.arange(step / 2, height, step)
        columns = np.arange(step / 2, width, step)
        if kind == "dotted":
            for y in rows:
                for x in columns:
                    draw.ellipse((x - 2.2, y - 2.2, x + 2.2, y + 2.2), fill=255)
        else:
            for y in rows:
                draw.line((0, y, width, y), fill=255, width=width_px)
            for x in columns if kind == "squared" else ():
                draw.line((x, 0, x, height), fill=255, width=width_px)
        turned = image.rotate(angle, Image.Resampling.BILINEAR)
        self.lay(ndimage.gaussian_filter(np.asarray(turned) / 255.0, 0.7), colour)

    def stroke(self, points_mm, colour=GRAPHITE, width_mm=0.5, strength=0.8, wobble_mm=0.4):
        """Draw a line by hand through points, with a slow wobble and uneven pressure."""
        points = np.asarray(points_mm, dtype=float)
        lengths = np.hypot(*np.diff(points, axis=0).T)
        along = np.concatenate([[0], np.cumsum(lengths)])
        places = np.linspace(0, along[-1], max(2, int(along[-1])))
        path = np.stack([np.interp(places, along, points[:, i]) for i in (0, 1)], axis=1)
        noise = ndimage.gaussian_filter1d(self.random.normal(size=path.shape), 12, axis=0)
        scale = noise.std() or 1.0
        path += noise / scale * wobble_mm
        pressure = ndimage.gaussian_filter1d(self.random.normal(size=len(path)), 6)
        levels = np.clip(0.85 + 0.1 * pressure / (pressure.std() or 1), 0.5, 1)
        line_px = max(1, round(width_mm * PX_PER_MM))
        height, width = self.pixels.shape[:2]
        px = path * PX_PER_MM
        left, top = np.maximum(np.floor(px.min(axis=0)).astype(int) - line_px - 6, 0)
        right, bottom = np.minimum(
            np.ceil(px.max(axis=0)).astype(int) + line_px + 6, (width, height)
        )
        image = Image.new("L", (right - left, bottom - top), 0)
        draw = ImageDraw.Draw(image)
        px = px - (left, top)
        for start, end, level in zip(px[:-1], px[1:], levels[1:], strict=True):
            draw.line((*start, *end), fill=round(255 * level), width=line_px)
        grain = np.clip(1 - 0.25 * np.abs(self.random.normal(size=image.size[::-1])), 0.3, 1)
        coverage = ndimage.gaussian_filter(np.asarray(image) / 255.0, 0.8) * grain
        part = self.pixels[top:bottom, left:right]
        alpha = (strength * coverage)[..., None]
        self.pixels[top:bottom, left:right] = part * (1 - alpha) + np.array(colour) * alpha

    def frame(
        self, left, top, width, height, *, off_mm=1.2, gap_mm=0.0, overshoot_mm=1.0, turns=1, **pen
    ):
        """Draw a frame by hand, each side by itself; its true corners are those of the sides."""
        corners = np.array(
            [[left, top], [left + width, top], [left + width, top + height], [left, top + height]],
            dtype=float,
        )
        corners += self.random.uniform(-off_mm, off_mm, size=corners.shape)
        for _ in range(turns):
            shaken = corners + self.random.uniform(-0.5, 0.5, size=corners.shape) * (turns > 1)
            for start, end in zip(shaken, np.roll(shaken, -1, axis=0), strict=True):
                along = (end - start) / np.hypot(*(end - start))
                reach = overshoot_mm * self.random.random(2) - gap_mm * self.random.random(2)
                self.stroke([start - along * reach[0], end + along * reach[1]], **pen)
        self.frames.append(corners)
        return corners

    def inside(self, points, frame=-1):
        """Positions given as fractions of a frame, in mm."""
        upper_left, upper_right, lower_right, lower_left = self.frames[frame]
        x, y = np.asarray(points, dtype=float).T[:, :, None]
        return (
            upper_left * (1 - x) * (1 - y)
            + upper_right * x * (1 - y)
            + lower_right * x * y
            + lower_left * (1 - x) * y
        )

    def oval(self, centre, semi_axes, frame=-1, **pen):
        angles = np.linspace(0, 2.05 * math.pi, 60)
        points = np.array(centre) + np.array(semi_axes) * np.stack(
            [np.cos(angles), np.sin(angles)], axis=1
        )
        self.stroke(self.inside(points, frame), **pen)

    def thirds(self, frame=-1, **pen):
        for third in (1 / 3, 2 / 3):
            self.stroke(self.inside([(third, 0.0), (third, 1.0)], frame), **pen)
            self.stroke(self.inside([(0.0, third), (1.0, third)], frame), **pen)

    def write(self, left, top, width, height=5.0, **pen):
        """Draw something like a line of handwriting."""
        x = left
        while x < left + width:
            word = self.random.uniform(8, 20)
            steps = np.arange(0, word, 0.9)
            heights = top + height * (0.5 + 0.5 * self.random.uniform(-1, 1, size=len(steps)))
            self.stroke(np.stack([x + steps, heights], axis=1), wobble_mm=0.2, **pen)
            x += word + 4

    def scanned(self, noise=2.0):
        """Return the page itself, as a flat scan."""
        return self._noisy(self.pixels, noise)

    def photographed(
        self,
        size=(2000, 1500),
        *,
        turn_deg=3.0,
        tilt=(0.0, 0.0),
        fill=0.85,
        desk=WOOD,
        shadow=0.0,
        noise=3.0,
        focal=0.75,
    ):
        """Photograph the page on a desk.

        Returns the pixels and the true corners of each frame, in px. `tilt` is that of the camera
        around the horizontal and the vertical axis in degrees; `focal` is in long sides.
        """
        to_picture = self.projection(size, turn_deg, tilt, fill, focal)
        picture = np.empty((size[1], size[0], 3), dtype=np.float32)
        for channel in range(3):
            smooth = ndimage.gaussian_filter(self.pixels[..., channel].astype(np.float32), 0.5)
            picture[..., channel] = seen(smooth, to_picture, size, desk[channel])
        picture *= light_on(size, shadow)[..., None]
        corners = [project(to_picture, frame * PX_PER_MM) for frame in self.frames]
        return self._noisy(picture, noise), corners

    def projection(self, size, turn_deg, tilt, fill, focal):
        """Homography from px of the page to px of the picture."""
        height, width = self.pixels.shape[:2]
        longest = max(size)
        turn, pitch, yaw = np.radians([turn_deg, *tilt])
        about_z = np.array(
            [[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]]
        )
        about_x = np.array(
            [
                [1, 0, 0],
                [0, math.cos(pitch), -math.sin(pitch)],
                [0, math.sin(pitch), math.cos(pitch)],
            ]
        )
        about_y = np.array(
            [[math.cos(yaw), 0, math.sin(yaw)], [0, 1, 0], [-math.sin(yaw), 0, math.cos(yaw)]]
        )
        turned = about_x @ about_y @ about_z
        distance = focal * longest / (fill * min(size[0] / width, size[1] / height))
        plane = np.stack([turned[:, 0], turned[:, 1], np.array([0, 0, distance])], axis=1)
        to_middle = np.array([[1, 0, -width / 2], [0, 1, -height / 2], [0, 0, 1]])
        camera = np.array(
            [[focal * longest, 0, size[0] / 2], [0, focal * longest, size[1] / 2], [0, 0, 1]]
        )
        return camera @ plane @ to_middle

    def _noisy(self, pixels, noise):
        grain = self.random.normal(size=pixels.shape[:2])[..., None] * noise
        return np.clip(np.rint(pixels + grain), 0, 255).astype(np.uint8)


def seen(channel, to_picture, size, outside):
    """One channel of a page through a homography, on a desk of one value."""
    back = np.linalg.inv(to_picture)
    rows = (back / back[2, 2]).ravel()[:8].tolist()
    bilinear = Image.Resampling.BILINEAR
    return np.asarray(
        Image.fromarray(channel).transform(
            size, Image.Transform.PERSPECTIVE, rows, bilinear, fillcolor=float(outside)
        )
    )


def light_on(size, shadow):
    """Brightness that falls to the right, with the soft edge of a shadow."""
    width, height = (side // SHADOW_STEP_PX for side in size)
    y, x = (np.mgrid[:height, :width] + 0.5) / height
    edge = y > 0.55 + 0.3 * x
    light = (
        1 - 0.25 * (x * height / width) - shadow * ndimage.gaussian_filter(edge.astype(float), 1)
    )
    return np.asarray(
        Image.fromarray(light.astype(np.float32)).resize(size, Image.Resampling.BILINEAR)
    )


def project(homography, points):
    """Points of an (N, 2) array through a homography."""
    mapped = np.column_stack([points, np.ones(len(points))]) @ homography.T
    return mapped[:, :2] / mapped[:, 2:]


def true_ratio(frame_mm):
    """Width over height of a drawn frame, from the means of its opposite sides."""
    sides = np.hypot(*(np.roll(frame_mm, -1, axis=0) - frame_mm).T)
    return (sides[0] + sides[2]) / (sides[1] + sides[3])
