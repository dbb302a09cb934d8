"""Frames drawn on pages and photographed: drawn here, then recovered."""

import numpy as np
import pytest

from auditor.sketch.canvas import CLEAR_INK
from auditor.sketch.frames import LONG_SIDE_PX, find_frames
from tests.sketch import pages

FOUR = [(18, 14, 120, 82), (155, 12, 120, 85), (16, 112, 122, 80), (156, 112, 118, 82)]
THREE = [(15, 60, 78, 104), (107, 58, 76, 108), (200, 60, 80, 106)]
TWO = [(16, 52, 122, 98), (158, 50, 122, 100)]
# Demanded of the finder: corners within 3 % of the frame's long side, the ratio within 8 %.
CORNER_SHARE, RATIO_SHARE = 0.03, 0.08


def drawn(frames, seed, *, paper=pages.WHITE, pattern=None, hand=None, **pen):
    """A page of frames; every other one has a grid of thirds, all have two ovals."""
    page = pages.Page(seed, paper=paper)
    if pattern:
        page.print_lines(**pattern)
    for index, frame in enumerate(frames):
        page.frame(*frame, **(hand or {}), **pen)
        if index % 2 == 0:
            page.thirds(**{**pen, "strength": 0.6 * pen.get("strength", 0.8)})
        page.oval((0.62, 0.55), (0.2, 0.17), **pen)
        page.oval((0.2, 0.3), (0.08, 0.1), **pen)
    return page


def check(page, found, corners):
    assert len(found) == len(corners)
    for frame, true, drawn_mm in zip(found, corners, page.frames, strict=True):
        long_side = np.hypot(*(np.roll(true, -1, axis=0) - true).T).max()
        off = np.hypot(*(frame.corners - true).T).max()
        assert off <= CORNER_SHARE * long_side
        assert frame.aspect_ratio == pytest.approx(pages.true_ratio(drawn_mm), rel=RATIO_SHARE)


def test_corners_ratio_and_order_of_four_frames_in_perspective_and_shadow():
    page = drawn(FOUR, 101)
    picture, corners = page.photographed(tilt=(16, 6), turn_deg=-4, shadow=0.3)
    check(page, find_frames(picture), corners)


def test_rows_are_read_from_the_top_when_the_page_is_turned():
    page = drawn(THREE, 102)
    picture, corners = page.photographed(turn_deg=12)
    check(page, find_frames(picture), corners)


@pytest.mark.parametrize(
    "pattern",
    [
        {"kind": "squared"},
        {"kind": "ruled", "step_mm": 8.0},
        {"kind": "dotted", "colour": (140, 140, 150)},
    ],
    ids=["squared", "ruled", "dotted"],
)
def test_printed_lines_are_no_frames_and_no_ink(pattern):
    page = drawn(TWO, 103, pattern=pattern)
    picture, corners = page.photographed(tilt=(8, -6), turn_deg=3)
    found = find_frames(picture)
    check(page, found, corners)
    # Two ovals and the frame's own lines; a grid of 5 mm alone would cover a tenth.
    assert (found[1].ink[40:-40, 40:-40] > 0.3).mean() < 0.05


def test_a_faint_pencil_is_seen():
    page = drawn([(40, 25, 215, 160)], 104, strength=0.22, width_mm=0.4)
    picture, corners = page.photographed(tilt=(5, 5))
    found = find_frames(picture)
    check(page, found, corners)
    ink = found[0].ink
    turn = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    x = ((0.62 + 0.2 * np.cos(turn)) * ink.shape[1]).astype(int)
    y = ((0.55 + 0.17 * np.sin(turn)) * ink.shape[0]).astype(int)
    reach = 10  # px: the oval wavers, too
    along = [
        ink[b - reach : b + reach, a - reach : a + reach].max() for a, b in zip(x, y, strict=True)
    ]
    assert np.median(along) > CLEAR_INK


def test_light_lines_on_dark_paper():
    page = drawn(TWO, 105, paper=(40, 44, 42), colour=(225, 225, 220))
    picture, corners = page.photographed(desk=(160, 150, 140))
    check(page, find_frames(picture), corners)


def test_a_red_pen_on_yellow_paper_with_open_corners():
    hand = {"gap_mm": 3.0, "overshoot_mm": 0.0}
    page = drawn(TWO, 106, paper=(245, 225, 120), hand=hand, colour=(190, 40, 50))
    picture, corners = page.photographed(turn_deg=-2)
    check(page, find_frames(picture), corners)


def test_a_picture_without_perspective():
    page = drawn(FOUR, 107, paper=(255, 255, 255), colour=(10, 10, 10))
    check(page, find_frames(page.scanned(0)), [f * pages.PX_PER_MM for f in page.frames])


def test_the_straightened_frame_has_its_lines_along_the_borders():
    page = pages.Page(108)
    page.frame(40, 25, 200, 150)
    page.oval((0.7, 0.3), (0.08, 0.08))
    picture, _ = page.photographed(tilt=(15, 0))
    (frame,) = find_frames(picture)
    assert max(frame.ink.shape) == LONG_SIDE_PX
    margin = round(LONG_SIDE_PX / 4)
    assert frame.surround.shape == tuple(side + 2 * margin for side in frame.ink.shape)
    height, width = frame.ink.shape
    rows, columns = (frame.ink[30:-30, 30:-30] > 0.5).nonzero()
    assert (columns.mean() + 30) / width == pytest.approx(0.7, abs=0.02)
    assert (rows.mean() + 30) / height == pytest.approx(0.3, abs=0.02)
    # A wavering side lies now inside, now outside of the border.
    for turned in (np.rot90(frame.surround, quarter) for quarter in range(4)):
        border = turned[margin - 16 : margin + 16, margin:-margin]
        assert (border.max(axis=0) > CLEAR_INK).mean() > 0.8


def test_the_surround_of_a_frame_is_white_where_another_begins():
    page = pages.Page(109)
    for frame in [(20, 50, 115, 90), (145, 50, 115, 90)]:
        page.frame(*frame)
    picture, _ = page.photographed()
    first, _ = find_frames(picture)
    margin = round(LONG_SIDE_PX / 4)
    middle = first.surround.shape[0] // 2
    beyond = first.surround[middle - 100 : middle + 100, -margin + 20 :]
    assert beyond.max() < 0.3


def test_neither_an_empty_sheet_nor_writing_is_a_frame():
    empty = pages.Page(110)
    assert find_frames(empty.photographed(desk=(205, 203, 200), shadow=0.3)[0]) == ()
    written = pages.Page(111)
    written.print_lines()
    for line in range(10):
        written.write(20, 20 + 16 * line, 230)
    assert find_frames(written.photographed()[0]) == ()
