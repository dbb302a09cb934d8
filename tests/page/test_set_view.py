import pytest

from auditor.page.links import link_pictures
from auditor.page.set_view import is_several, series_view, summarise
from auditor.series.statistics.robust import centre_and_spread, circular_centre_and_spread
from tests.page.drawing.test_charts import quantity
from tests.records import audit, measured


def followed(name, unit, values):
    summary = circular_centre_and_spread if unit == "h" else centre_and_spread
    centre, spread = summary(values)
    return quantity(values, unit, name, centre=centre, spread=spread)


THREE_ANGLES = [14.0, 14.0, 41.0, 40.0, 45.0, 46.0, 72.0, 89.0, 89.0, 90.0, 90.0, 90.0]


# The three usual angles of food photography, light from either side, near and far: several; a set
# with one odd picture: not.
@pytest.mark.parametrize(
    ("name", "unit", "values", "several"),
    [
        ("camera_elevation", "deg", THREE_ANGLES, True),
        ("camera_elevation", "deg", [14.0, 45.0, 90.0], True),
        ("camera_elevation", "deg", [40.0, 45.0, 46.0, 50.0, 90.0], False),
        ("light", "h", [9.0, 9.0, 3.0, 3.0, 6.0, 12.0], True),
        ("light", "h", [11.5, 11.75, 12.0, 0.25, 0.5, 4.0], False),
        ("subject_size", "fraction of frame", [0.05, 0.06, 0.5, 0.52, 0.9], True),
        ("subject_size", "fraction of frame", [0.1, 0.12, 0.14, 0.2, 0.5], False),
        ("exposure", "EV", [-3.0, -3.0, 0.5, 3.0, 3.0], False),
    ],
)
def test_a_middle_where_no_picture_lies_is_not_told(name, unit, values, several):
    record = followed(name, unit, values)
    assert is_several(record) is several
    assert ("Middle" in summarise(record, len(values))) is not several


def test_several_angles_have_no_line():
    angles = followed("camera_elevation", "deg", THREE_ANGLES)
    assert summarise(angles, 12) == "Several angles, 14° to 90°; all 12 pictures"
    assert (drawn(angles).strip.centre, drawn(angles).strip.band) == ("", "")
    lights = followed("light", "h", [9.0, 9.0, 3.0, 3.0, 6.0, 12.0])
    assert (drawn(lights).dial.centre, drawn(lights).dial.band) == ("", "")
    one = followed("camera_elevation", "deg", [44.0, 45.0, 46.0])
    assert drawn(one).strip.centre


def drawn(record):
    """The chart of one quantity."""
    images = [measured(file) for file, _ in record.values]
    whole = audit(with_plan=False, images=images)
    series = whole.series.model_copy(update={"quantities": [record]})
    whole = whole.model_copy(update={"series": series})
    return series_view(whole, link_pictures(whole.images)).quantities[0]
