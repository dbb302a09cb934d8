"""Only what was tried and helps is offered, and nothing that was met is lost."""

import dataclasses

import pytest

from auditor.advice.advice import AdviceKind, CostKind
from auditor.advice.prediction import cropped
from auditor.geometry import Box, Point
from auditor.measurements.additions import Border
from auditor.measurements.technique_fit import fit_techniques
from auditor.plan.shot_plan import Purpose, Shot
from auditor.quantity import Quantity
from auditor.series.portfolio import describe_no_set
from tests.advice.cases import advised, case_of, developed, roll, temperature
from tests.factories import measured_photograph, region, tone
from tests.intents import intent_with, thing

SET_MIRED = 1e6 / 6000  # of the pictures that `measured_photograph` makes


def rest(**fields):
    return [measured_photograph(file=f"{n}.jpg", **fields) for n in range(7)]


def beside_set(picture, shot=None, after=developed, of_rest=None, **options):
    return advised(picture, rest(**(of_rest or {})), shot, after, **options)


def shot(on_purpose=(), **intent):
    return Shot("a shot", ("*",), intent_with(**intent), on_purpose)


def by_kind(found):
    return {advice.kind: advice for advice in found[0]}


def small(x, y, area=0.04, **fields):
    """A picture with one small subject and nothing else in it."""
    return measured_photograph(
        subject=Quantity.measured(region(x, y, area), confidence=0.97, tolerance=0.03),
        elements=(),
        technique_fit=fit_techniques(Point(x, y), 1600, 2000),
        **fields,
    )


def in_crop(measured, change):
    return developed(
        cropped(measured, change.crop), dataclasses.replace(change, crop=Box(0, 0, 1, 1))
    )


def test_an_even_picture_needs_nothing_and_nothing_is_tried():
    tried = []
    assert beside_set(measured_photograph(), all_tried=tried) == ((), None)
    assert tried == []


def test_a_picture_warmer_than_the_set_is_to_be_cooled():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 40))
    found, proof = beside_set(warm)
    (advice,) = found
    assert (advice.kind, advice.amount, advice.unit) == ("colour temperature", -40, "mired")
    assert (advice.reaches, advice.rejoins) == ((), ("colour_temperature",))
    assert advice.kelvin == pytest.approx((1e6 / (SET_MIRED + 40), 6000), rel=0.01)
    assert proof == advice.change


def test_a_picture_of_no_set_is_not_brought_back_to_the_others_in_any_round():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 40), roll=roll(3.0))
    tried = []
    found, _ = beside_set(warm, all_tried=tried, describe=describe_no_set)
    assert [one.kind for one in found] == ["rotate"]
    assert tried
    assert not any(change.mired for change in tried)


def test_a_correction_of_no_set_loses_nothing_by_leaving_the_others():
    tilted = measured_photograph(roll=roll(3.0))

    def darker_too(one, change):
        return developed(one, dataclasses.replace(change, exposure_ev=-2.0))

    assert beside_set(tilted, after=darker_too) == ((), None)
    found, _ = beside_set(tilted, after=darker_too, describe=describe_no_set)
    assert [one.kind for one in found] == ["rotate"]


def test_what_does_not_arrive_is_corrected_and_tried_again():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 60))
    wanted = shot(colour_temperature=SET_MIRED)
    found = beside_set(warm, wanted, lambda one, change: developed(one, change, 0.5))
    advice = by_kind(found)[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount < -70
    assert advice.reaches == ("colour_temperature",)


def test_what_does_not_reach_is_not_offered():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 60))
    assert beside_set(warm, after=lambda one, change: developed(one, change, 0.0)) == ((), None)


def test_what_loses_something_that_was_met_is_not_offered():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 60))
    wanted = shot(
        colour_temperature=SET_MIRED,
        subject=thing(at=warm.subject.value.centroid),
    )

    def moves_the_subject(one, change):
        moved = Quantity.measured(region(0.9, 0.1, 0.02), confidence=0.97, tolerance=0.03)
        return dataclasses.replace(developed(one, change), subject=moved)

    assert by_kind(beside_set(warm, wanted)).keys() == {AdviceKind.COLOUR_TEMPERATURE}
    assert beside_set(warm, wanted, moves_the_subject)[0] == ()


