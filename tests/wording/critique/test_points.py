"""What is strong and what works against a picture."""

import pytest

from auditor.colorimetry import lab_from_hex
from auditor.record.addition_records import BorderRecord, WritingRecord
from auditor.record.colour_records import (
    ClippedRegionRecord,
    ClippingRecord,
    ColourTemperatureRecord,
    EchoPlaceRecord,
    EchoRecord,
    PaletteRecord,
    SubjectToneRecord,
    ToneRecord,
)
from auditor.record.picture_record import (
    DiagonalRecord,
    ElementRecord,
    FocusRecord,
    LeadingLinesRecord,
    RollRecord,
    TechniqueFitRecord,
)
from auditor.record.plan_records import PicturePlanRecord
from auditor.wording.critique.statement import Clause, joined
from auditor.wording.critique.strengths import strengths
from auditor.wording.critique.weaknesses import weaknesses
from tests.records import item, measured
from tests.wording.critique.test_statements import space, subject


def plain(**changes):
    """A picture of which nothing strong and nothing weak is known."""
    nothing = ToneRecord(
        mean_lightness=50.0,
        contrast=60.0,
        exposure_ev=0.0,
        clipped_highlights=0.0,
        clipped_shadows=0.0,
    )
    fields = {
        "subject": subject(),
        "elements": [],
        "negative_space": space(0.2, side="none"),
        "diagonal": None,
        "leading_lines": None,
        "technique_fit": {},
        "echo": None,
        "subject_tone": None,
        "tone": nothing,
        "roll": RollRecord(deg=None),
        "focus": FocusRecord(subject_sharpness=None, sharpest_at=None, subject_in_focus=None),
        "colour_temperature": temperature(154.0),
        "palette": [],
        "subject_palette": [],
        "ground_palette": [],
    }
    return measured(**{**fields, **changes})


def temperature(mired, confidence=0.7):
    return ColourTemperatureRecord(
        cct_k=1e6 / mired,
        duv=0.003,
        mired=mired,
        clusters=[],
        confidence=confidence,
        tolerance=15.0,
    )


def words(clauses):
    return " | ".join(clause.words for clause in clauses)


def strong(**changes):
    return words(strengths(plain(**changes)))


def weak(**changes):
    return words(weaknesses(plain(**changes)))


def tone_of(lightness_difference=0.0, colour_difference=15.0, lightness=55.0):
    return SubjectToneRecord(
        lightness=lightness,
        lightness_difference=lightness_difference,
        colour_difference=colour_difference,
        texture=5.0,
        confidence=0.9,
    )


def test_nothing_is_said_where_nothing_is_known():
    assert strong() == ""
    assert weak() == ""


def test_nothing_is_said_of_a_subject_that_is_not_sure():
    unsure = subject(confidence=0.3)
    assert strong(subject=unsure, subject_tone=tone_of(40.0)) == ""
    assert weak(subject=unsure, subject_tone=tone_of(1.0, 2.0)) == ""


def test_a_probable_subject_has_neither_strengths_nor_weaknesses():
    probable = subject((0.34, 0.34), area=0.2, confidence=0.65)
    fit = TechniqueFitRecord(
        distance=0.02, point=(0.33, 0.33), chance=0.03, near_rank=1, confidence=0.65, tolerance=0.05
    )
    assert (
        strong(
            subject=probable,
            subject_tone=tone_of(40.0),
            focus=focus("shallow focus", in_focus=True),
            technique_fit={"rule of thirds": fit},
            leading_lines=line((0.9, 0.1)),
        )
        == ""
    )
    dark = burnt((0.3, 0.3, 0.4, 0.4)).model_copy(update={"mean_lightness": 20.0})
    assert weak(subject=probable, tone=dark, subject_tone=tone_of(lightness=20.0)) == ""
    assert weak(subject=probable, focus=focus("missed focus", in_focus=False)) == ""
    assert weak(subject=probable, focus=focus(None, in_focus=False)) == ""
    assert "nothing in the frame" in weak(
        subject=probable, focus=focus("soft all over", in_focus=False)
    )


def line(start, confidence=0.8, distance=0.05):
    return LeadingLinesRecord(
        kind="lines",
        leads_to=(0.5, 0.5),
        distance=distance,
        strength=0.8,
        paths=[[start, (0.5, 0.5)]],
        confidence=confidence,
        tolerance=0.05,
    )


def test_a_line_leads_from_its_side():
    assert strong(leading_lines=line((0.9, 0.1))) == (
        "a line from the upper right leads to the subject"
    )
    assert strong(leading_lines=line((0.1, 0.1))) == (
        "a line from the upper left leads to the subject"
    )
    assert strong(leading_lines=line((0.9, 0.1), confidence=0.4)) == ""
    assert strong(leading_lines=line((0.9, 0.1), distance=0.3)) == ""


