"""A hand that draws frames: lines with wobble, gaps and overshoot, in fractions of the frame.

Everything is drawn here, from formulas; the truth is what was asked for.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from PIL import Image, ImageDraw

from auditor.sketch.drawn import FrameOnPage

LONG_SIDE_PX = 640
FINER = 2  # drawn larger and reduced, for smooth edges
LETTERS = "acehlmnorstuvwx"


class Hand:
    """Draws one frame; positions are fractions of it, lengths fractions of its diagonal."""

    def __init__(self, seed=0, aspect_ratio=0.8, wobble=0.003, pen=0.006, gap=0.0):
        self.rng = np.random.default_rng(seed)
        self.wobble, self.pen, self.gap = wobble, pen, gap
        self.aspect_ratio = aspect_ratio
        long = LONG_SIDE_PX
        self.width = round(long * min(1.0, aspect_ratio))
        self.height = round(long * min(1.0, 1 / aspect_ratio))
        self.margin = round(long / 4)
        self.diagonal = math.hypot(self.width, self.height)
        size = (
            FINER * (self.width + 2 * self.margin),
            FINER * (self.height + 2 * self.margin),
        )
        self.image = Image.new("L", size, 0)
        self.pencil = ImageDraw.Draw(self.image)
        for a, b in (((0, 0), (1, 0)), ((1, 0), (1, 1)), ((1, 1), (0, 1)), ((0, 1), (0, 0))):
            self.line(a, b, wobble=0.001)

    def path(self, points, darkness=1.0, wobble=None, pen=None, closed=False):
        """Draw a polyline (N, 2) of fractions by hand."""
        points = np.asarray(points, float) * (self.width, self.height)
        step = np.linalg.norm(np.diff(points, axis=0), axis=1)
        at = np.concatenate([[0], np.cumsum(step)])
        n = max(int(at[-1] / 4), 2)
        even = np.linspace(0, at[-1], n)
        dense = np.stack([np.interp(even, at, points[:, i]) for i in (0, 1)], axis=1)
        amount = (self.wobble if wobble is None else wobble) * min(self.diagonal, 2.5 * at[-1])
        dense += amount * self._smooth_noise(n, closed)
        if closed and self.gap > 0:
            dense = np.roll(dense[:-1], self.rng.integers(n), axis=0)
            dense = dense[: max(3, int(n * (1 - self.gap)))]
        width = max(1, round((pen or self.pen) * self.diagonal * FINER))
        xy = [tuple(FINER * (p + self.margin)) for p in dense]
        self.pencil.line(xy, fill=round(255 * darkness), width=width, joint="curve")

    def _smooth_noise(self, n, closed):
        phase = np.linspace(0, 2 * np.pi, n)
        waves = range(1, 6) if closed else np.arange(1, 6) * 0.5
        total = np.zeros((n, 2))
        for k in waves:
            turn = self.rng.uniform(0, 2 * np.pi, 2)
            total += self.rng.normal(0, 0.6 / math.sqrt(k), 2) * np.sin(k * phase[:, None] + turn)
        return total

    def line(self, a, b, **kw):
        self.path(np.linspace(a, b, 30), **kw)

    def oval(self, centre, radius, ratio=1.0, angle_deg=0.0, **kw):
        """An ellipse; `radius` is the major semi-axis as a fraction of the diagonal."""
        t = np.linspace(0, 2 * np.pi, 90) + self.rng.uniform(0, 6)
        self.path(self._turned(centre, radius * np.cos(t), radius * ratio * np.sin(t), angle_deg),
                  closed=True, **kw)  # fmt: skip

    def _turned(self, centre, u, v, angle_deg):
        c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
        x, y = u * c + v * s, -u * s + v * c
        k = self.diagonal
        return np.stack([centre[0] + k * x / self.width, centre[1] + k * y / self.height], axis=1)

    def shape(self, centre, size, points, angle_deg=0.0, **kw):
        """A polyline of unit size around a place, `size` a fraction of the diagonal."""
        p = np.asarray(points, float) * size
        self.path(self._turned(centre, p[:, 0], p[:, 1], angle_deg), **kw)

    def square(self, centre, side, angle_deg=0.0, **kw):
        corners = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5), (-0.5, -0.5)]
        dense = np.concatenate([np.linspace(a, b, 12) for a, b in itertools.pairwise(corners)])
        self.shape(centre, side, dense, angle_deg, closed=True, **kw)

    def mug(self, centre, size):
        """Seen from the side, with its handle on the right."""
        self.shape(centre, size, [(-0.4, -0.5), (-0.36, 0.5), (0.36, 0.5), (0.4, -0.5),
                                  (-0.4, -0.5)])  # fmt: skip
        t = np.linspace(-1.4, 1.4, 20)
        self.shape(centre, size, np.stack([0.36 + 0.26 * np.cos(t), 0.28 * np.sin(t)], axis=1))

    def bottle(self, centre, size):
        half = [(0.1, -0.5), (0.1, -0.2), (0.2, -0.05), (0.2, 0.5)]
        whole = [(-x, y) for x, y in half] + half[::-1] + [(-0.1, -0.5)]
        self.shape(centre, size, whole)

    def spoon(self, centre, size, angle_deg=0.0):
        t = np.linspace(0.2, 2 * np.pi - 0.2, 40)
        bowl = np.stack([-0.3 + 0.2 * np.cos(t), 0.12 * np.sin(t)], axis=1)
        self.shape(centre, size, bowl, angle_deg)
        self.shape(centre, size, [(-0.1, -0.02), (0.5, -0.03), (0.5, 0.03), (-0.1, 0.02)],
                   angle_deg)  # fmt: skip

    def fork(self, centre, size, angle_deg=0.0):
        self.shape(centre, size, [(0.5, 0), (-0.2, 0)], angle_deg)
        for y in (-0.1, 0, 0.1):
            self.shape(centre, size, [(-0.2, 0), (-0.25, y), (-0.5, y)], angle_deg)

    def leaf(self, centre, size, angle_deg=0.0):
        t = np.linspace(0, np.pi, 20)
        side = np.stack([0.5 * np.cos(t), 0.2 * np.sin(t)], axis=1)
        self.shape(centre, size, side, angle_deg)
        self.shape(centre, size, side * (1, -1), angle_deg)
        self.shape(centre, size, [(-0.45, 0), (0.6, 0)], angle_deg)

    def arrow(self, tip, length, direction_deg, head=0.3, spread_deg=30.0, **kw):
        """An arrow that points along a direction, counter-clockwise from the right."""
        self.shape(tip, length, [(-1, 0), (0, 0)], direction_deg, **kw)
        back = math.radians(spread_deg)
        for sign in (-1, 1):
            end = (-head * math.cos(back), sign * head * math.sin(back))
            self.shape(tip, length, [(0, 0), end], direction_deg, **kw)

    def thirds(self, at=1 / 3, **kw):
        for t in (at, 1 - at):
            self.line((t, 0), (t, 1), **kw)
            self.line((0, t), (1, t), **kw)

    def letters(self, left, top, height, n):
        """A row of letter-like strokes; `height` is a fraction of the frame's height."""
        size = height * self.height
        x = left * self.width
        for _ in range(n):
            kind = self.rng.integers(4)
            t = np.linspace(0, 1, 12)
            glyph = {
                0: np.stack([0.3 + 0.3 * np.cos(6 * t), 0.7 + 0.3 * np.sin(6 * t)], axis=1),
                1: np.array([(0, 0.4), (0.05, 1), (0.1, 0.5), (0.3, 0.4), (0.35, 1)]),
                2: np.array([(0.1, 0), (0.1, 1), (0.3, 0.95)]),
                3: np.array([(0.45, 0.5), (0.1, 0.45), (0, 0.8), (0.2, 1), (0.5, 0.9)]),
            }[int(kind)]
            points = (glyph * size + (x, top * self.height)) / (self.width, self.height)
            self.path(points, wobble=0.0015, pen=0.004)
            x += size * self.rng.uniform(0.55, 0.8)
        return x / self.width

    def frame(self, noise=0.02):
        """What was drawn, as the reading of the page hands it on."""
        small = self.image.resize((self.width + 2 * self.margin, self.height + 2 * self.margin),
                                  Image.Resampling.BOX)  # fmt: skip
        surround = np.asarray(small, np.float32) / 255
        surround = surround + np.abs(self.rng.normal(0, noise, surround.shape))
        surround = np.clip(surround, 0, 1).astype(np.float32)
        m = self.margin
        ink = surround[m : m + self.height, m : m + self.width].copy()
        corners = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], float) * (self.width, self.height)
        return FrameOnPage(corners, self.width / self.height, ink, surround)
