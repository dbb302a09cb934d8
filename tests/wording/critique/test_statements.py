"""What is there: subject, division of the frame, camera and light, colours."""

import pytest

from auditor.colorimetry import lab_from_hex
from auditor.record.base import ReasonRecord
from auditor.record.colour_records import PaletteRecord, SaturationRecord
from auditor.record.picture_record import (
    CameraElevationRecord,
    ElementRecord,
    LargestRegionRecord,
    LightRecord,
    NegativeSpaceRecord,
    SubjectRecord,
)
from auditor.record.plan_records import MatchRecord, PicturePlanRecord
from auditor.wording.critique.amounts import (
    edges_phrase,
    edges_reached,
    edges_surely_reached,
    from_phrase,
    place_phrase,
    rough_share,
    share_in_words,
)
from auditor.wording.critique.camera_and_light import camera_and_light_statement
from auditor.wording.critique.colours import colours_statement
from auditor.wording.critique.division import division_statement
from auditor.wording.critique.families import families, shade
from auditor.wording.critique.overall import tone_statement, with_format
from auditor.wording.critique.statement import Statement
from auditor.wording.critique.subject import subject_statement
from tests.records import item, measured


def subject(centroid=(0.5, 0.5), area=0.3, confidence=0.9, bbox=(0.2, 0.2, 0.8, 0.8), **more):
    return SubjectRecord(
        **{
            "centroid": centroid,
            "bbox": bbox,
            "area_fraction": area,
            "source": "estimated",
            "confidence": confidence,
            "tolerance": 0.05,
            **more,
        }
    )


def element(centroid=(0.8, 0.2), area=0.05, confidence=0.7, bbox=(0.7, 0.1, 0.9, 0.3)):
    return ElementRecord(
        centroid=centroid, bbox=bbox, area_fraction=area, confidence=confidence, tolerance=0.05
    )


REGIONS = {"left": (0.0, 0.0, 0.6, 1.0), "right": (0.4, 0.0, 1.0, 1.0)}


def space(fraction=0.5, plain=None, side="left", confidence=0.7):
    region = LargestRegionRecord(bbox=REGIONS.get(side, (0.0, 0.0, 1.0, 1.0)), fraction=fraction)
    return NegativeSpaceRecord(
        fraction=fraction,
        plain_fraction=fraction if plain is None else plain,
        largest_region=region,
        side=side,
        sides=[side],
        confidence=confidence,
        tolerance=0.05,
    )


def swatches(*parts):
    return [PaletteRecord(hex=code, lab=lab_from_hex(code), share=share) for code, share in parts]


def coloured(*parts, echo=None):
    saturation = SaturationRecord(mean_chroma=30.0, median_chroma=25.0, high_chroma=45.0)
    return measured(
        palette=swatches(*parts),
        subject_palette=[],
        ground_palette=[],
        echo=echo,
        saturation=saturation,
    )


def said(statement):
    return "" if statement is None else statement.sentence


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.02, "a very small part"),
        (0.11, "about a tenth"),
        (0.32, "about a third"),
        (0.5, "about half"),
        (0.64, "about two thirds"),
        (0.15, "about a sixth"),
        (0.82, "about four fifths"),
        (0.9, "about nine tenths"),
        (0.95, "almost all"),
    ],
)
def test_shares_have_names(share, words):
    assert share_in_words(share) == words


def test_rough_shares_are_right_for_every_share():
    assert [rough_share(x) for x in (0.0, 0.3, 0.5, 0.8, 1.0)] == [
        "a small part",
        "less than half",
        "about half",
        "more than half",
        "more than half",
    ]


@pytest.mark.parametrize(("x", "side", "other"), [(0.2, "left", "right"), (0.8, "right", "left")])
def test_places_and_directions_are_mirrored(x, side, other):
    assert place_phrase(x, 0.2) == f"at the upper {side}"
    assert place_phrase(1 - x, 0.2) == f"at the upper {other}"
    assert place_phrase(x, 0.5) == f"{side} of the middle"
    assert from_phrase(x, 0.5) == f" from the {side}"
    assert place_phrase(0.5, 0.9) == "in the middle at the bottom"
    assert from_phrase(0.5, 0.1) == " from the top"
    assert from_phrase(0.5, 0.5) == ""


