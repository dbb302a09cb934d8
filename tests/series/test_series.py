"""What is found over a set of pictures."""

import numpy as np
import pytest

from auditor.geometry import Point
from auditor.measurements.camera_elevation import CameraElevation
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.focus import Focus
from auditor.measurements.light import Light
from auditor.quantities import FOLLOWED, QUANTITIES
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.series.series import describe_series
from tests.factories import colour_temperature, measured_photograph, region, swatch, tone


def temperature(mired, confidence=0.9):
    return Quantity.measured(colour_temperature(1e6 / mired), confidence=confidence, tolerance=10.0)


def a_set(changes_by_picture, **shared):
    return [
        measured_photograph(file=f"{number}.jpg", **{**shared, **changes})
        for number, changes in enumerate(changes_by_picture, start=1)
    ]


def followed(series, name):
    return next(quantity for quantity in series.quantities if quantity.quantity == name)


def outliers(series):
    return {
        (outlier.file, quantity.quantity): outlier
        for quantity in series.quantities
        for outlier in quantity.outliers
    }


def test_the_warm_picture_is_an_outlier_with_its_shift():
    mireds = [152, 155, 154, 151, 156, 153, 191, 154]
    series = describe_series(a_set([{"colour_temperature": temperature(m)} for m in mireds]))
    found = outliers(series)
    assert list(found) == [("7.jpg", "colour_temperature")]
    assert found["7.jpg", "colour_temperature"].deviation == pytest.approx(191 - 154)


def test_an_even_set_has_no_outlier():
    assert outliers(describe_series(a_set([{}] * 8))) == {}


def test_a_dark_picture_is_an_outlier_in_ev():
    tones = [{"tone": tone(exposure_ev=ev)} for ev in (0.0, 0.1, -0.1, 0.05, -1.2, 0.0, -0.05)]
    found = outliers(describe_series(a_set(tones)))
    assert list(found) == [("5.jpg", "exposure")]
    assert found["5.jpg", "exposure"].deviation == pytest.approx(-1.2)


def test_a_long_tail_below_an_upper_limit_has_no_outliers():
    # Skewed as sharpness is: most subjects are fully sharp, a third are softer to some degree.
    sharp = [1.0, 0.99, 1.0, 0.98, 1.0, 0.99, 0.97, 1.0, 0.6, 0.75, 0.5, 0.85] * 3
    focus = [
        {
            "focus": Quantity.measured(
                Focus(value, Point(0.5, 0.5), subject_in_focus=True), confidence=0.9, tolerance=0.1
            )
        }
        for value in sharp
    ]
    assert outliers(describe_series(a_set(focus))) == {}


def test_light_from_the_other_side_is_an_outlier_across_the_top_of_the_dial():
    clocks = [11.7, 0.2, 12.0, 11.9, 0.1, 4.0]
    lights = [
        {"light": Quantity.measured(Light(clock or 12), confidence=0.9, tolerance=1.0)}
        for clock in clocks
    ]
    found = outliers(describe_series(a_set(lights)))
    assert list(found) == [("6.jpg", "light")]
    assert found["6.jpg", "light"].deviation == pytest.approx(4.0, abs=0.3)  # clockwise from 12


def test_a_value_of_low_confidence_is_no_outlier():
    mireds = [temperature(154)] * 6 + [temperature(200, confidence=0.3)]
    series = describe_series(a_set([{"colour_temperature": value} for value in mireds]))
    assert outliers(series) == {}
    assert len(followed(series, "colour_temperature").values) == 6


def test_an_undetermined_value_is_left_out():
    lights = [{"light": Quantity.undetermined(Reason.FLAT_LIGHT)}] * 4
    light = followed(describe_series(a_set(lights)), "light")
    assert (light.values, light.centre, light.spread) == ((), None, None)


def test_four_pictures_have_a_centre_and_one_far_away_leaves_them():
    mireds = [150, 150, 150, 220]
    series = describe_series(a_set([{"colour_temperature": temperature(m)} for m in mireds]))
    assert followed(series, "colour_temperature").centre == 150
    assert list(outliers(series)) == [("4.jpg", "colour_temperature")]


