"""Phrases that photographers write, and what each means in a plan."""

from __future__ import annotations

import pytest

from auditor.geometry import Point

SHOT = '[[shot]]\nname = "tea"\n'
NEUTRAL_MIRED = 1e6 / 6504


@pytest.fixture
def intent_of(plan_of):
    """The intent of a shot with one line."""

    def read(line):
        return plan_of(f"{SHOT}{line}\n").shots[0].intent

    return read


TECHNIQUES = {
    '"odd number of cookies (3)"': ("odd number",),
    '"leading line from the spoon"': ("leading lines",),
    '"rule of 3rds"': ("rule of thirds",),
    '"the golden spiral"': ("golden spiral",),
    '"C-curve"': ("C-curve",),
    '"knolling"': ("grid",),
    '"three in a row"': ("row",),
    '"diagonal row"': ("diagonal row",),
    '"three in a row, slanted"': ("diagonal row",),
    '"rule of thirds"': ("rule of thirds",),
    '"thirds"': ("rule of thirds",),
    '"Rule-of-Thirds"': ("rule of thirds",),
    '"golden ratio"': ("golden ratio",),
    '"golden section"': ("golden ratio",),
    '"golden spiral"': ("golden spiral",),
    '"golden triangles"': ("golden triangles",),
    '"centre"': ("centred",),
    '"center"': ("centred",),
    '"central"': ("centred",),
    '"centered"': ("centred",),
    '"central composition"': ("centred",),
    '"in the middle"': ("centred",),
    '"diagonal"': ("diagonals",),
    '"symmetrical"': ("symmetry",),
    '"triangular"': ("triangle arrangement",),
    '"triangle"': ("triangle arrangement",),
    '"framing"': ("frame within a frame",),
    '"three in a row on a diagonal"': ("diagonal row",),
    '"diagonal composition"': ("diagonal row",),
    '"odd number"': ("odd number",),
    '"rule of odds"': ("odd number",),
    '"leading lines"': ("leading lines",),
    '"S-curve"': ("S-curve",),
    '"s curve"': ("S-curve",),
    '"negative space"': ("negative space",),
    '"minimalist"': ("negative space",),
    '"repetition"': ("repetition",),
    '"layers"': ("layers",),
    '["rule of thirds", "golden ratio"]': ("rule of thirds", "golden ratio"),
    '"rule of thirds or centred"': ("rule of thirds", "centred"),
}


@pytest.mark.parametrize(("written", "meant"), TECHNIQUES.items())
def test_techniques(intent_of, written, meant):
    assert intent_of(f"technique = {written}").techniques == meant


ANGLES = {
    '"45° three-quarter"': (45, 45),
    '"flat-lay (90°)"': (90, 90),
    '"75 degrees high angle"': (75, 75),
    '"between low and three-quarter"': (15, 60),
    '"high three-quarter"': (30, 80),
    '"directly overhead"': (80, 90),
    '"slightly from above"': (15, 30),
    '"top-down flat lay"': (80, 90),
    '"low to three-quarter"': (15, 60),
    '"at least 60 degrees"': (60, 90),
    '"nearly 90"': (90, 90),
    "45": (45, 45),
    '"45 degrees"': (45, 45),
    '"45°"': (45, 45),
    '"about 45°"': (45, 45),
    '"3/4"': (30, 60),
    '"three-quarter"': (30, 60),
    '"flatlay"': (80, 90),
    '"flat lay"': (80, 90),
    '"overhead"': (80, 90),
    '"top-down"': (80, 90),
    '"bird\'s eye view"': (80, 90),
    '"from above"': (80, 90),
    '"head on"': (0, 15),
    '"straight on"': (0, 15),
    '"eye level"': (0, 15),
    '"low"': (15, 30),
    '"low angle"': (15, 30),
    '"high"': (60, 80),
    "[40, 50]": (40, 50),
    '"40 to 50"': (40, 50),
    '"40-50°"': (40, 50),
    "{ from = 40, to = 50 }": (40, 50),
    '["high", "overhead"]': [(60, 80), (80, 90)],
    '"high or overhead"': [(60, 80), (80, 90)],
    "[30, 45, 60]": [(30, 30), (45, 45), (60, 60)],
    '["low", 45]': [(15, 30), (45, 45)],
}


