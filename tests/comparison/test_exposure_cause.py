import pytest

from auditor.colorimetry import lab_from_hex
from auditor.comparison.exposure_cause import exposure_explains


# A stop is a factor of two in linear light: sRGB 0xbc is twice 0x89 (IEC 61966-2-1).
@pytest.mark.parametrize(
    ("planned", "measured", "exposure_ev", "tolerance", "explained"),
    [
        ("#bcbcbc", "#898989", -1.0, 3.0, True),
        ("#898989", "#bcbcbc", 1.0, 3.0, True),
        ("#bcbcbc", "#898989", 1.0, 3.0, False),
        ("#bcbcbc", "#303030", -1.0, 3.0, False),
        ("#808080", "#80a020", -1.0, 10.0, False),
    ],
)
def test_exposure_explains_only_what_it_would_undo(
    planned, measured, exposure_ev, tolerance, explained
):
    wanted = [lab_from_hex(planned)]
    assert exposure_explains(wanted, lab_from_hex(measured), exposure_ev, tolerance) is explained


def test_the_nearest_planned_colour_counts():
    wanted = [lab_from_hex("#202020"), lab_from_hex("#bcbcbc")]
    assert exposure_explains(wanted, lab_from_hex("#898989"), -1.0, 3.0)