def test_what_cannot_be_measured_again_is_not_offered():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 60))
    assert beside_set(warm, after=lambda _one, _change: None) == ((), None)


def test_a_picture_warm_on_purpose_is_left_as_it_is():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 60))
    other = shot((Purpose("lamp light", ("light",)),), colour_temperature=SET_MIRED)
    meant = shot((Purpose("lamp light", ("colour_temperature",)),), colour_temperature=SET_MIRED)
    everything = shot((Purpose("so"),), colour_temperature=SET_MIRED)
    assert AdviceKind.COLOUR_TEMPERATURE in by_kind(beside_set(warm, other))
    for one in (meant, everything):
        tried = []
        assert beside_set(warm, one, all_tried=tried) == ((), None)
        assert tried == []


def test_if_the_set_misses_its_plan_the_picture_is_brought_to_the_plan():
    warm = measured_photograph(colour_temperature=temperature(SET_MIRED + 60))
    found = beside_set(warm, shot(colour_temperature=SET_MIRED - 40))
    advice = by_kind(found)[AdviceKind.COLOUR_TEMPERATURE]
    assert advice.amount == pytest.approx(-100)
    assert (advice.reaches, advice.rejoins) == (("colour_temperature",), ())


def test_a_dark_picture_is_lightened_and_the_clipped_highlights_are_its_cost():
    dark = measured_photograph(tone=tone(mean_lightness=30.0, exposure_ev=-1.1))
    advice = by_kind(beside_set(dark))[AdviceKind.EXPOSURE]
    assert (advice.amount, advice.unit) == (pytest.approx(1.2), "EV")
    assert advice.rejoins == ("exposure",)
    assert [cost.kind for cost in advice.costs] == [CostKind.HIGHLIGHTS]


def test_a_picture_that_rises_to_the_right_is_turned_clockwise_and_loses_corners():
    tilted = small(0.5, 0.5, roll=roll(2.5))
    advice = by_kind(beside_set(tilted, of_rest={"roll": roll(0.3)}))[AdviceKind.ROTATE]
    assert (advice.amount, advice.unit, advice.levels) == (2.5, "deg", True)
    assert advice.rejoins == ("roll",)
    assert [cost.kind for cost in advice.costs] == [CostKind.CORNERS]
    assert (advice.width, advice.height) == advice.change.size_px(tilted.width, tilted.height)
    assert advice.width < tilted.width


@pytest.mark.parametrize("confidence", [0.4, 0.65])
def test_a_roll_read_with_doubt_is_neither_turned_nor_cropped(confidence):
    tried = []
    tilted = small(0.5, 0.5, roll=roll(2.5, confidence))
    assert beside_set(tilted, all_tried=tried)[0] == ()
    assert tried == []


def test_a_turn_after_which_the_picture_is_not_level_is_not_offered():
    tilted = small(0.5, 0.5, roll=roll(2.5))

    def unchanged(one, change):
        return developed(one, change, 0.0)

    assert beside_set(tilted, after=unchanged)[0] == ()


def test_a_turn_does_not_cut_the_subject():
    wide = small(0.5, 0.5, 0.98, roll=roll(3.0))
    tried = []
    assert beside_set(wide, all_tried=tried)[0] == ()
    assert tried == []


def test_a_picture_with_a_border_is_neither_cropped_nor_turned():
    inside = Border(Box(0.05, 0.05, 0.95, 0.95), "#ffffff")
    border = Quantity.measured(inside, confidence=0.9, tolerance=0.01)
    framed = small(0.5, 0.5, roll=roll(2.5), border=border)
    tried = []
    found = beside_set(framed, shot(aspect_ratio=1.0), all_tried=tried)
    assert (found[0], tried) == ((), [])