def test_a_subject_apart_by_lightness_or_colour():
    assert "clearly lighter than what surrounds it" in strong(subject_tone=tone_of(30.0))
    assert "clearly darker than what surrounds it" in strong(subject_tone=tone_of(-30.0))
    assert "the colour of the subject sets it" in strong(subject_tone=tone_of(5.0, 40.0))
    assert strong(subject_tone=tone_of(24.0, 20.0)) == ""
    assert strong(subject=subject(confidence=0.75), subject_tone=tone_of(30.0, 40.0)) == ""
    # Of food the tones are those of its dish.
    assert strong(subject=subject(part="food"), subject_tone=tone_of(30.0)).startswith("the dish")


def test_the_calm_space_must_lie_opposite():
    at_right = subject((0.75, 0.5))
    opposite = strong(subject=at_right, negative_space=space(0.5, side="left"))
    assert "calm space balances the subject" in opposite
    assert strong(subject=at_right, negative_space=space(0.5, side="right")) == ""
    assert strong(subject=at_right, negative_space=space(0.5, side="left", confidence=0.3)) == ""


def diagonal(angle, confidence=0.9):
    return DiagonalRecord(
        angle_deg=angle,
        ends=((0.1, 0.9), (0.9, 0.1)),
        strength=0.9,
        drawn_by="edges",
        confidence=confidence,
        tolerance=10.0,
    )


def test_a_diagonal_has_its_direction():
    assert "a rising diagonal" in strong(diagonal=diagonal(40.0))
    assert "a falling diagonal" in strong(diagonal=diagonal(-40.0))
    assert strong(diagonal=diagonal(40.0, confidence=0.5)) == ""
    assert strong(diagonal=diagonal(5.0)) == ""


def echo(code, share=0.02):
    place = EchoPlaceRecord(centroid=(0.2, 0.8), bbox=(0.1, 0.7, 0.3, 0.9), share=share)
    return EchoRecord(
        hex=code,
        lab=lab_from_hex(code),
        name="orange",
        name_distance=1.0,
        share=share,
        places=[place],
        confidence=0.9,
    )


def test_an_echo_is_a_colour_that_one_sees():
    assert strong(echo=echo("#e07b1f")) == "the orange of the subject returns at the lower left"
    assert strong(echo=echo("#74492a")) == ""  # a brown table is no echo
    assert strong(echo=echo("#e07b1f", share=0.3)) == ""


def focus(cause, *, in_focus, cause_confidence=0.8, confidence=0.9):
    return FocusRecord(
        subject_sharpness=0.5,
        sharpest_at=(0.1, 0.1),
        subject_in_focus=in_focus,
        cause=cause,
        cause_confidence=cause_confidence,
        confidence=confidence,
    )


def test_soft_surroundings_are_strong_and_a_soft_subject_is_not():
    assert "much of the rest is soft" in strong(focus=focus("shallow focus", in_focus=True))
    unsure = focus("shallow focus", in_focus=True, cause_confidence=0.6)
    assert strong(focus=unsure) == ""
    assert "something else is sharp" in weak(focus=focus("missed focus", in_focus=False))
    unknown = focus(None, in_focus=False, cause_confidence=None)
    assert weak(focus=unknown) == (
        "the subject looks softer than other parts; the sharpest part lies at the upper left"
    )
    assert weak(focus=focus(None, in_focus=False, confidence=0.5)) == ""


@pytest.mark.parametrize(("deg", "way"), [(4.0, "to the left"), (-4.0, "to the right")])
def test_a_tilt_has_its_direction(deg, way):
    tilted = RollRecord(deg=deg, confidence=0.95, tolerance=0.5)
    assert weak(roll=tilted) == f"lines that should be level or upright lean {way}"
    assert weak(roll=tilted.model_copy(update={"confidence": 0.85})) == ""
    assert weak(roll=tilted.model_copy(update={"deg": 2.2})) == ""


def burnt(box, share=0.02, channels=None):
    regions = [ClippedRegionRecord(kind="highlights", bbox=box, share=share)]
    channels = channels or (share, share, share)
    return ToneRecord(
        mean_lightness=50.0,
        contrast=60.0,
        exposure_ev=0.0,
        clipped_highlights=share,
        clipped_shadows=0.0,
        clipping=ClippingRecord(highlights=channels, shadows=(0.0, 0.0, 0.0), regions=regions),
    )


