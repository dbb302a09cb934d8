import pytest

from auditor.page.drawing.clipping_map import clipping_map
from auditor.record.base import (
    ReasonRecord,
)
from auditor.wording.camera_settings import capture_line, exposure_time_text
from auditor.wording.measured_rows import measured_rows
from tests.records import CAMERA, measured, mixed_light


def rows(picture):
    return {row.title: row for row in measured_rows(picture)}


def test_values_stand_with_how_sure_they_are():
    found = rows(measured())
    assert found["Camera angle"].value.text == "three-quarter (46°); read from 1 rim"
    assert found["Camera angle"].certainty == "within 5°: 70% probable"
    assert found["Tilt"].value.text == "1.4° anticlockwise"
    assert found["Tilt"].certainty == "within 0.5°: 70% probable"
    assert found["Nearest techniques"].value.text == (
        "rule of thirds (0.02 of the diagonal away) and golden ratio (0.04 of the diagonal away)"
    )
    assert found["Tone"].value.text.startswith(
        "high key; mean lightness 72 L* of 100; contrast 41 L*"
    )
    assert found["Clipping"].value.text == (
        "blown highlights on under 1% of the frame, blocked shadows on 0%; blown in red under 1%"
    )


def test_the_subject_says_what_chose_it_and_whether_it_is_the_food_alone():
    subject = measured().subject
    assert "found in the picture" in rows(measured())["Subject"].value.text
    food = subject.model_copy(update={"source": "metadata", "part": "food"})
    text = rows(measured(subject=food))["Subject"].value.text
    assert "chosen by the file’s metadata" in text
    assert text.endswith("the food alone, as its dish nearly fills the frame")


def test_a_temperature_known_by_the_set_says_so():
    found = measured().colour_temperature
    by_set = found.model_copy(update={"source": "set", "duv": None})
    text = rows(measured(colour_temperature=by_set))["Colour temperature"].value.text
    assert text == "warm (4900 K, 205 mired); by what it shares with other pictures of the set"
    by_picture = found.model_copy(update={"source": "picture"})
    text = rows(measured(colour_temperature=by_picture))["Colour temperature"].value.text
    assert "set" not in text


def test_mixed_light_is_given_with_its_places():
    found = rows(measured(colour_temperature=mixed_light(["001"] * 3)))
    assert found["Colour temperature"].value.text.endswith(
        "5200 K on 70% of the free area, mostly left; 3100 K on 30%, right"
    )


def test_colours_stand_with_their_names():
    found = rows(measured())
    assert [patch.text for patch in found["Palette"].value.colours] == [
        "warm grey 60%",
        "reddish brown 40%",
    ]
    assert [patch.hex for patch in found["Subject’s colours"].value.colours] == ["#b0521f"]
    assert found["Echo"].value.text == "returns on 3% of the frame: lower right"
    assert found["Subject’s tone"].value.text == (
        "darker than what surrounds it (33 L*); colours 38 ΔE₀₀ apart; texture 3.2 L*"
    )


def test_an_echo_may_be_absent_or_the_ground_itself():
    echo = measured().echo
    none = rows(measured(echo=echo.model_copy(update={"share": 0.0, "places": []})))["Echo"]
    assert none.value.text == "does not return outside the subject"
    ground = rows(measured(echo=echo.model_copy(update={"share": 0.4})))["Echo"]
    assert ground.value.text == "is the colour of its surroundings too, on 40% of the frame"


def test_clipping_is_drawn_where_it_lies():
    # 600 by 400 pixels on a map 96 units wide: a box of 0.8 to 0.9 across, 0.1 to 0.2 down.
    assert rows(measured())["Clipping"].has_clipping_map
    drawn = clipping_map(measured())
    assert (drawn.width, drawn.height) == ("96.0", "64.0")
    (box,) = drawn.boxes
    assert (box.kind, box.x, box.y, box.width, box.height) == (
        *("highlights", "76.8", "6.4"),
        *("9.6", "6.4"),
    )
    assert drawn.description == "Map of the frame: 1 place with blown highlights"
    tone = measured().tone
    even = tone.model_copy(update={"clipping": tone.clipping.model_copy(update={"regions": []})})
    assert not rows(measured(tone=even))["Clipping"].has_clipping_map


def test_a_record_of_an_earlier_version_has_all_rows():
    picture = measured()
    tone = picture.tone.model_copy(update={"key": None, "midtone_ev": None, "clipping": None})
    earlier = measured(
        tone=tone, saturation=None, echo=None, subject_tone=None, subject_palette=[], reasons={}
    )
    assert list(rows(earlier)) == list(rows(picture))
    assert rows(earlier)["Saturation"].value.text == "Could not be measured."


def test_leading_lines_say_where_they_meet():
    picture = measured()
    found = rows(picture)["Leading lines"]
    assert found.value.text == "2 lines meet 0.04 of the diagonal from the subject’s middle"
    assert found.certainty == "within 0.06 of the diagonal: 50% probable"
    one = picture.leading_lines.model_copy(update={"paths": [[(0.9, 0.9), (0.4, 0.5)]]})
    found = rows(measured(leading_lines=one))["Leading lines"]
    assert found.value.text == "1 line passes 0.04 of the diagonal from the subject’s middle"
    path = [(0.1 * k, 0.9) for k in range(4)]
    arc = picture.leading_lines.model_copy(update={"kind": "arc", "paths": [path]})
    found = rows(measured(leading_lines=arc))["Leading lines"]
    assert found.value.text.startswith("an arc of 4 things leads to a point 0.04 of the diagonal")