def test_two_pictures_have_no_outlier():
    series = describe_series(a_set([{"colour_temperature": temperature(m)} for m in (150, 220)]))
    assert outliers(series) == {}


def test_the_farthest_of_three_is_named_as_a_remark():
    # Two differ by 0.004 in Duv; one 0.0085 from the middle is noticeable, but may be chance.
    tinted = [
        Quantity.measured(colour_temperature(6500, duv), confidence=0.9, tolerance=10.0)
        for duv in (0.0, 0.004, 0.0125)
    ]
    series = describe_series(a_set([{"colour_temperature": one} for one in tinted]))
    tint = followed(series, "tint")
    assert tint.outliers == ()
    assert (tint.farthest.file, tint.farthest.deviation) == ("3.jpg", pytest.approx(0.0085))


def test_two_lights_make_two_clusters_largest_first():
    mireds = [154, 220, 150, 158, 224]
    series = describe_series(a_set([{"colour_temperature": temperature(m)} for m in mireds]))
    warm_last = [cluster.files for cluster in series.colour_temperature_clusters]
    assert warm_last == [("1.jpg", "3.jpg", "4.jpg"), ("2.jpg", "5.jpg")]
    assert series.colour_temperature_clusters[0].cct_k == pytest.approx(1e6 / 154)


def test_pictures_on_one_surface_are_a_group():
    surfaces = ["#6f6a63", "#2f4a3c", "#716b64", "#d8d2c4"]
    series = describe_series(
        a_set(
            [
                {"surface": Quantity.measured(swatch(c, 0.4), confidence=0.9, tolerance=5.0)}
                for c in surfaces
            ]
        )
    )
    assert [group.files for group in series.groups] == [("1.jpg", "3.jpg")]
    assert series.groups[0].surface == "#6f6a63"


def test_two_frames_of_one_set_up_are_near_duplicates():
    rng = np.random.default_rng(8)
    scene = np.kron(rng.integers(0, 255, (6, 5, 3)), np.ones((60, 60, 1))).astype(np.uint8)
    moved, other = np.roll(scene, 2, axis=1), np.rot90(scene, 2)
    pictures = a_set([{"fingerprint": fingerprint(pixels)} for pixels in (scene, other, moved)])
    assert describe_series(pictures).duplicates == (("1.jpg", "3.jpg"),)


def test_a_set_exposed_to_one_lightness_is_judged_by_its_lightness():
    # Drawn: every frame at one mean L*, its mean luminance as its highlights have it.
    rng = np.random.default_rng(11)
    luminances = rng.normal(0.0, 0.5, 12)
    tones = [
        {"tone": tone(mean_lightness=52 + rng.normal(0, 0.3), exposure_ev=ev, midtone_ev=1.5 * ev)}
        for ev in luminances
    ]
    assert outliers(describe_series(a_set(tones))) == {}
    # One EV less is a factor of 2 ** (-1 / 3) of L* + 16 (CIE 15:2018).
    dark = {"tone": tone(mean_lightness=68 * 2 ** (-0.7 / 3) - 16, exposure_ev=0.3, midtone_ev=0.2)}
    found = outliers(describe_series(a_set([*tones, dark])))
    assert list(found) == [("13.jpg", "exposure")]
    assert found["13.jpg", "exposure"].deviation == pytest.approx(-0.7, abs=0.05)


def test_sizes_are_compared_by_their_ratio():
    # A set of small things with some larger ones: in shares of the frame the largest stands out.
    sizes = [0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.1, 0.12, 0.16, 0.22, 0.44]
    subjects = [
        {"subject": Quantity.measured(region(0.5, 0.5, s), confidence=0.9, tolerance=0.05)}
        for s in sizes
    ]
    assert outliers(describe_series(a_set(subjects))) == {}
    alike = [
        {"subject": Quantity.measured(region(0.5, 0.5, s), confidence=0.9, tolerance=0.05)}
        for s in [0.1, 0.11, 0.1, 0.12, 0.09, 0.1, 0.11, 0.12, 0.1, 0.5]
    ]
    assert list(outliers(describe_series(a_set(alike)))) == [("10.jpg", "subject_size")]