def spans(meant):
    return tuple(meant) if isinstance(meant, list) else (meant,)


@pytest.mark.parametrize(("written", "meant"), ANGLES.items())
def test_camera_angles(intent_of, written, meant):
    assert intent_of(f"camera_elevation = {written}").camera_elevation.spans == spans(meant)


LEFT, RIGHT, BACK_LEFT, BACK = (8.25, 9.75), (2.25, 3.75), (9.75, 11.25), (11.25, 12.75)
LIGHTS = {
    '"three-quarter back light"': [BACK_LEFT, (0.75, 2.25)],
    '"key light 9 o\'clock"': (9, 9),
    '"half past ten"': (10.5, 10.5),
    '"nine o\'clock"': (9, 9),
    '"window at 10 o\'clock"': (10, 10),
    '"left, slightly behind"': BACK_LEFT,
    '"45 degrees back left"': BACK_LEFT,
    '"left to back left"': [LEFT, BACK_LEFT],
    '"low sun from behind"': BACK,
    '"soft backlight from the upper right"': (0.75, 2.25),
    '"golden hour, from the left"': LEFT,
    '"low winter sun from behind left"': BACK_LEFT,
    '"left or 12:00"': [LEFT, (12, 12)],
    '"left"': LEFT,
    '"Left"': LEFT,
    '"from the left"': LEFT,
    '"from the window left"': LEFT,
    '"window light from the left"': LEFT,
    '"camera left"': LEFT,
    '"side left"': LEFT,
    '"left side"': LEFT,
    '"soft light from the left"': LEFT,
    '"right"': RIGHT,
    '"side light"': [LEFT, RIGHT],
    '"sidelit"': [LEFT, RIGHT],
    '"back"': BACK,
    '"backlit"': BACK,
    '"behind"': BACK,
    '"back light"': BACK,
    '"back left"': BACK_LEFT,
    '"from the back left"': BACK_LEFT,
    '"three-quarter back light from the left"': BACK_LEFT,
    '"10:30"': (10.5, 10.5),
    '"10.5"': (10.5, 10.5),
    "10.5": (10.5, 10.5),
    '"10 o\'clock"': (10, 10),
    '"9 to 11"': (9, 11),
    '"11 to 1"': (11, 13),
    '["left", "back left"]': [LEFT, BACK_LEFT],
    '"left or right"': [LEFT, RIGHT],
    "[9, 3]": [(9, 9), (3, 3)],
    '{ from = "left" }': LEFT,
    '{ clock = "10:30" }': (10.5, 10.5),
    "{ clock = [9, 11] }": (9, 11),
    '"front"': (5.25, 6.75),
}


@pytest.mark.parametrize(("written", "meant"), LIGHTS.items())
def test_light(intent_of, written, meant):
    intent = intent_of(f"light = {written}")
    assert (intent.light.spans, intent.light_from_above) == (spans(meant), False)


@pytest.mark.parametrize(
    "written", ['"soft"', '"diffused"', '"soft window light"', '"natural light"', '"hard light"']
)
def test_light_without_a_direction_is_understood_and_not_compared(plan_of, written):
    plan = plan_of(f"{SHOT}light = {written}\n")
    assert (plan.shots[0].intent.light, plan.shots[0].intent.light_from_above) == (None, False)
    (remark,) = plan.remarks
    assert remark.startswith("not compared: ")


def test_how_hard_the_light_is_stays_out_of_its_direction(plan_of):
    assert len(plan_of(f'{SHOT}light = "soft light from the left"\n').remarks) == 1
    assert plan_of(f'{SHOT}light = "window light from the left"\n').remarks == ()


