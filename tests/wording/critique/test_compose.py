"""Three to six sentences for every picture, in the record and on the page alike."""

import html
import itertools
import re

import pytest

from auditor.page.html import render_page
from auditor.record.addition_records import BorderRecord
from auditor.record.base import ReasonRecord
from auditor.record.picture_record import (
    CameraElevationRecord,
    ElementRecord,
    FocusRecord,
    LightRecord,
    MeasuredPictureRecord,
    NegativeSpaceRecord,
    RollRecord,
    SubjectRecord,
)
from auditor.wording.critique import critique
from tests.records import audit, measured, richer_audit

NOTHING = {
    "subject": SubjectRecord(centroid=None, bbox=None, area_fraction=None, source="estimated"),
    "elements": [],
    "negative_space": NegativeSpaceRecord(fraction=None, largest_region=None, side=None),
    "camera_elevation": CameraElevationRecord(deg=None, ellipses=[]),
    "light": LightRecord(clock=None, name=None, side=None),
    "palette": [],
    "focus": FocusRecord(subject_sharpness=None, sharpest_at=None, subject_in_focus=None),
    "subject_tone": None,
    "echo": None,
}
UNIT = re.compile(r"\d|%|°|#[0-9a-f]{3}|\bL\*|ΔE|\bEV\b|mired")


def pictures():
    """Pictures with every one or two of the measurements missing, and with all of them."""
    yield {}
    for n_missing in (1, 2, len(NOTHING)):
        for names in itertools.combinations(NOTHING, n_missing):
            yield {name: NOTHING[name] for name in names}


@pytest.mark.parametrize(
    "missing", list(pictures()), ids=lambda missing: "+".join(missing) or "none"
)
def test_three_to_six_sentences(missing):
    said = critique(measured(**missing))
    assert 3 <= len(said) <= 6
    sentences = [one.sentence for one in said]
    assert len(set(sentences)) == len(sentences)
    for sentence in sentences:
        assert sentence[0].isupper()
        assert sentence.endswith(".")
        assert not UNIT.search(sentence)
        assert "  " not in sentence
        assert "None" not in sentence


def test_the_order_is_what_is_there_then_strong_then_weak():
    tilted = measured(roll=RollRecord(deg=4.0, confidence=0.95, tolerance=0.5))
    sentences = [one.sentence for one in critique(tilted)]
    assert sentences[0].startswith("The subject")
    leads = [sentence.split(":")[0] for sentence in sentences if sentence.startswith("What ")]
    assert leads == ["What is strong", "What works against it"]
    assert sentences[-2].startswith("What is strong")


def test_strong_and_weak_never_speak_of_one_thing():
    text = " ".join(one.sentence for one in critique(measured()))
    assert text.count("lightness and colour") + text.count("stands out at once") <= 1


def test_a_picture_without_a_subject_says_why():
    reason = ReasonRecord(code="no_subject", message="Nothing stands out.")
    picture = measured(subject=NOTHING["subject"], elements=[], reasons={"subject": reason})
    assert critique(picture)[0].sentence == (
        "What the subject is could not be told: nothing stands out."
    )


def test_several_pictures_in_a_border_are_not_read_as_one():
    border = BorderRecord(
        inside=(0.02, 0.02, 0.98, 0.98), hex="#ffffff", has_round_corners=False, confidence=0.9
    )
    small = SubjectRecord(
        centroid=(0.3, 0.6),
        bbox=(0.2, 0.5, 0.4, 0.7),
        area_fraction=0.02,
        source="estimated",
        confidence=0.9,
        tolerance=0.05,
    )
    said = [one.sentence for one in critique(measured(border=border, subject=small))]
    assert said[0] == "Several pictures, or one with a wide border, make up the frame."
    assert 3 <= len(said) <= 6
    assert "subject" not in " ".join(said)
    assert "; the format is wide, about three to two." in said[1]
    large = small.model_copy(update={"area_fraction": 0.3})
    assert critique(measured(border=border, subject=large))[0].sentence.startswith("The subject")


