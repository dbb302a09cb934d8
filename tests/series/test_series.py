"""What is said of a set of pictures."""

import numpy as np
import pytest

from auditor.colour_signature import ColourSignature
from auditor.geometry import Point
from auditor.measurements.fingerprint import fingerprint
from auditor.measurements.focus import Focus
from auditor.measurements.light import Light
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.series.series import describe_series
from auditor.series.statistics.outliers import clock_words
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


def test_the_warm_picture_is_named_with_its_shift():
    mireds = [152, 155, 154, 151, 156, 153, 191, 154]
    series = describe_series(a_set([{"colour_temperature": temperature(m)} for m in mireds]))
    found = outliers(series)
    assert list(found) == [("7.jpg", "colour_temperature")]
    outlier = found["7.jpg", "colour_temperature"]
    assert outlier.deviation == pytest.approx(191 - 154)
    assert outlier.message == "37 mired warmer than the rest of the set"


def test_an_even_set_has_no_outlier():
    assert outliers(describe_series(a_set([{}] * 8))) == {}


def test_a_dark_picture_is_named_in_ev():
    tones = [{"tone": tone(exposure_ev=ev)} for ev in (0.0, 0.1, -0.1, 0.05, -1.2, 0.0, -0.05)]
    found = outliers(describe_series(a_set(tones)))
    assert list(found) == [("5.jpg", "exposure")]
    assert found["5.jpg", "exposure"].message == "1.2 EV darker than the rest of the set"


def test_a_long_tail_below_a_ceiling_is_no_row_of_outliers():
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


def test_light_from_the_other_side_is_named_across_the_top_of_the_dial():
    clocks = [11.7, 0.2, 12.0, 11.9, 0.1, 4.0]
    lights = [
        {"light": Quantity.measured(Light(clock or 12), confidence=0.9, tolerance=1.0)}
        for clock in clocks
    ]
    found = outliers(describe_series(a_set(lights)))
    assert list(found) == [("6.jpg", "light")]
    message = found["6.jpg", "light"].message
    assert message == "lit from the front right, the rest of the set from the back"


def test_a_doubtful_value_accuses_nobody():
    mireds = [temperature(154)] * 6 + [temperature(200, confidence=0.3)]
    series = describe_series(a_set([{"colour_temperature": value} for value in mireds]))
    assert outliers(series) == {}
    assert len(followed(series, "colour_temperature").values) == 6


def test_a_value_that_could_not_be_told_is_left_out():
    lights = [{"light": Quantity.undetermined(Reason.FLAT_LIGHT)}] * 4
    light = followed(describe_series(a_set(lights)), "light")
    assert (light.values, light.centre, light.spread) == ((), None, None)


def test_four_pictures_have_a_centre_and_no_outlier():
    mireds = [150, 150, 150, 220]
    series = describe_series(a_set([{"colour_temperature": temperature(m)} for m in mireds]))
    assert followed(series, "colour_temperature").centre == 150
    assert outliers(series) == {}


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
    assert "#6f6a63" in series.groups[0].shared


def test_two_frames_of_one_set_up_are_near_duplicates():
    rng = np.random.default_rng(8)
    scene = np.kron(rng.integers(0, 255, (6, 5, 3)), np.ones((60, 60, 1))).astype(np.uint8)
    moved, other = np.roll(scene, 2, axis=1), np.rot90(scene, 2)
    pictures = a_set([{"fingerprint": fingerprint(pixels)} for pixels in (scene, other, moved)])
    assert describe_series(pictures).duplicates == (("1.jpg", "3.jpg"),)


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (12, "back"),
        (0.7, "back"),
        (0.8, "back right"),
        (3, "right"),
        (6, "front"),
        (10.4, "back left"),
    ],
)
def test_clock_positions_have_words(hours, words):
    assert clock_words(hours) == words


def test_a_set_exposed_for_its_lightness_is_judged_by_it():
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


def test_a_set_balanced_on_its_average_is_judged_by_it():
    # Drawn: what is neutral in them varies from dish to dish, their average does not.
    neutrals = np.random.default_rng(2).normal(160, 20, 10)
    pictures = [
        {
            "colour_temperature": temperature(neutral),
            "colours": ColourSignature((), (), 35.0 if place == 6 else 0.0),
        }
        for place, neutral in enumerate(neutrals)
    ]
    found = outliers(describe_series(a_set(pictures)))
    assert list(found) == [("7.jpg", "colour_temperature")]
    assert found["7.jpg", "colour_temperature"].deviation == pytest.approx(35, abs=3)


def test_a_few_that_happen_to_agree_are_not_what_a_set_was_made_by():
    # Five neutrals are known and alike, the average of all twelve is nearly so.
    rng = np.random.default_rng(3)
    pictures = [
        {
            "colour_temperature": temperature(154.0, confidence=0.9 if place < 5 else 0.2),
            "colours": ColourSignature((), (), rng.normal(0, 6)),
        }
        for place in range(12)
    ]
    series = describe_series(a_set(pictures))
    assert len(followed(series, "colour_temperature").values) == 12


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
def test_two_ways_of_working_are_no_row_of_exceptions(sizes):
    rng = np.random.default_rng(sizes)
    mireds = [rng.normal(level, 2) for level, n in zip((150, 200), sizes, strict=True)
              for _ in range(n)]  # fmt: skip
    pictures = a_set([{"colour_temperature": temperature(m)} for m in mireds])
    assert len(outliers(describe_series(pictures))) <= 1
    tones = [tone(contrast=c, midtone_contrast=c / 2) for c in (60.0, 20.0) for _ in range(6)]
    assert outliers(describe_series(a_set([{"tone": t} for t in tones]))) == {}


def test_an_average_alone_accuses_nobody():
    # Nothing neutral in any of them: one more red than the others is no warmer light.
    unknown = Quantity.undetermined(Reason.NO_NEUTRAL)
    reds = [ColourSignature((), (), average_warmth=warmth) for warmth in (60, 61, 59, 60, 62, 100)]
    pictures = a_set([{"colour_temperature": unknown, "colours": c} for c in reds])
    assert outliers(describe_series(pictures)) == {}


def test_a_picture_without_contrast_has_less_of_it():
    tones = [tone(contrast=50.0 + i, midtone_contrast=25.0 + i / 2) for i in range(9)]
    flat = tone(contrast=0.0, midtone_contrast=0.0)
    told = outliers(describe_series(a_set([{"tone": t} for t in [*tones, flat]])))
    # The smaller of the two changes, that of the midtones (27 to 0), is told.
    assert told["10.jpg", "contrast"].deviation == pytest.approx(-27, abs=3)