def test_edges_are_those_that_a_box_reaches():
    assert edges_reached((0.0, 0.1, 0.5, 1.0)) == ["left", "bottom"]
    assert edges_reached((0.01, 0.1, 0.5, 0.99)) == []
    assert edges_surely_reached((0.0, 0.1, 0.5, 1.0)) == ["left", "bottom"]
    assert edges_surely_reached((0.0, 0.04, 0.97, 1.0)) == []
    assert edges_surely_reached((0.0, 0.2, 1.0, 0.8)) == ["left", "right"]
    assert edges_phrase(["left", "bottom"]) == "the left and the bottom edge"


def test_the_subject_has_its_place_and_size():
    at_left = subject_statement(measured(subject=subject((0.2, 0.2), area=0.25)))
    assert at_left.sentence == (
        "The subject (what stands out most) lies at the upper left and covers about a quarter of "
        "the frame."
    )
    assert at_left.figures == "middle at 0.20, 0.20 of the frame; 25% of it; 90% sure"
    at_right = subject_statement(measured(subject=subject((0.8, 0.2), area=0.25)))
    assert at_right.sentence == at_left.sentence.replace("left", "right")


@pytest.mark.parametrize("area", [0.2, 0.5, 0.8])
def test_nothing_is_said_of_what_could_compete(area):
    alone = measured(subject=subject(area=area, confidence=0.95), elements=[])
    assert said(subject_statement(alone)).endswith("the frame.")
    assert "competes" not in said(subject_statement(alone))


@pytest.mark.parametrize(
    ("area", "confidence", "start"),
    [
        (0.2, 0.70, "The subject (what stands out most) lies"),
        (0.2, 0.69, "The subject is probably what lies"),
        (0.5, 0.65, "The subject (what stands out most) lies"),
        (0.5, 0.64, "The subject is probably what lies"),
        (0.2, 0.50, "The subject is probably what lies"),
        (0.2, 0.49, "What the subject is could not be told"),
    ],
)
def test_how_sure_the_subject_is(area, confidence, start):
    picture = measured(subject=subject(area=area, confidence=confidence), elements=[])
    assert said(subject_statement(picture)).startswith(start)


def test_a_probable_subject_has_its_place_alone():
    probable = subject((0.2, 0.2), area=0.2, confidence=0.6, bbox=(0.0, 0.0, 0.4, 0.4))
    statement = subject_statement(measured(subject=probable))
    assert statement.sentence == "The subject is probably what lies at the upper left."
    assert statement.figures == "middle at 0.20, 0.20 of the frame; 60% sure"
    food = subject(part="food", confidence=0.6)
    assert said(subject_statement(measured(subject=food))) == (
        "The subject is probably the food on the dish."
    )


@pytest.mark.parametrize(
    ("bbox", "words"),
    [
        ((0.0, 0.2, 0.6, 0.8), "and it reaches the left edge."),
        ((0.4, 0.2, 1.0, 0.8), "and it reaches the right edge."),
        ((0.0, 0.0, 0.6, 0.8), "and it reaches the left and the top edge."),
        ((0.0, 0.0, 1.0, 0.8), "and it reaches the edge of the frame on three sides."),
    ],
)
def test_a_subject_that_the_frame_cuts(bbox, words):
    assert said(subject_statement(measured(subject=subject(bbox=bbox)))).endswith(words)
    unsure = measured(subject=subject(bbox=bbox, confidence=0.79))
    assert "edge" not in said(subject_statement(unsure))


def test_food_has_neither_a_size_nor_a_cut_edge():
    food = measured(
        subject=subject(part="food", bbox=(0.0, 0.0, 1.0, 1.0)), subject_palette=[], elements=[]
    )
    text = said(subject_statement(food))
    assert text.startswith("The food (taken as the subject) lies ")
    assert "its dish takes up most of the frame" in text
    assert "edge" not in text
    assert "third" not in text


@pytest.mark.parametrize(
    ("covered", "words"), [(0.45, "about half of"), (0.6, "most of"), (0.95, "almost all of")]
)
def test_a_dish_has_its_size(covered, words):
    dish = swatches(("#ffffff", covered))
    food = measured(subject=subject(part="food"), subject_palette=dish, elements=[])
    assert f"its dish takes up {words} the frame" in said(subject_statement(food))