@pytest.mark.parametrize("written", ['"above"', '"from above"', '"overhead"', '"top light"'])
def test_light_from_above(intent_of, written):
    intent = intent_of(f"light = {written}")
    assert (intent.light, intent.light_from_above) == (None, True)


THIRD = 1 / 3
STRIP = 2 / (3 + 5**0.5)  # the near line of the golden ratio, 1 - 1/phi
PLACES = {
    '"just left of centre"': [(STRIP, THIRD, 0.5, 2 / 3)],
    '"slightly left of center"': [(STRIP, THIRD, 0.5, 2 / 3)],
    '"slightly to the right"': [(0.5, THIRD, 1 - STRIP, 2 / 3)],
    '"lower third, slightly right"': [(0.5, 2 / 3, 1 - STRIP, 1)],
    '"slightly above the centre"': [(THIRD, STRIP, 2 / 3, 0.5)],
    '"just below centre, slightly left"': [(STRIP, 0.5, 0.5, 1 - STRIP)],
    '"back left"': [(0, 0, THIRD, THIRD)],
    '"lower third, left"': [(0, 2 / 3, THIRD, 1)],
    '"two thirds from the left"': [(2 / 3, 0, 2 / 3, 1)],
    '"1/4 from the bottom"': [(0, 0.75, 1, 0.75)],
    '"centered"': [(0.5, 0.5, 0.5, 0.5)],
    '"off centre to the right"': [(0.6, 0, 1, 1)],
    '"lower right intersection"': [(2 / 3, 2 / 3, 2 / 3, 2 / 3)],
    '"on the left third line"': [(THIRD, 0, THIRD, 1)],
    '"bottom thirds line"': [(0, 2 / 3, 1, 2 / 3)],
    '"lower right"': [(2 / 3, 2 / 3, 1, 1)],
    '"bottom right"': [(2 / 3, 2 / 3, 1, 1)],
    '"in the lower right"': [(2 / 3, 2 / 3, 1, 1)],
    '"centre"': [(0.5, 0.5, 0.5, 0.5)],
    '"dead center"': [(0.5, 0.5, 0.5, 0.5)],
    '"left"': [(0, THIRD, THIRD, 2 / 3)],
    '"on the right"': [(2 / 3, THIRD, 1, 2 / 3)],
    '"lower third"': [(0, 2 / 3, 1, 1)],
    '"right half"': [(0.5, 0, 1, 1)],
    '"either side"': [(0, 0, THIRD, 1), (2 / 3, 0, 1, 1)],
    '"off centre"': [(0, 0, 0.4, 1), (0.6, 0, 1, 1), (0, 0, 1, 0.4), (0, 0.6, 1, 1)],
    '"on an intersection"': [
        (x, y, x, y) for y in (THIRD, 2 / 3) for x in (THIRD, 2 / 3)
    ],
    '["upper left", "upper right"]': [(0, 0, THIRD, THIRD), (2 / 3, 0, 1, THIRD)],
    '"upper left or upper right"': [(0, 0, THIRD, THIRD), (2 / 3, 0, 1, THIRD)],
    "[[0.3, 0.7], [0.6, 0.2]]": [(0.3, 0.7, 0.3, 0.7), (0.6, 0.2, 0.6, 0.2)],
    '["centre", [0.6, 0.2]]': [(0.5, 0.5, 0.5, 0.5), (0.6, 0.2, 0.6, 0.2)],
}  # fmt: skip


@pytest.mark.parametrize("form", ["subject = {}", "subject = {{ at = {} }}"])
@pytest.mark.parametrize(("written", "meant"), PLACES.items())
def test_places_of_the_subject(intent_of, form, written, meant):
    subject = intent_of(form.format(written)).subject
    assert subject.size is None
    assert len(subject.zone.boxes) == len(meant)
    for box, expected in zip(subject.zone.boxes, meant, strict=True):
        assert box == pytest.approx(expected)