@pytest.mark.parametrize("sizes", [(5, 5), (10, 10), (7, 5)])
def test_two_ways_of_working_are_no_outliers(sizes):
    rng = np.random.default_rng(sizes)
    mireds = [rng.normal(level, 2) for level, n in zip((150, 200), sizes, strict=True)
              for _ in range(n)]  # fmt: skip
    pictures = a_set([{"colour_temperature": temperature(m)} for m in mireds])
    assert len(outliers(describe_series(pictures))) <= 1
    tones = [tone(contrast=c, midtone_contrast=c / 2) for c in (60.0, 20.0) for _ in range(6)]
    assert outliers(describe_series(a_set([{"tone": t} for t in tones]))) == {}


def test_a_picture_without_contrast_has_less_of_it():
    tones = [tone(contrast=50.0 + i, midtone_contrast=25.0 + i / 2) for i in range(9)]
    flat = tone(contrast=0.0, midtone_contrast=0.0)
    found = outliers(describe_series(a_set([{"tone": t} for t in [*tones, flat]])))
    # The smaller of the two changes counts, that of the midtones (27 to 0).
    outlier = found["10.jpg", "contrast"]
    assert outlier.deviation == pytest.approx(-27, abs=3)
    assert outlier.ratio == pytest.approx(2 / (27 + 2), rel=0.1)  # 2 L* of grain on both


def elevations(degrees):
    return [
        {"camera_elevation": Quantity.measured(CameraElevation(d, ()), confidence=0.9, tolerance=5)}
        for d in degrees
    ]


@pytest.mark.parametrize(
    ("degrees", "is_several"),
    [
        ([45, 44, 46, 45, 50, 40, 88], False),  # one view and an exception
        ([0, 2, 1, 45, 88, 90, 89], True),  # three views on purpose
        ([20, 20, 20, 20, 80, 80, 80, 80], True),  # the centre lies between the views
        ([30, 60], False),  # too few to have a centre
    ],
)
def test_several_camera_angles_on_purpose_have_a_centre_that_says_nothing(degrees, is_several):
    found = followed(describe_series(a_set(elevations(degrees))), "camera_elevation")
    assert found.is_several is is_several


def test_several_directions_of_light_are_counted_around_the_dial():
    def lights(clocks):
        return [
            {"light": Quantity.measured(Light(clock), confidence=0.9, tolerance=1.0)}
            for clock in clocks
        ]

    one = followed(describe_series(a_set(lights([11.9, 12.0, 0.1, 0.2, 6.0, 5.9]))), "light")
    several = followed(describe_series(a_set(lights([12.0, 2.4, 4.8, 7.2, 9.6]))), "light")
    assert (one.is_several, several.is_several) == (False, True)


def test_what_is_not_varied_on_purpose_is_never_several():
    tones = [{"tone": tone(exposure_ev=ev)} for ev in (-3.0, -2.9, -3.1, 3.0, 2.9, 3.1)]
    assert not followed(describe_series(a_set(tones)), "exposure").is_several


def test_a_set_has_every_followed_quantity_of_the_registry_with_its_unit():
    found = describe_series(a_set([{}] * 5)).quantities
    assert sorted(q.quantity for q in found) == sorted(FOLLOWED)
    assert all(q.unit == QUANTITIES[q.quantity].unit for q in found)


def test_a_sharper_subject_is_no_fault():
    sharpness = [0.3, 0.31, 0.29, 0.3, 0.32, 0.28, 0.3, 0.98]
    focus = [
        {
            "focus": Quantity.measured(
                Focus(value, Point(0.5, 0.5), subject_in_focus=True), confidence=0.9, tolerance=0.1
            )
        }
        for value in sharpness
    ]
    assert outliers(describe_series(a_set(focus))) == {}