@pytest.mark.parametrize(
    ("at", "bbox"),
    [((0.37, 0.57), (0.0, 0.3, 0.8, 0.9)), ((0.5, 0.67), (0.1, 0.2, 0.85, 0.98))],
)
def test_food_that_seems_to_lie_to_one_side_has_no_place(at, bbox):
    food = subject(at, part="food", bbox=bbox)
    text = said(subject_statement(measured(subject=food, subject_palette=[])))
    assert text == (
        "The food (taken as the subject) lies on a dish that takes up most of the frame."
    )


def test_what_fills_the_frame_must_be_sure_to_be_one_thing():
    tray = measured(subject=subject(area=0.8, confidence=0.75), elements=[])
    assert "could not be told" in said(subject_statement(tray))
    sure = measured(subject=subject(area=0.8, confidence=0.95), elements=[])
    assert "fills most of the frame" in said(subject_statement(sure))


def test_without_a_sure_subject_the_reason_is_said():
    nothing = subject(None, None, None, None)
    reasons = {"subject": ReasonRecord(code="no_subject", message="Nothing stands out.")}
    full = measured(subject=nothing, elements=[element(area=0.97)], reasons=reasons)
    assert "full from edge to edge" in said(subject_statement(full))
    two = measured(
        subject=nothing, elements=[element(area=0.2), element(area=0.18)], reasons=reasons
    )
    assert "about the same size" in said(subject_statement(two))
    none = measured(subject=nothing, elements=[], reasons=reasons)
    assert said(subject_statement(none)) == (
        "What the subject is could not be told: nothing stands out."
    )
    unsure = measured(subject=subject(confidence=0.3), elements=[])
    assert "could not be told" in said(subject_statement(unsure))


def test_the_empty_part_has_its_side():
    left = measured(subject=subject(), elements=[], negative_space=space(side="left"))
    right = measured(subject=subject(), elements=[], negative_space=space(side="right"))
    assert said(division_statement(left)) == (
        "About half of the frame stays empty, mostly on the left."
    )
    assert said(division_statement(right)) == said(division_statement(left)).replace(
        "left", "right"
    )


def test_space_that_reaches_across_the_frame_has_no_side():
    found = space(side="top")
    picture = measured(subject=subject(), elements=[], negative_space=found)
    assert said(division_statement(picture)) == "About half of the frame stays empty."


def test_space_around_the_subject_is_named_only_without_other_things():
    found = space(side="around")
    alone = measured(subject=subject(), elements=[], negative_space=found)
    assert "all around the subject" in said(division_statement(alone))
    beside = measured(subject=subject(), negative_space=found)
    assert "around" not in said(division_statement(beside))


def test_a_share_that_is_not_sure_is_left_out():
    def empty(share, confidence, side="left"):
        found = space(share, side=side, confidence=confidence)
        return division_statement(measured(subject=subject(), elements=[], negative_space=found))

    assert empty(0.35, 0.3) is None
    assert empty(0.25, 0.62) is None
    assert empty(0.12, 0.7) is None
    assert "a quarter" in said(empty(0.25, 0.68))
    assert "half" in said(empty(0.5, 0.62))


def test_nothing_is_said_of_space_that_is_not_known():
    nothing = NegativeSpaceRecord(fraction=None, largest_region=None, side=None)
    assert division_statement(measured(negative_space=nothing)) is None


def test_patterned_ground_is_no_empty_space():
    sure = space(0.6, 0.1, confidence=0.85)
    patterned = measured(subject=subject(), elements=[], negative_space=sure)
    assert said(division_statement(patterned)) == (
        "More than half of the frame is ground with a pattern."
    )
    unsure = space(0.6, 0.1, confidence=0.84)
    assert division_statement(measured(elements=[], negative_space=unsure)) is None
    large = subject(area=0.65, confidence=0.95)
    filled = measured(subject=large, elements=[], negative_space=sure)
    assert division_statement(filled) is None


