import pytest

from auditor.wording import numbers


@pytest.mark.parametrize(
    ("fraction", "text"),
    [
        (0.0, "0%"),
        (0.0004, "under 1%"),
        (0.0049, "under 1%"),
        (0.005, "under 1%"),
        (0.42, "42%"),
        (0.994, "99%"),
        (0.995, "over 99%"),
        (0.9996, "over 99%"),
        (1.0, "100%"),
    ],
)
def test_a_share_is_never_rounded_to_nothing_or_everything(fraction, text):
    assert numbers.percent(fraction) == text


@pytest.mark.parametrize(
    ("probability", "text"),
    [(0.7999, "79%"), (0.8, "80%"), (0.29, "29%"), (0.004, "under 1%"), (0.998, "over 99%")],
)
def test_what_is_not_quite_so_sure_is_rounded_down(probability, text):
    assert numbers.certainty(probability) == text


def test_a_small_number_is_not_written_as_zero():
    assert numbers.decimal(0.004, 2) == "under 0.01"
    assert numbers.decimal(0.0, 2) == "0.00"
    assert numbers.decimal(-0.004, 2) == "under 0.01"


def test_signs_are_as_wide_as_each_other():
    assert numbers.decimal(-1.25, 1) == "\u22121.2"
    assert numbers.decimal(1.25, 1, signed=True) == "+1.2"


def test_a_miss_by_a_hair_does_not_look_like_a_hit():
    assert numbers.apart(0.0803, 0.08, 2) == ("0.0803", "0.0800")
    assert numbers.apart(0.21, 0.08, 2) == ("0.21", "0.08")
    assert numbers.apart(0.08, 0.08, 2) == ("0.08", "0.08")
    assert numbers.apart(10.04, 10.0, 0) == ("10.04", "10.00")


@pytest.mark.parametrize(
    ("hours", "text"),
    [(12.0, "12:00"), (0.1, "12:00"), (10.5, "10:30"), (11.95, "12:00"), (3.2, "3:15")],
)
def test_a_clock_direction_reads_like_a_dial(hours, text):
    assert numbers.clock(hours) == text


# 2160 x 3840 and 4032 x 3024 are sizes of common displays and telephones (from memory).
@pytest.mark.parametrize(
    ("width", "height", "text"),
    [
        (4000, 5000, "4:5"),
        (6000, 4000, "3:2"),
        (6016, 4016, "3:2"),
        (4032, 3024, "4:3"),
        (2160, 3840, "9:16"),
        (1000, 1000, "1:1"),
        (1234, 1000, "1.23:1"),
    ],
)
def test_a_frame_is_named_by_its_common_ratio(width, height, text):
    assert numbers.aspect(width / height) == text


def test_mired_becomes_kelvin():
    # CIE D65 has a correlated colour temperature of about 6504 K (CIE 15:2018), 153.8 mired.
    assert numbers.kelvin_from_mired(153.75) == "6500 K"