def test_burnt_highlights_are_told_by_their_place():
    on_it = burnt((0.4, 0.4, 0.5, 0.5))
    assert weak(tone=on_it) == "whites on the subject are burnt out"
    assert weak(tone=burnt((0.4, 0.4, 0.5, 0.5), share=0.014)) == ""
    corner = (0.21, 0.21, 0.3, 0.3)  # within the box of the subject, and not in its inner part
    assert weak(tone=burnt(corner)) == ""
    beside = burnt((0.85, 0.0, 1.0, 0.15), share=0.05)
    assert weak(tone=beside) == "parts of the picture are burnt out"
    assert weak(tone=burnt((0.85, 0.0, 1.0, 0.15), share=0.03)) == ""
    in_two = burnt((0.85, 0.0, 1.0, 0.15), share=0.05, channels=(0.05, 0.05, 0.03))
    assert weak(tone=in_two) == ""


def test_a_colour_that_is_clipped_in_one_channel_is_not_burnt():
    strong_red = burnt((0.4, 0.4, 0.5, 0.5), channels=(0.06, 0.002, 0.0))
    assert weak(tone=strong_red) == ""


def test_only_what_is_black_in_all_channels_is_blocked():
    tone = burnt((0.4, 0.4, 0.5, 0.5), share=0.0)

    def black(*channels):
        clipping = ClippingRecord(highlights=(0.0, 0.0, 0.0), shadows=channels, regions=[])
        return weak(tone=tone.model_copy(update={"clipping": clipping}))

    assert black(0.2, 0.2, 0.2) == "the darkest parts are black without detail"
    assert black(0.0, 0.0, 0.3) == ""


def test_a_close_subject_shares_the_colours_of_the_ground():
    near = [PaletteRecord(hex="#8c8c8c", lab=lab_from_hex("#8c8c8c"), share=0.4)]
    far = [PaletteRecord(hex="#e07b1f", lab=lab_from_hex("#e07b1f"), share=0.4)]
    close = tone_of(2.0, 4.0)
    said = weak(subject_tone=close, subject_palette=near, ground_palette=near)
    assert said == "the subject and what surrounds it are close in lightness and colour"
    assert weak(subject_tone=close, subject_palette=far, ground_palette=near) == ""


def test_casts_need_a_strong_reading():
    assert "bluish" in weak(colour_temperature=temperature(110.0))
    assert "yellow" in weak(colour_temperature=temperature(240.0))
    assert weak(colour_temperature=temperature(240.0, confidence=0.3)) == ""
    assert weak(colour_temperature=temperature(180.0)) == ""


def thing(area, bbox, confidence=0.7):
    left, top, right, bottom = bbox
    return ElementRecord(
        centroid=((left + right) / 2, (top + bottom) / 2),
        bbox=bbox,
        area_fraction=area,
        confidence=confidence,
        tolerance=0.05,
    )


def test_other_things_compete_or_are_cut_off():
    large = thing(0.25, (0.65, 0.1, 0.9, 0.3))
    assert weak(elements=[large]) == (
        "what lies at the upper right is about as large as the subject and competes with it"
    )
    larger = thing(0.4, (0.65, 0.1, 0.9, 0.3))
    assert "is larger than the subject" in weak(elements=[larger])
    assert weak(elements=[thing(0.25, (0.65, 0.1, 0.9, 0.3), confidence=0.66)]) == ""
    at_edge, inside = (0.0, 0.1, 0.1, 0.3), (0.1, 0.1, 0.2, 0.3)
    assert weak(elements=[thing(0.05, at_edge, 0.85)]) == (
        "what is cut off at the upper left draws the eye to the edge"
    )
    assert weak(elements=[thing(0.05, at_edge, 0.75)]) == ""
    assert weak(elements=[thing(0.03, at_edge, 0.85)]) == ""
    assert weak(elements=[thing(0.05, inside, 0.85)]) == ""


def test_a_subject_at_the_edge_has_no_room():
    assert weak(subject=subject(bbox=(0.01, 0.2, 0.6, 0.8))) == (
        "the subject almost touches the left edge, which leaves it no room"
    )
    assert weak(subject=subject(bbox=(0.4, 0.2, 0.99, 0.8))) == (
        "the subject almost touches the right edge, which leaves it no room"
    )
    assert weak(subject=subject(bbox=(0.01, 0.2, 0.6, 0.8), confidence=0.75)) == ""


def writing(y, confidence=0.9):
    corners = [(0.1, y), (0.4, y), (0.4, y + 0.02), (0.1, y + 0.02)]
    return WritingRecord(corners=corners, angle_deg=0.0, confidence=confidence, tolerance=0.05)


def test_writing_stands_where_captions_do():
    assert weak(writing=[writing(0.9)]) == "writing on the picture draws the eye"
    assert weak(writing=[writing(0.4)]) == ""  # one line on the food is glare as likely
    assert weak(writing=[writing(0.4), writing(0.5)]) == ""
    assert "writing" in weak(writing=[writing(0.4), writing(0.5), writing(0.6)])
    assert weak(writing=[writing(0.9, confidence=0.8)]) == ""