def test_a_point_stays_a_point(intent_of):
    subject = intent_of("subject = [0.67, 0.33]").subject
    assert (subject.at, subject.zone) == (Point(0.67, 0.33), None)


SIZES = {
    '"fills half the frame"': (0.5, 0.5),
    '"about a third"': (THIRD, THIRD),
    '"30%"': (0.3, 0.3),
    '"30 percent of the frame"': (0.3, 0.3),
    "0.3": (0.3, 0.3),
    '"a third of the frame"': (THIRD, THIRD),
    '"half"': (0.5, 0.5),
    '"20 to 30%"': (0.2, 0.3),
    '"at least a quarter"': (0.25, 1),
    '"small"': (0.03, 0.18),
    '"large"': (0.3, 0.7),
    '"fills the frame"': (0.5, 1),
    '"filling the frame"': (0.5, 1),
}


@pytest.mark.parametrize("form", ["subject = {}", "subject = {{ size = {} }}"])
@pytest.mark.parametrize(("written", "meant"), SIZES.items())
def test_sizes_of_the_subject(intent_of, form, written, meant):
    subject = intent_of(form.format(written)).subject
    assert (subject.size.spans, subject.has_place) == ((pytest.approx(meant),), False)


@pytest.mark.parametrize(
    ("written", "size", "place"),
    [
        ("large, upper right", "large", "upper right"),
        ("small in the centre", "small", "centre"),
        ("upper left and small", "small", "upper left"),
        ("bottom right, tiny", "tiny", "lower right"),
        ("hero plate bottom right, small", "small", "lower right"),
        ("large, the kettle upper left", "large", "upper left"),
        ("large bowl lower right", "large", "lower right"),
        ("tart, upper right, small", "small", "upper right"),
    ],
)
def test_a_subject_in_one_text(intent_of, written, size, place):
    subject = intent_of(f'subject = "{written}"').subject
    assert (subject.size.words, subject.zone.words) == (size, place)


def test_what_the_subject_is_may_stand_before_its_place(intent_of):
    subject = intent_of('subject = "hero plate bottom right, about a third of the frame"').subject
    assert (subject.size.nominal, subject.zone.words) == (pytest.approx(THIRD), "lower right")


@pytest.mark.parametrize(
    ("written", "name", "place"),
    [
        ("two wine glasses back right", "two wine glasses", "upper right"),
        ("two wine glasses behind right", "two wine glasses", "upper right"),
        ("two wine glasses back left", "two wine glasses", "upper left"),
        ("two wine glasses behind", "two wine glasses", "behind"),
        ("two wine glasses behind right, small", "two wine glasses", "upper right"),
        ("two wine glasses in the back left", "two wine glasses", "upper left"),
    ],
)
def test_the_number_of_things_is_kept_beside_their_place(intent_of, written, name, place):
    (found,) = intent_of(f'supporting = "{written}"').supporting
    assert (found.name, found.zone.words, found.count.nominal) == (name, place, 2)


ELEMENTS = {
    '"napkin, folded, on the left"': [("napkin, folded", "left")],
    '"napkin under the bowl on the left"': [("napkin under the bowl", "left")],
    '"bread on the board, lower right"': [("bread on the board", "lower right")],
    '"napkin (lower left)"': [("napkin", "lower left")],
    '"sauce boat top left"': [("sauce boat", "upper left")],
    '"spoon right"': [("spoon", "right")],
    '"cloth"': [("cloth", None)],
    '["spoon", "fork"]': [("spoon", None), ("fork", None)],
    "3": [("element 1", None), ("element 2", None), ("element 3", None)],
    '{ name = "cloth", at = "behind" }': [("cloth", "behind")],
    '["cloth behind", "fork on the left"]': [("cloth", "behind"), ("fork", "left")],
    '"jar, lower left"': [("jar", "lower left")],
    '"glass of milk in the background"': [("glass of milk", "behind")],
    '[{ name = "fork", at = "left of the subject" }]': [("fork", "left of the subject")],
    '[{ name = "knife", at = "to the right of it" }]': [("knife", "right of the subject")],
    '[{ name = "crumbs", at = "scattered around" }]': [("crumbs", "around the subject")],
    '[{ name = "board", at = "under the plate" }]': [("board", "under the subject")],
    '[{ name = "cup", at = ["behind", "upper left"] }]': [("cup", "behind or upper left")],
}


