"""What shots share is stated once, and what differs stays with its shot."""

import dataclasses

from auditor.measurements.light import Light
from auditor.plan_draft.draft import Entry, ShotDraft
from auditor.plan_draft.from_picture import entries_of
from auditor.plan_draft.proof import SeenPicture
from auditor.plan_draft.series_part import share_entries, share_equal
from auditor.quantity import Quantity
from auditor.reasons import Reason
from tests.factories import colour_temperature, measured_photograph, swatch


def light(clock, confidence=0.8):
    return Quantity.measured(Light(clock), confidence=confidence, tolerance=1.0)


def shared(*pictures):
    seen = [SeenPicture(picture) for picture in pictures]
    shots = [
        ShotDraft(f"shot {number}", (f"{number}.jpg",), entries_of(one))
        for number, one in enumerate(seen)
    ]
    return share_entries(shots, seen)


def values(entries):
    return {entry.key: entry.plain for entry in entries}


def test_one_picture_shares_nothing():
    found = shared(measured_photograph())
    assert found.series == ()
    assert found.shots[0].entry("light") is not None


def test_what_all_have_stands_in_the_series_alone():
    found = shared(measured_photograph(), measured_photograph(), measured_photograph())
    assert values(found.series)["light"] == {"from": "back left"}
    assert values(found.series)["aspect_ratio"] == "4:5"
    assert all(shot.entry("light") is None for shot in found.shots)
    assert all(shot.entry("subject") is not None for shot in found.shots)


def test_the_one_that_differs_states_its_own():
    found = shared(*[measured_photograph()] * 3, measured_photograph(light=light(3.0)))
    assert values(found.series)["light"] == {"from": "back left"}
    assert [shot.entry("light") for shot in found.shots[:3]] == [None, None, None]
    assert found.shots[3].entry("light").plain == {"from": "right"}


def test_one_that_differs_may_be_less_sure():
    found = shared(*[measured_photograph()] * 3, measured_photograph(light=light(3.0, 0.6)))
    assert found.shots[3].entry("light").plain == {"from": "right"}


def test_an_unknown_one_takes_what_the_others_share():
    unknown = Quantity.undetermined(Reason.LIGHT_CUES_DISAGREE)
    found = shared(*[measured_photograph()] * 3, measured_photograph(light=unknown))
    assert "light" in values(found.series)
    assert found.shots[3].entry("light") is None


def test_two_of_three_are_not_enough():
    found = shared(*[measured_photograph()] * 2, measured_photograph(light=light(3.0)))
    assert "light" not in values(found.series)
    assert all(shot.entry("light") is not None for shot in found.shots)


def test_temperatures_near_to_each_other_become_one():
    pictures = [
        measured_photograph(
            colour_temperature=Quantity.measured(
                colour_temperature(kelvin), confidence=0.9, tolerance=10.0
            )
        )
        for kelvin in (5800.0, 6000.0, 6200.0)
    ]
    assert values(shared(*pictures).series)["colour_temperature"] == {"kelvin": 6000}


def test_the_shared_colours_stay_with_a_strong_one_of_its_own():
    usual = measured_photograph()
    other = dataclasses.replace(usual, palette=(*usual.palette[:2], swatch("#a01818", 0.2)))
    plain = dataclasses.replace(usual, palette=usual.palette[:2])
    found = shared(plain, plain, other)
    assert values(found.series)["palette"] == ["#6f6a63", "#cfc7b6"]
    assert found.shots[0].entry("palette") is None
    assert found.shots[2].entry("palette").plain == ["#6f6a63", "#cfc7b6", "#a01818"]


def drawn(name, clock, confidence=1.0):
    return ShotDraft(name, (), (Entry("light", {"clock": clock}, "left", confidence),))


def test_drawn_frames_share_only_what_is_equal():
    same = share_equal([drawn("one", 9.0), drawn("two", 9.0, 0.7)])
    assert values(same.series) == {"light": {"clock": 9.0}}
    assert same.series[0].confidence == 0.7
    assert share_equal([drawn("one", 9.0), drawn("two", 9.5)]).series == ()
    assert share_equal([drawn("one", 9.0), drawn("two", 9.0, 0.3)]).series == ()