def test_a_border_goes_all_around():
    fields = {"hex": "#ffffff", "has_round_corners": False, "confidence": 0.9}
    around = BorderRecord(inside=(0.02, 0.02, 0.98, 0.98), **fields)
    one_side = BorderRecord(inside=(0.0, 0.0, 0.98, 1.0), **fields)
    assert weak(border=around) == "the border around it makes the picture smaller"
    assert weak(border=one_side) == ""


def test_a_crossing_is_said_of_a_small_subject_alone():
    fit = TechniqueFitRecord(
        distance=0.02, point=(0.33, 0.33), chance=0.03, near_rank=1, confidence=0.9, tolerance=0.05
    )
    near = {"technique_fit": {"rule of thirds": fit}}
    assert strong(subject=subject((0.34, 0.34), area=0.2), **near) == (
        "the subject sits on a crossing of the thirds"
    )
    assert strong(subject=subject((0.34, 0.34), area=0.3), **near) == ""
    assert strong(subject=subject((0.34, 0.34), area=0.2, confidence=0.75), **near) == ""


def test_a_centred_subject_is_on_no_crossing():
    fit = TechniqueFitRecord(
        distance=0.02, point=(0.38, 0.38), chance=0.03, near_rank=1, confidence=0.9, tolerance=0.05
    )
    golden = {"golden ratio": fit}
    at = subject((0.36, 0.36), area=0.2)
    assert "golden ratio" in strong(subject=at, technique_fit=golden)
    centred = {**golden, "centred": fit.model_copy(update={"near_rank": 2})}
    assert strong(subject=at, technique_fit=centred) == ""
    assert strong(subject=subject((0.45, 0.45), area=0.2), technique_fit=golden) == ""


def test_symmetry_needs_a_strong_reading():
    fit = TechniqueFitRecord(
        distance=0.0, point=(0.5, 0.5), fit=0.8, confidence=0.8, tolerance=0.05
    )
    assert "mirror" in strong(technique_fit={"symmetry": fit})
    unsure = fit.model_copy(update={"confidence": 0.63})
    assert strong(technique_fit={"symmetry": unsure}) == ""


def test_a_pattern_draws_the_eye_where_it_is_sure():
    patterned = space(0.6, 0.1, confidence=0.9)
    assert "patterned ground" in weak(negative_space=patterned)
    assert weak(negative_space=space(0.6, 0.1, confidence=0.8)) == ""
    large = subject(area=0.65, confidence=0.95)
    assert weak(subject=large, negative_space=patterned) == ""


@pytest.mark.parametrize(
    ("element", "words"),
    [
        ("kettle", "the kettle is"),
        ("spoons", "the spoons are"),
        ("glass", "the glass is"),
        ("at the corner", "what is at the corner is"),
        ("the long spoon", "the long spoon is"),
        ("a jar", "a jar is"),
    ],
)
def test_planned_names_stand_in_a_sentence(element, words):
    met = LIGHT_MET.model_copy(update={"quantity": "supporting", "element": element})
    assert strong(plan=planned(met, SPACE_MISSED)) == f"{words} as planned"


def planned(*items):
    return PicturePlanRecord(shot="kettle", items=list(items))


LIGHT_MET = item("light", 10.5, 10.4, 0.1, 1.0, "h", "met")
SPACE_MISSED = item("negative_space", 0.5, 0.2, -0.3, 0.1, "fraction of frame", "missed")
WARM_MET = item("colour_temperature", 238.0, 240.0, 2.0, 20.0, "mired", "met")


def test_the_plan_says_what_a_picture_tries():
    both = planned(LIGHT_MET, SPACE_MISSED)
    assert strong(plan=both) == "the light is as planned"
    assert weak(plan=both) == ""  # what is missed stands in sentences of its own
    assert strong(plan=planned(LIGHT_MET)) == "all that was planned is there"


def test_what_was_planned_does_not_work_against_it():
    warm = temperature(240.0)
    assert "yellow" in weak(colour_temperature=warm)
    assert weak(colour_temperature=warm, plan=planned(WARM_MET)) == ""


@pytest.mark.parametrize("change", [{"verdict": "missed"}, {"on_purpose": "candle light"}])
def test_a_cast_that_is_a_miss_or_meant_is_not_told_again(change):
    item = WARM_MET.model_copy(update=change)
    assert weak(colour_temperature=temperature(240.0), plan=planned(item)) == ""


def test_clauses_of_one_topic_are_joined_once():
    clauses = [
        Clause("a", "1", "x", 0.5),
        Clause("b", "2", "x", 0.9),
        Clause("c", "3", "y", 0.4),
        Clause("d", "4", "z", 0.3),
    ]
    found = joined("Lead", clauses)
    assert (found.sentence, found.figures) == ("Lead: b, and c.", "2; 3")
    assert joined("Lead", []) is None
