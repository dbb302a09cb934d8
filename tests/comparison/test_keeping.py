import dataclasses

import pytest

from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.keeping import Rank, ranks
from auditor.values import Words

WORDS = {"+": Verdict.MET, "~": Verdict.CLOSE, "-": Verdict.MISSED, "?": Verdict.UNDECIDED}


def kept(verdicts):
    return [
        ComparedItem.of("technique", Words("centred"), None, WORDS[verdict]) for verdict in verdicts
    ]


@pytest.mark.parametrize(
    ("pictures", "places"),
    [
        (("++", "+-"), (1, 2)),
        (("+-", "~~"), (2, 1)),  # a miss weighs most
        (("+~", "+?", "++"), (3, 2, 1)),
        (("++", "++", "+-"), (1, 1, 3)),
        (("-?", "-+"), (2, 1)),
    ],
)
def test_the_fewest_misses_are_best(pictures, places):
    items = {f"{n}.jpg": kept(verdicts) for n, verdicts in enumerate(pictures)}
    found = ranks({"tea": tuple(items)}, items)
    assert found == {
        file: Rank(place, len(pictures), is_shared=places.count(place) > 1)
        for file, place in zip(items, places, strict=True)
    }


def test_a_picture_alone_has_no_rank_and_neither_has_one_without_items():
    items = {"1.jpg": kept("+"), "2.jpg": kept("-"), "3.jpg": []}
    assert ranks({"tea": ("1.jpg",), "tart": ("2.jpg", "3.jpg", "broken.jpg")}, items) == {}


def test_what_is_off_on_purpose_costs_a_picture_nothing():
    best, purposeful = kept("++"), kept("+-")
    purposeful = [
        purposeful[0],
        dataclasses.replace(purposeful[1], on_purpose="the window needed it"),
    ]
    items = {"worse.jpg": kept("+-"), "purpose.jpg": purposeful, "best.jpg": best}
    found = ranks({"tea": tuple(items)}, items)
    assert [found[file].place for file in ("best.jpg", "purpose.jpg", "worse.jpg")] == [1, 2, 3]