@pytest.mark.parametrize(("written", "meant"), ELEMENTS.items())
def test_supporting_elements(intent_of, written, meant):
    found = intent_of(f"supporting = {written}").supporting
    assert [(one.name, one.zone.words if one.zone else None) for one in found] == meant


# A share or a range of shares, and the sides.
SPACES = {
    '"left 40%"': ((0.4, 1), ("left",)),
    '"about 1/3 right"': ((THIRD, THIRD), ("right",)),
    '"lots of negative space at the top"': ((0.5, 1), ("top",)),
    '"left and right"': (None, ("left and right",)),
    '"top and left"': (None, ("upper left",)),
    '"left two thirds"': ((2 / 3, 1), ("left",)),
    '"empty top third"': ((THIRD, 1), ("top",)),
    '"most of the frame"': ((0.5, 1), ()),
    '"copy space on the left"': (None, ("left",)),
    '"on both sides"': (None, ("left and right",)),
    "0.4": ((0.4, 0.4), ()),
    '"40%"': ((0.4, 0.4), ()),
    '"half"': ((0.5, 0.5), ()),
    '"half empty"': ((0.5, 0.5), ()),
    '"a third"': ((THIRD, THIRD), ()),
    '"a third of the frame"': ((THIRD, THIRD), ()),
    '"over half"': ((0.5, 1), ()),
    '"30 to 40%"': ((0.3, 0.4), ()),
    "[0.3, 0.4]": ((0.3, 0.4), ()),
    '"lots"': ((0.5, 1), ()),
    '"lots of it"': ((0.5, 1), ()),
    '"little"': ((0, 0.25), ()),
    '"right"': (None, ("right",)),
    '"on the right"': (None, ("right",)),
    '"upper left corner"': (None, ("upper left",)),
    '"top left"': (None, ("upper left",)),
    '"either side"': (None, ("left", "right")),
    '"left or top"': (None, ("left", "top")),
    '["left", "top"]': (None, ("left", "top")),
    '"all around"': (None, ("around",)),
    '"none"': (None, ("none",)),
    '"top third"': ((THIRD, 1), ("top",)),
    '"left half"': ((0.5, 1), ("left",)),
    '"40% on the right"': ((0.4, 0.4), ("right",)),
    '"lots on the left"': ((0.5, 1), ("left",)),
    '"at least half, on the left"': ((0.5, 1), ("left",)),
    '"right, 40%"': ((0.4, 0.4), ("right",)),
    '{ fraction = "half", side = "left" }': ((0.5, 0.5), ("left",)),
    '{ fraction = [0.3, 0.4], side = ["left", "top"] }': ((0.3, 0.4), ("left", "top")),
}


@pytest.mark.parametrize(("written", "meant"), SPACES.items())
def test_empty_space(intent_of, written, meant):
    intent = intent_of(f"negative_space = {written}")
    share, sides = meant
    found = None if intent.negative_space is None else intent.negative_space.spans[0]
    assert found == (None if share is None else pytest.approx(share))
    assert intent.negative_space_sides == sides