def test_other_things_are_named_by_their_places():
    sure = 0.8
    one = measured(subject=subject(), elements=[element(confidence=sure)], negative_space=space())
    assert "also in the frame" not in said(division_statement(one))
    two = [element((0.2, 0.2), confidence=sure), element((0.8, 0.5), confidence=sure)]
    beside = measured(subject=subject(), elements=two, negative_space=space())
    assert said(division_statement(beside)).endswith(
        "; also in the frame: two other things, at the upper left and right of the middle."
    )
    assert "other things: 5% and 5% of the frame" in division_statement(beside).figures
    same = [element((0.2, y), confidence=sure) for y in (0.1, 0.2)]
    assert said(
        division_statement(measured(subject=subject(), elements=same, negative_space=space()))
    ).endswith("two other things, at the upper left.")
    many = [element((0.8, y), confidence=sure) for y in (0.2, 0.5, 0.8)]
    several = measured(subject=subject(), elements=many, negative_space=space())
    assert said(division_statement(several)).endswith(
        "several other things lie mostly on the right."
    )
    unsure = [two[0], element((0.8, 0.5), confidence=0.79)]
    picture = measured(subject=subject(), elements=unsure, negative_space=space())
    assert "also in the frame" not in said(division_statement(picture))
    assert "other things" not in division_statement(picture).figures


def test_a_thing_with_a_planned_name_is_named():
    found = MatchRecord(bbox=(0.7, 0.1, 0.9, 0.3), element=0, seen_as="outline")
    kettle = item(
        "supporting", [0.8, 0.2], [0.8, 0.2], 0.0, 0.1, "fraction of diagonal", "met", "kettle"
    ).model_copy(update={"match": found})
    plan = PicturePlanRecord(shot="kettle", items=[kettle])
    picture = measured(subject=subject(), elements=[element()], negative_space=space(), plan=plan)
    assert said(division_statement(picture)).endswith(
        "; also in the frame: the kettle at the upper right."
    )
    two = [element((x, 0.8), confidence=0.8) for x in (0.2, 0.8)]
    more = picture.model_copy(update={"elements": [element(), *two]})
    assert said(division_statement(more)).endswith(
        "; also in the frame: the kettle at the upper right and two other things, at the lower "
        "left and at the lower right."
    )


def seen_from(deg=45.0, confidence=0.9, light=None):
    camera = CameraElevationRecord(deg=deg, ellipses=[], confidence=confidence, tolerance=10.0)
    nothing = LightRecord(clock=None, name=None, side=None)
    return measured(camera_elevation=camera, light=light or nothing)


@pytest.mark.parametrize(
    ("deg", "words"),
    [
        (5.0, "stands about level with the table"),
        (28.0, "looks down at a flat angle"),
        (45.0, "as when one sits at the table"),
        (70.0, "looks steeply down"),
        (90.0, "looks straight down"),
    ],
)
def test_the_camera_has_its_angle(deg, words):
    assert words in said(camera_and_light_statement(seen_from(deg)))


@pytest.mark.parametrize(("deg", "least"), [(5.0, 0.8), (30.0, 0.8), (36.0, 0.7), (85.0, 0.7)])
def test_flat_and_level_views_must_be_surer(deg, least):
    assert camera_and_light_statement(seen_from(deg, confidence=least)) is not None
    assert camera_and_light_statement(seen_from(deg, confidence=least - 0.01)) is None


@pytest.mark.parametrize(
    ("clock", "name", "side", "words"),
    [
        (12.0, "back light", None, "from behind,"),
        (10.5, "three-quarter back light", "left", "from behind on the left"),
        (1.5, "three-quarter back light", "right", "from behind on the right"),
        (9.0, "side light", "left", "from the left"),
        (3.0, "side light", "right", "from the right"),
        (4.5, "front light", "right", "from the front on the right"),
        (6.0, "front light", None, "from the front,"),
    ],
)
def test_the_light_has_its_direction(clock, name, side, words):
    light = LightRecord(clock=clock, name=name, side=side, confidence=0.75, tolerance=1.0)
    assert f"the light comes {words}" in said(camera_and_light_statement(seen_from(light=light)))


def test_an_unsure_light_is_left_out():
    def lit(confidence):
        light = LightRecord(
            clock=9.0, name="side light", side="left", confidence=confidence, tolerance=1.0
        )
        return said(camera_and_light_statement(seen_from(light=light)))

    assert "comes from the left" in lit(0.75)
    assert "light" not in lit(0.74)