def test_what_is_seen_in_the_picture_is_named_apart_from_what_is_near():
    picture = measured()
    fits = dict(picture.technique_fit)
    fits["symmetry"] = fits["symmetry"].model_copy(
        update={"distance": 0.0, "fit": 0.49, "is_there": False}
    )
    fits["triangle arrangement"] = fits["triangle arrangement"].model_copy(update={"fit": 0.5})
    assert rows(measured(technique_fit=fits))["Nearest techniques"].value.text == (
        "rule of thirds (0.02 of the diagonal away) and golden ratio (0.04 of the diagonal away); "
        "seen in the picture: triangle arrangement"
    )


def test_the_techniques_near_come_by_their_rank_and_none_is_said_of_none():
    fits = dict(measured().technique_fit)
    for name, rank in (("golden ratio", 1), ("rule of thirds", 2)):
        fits[name] = fits[name].model_copy(update={"near_rank": rank})
    found = rows(measured(technique_fit=fits))["Nearest techniques"]
    assert found.value.text == (
        "golden ratio (0.04 of the diagonal away) and rule of thirds (0.02 of the diagonal away)"
    )
    away = {name: fit.model_copy(update={"near_rank": None}) for name, fit in fits.items()}
    found = rows(measured(technique_fit=away))["Nearest techniques"]
    assert found.value.text == "near no point of a technique"


def test_a_symmetry_is_seen_and_not_named_twice():
    fits = dict(measured().technique_fit)
    fits["symmetry"] = fits["symmetry"].model_copy(update={"fit": 0.9, "near_rank": 3})
    assert rows(measured(technique_fit=fits))["Nearest techniques"].value.text == (
        "rule of thirds (0.02 of the diagonal away) and golden ratio (0.04 of the diagonal away); "
        "seen in the picture: symmetry"
    )


def test_what_could_not_be_measured_says_why():
    picture = measured()
    reason = ReasonRecord(code="flat_light", message="The light is too even.")
    light = picture.light.model_copy(update={"clock": None, "confidence": None, "reason": reason})
    found = rows(measured(light=light, reasons={"light": reason}))
    assert found["Light"].value.text == "The light is too even."
    assert found["Light"].certainty == ""


def test_nothing_known_still_has_a_row_for_everything():
    picture = measured()
    none = {"confidence": None, "tolerance": None}
    bare = measured(
        subject=picture.subject.model_copy(
            update={"centroid": None, "area_fraction": None, **none}
        ),
        elements=[],
        negative_space=picture.negative_space.model_copy(update={"fraction": None, **none}),
        diagonal=None,
        leading_lines=None,
        technique_fit={},
        camera_elevation=picture.camera_elevation.model_copy(update={"deg": None, **none}),
        light=picture.light.model_copy(update={"clock": None, **none}),
        roll=picture.roll.model_copy(update={"deg": None, **none}),
        colour_temperature=picture.colour_temperature.model_copy(update={"cct_k": None, **none}),
        surface=None,
        focus=picture.focus.model_copy(update={"subject_in_focus": None, **none}),
        reasons={},
    )
    assert list(rows(bare)) == list(rows(picture))
    assert rows(bare)["Tilt"].value.text == "Could not be measured."


# Marked shutter speeds of cameras (common practice, no source).
@pytest.mark.parametrize(
    ("seconds", "text"),
    [(1 / 60, "1/60 s"), (0.004, "1/250 s"), (0.5, "0.5 s"), (30.0, "30 s")],
)
def test_shutter_speeds_read_as_on_a_camera(seconds, text):
    assert exposure_time_text(seconds) == text


def test_the_capture_line_leaves_out_what_is_not_known():
    assert capture_line(CAMERA) == (
        "Maker Body 1 · 50 mm · f/4 · 1/60 s · ISO 200 · 20 November 2026, 10:30"
    )
    silent = dict.fromkeys(type(CAMERA).model_fields) | {"has_gps": False}
    assert capture_line(CAMERA.model_validate(silent)) == ""


def test_the_camera_angle_names_what_it_was_read_from_and_a_crop():
    elevation = measured().camera_elevation
    lines = [((0.1, 0.2), (0.3, 0.4)), ((0.5, 0.2), (0.3, 0.8))]
    by_edges = elevation.model_copy(update={"ellipses": [], "lines": lines, "cropped_from": "3:2"})
    text = rows(measured(camera_elevation=by_edges))["Camera angle"].value.text
    assert text == (
        "three-quarter (46°); read from 2 straight edges; "
        "less certain where the picture was cropped from 3:2"
    )
    whole = rows(measured(camera_elevation=elevation))["Camera angle"].value.text
    assert whole == "three-quarter (46°); read from 1 rim"