TEMPERATURES = {
    '"neutral to warm"': (138, 260),
    '"cool daylight"': (95, 143),
    '"warm, about 5000 K"': (200, 200),
    '"at least 6000 K"': (1e6 / 25000, 1e6 / 6000),
    "5600": (1e6 / 5600, 1e6 / 5600),
    '"5600K"': (1e6 / 5600, 1e6 / 5600),
    '"5600 kelvin"': (1e6 / 5600, 1e6 / 5600),
    '"about 5,600 K"': (1e6 / 5600, 1e6 / 5600),
    "[5000, 6000]": (1e6 / 6000, 1e6 / 5000),
    '"5000 to 6000 K"': (1e6 / 6000, 1e6 / 5000),
    '"neutral"': (138, 170),
    '"daylight"': (140, 200),
    '"warm"': (165, 260),
    '"warm tones"': (165, 260),
    '"cool"': (95, 143),
    '"tungsten"': (260, 400),
    '"candlelight"': (350, 560),
    '{ kelvin = "warm" }': (165, 260),
    "{ mired = [150, 160] }": (150, 160),
    '["neutral", "warm"]': [(138, 170), (165, 260)],
}


@pytest.mark.parametrize(("written", "meant"), TEMPERATURES.items())
def test_colour_temperatures(intent_of, written, meant):
    found = intent_of(f"colour_temperature = {written}").colour_temperature
    assert len(found.spans) == len(spans(meant))
    for span, expected in zip(found.spans, spans(meant), strict=True):
        assert span == pytest.approx(expected)


def test_a_neutral_picture_is_neutral_and_daylight_and_neither_warm_nor_cool(intent_of):
    for words, is_meant in (("neutral", 1), ("daylight", 1), ("warm", 0), ("cool", 0)):
        found = intent_of(f'colour_temperature = "{words}"').colour_temperature
        assert (found.beyond(NEUTRAL_MIRED) == 0) == is_meant, words


RATIOS = {
    '"3:2 portrait"': (2 / 3, 2 / 3),
    '"portrait 3:2"': (2 / 3, 2 / 3),
    '"4:5 landscape"': (1.25, 1.25),
    '"3:2 landscape"': (1.5, 1.5),
    '"tall 3:2"': (2 / 3, 2 / 3),
    '"1:1 and 4:5"': [(1, 1), (0.8, 0.8)],
    '"portrait 4:5"': (0.8, 0.8),
    '"4:5, 1:1"': [(0.8, 0.8), (1, 1)],
    '"4:5"': (0.8, 0.8),
    '"4x5"': (0.8, 0.8),
    '"4/5"': (0.8, 0.8),
    '"4 by 5"': (0.8, 0.8),
    '"4:5 portrait"': (0.8, 0.8),
    "1.5": (1.5, 1.5),
    '"16/9"': (16 / 9, 16 / 9),
    '"square"': (1, 1),
    '"portrait"': (0.1, 0.95),
    '"vertical"': (0.1, 0.95),
    '"landscape"': (1.05, 10),
    '"4:5 or 1:1"': [(0.8, 0.8), (1, 1)],
    '["4:5", "1:1"]': [(0.8, 0.8), (1, 1)],
    "[0.8, 1.0]": [(0.8, 0.8), (1, 1)],
    '"portrait or square"': [(0.1, 0.95), (1, 1)],
}


@pytest.mark.parametrize(("written", "meant"), RATIOS.items())
def test_formats(intent_of, written, meant):
    found = intent_of(f"aspect_ratio = {written}").aspect_ratio
    assert len(found.spans) == len(spans(meant))
    for span, expected in zip(found.spans, spans(meant), strict=True):
        assert span == pytest.approx(expected)


DIAGONALS = {
    '"ascending"': "rising",
    '"up to the right"': "rising",
    '"rising"': "rising",
    '"lower left to upper right"': "rising",
    '"from the top left to the bottom right"': "falling",
    '"none"': "none",
}


@pytest.mark.parametrize(("written", "meant"), DIAGONALS.items())
def test_diagonals(intent_of, written, meant):
    assert intent_of(f"diagonal = {written}").diagonal == meant


