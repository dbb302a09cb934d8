from itertools import combinations

from auditor.findings.gathering import attention_lines, misses_something
from auditor.record.audit_record import (
    DeliveryRecord,
    OutlierRecord,
    SeriesTemperatureClusterRecord,
)
from auditor.record.picture_record import (
    PicturePlanRecord,
)
from tests.records import NAMES, audit, item, items, measured


def planned(verdict):
    """Five pictures with one planned item each, of one verdict; the set is empty of outliers."""
    item = items()[4].model_copy(update={"verdict": verdict})
    plan = PicturePlanRecord(shot="s", items=[item])
    images = [measured(f"{n}.jpg", plan=plan) for n in range(5)]
    record = audit(images=images)
    quantities = [q.model_copy(update={"outliers": []}) for q in record.series.quantities]
    series = record.series.model_copy(update={"quantities": quantities, "duplicates": []})
    return record.model_copy(update={"series": series, "shots": [], "warnings": []})


def test_lines_name_their_pictures():
    lines = attention_lines(audit())
    assert lines[0] == f"{NAMES[3]}: It says where it was taken."
    assert lines[1] == "e/empty.jpg: The file is empty."
    assert lines[2] == "No picture was found for “tea from above”."
    # 1e6 / (1e6 / 5500 + 57) = 4187 K: cooler is a lower setting of the raw developer.
    assert (
        f"{NAMES[3]}: 57 mired warmer than the rest of the set; cool it by as much (in raw "
        "development, 5500 K becomes 4200 K)."
    ) in lines


def test_what_most_pictures_miss_is_one_line():
    assert attention_lines(planned("missed")) == [
        "Camera angle in 5 pictures, worst first: 0.jpg, 1.jpg, 2.jpg, 3.jpg, 4.jpg"
    ]


def test_only_a_clear_miss_counts_as_one():
    assert misses_something(planned("missed"))
    for verdict in ("met", "close", "undecided"):
        assert attention_lines(planned(verdict)) == []
        assert not misses_something(planned(verdict))


def test_an_outlier_breaks_the_set():
    assert misses_something(audit(with_plan=False))


def test_a_failed_rule_of_the_hand_over_counts():
    rule = DeliveryRecord(rule="sRGB", file=None, verdict="missed", message="No.")
    record = planned("met")
    assert misses_something(record.model_copy(update={"delivery": [rule]}))


def in_set(image_item, quantity, **outlier):
    """A set of one planned picture, 0.jpg, which leaves the set in one quantity."""
    plan = PicturePlanRecord(shot="s", items=[image_item])
    record = audit(images=[measured(f"{n}.jpg", plan=None if n else plan) for n in range(5)])
    made = OutlierRecord(file="0.jpg", **outlier)
    unit = {"colour_temperature": "mired", "light": "h", "exposure": "EV"}[quantity]
    followed = record.series.quantities[0].model_copy(
        update={"quantity": quantity, "unit": unit, "centre": 10.25, "outliers": [made]}
    )
    series = record.series.model_copy(update={"quantities": [followed], "duplicates": []})
    return record.model_copy(update={"series": series, "shots": [], "warnings": []})


def test_one_cause_is_told_once():
    warm = item("colour_temperature", 153.8, 197.1, 43.3, 20.0, "mired", "missed")
    record = in_set(
        warm, "colour_temperature", value=197.1, deviation=30.7, message="31 mired warmer"
    )
    said = (
        "0.jpg: 31 mired warmer than the rest of the set, and 43 mired warmer than planned "
        "(5050 K, 6500 K planned)."
    )
    assert attention_lines(record) == [said]
    assert misses_something(record)
    light = item("light", 10.5, 1.8, 3.3, 1.0, "h", "missed")
    record = in_set(light, "light", value=1.8, deviation=3.5, message="lit from the back right")
    said = (
        "0.jpg: The light comes from 1:45 (three-quarter back light from the right); 10:30 "
        "(three-quarter back light from the left) was planned, and the rest of the set is lit from "
        "10:15."
    )
    assert attention_lines(record) == [said]


def test_two_causes_are_told_apart():
    warm = item("colour_temperature", 153.8, 197.1, 43.3, 20.0, "mired", "missed")
    record = in_set(warm, "exposure", value=1.0, deviation=1.2, message="1.2 EV lighter")
    assert attention_lines(record) == [
        "0.jpg: The picture is 43 mired warmer than planned: 5050 K, 6500 K planned.",
        "0.jpg: 1.2 EV lighter; darken it by as much.",
    ]


