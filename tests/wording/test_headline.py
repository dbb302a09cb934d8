import pytest

from auditor.record.audit_record import ShotRecord
from auditor.record.kind_record import KindRecord
from auditor.record.series_records import SetTemperatureClusterRecord
from auditor.wording.headline import headline
from tests.records import audit, measured


def of_set(n, *, outliers=True, groups=1):
    record = audit(with_plan=False, images=[measured(f"{number}.jpg") for number in range(n)])
    clusters = [
        SetTemperatureClusterRecord(cct_k=1e6 / mired, mired=mired, files=[f"{place}.jpg"])
        for place, mired in enumerate((150.0, 200.0)[:groups])
    ]
    quantities = [
        q if outliers else q.model_copy(update={"outliers": []}) for q in record.series.quantities
    ]
    series = record.series.model_copy(
        update={"colour_temperature_clusters": clusters, "quantities": quantities}
    )
    return headline(record.model_copy(update={"series": series}))


NO_PLAN = "No plan was given, so the pictures are compared with each other only."


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (of_set(6), "1 picture leaves the set, in colour temperature."),
        (of_set(6, outliers=False), "The pictures hold together as one set; none leaves it."),
        (of_set(6, outliers=False, groups=2), "The set falls into 2 groups of colour temperature."),
    ],
)
def test_the_set_in_one_sentence(found, sentence):
    assert found == (NO_PLAN, sentence)


def test_one_picture_is_no_set():
    (sentence,) = of_set(1, outliers=False)
    assert sentence == "No plan was given, so the picture is measured and described by itself."


@pytest.mark.parametrize("n", [2, 3])
@pytest.mark.parametrize("groups", [1, 2])
def test_of_two_or_three_pictures_nothing_is_claimed(n, groups):
    assert of_set(n, outliers=False, groups=groups) == (NO_PLAN,)


def test_single_pictures_are_compared_with_nothing():
    record = audit(with_plan=False, kind=KindRecord(kind="single", is_given=True))
    said = "No plan was given, so each picture is measured and described by itself."
    assert headline(record) == (said,)


def test_a_plan_whose_shots_state_nothing_still_says_which_are_there():
    record = audit(images=[measured("0.jpg")]).model_copy(
        update={
            "images": [measured("0.jpg").model_copy(update={"plan": None})],
            "shots": [ShotRecord(name="tea", files=["0.jpg"], missing=False)],
            "set_rules": [],
        }
    )
    assert headline(record)[0] == (
        "1 of 1 planned shot is there; nothing more is planned of the pictures."
    )