# By the words that the report prints, or the code where there are none.
COLOURS = {
    '"light blue linen"': ["light blue linen"],
    '"rustic wood"': ["rustic wood"],
    '"wood (dark)"': ["wood dark"],
    '"black slate"': ["black slate"],
    '"warm white"': ["warm white"],
    '"earth tones"': ["earth"],
    '"#6f6a63"': ["#6f6a63"],
    '"6f6a63"': ["#6f6a63"],
    '"#fa0"': ["#ffaa00"],
    '"FA0"': ["#ffaa00"],
    '"sienna"': ["sienna"],
    '"dark slate grey"': ["dark slate grey"],
    '"terracotta"': ["terracotta"],
    '"pale blue"': ["pale blue"],
    '"light blue"': ["light blue"],
    '"sage green"': ["sage green"],
    '"light wood"': ["light wood"],
    '"a dark wooden board"': ["dark wooden"],
    '"slate"': ["slate"],
    '"white marble"': ["white marble"],
    '"marble"': ["marble"],
    '"cream"': ["cream"],
    '"mustard"': ["mustard"],
    '"linen tablecloth"': ["linen"],
    '"linen cloth"': ["linen"],
    '"dark"': ["dark"],
    '"dark background"': ["dark"],
    '"light"': ["light"],
    '"neutral tones"': ["neutral"],
    '"white or cream"': ["white", "cream"],
    '["charcoal", "#1a1a1a"]': ["charcoal", "#1a1a1a"],
    '"sage, cream and terracotta"': ["sage", "cream", "terracotta"],
}


@pytest.mark.parametrize("key", ["palette", "background", "surface"])
@pytest.mark.parametrize(("written", "meant"), COLOURS.items())
def test_colours(intent_of, key, written, meant):
    found = getattr(intent_of(f"{key} = {written}"), key)
    assert [colour.words or colour.hex for colour in found] == meant
    for colour in found:
        assert (colour.radius > 0) == bool(colour.words)


def test_a_diagonal_in_degrees_may_be_a_text(intent_of):
    assert intent_of('diagonal = "-30°"').diagonal_deg == -30


def test_light_that_says_no_direction_keeps_that_of_the_set(plan_of):
    plan = plan_of(f'[series]\nlight = "left"\n{SHOT}light = "soft"\n')
    assert plan.shots[0].intent.light.words == "left"
    assert len(plan.remarks) == 1


@pytest.mark.parametrize(
    ("written", "colour"),
    [
        ("dark walnut wood", "dark wood"),
        ("light oak", "light wood"),
        ("dark slate", "slate"),
        ("dark linen", "dark"),
        ("dark blue linen", "dark blue"),
        ("white plaster", "white"),
        ("light grey concrete", "light grey"),
        ("muted green", "sage"),
        ("muted greens", "sage"),
        ("deep red", "dark red"),
        ("deep reds", "dark red"),
        ("deep blue linen", "dark blue"),
        ("deep purple", "purple"),
        ("crumpled linen", "linen"),
        ("washed linen", "linen"),
        ("wrinkled white linen", "white"),
        ("wood (dark)", "dark wood"),
    ],
)
def test_of_a_composed_colour_the_first_name_counts(intent_of, written, colour):
    (found,) = intent_of(f'surface = "{written}"').surface
    (meant,) = intent_of(f'surface = "{colour}"').surface
    assert (found.hex, found.radius) == (meant.hex, meant.radius)


def test_files_may_be_one_text_or_none(plan_of):
    assert plan_of(f'{SHOT}files = "a.jpg"\n').shots[0].files == ("a.jpg",)
    assert plan_of(SHOT).shots[0].files == ()


def test_there_are_many_phrases():
    tables = (TECHNIQUES, ANGLES, LIGHTS, PLACES, SIZES, ELEMENTS, SPACES, TEMPERATURES, RATIOS)
    assert sum(map(len, (*tables, DIAGONALS, COLOURS))) >= 156