def test_a_light_near_the_axis_has_no_side():
    light = LightRecord(
        clock=11.1, name="three-quarter back light", side="left", confidence=0.75, tolerance=1.5
    )
    text = said(camera_and_light_statement(seen_from(light=light)))
    assert "the light comes from behind, which" in text


def test_nothing_is_said_of_a_camera_and_a_light_that_are_not_sure():
    assert camera_and_light_statement(seen_from(confidence=0.4)) is None
    assert camera_and_light_statement(seen_from(deg=None)) is None


@pytest.mark.parametrize(
    ("code", "name", "part"),
    [
        ("#74492a", "brown", "warm"),
        ("#653020", "reddish brown", "warm"),
        ("#7e1a17", "dark red", "warm"),
        ("#e07b1f", "orange", "warm"),
        ("#b0501e", "orange red", "warm"),
        ("#e8c848", "golden yellow", "warm"),
        ("#b09a55", "golden yellow", "warm"),
        ("#5f9a98", "turquoise", "cool"),
        ("#c39a5c", "golden brown", "warm"),
        ("#dcc8a8", "beige", "warm"),
        ("#f7eacb", "cream", "neutral"),
        ("#4f8a43", "green", "green"),
        ("#2f62a8", "blue", "cool"),
        ("#1f1fd8", "blue", "cool"),
        ("#101a44", "dark blue", "cool"),
        ("#4fc3d9", "turquoise", "cool"),
        ("#e58fa0", "pink", "pink"),
        ("#8a2f8f", "purple", "pink"),
    ],
)
def test_colours_have_a_photographers_names(code, name, part):
    assert (shade(lab_from_hex(code)).name, shade(lab_from_hex(code)).part) == (name, part)


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("#ffffff", "white"),
        ("#d8f6fb", "white"),
        ("#c8c8cc", "white"),
        ("#b4b4b6", "white to light grey"),
        ("#cfc4b4", "off-white"),
        ("#8c8c8c", "grey"),
        ("#464646", "dark grey"),
        ("#141414", "black"),
    ],
)
def test_greys_have_names(code, name):
    assert [one.name for one in families(swatches((code, 1.0)))] == [name]


def test_shades_of_one_family_are_one_area():
    found = families(swatches(("#3b2413", 0.3), ("#8a5a36", 0.25), ("#8c8c8c", 0.45)))
    assert [(one.name, one.share) for one in found] == [
        ("brown", pytest.approx(0.55)),
        ("grey", pytest.approx(0.45)),
    ]
    golden = families(swatches(("#74492a", 0.5), ("#c39a5c", 0.5)))
    assert [one.name for one in golden] == ["brown to golden brown"]
    greys = families(swatches(("#464646", 0.5), ("#606060", 0.5)))
    assert [one.name for one in greys] == ["dark grey to grey"]


def test_warm_colours_throughout():
    text = said(colours_statement(coloured(("#74492a", 0.6), ("#e07b1f", 0.4))))
    assert text == "Warm colours throughout, mostly brown and orange."


@pytest.mark.parametrize("code", ["#ffffff", "#141414", "#8c8c8c", "#2f62a8"])
def test_a_large_other_area_is_not_left_out(code):
    text = said(colours_statement(coloured(("#74492a", 0.6), ("#e07b1f", 0.15), (code, 0.25))))
    assert "throughout" not in text
    name = families(swatches((code, 1.0)))[0].name
    assert name in text


def test_a_small_colour_of_another_hue_is_named():
    text = said(colours_statement(coloured(("#74492a", 0.9), ("#4f8a43", 0.05))))
    assert text == "Most of the frame is brown; a smaller part is green."
    speck = said(colours_statement(coloured(("#74492a", 0.97), ("#4f8a43", 0.03))))
    assert "green" not in speck


def test_a_small_colour_must_be_stronger_than_the_rest():
    orange = ("#e07b1f", 0.9)
    assert "smaller" not in said(colours_statement(coloured(orange, ("#4f8a43", 0.08))))


