"""The picture of what was understood."""

import itertools

import numpy as np

from auditor.sketch.interpret import interpret
from auditor.sketch.labels import Labels, Rectangle
from auditor.sketch.understood import SUBJECT, draw_understood
from tests.sketch.hand import Hand


def test_labels_never_stand_on_each_other():
    rng = np.random.default_rng(5)
    labels = Labels(Rectangle(0, 0, 600, 500))
    placed = []
    for _ in range(12):
        x, y = rng.uniform(0, 500), rng.uniform(0, 400)
        area = Rectangle(x, y, x + 90, y + 80)
        labels.avoid(area)
        placed.append(labels.place(60, 22, area))
    assert all(a.overlap(b) == 0 for a, b in itertools.combinations(placed, 2))
    assert all(p.left >= 0 and p.top >= 0 and p.right <= 600 and p.bottom <= 500 for p in placed)


def test_every_frame_is_drawn_with_its_subject():
    frames = []
    for seed, ratio in enumerate((0.8, 1.5, 1.0, 0.67)):
        hand = Hand(seed=seed, aspect_ratio=ratio)
        hand.thirds()
        hand.oval((0.4, 0.6), 0.18, 0.7)
        hand.arrow((0.1, 0.2), 0.1, -30)
        hand.letters(0.5, 0.9, 0.04, 6)
        frames.append(interpret(hand.frame()))
    names = [["dish"] * len(frame.supporting) for frame in frames]
    one, four = draw_understood(frames[:1], names[:1]), draw_understood(frames, names)
    assert four.width > 2 * one.width
    assert four.height > 1.5 * one.height
    n_one, n_four = (
        int((np.asarray(image) == SUBJECT).all(axis=-1).sum()) for image in (one, four)
    )
    assert n_one > 500
    assert n_four > 2.5 * n_one
