"""The lights of a set in words."""

from auditor.page.links import link_pictures
from auditor.page.set_view import series_view
from auditor.record.audit_record import SeriesTemperatureClusterRecord
from auditor.wording.lights_of_set import other_lights, unplaced_words
from tests.records import NAMES, audit, series


def cluster(mired, shift, *files):
    return SeriesTemperatureClusterRecord(
        cct_k=1e6 / mired, mired=mired, files=list(files), shift_mired=shift
    )


def of_clusters(*clusters):
    return series(NAMES).model_copy(update={"colour_temperature_clusters": list(clusters)})


def test_one_light_needs_no_words():
    assert other_lights(of_clusters()) == ()
    assert other_lights(of_clusters(cluster(150, 0.0, "a", "b"))) == ()


def test_several_lights_are_told_against_that_of_most():
    warm, cool = other_lights(
        of_clusters(
            cluster(150, 0.0, "a", "b", "c"),
            cluster(188, -38.0, "d", "e"),
            cluster(120, 30.0, "f"),
        )
    )
    assert warm.files == ("d", "e")
    assert warm.sentence(len(warm.files)).startswith(
        "38 mired warmer than the largest group of 3; to join, cool them by as much"
    )
    assert cool.sentence(len(cool.files)).startswith(
        "30 mired cooler than the largest group of 3; to join, warm it by as much"
    )


def test_what_is_open_is_counted():
    found = of_clusters(cluster(150, 0.0, "a", "b"), cluster(188, -38.0, "d"))
    assert unplaced_words(found, 3) == ""
    assert unplaced_words(found, 4) == (
        "1 picture shares too little with the others to be compared for sure"
    )


def test_a_light_of_the_set_is_told_once_under_its_chart():
    record = audit(with_plan=False)
    found = record.series.model_copy(
        update={
            "colour_temperature_clusters": [
                cluster(152, 0.0, *NAMES[:3]),
                cluster(210, -58.0, NAMES[3]),
            ]
        }
    )
    record = record.model_copy(update={"series": found})
    view = series_view(record, link_pictures(record.images)).quantities[0]
    (light,) = view.lights
    assert [link.number for link in light.links] == [4]
    assert light.sentence.startswith("58 mired warmer than the other 3")
    assert view.outliers == ()  # the same picture, said with its light
    assert "Leaving the set: 1." in view.description


def test_of_one_picture_left_to_tell_it_is_said_as_of_one():
    (light,) = other_lights(
        of_clusters(cluster(150, 0.0, "a", "b", "c"), cluster(188, -38.0, "d", "e"))
    )
    assert "cool it by as much" in light.sentence(1)
    assert "cool them by as much" in light.sentence(2)