def test_where_little_is_sure_the_reason_and_the_tone_are_said():
    reason = ReasonRecord(code="no_rims", message="No rim of a plate was found.")
    nothing = measured(**NOTHING, reasons={"camera_elevation": reason})
    said = [one.sentence for one in critique(nothing)]
    assert any(one.startswith("The camera angle could not be told: no rim") for one in said)
    without = [one.sentence for one in critique(measured(**NOTHING, reasons={}))]
    assert (
        "Neither the camera angle nor the direction of the light could be told for sure." in without
    )


def test_the_format_never_stands_alone():
    for missing in pictures():
        for one in critique(measured(**missing, reasons={})):
            assert not one.sentence.startswith("The format")
    bare = critique(measured(**{**NOTHING, "tone": tone(80.0, 40.0)}, reasons={}))
    assert [one.sentence for one in bare][1] == (
        "The picture is light overall and low in contrast; the format is wide, about three to two."
    )


def tone(lightness, contrast):
    return measured().tone.model_copy(update={"mean_lightness": lightness, "contrast": contrast})


def test_where_little_is_sure_the_empty_share_and_the_depth_are_said():
    middling = {**NOTHING, "tone": tone(50.0, 60.0)}
    share = NegativeSpaceRecord(
        fraction=0.5, largest_region=None, side="none", confidence=0.65, tolerance=0.05
    )
    said = [one.sentence for one in critique(measured(**{**middling, "negative_space": share}))]
    assert "About half of the frame stays empty." in said
    unsure = share.model_copy(update={"confidence": 0.55})
    said = [one.sentence for one in critique(measured(**{**middling, "negative_space": unsure}))]
    assert "stays empty" not in " ".join(said)
    deep = NOTHING["focus"].model_copy(update={"cause": "deep focus", "cause_confidence": 0.8})
    said = [one.sentence for one in critique(measured(**{**middling, "focus": deep}))]
    assert "Most of the picture is sharp." in said
    unsure = deep.model_copy(update={"cause_confidence": 0.6})
    said = [one.sentence for one in critique(measured(**{**middling, "focus": unsure}))]
    assert "is sharp" not in " ".join(said)


def test_a_large_thing_that_is_cut_off_is_said_once():
    cut = ElementRecord(
        centroid=(0.05, 0.2),
        bbox=(0.0, 0.1, 0.1, 0.3),
        area_fraction=0.05,
        confidence=0.85,
        tolerance=0.05,
    )
    unsure = NegativeSpaceRecord(
        fraction=0.5, largest_region=None, side="left", confidence=0.3, tolerance=0.05
    )
    text = " ".join(
        one.sentence for one in critique(measured(elements=[cut], negative_space=unsure))
    )
    assert "what is cut off at the upper left" in text
    assert "also in the frame" not in text


def test_the_record_has_the_sentences_and_their_figures():
    for picture in audit().images:
        if not isinstance(picture, MeasuredPictureRecord):
            continue
        said = critique(picture)
        assert picture.reading == [one.sentence for one in said]
        assert picture.reading_figures == [one.figures for one in said]


def test_the_page_says_what_the_record_says():
    record = richer_audit()
    page = render_page(record, {})
    blocks = re.findall(r'<div class="critique">\s*<ul>(.*?)</ul>', page, re.S)
    on_page = [
        [html.unescape(one) for one in re.findall(r"<li>(.*?)</li>", block)] for block in blocks
    ]
    measured_pictures = [p for p in record.images if isinstance(p, MeasuredPictureRecord)]
    assert on_page == [picture.reading for picture in measured_pictures]
    figures = [html.unescape(one) for one in re.findall(r"<dd>(.*?)</dd></div>", page)]
    wanted = [one for picture in measured_pictures for one in picture.reading_figures if one]
    assert [one for one in figures if one in set(wanted)] == wanted


def test_a_plans_names_are_escaped():
    page = render_page(audit(), {})
    assert "<jar>" not in page
