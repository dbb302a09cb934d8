from auditor.report.attention import attention_lines, misses_something
from auditor.report.image_record import (
    PicturePlanRecord,
)
from auditor.report.record import (
    DeliveryRecord,
)

from .records import NAMES, audit, items, measured


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
    assert f"{NAMES[3]}: 57 mired warmer than the rest of the set." in lines


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