def test_a_crop_says_what_remains_and_what_it_costs():
    picture = small(0.5, 0.5)
    (advice,), _ = advised(
        picture, shot=shot(aspect_ratio=1.0), after=in_crop, least_sides_px=(1800, 0)
    )
    assert (advice.kind, advice.unit) == (AdviceKind.CROP, "fraction of frame")
    assert advice.amount == pytest.approx(advice.crop.area_fraction)
    assert advice.reaches == ("aspect_ratio",)
    assert (advice.width, advice.height) == (1600, 1600)
    costs = {cost.kind: cost for cost in advice.costs}
    assert costs[CostKind.FRAME].amount == pytest.approx(0.2, abs=0.001)
    assert (costs[CostKind.TOO_SMALL].amount, costs[CostKind.TOO_SMALL].limit) == (1600, 1800)


def test_pixels_that_were_missing_before_are_no_cost():
    (advice,), _ = advised(
        small(0.5, 0.5), shot=shot(aspect_ratio=1.0), after=in_crop, least_sides_px=(0, 1800)
    )
    assert CostKind.TOO_SMALL not in {cost.kind for cost in advice.costs}


def test_an_element_that_is_cut_is_a_cost():
    subject = Quantity.measured(region(0.5, 0.5, 0.04), confidence=0.97, tolerance=0.03)
    jar = Quantity.measured(region(0.5, 0.07, 0.01), confidence=0.9, tolerance=0.05)
    picture = measured_photograph(subject=subject, elements=(jar,), technique_fit={})
    (advice,), _ = advised(picture, shot=shot(aspect_ratio=1.0), after=in_crop)
    kinds = [cost.kind for cost in advice.costs]
    assert kinds[0] == CostKind.FRAME
    assert kinds[1] in (CostKind.ELEMENT_CUT, CostKind.ELEMENT_LOST)


def test_the_least_crop_that_truly_reaches_is_offered():
    picture = small(0.5, 0.5)
    wanted = shot(subject=thing(at=Point(0.4, 0.42)))
    tried = []
    (advice,), _ = advised(picture, shot=wanted, after=in_crop, all_tried=tried)
    kept = sorted({change.crop.area_fraction for change in tried}, reverse=True)
    assert len(kept) > 1
    assert advice.amount == pytest.approx(kept[0])


def test_two_changes_that_suffice_alone_are_two_and_the_proof_has_both():
    picture = small(0.5, 0.5, colour_temperature=temperature(SET_MIRED + 60))
    wanted = shot(aspect_ratio=1.0, colour_temperature=SET_MIRED)
    found, proof = beside_set(picture, wanted, in_crop)
    assert {one.kind for one in found} == {AdviceKind.CROP, AdviceKind.COLOUR_TEMPERATURE}
    assert proof.mired == -60
    assert proof.size_px(1600, 2000) == (1600, 1600)


def test_where_one_change_is_not_enough_both_are_one_version():
    """The set is only rejoined in exposure if the colour temperature is right, too."""
    picture = measured_photograph(
        colour_temperature=temperature(SET_MIRED + 60), tone=tone(exposure_ev=-1.1)
    )

    def only_both(one, change):
        is_both = change.mired and change.exposure_ev
        return developed(one, change, 1.0 if is_both else 0.3)

    found, proof = beside_set(picture, after=only_both)
    (advice,) = found
    assert advice.kind == AdviceKind.COMBINED
    assert set(advice.rejoins) == {"colour_temperature", "exposure"}
    assert proof == advice.change


def test_wrong_light_and_camera_angle_are_not_dressed_as_advice():
    tried = []
    wanted = shot(camera_elevation=85.0, light=4.0)
    picture = measured_photograph()
    case = case_of(picture, wanted)
    assert {key[0] for key in case.missed} == {"camera_elevation", "light"}
    found = advised(picture, shot=wanted, all_tried=tried)
    assert (found, tried) == (((), None), [])