def test_a_dark_picture_explains_a_dark_table():
    dark = item("surface", ["#b3aa9c"], "#726b61", 22.2, 10.0, "CIEDE2000", "missed")
    outlier = {"value": -0.1, "message": "1.2 EV darker than the rest of the set"}
    explained = attention_lines(in_set(dark, "exposure", deviation=-1.2, **outlier))
    assert len(explained) == 1
    assert explained[0].endswith(
        "allowed). The exposure explains it: 1.2 EV darker than the rest of the set."
    )
    lighter = attention_lines(in_set(dark, "exposure", deviation=1.2, **outlier))
    assert lighter[0].endswith("allowed).")
    assert len(lighter) == 2


def lit_in_two_ways(n_warm, *, outlier):
    """Seven pictures, the last `n_warm` of them 38 mired warmer; named as outliers or not."""
    files = [f"{n}.jpg" for n in range(7)]
    record = audit(with_plan=False, images=[measured(file) for file in files])
    most, other = files[:-n_warm], files[-n_warm:]
    clusters = [
        SeriesTemperatureClusterRecord(cct_k=6500, mired=153.8, files=most),
        SeriesTemperatureClusterRecord(cct_k=5213, mired=191.8, files=other, shift_mired=-38.0),
    ]
    outliers = [
        OutlierRecord(file=file, value=191.8, deviation=38.0, message="38 mired warmer")
        for file in other[:outlier]
    ]
    followed = record.series.quantities[0].model_copy(update={"outliers": outliers})
    series = record.series.model_copy(
        update={
            "quantities": [followed],
            "colour_temperature_clusters": clusters,
            "duplicates": [],
        }
    )
    return record.model_copy(update={"series": series, "warnings": []})


def test_pictures_in_another_light_are_one_line_with_what_joins_them():
    # 1e6 / (1e6 / 5500 + 38) = 4549 K.
    said = (
        "2 pictures are 38 mired warmer than the other 5; to join, cool them by as much (in raw "
        "development, 5500 K becomes 4550 K): 5.jpg, 6.jpg"
    )
    for n_outliers in (0, 1, 2):
        record = lit_in_two_ways(2, outlier=n_outliers)
        assert attention_lines(record) == [said]
        assert misses_something(record) == (n_outliers > 0)


def test_one_picture_in_another_light_is_told_as_the_outlier_it_is():
    assert attention_lines(lit_in_two_ways(1, outlier=0)) == []
    (line,) = attention_lines(lit_in_two_ways(1, outlier=1))
    assert line.startswith("6.jpg: 38 mired warmer; cool it")


def alike(pairs, copies=()):
    """Five pictures, of which some pairs are alike and some are copies of one file."""
    images = [measured(f"{n}.jpg") for n in range(5)]
    images = [i.model_copy(update={"sha256": "0" * 64}) if i.file in copies else i for i in images]
    record = audit(with_plan=False, images=images)
    series = record.series.model_copy(update={"quantities": [], "duplicates": pairs})
    return record.model_copy(update={"series": series, "warnings": []})


def test_alike_frames_are_one_line_a_group():
    names = [f"{n}.jpg" for n in range(5)]
    assert attention_lines(alike(list(combinations(names, 2)))) == [
        "5 pictures are nearly the same: 0.jpg, 1.jpg, 2.jpg, 3.jpg, 4.jpg"
    ]
    chain = [("0.jpg", "1.jpg"), ("3.jpg", "4.jpg"), ("1.jpg", "4.jpg")]
    assert attention_lines(alike(chain)) == [
        "4 pictures are nearly the same: 0.jpg, 1.jpg, 3.jpg, 4.jpg"
    ]
    assert attention_lines(alike([("0.jpg", "1.jpg"), ("2.jpg", "3.jpg")])) == [
        "0.jpg: Nearly the same picture as 2, 1.jpg.",
        "2.jpg: Nearly the same picture as 4, 3.jpg.",
    ]


def test_copies_of_a_file_are_called_so():
    pairs = list(combinations(["0.jpg", "1.jpg", "2.jpg"], 2))
    assert attention_lines(alike(pairs, ["0.jpg", "1.jpg", "2.jpg"])) == [
        "The same file 3 times: 0.jpg, 1.jpg, 2.jpg"
    ]
    assert set(attention_lines(alike(pairs, ["0.jpg", "2.jpg"]))) == {
        "0.jpg: The same file twice, here and as 3, 2.jpg.",
        "0.jpg: Nearly the same picture as 2, 1.jpg.",
    }