@pytest.mark.parametrize("share", [0.14, 0.15])
def test_a_main_colour_covers_enough(share):
    text = said(colours_statement(coloured(("#74492a", 0.6), ("#8c8c8c", share))))
    assert ("grey" in text) == (share >= 0.15)
    assert colours_statement(coloured(("#74492a", share))) is None or share >= 0.15


def test_a_grey_that_is_second_by_area_is_kept():
    parts = [("#e07b1f", 0.26), ("#8c8c8c", 0.23), ("#2f62a8", 0.21), ("#4f8a43", 0.20)]
    assert said(colours_statement(coloured(*parts))).startswith(
        "Most of the frame is orange, blue and grey"
    )
    assert "grey" in said(colours_statement(coloured(("#74492a", 0.84), ("#8c8c8c", 0.16))))


@pytest.mark.parametrize(("share", "is_said"), [(0.08, True), (0.07, False)])
def test_a_white_plate_is_not_left_out(share, is_said):
    text = said(colours_statement(coloured(("#74492a", 0.6), ("#464646", 0.3), ("#c8c8cc", share))))
    assert ("; a smaller part is white" in text) == is_said


def test_a_colour_that_fills_the_frame_comes_before_greys():
    text = said(colours_statement(coloured(("#e07b1f", 0.3), ("#ffffff", 0.2), ("#141414", 0.2))))
    assert text.startswith("Most of the frame is orange, ")


def test_opposite_hues_are_a_contrast():
    text = said(colours_statement(coloured(("#2f62a8", 0.5), ("#e07b1f", 0.5))))
    assert text == (
        "Almost the whole frame is orange and blue; orange against blue is a contrast of hues."
    )
    few = said(colours_statement(coloured(("#2f62a8", 0.04), ("#e07b1f", 0.5))))
    assert "contrast" not in few
    near = said(colours_statement(coloured(("#b0501e", 0.5), ("#e8c848", 0.5))))
    assert "contrast" not in near


def test_the_subjects_own_palette_adds_its_colour():
    picture = measured(
        palette=swatches(("#8c8c8c", 1.0)),
        subject_palette=swatches(("#e07b1f", 0.05)),
        ground_palette=[],
    )
    assert "a smaller part is orange" in said(colours_statement(picture))


def test_hardly_any_colour():
    grey = SaturationRecord(mean_chroma=3.0, median_chroma=2.0, high_chroma=6.0)
    picture = measured(
        palette=swatches(("#8c8c8c", 0.7), ("#e9e6e0", 0.3)),
        subject_palette=[],
        ground_palette=[],
        saturation=grey,
    )
    assert said(colours_statement(picture)) == "Hardly any colour: mostly grey and white."
    assert colours_statement(measured(palette=[])) is None


def test_a_trace_of_a_strong_colour_is_some_colour():
    grey = SaturationRecord(mean_chroma=6.0, median_chroma=2.0, high_chroma=10.0)

    def palette_of(share):
        return measured(
            palette=swatches(("#8c8c8c", 0.9), ("#e07b1f", share)),
            subject_palette=[],
            ground_palette=[],
            saturation=grey,
        )

    assert said(colours_statement(palette_of(0.03))) == "Most of the frame is grey."
    assert said(colours_statement(palette_of(0.01))) == "Hardly any colour: mostly grey."
    green = said(colours_statement(coloured(("#74492a", 0.97), ("#4f8a43", 0.03))))
    assert green == "Almost the whole frame is brown."
    on_ground = measured(
        palette=swatches(("#e07b1f", 1.0)),
        subject_palette=[],
        ground_palette=swatches(("#4f8a43", 0.05)),
    )
    assert "throughout" not in said(colours_statement(on_ground))


@pytest.mark.parametrize(
    ("width", "height", "words"),
    [
        (600, 600, "the format is square."),
        (600, 400, "the format is wide, about three to two."),
        (400, 500, "the format is upright, about five to four."),
        (700, 400, "the format is wide, about sixteen to nine."),
        (1000, 300, "the format is wide."),
    ],
)
def test_the_format_is_named_within_another_sentence(width, height, words):
    picture = measured(width=width, height=height)
    assert with_format(Statement("It is light.", "a"), picture).sentence == f"It is light; {words}"
    assert tone_statement(picture).sentence.endswith(f"; {words}")
