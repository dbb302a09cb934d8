"""Sentences about pictures that are no one set."""

import pytest

from auditor.record.kind_record import KindRecord
from auditor.record.portfolio_record import (
    ClassRecord,
    FaultRecord,
    MoveRecord,
    OnlyOneRecord,
    OrderRecord,
    SharedClassRecord,
    VarietyRecord,
    WeakPictureRecord,
)
from auditor.series.portfolio.dimensions import CLASSES
from auditor.vocabulary.portfolio_terms import Dimension, Trait
from auditor.wording.kinds import kind_words
from auditor.wording.portfolio import (
    move_words,
    only_words,
    order_words,
    shared_words,
    variety_words,
    weak_words,
)
from auditor.wording.portfolio_names import CLASS_NAMES, TITLES, TRAITS, class_name


def variety(dimension, unknown=0, **counts):
    numbers = iter(range(1000))
    classes = [
        ClassRecord(name=name.replace("__", ":"), files=[f"{next(numbers)}.jpg" for _ in range(n)])
        for name, n in counts.items()
    ]
    files = [f"unknown {n}.jpg" for n in range(unknown)]
    return VarietyRecord(dimension=dimension, classes=classes, unknown=files)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (
            variety("camera_angle", level=2, three_quarter=4, overhead=24),
            "24 of 30 pictures are taken straight down",
        ),
        (
            variety("camera_angle", level=2, low=1, three_quarter=4, high=3, overhead=20),
            "20 of 30 pictures are taken straight down; only 1 is taken from a low angle.",
        ),
        (
            variety("camera_angle", level=2, low=2, three_quarter=4, high=2, overhead=2),
            "All 5 are there.",
        ),
        (variety("camera_angle", three_quarter=4, overhead=4), ""),
        (variety("camera_angle", unknown=20, overhead=9), ""),
        (variety("camera_angle", overhead=3), ""),
        (
            variety("division", centred=8, none=2),
            "8 of 10 pictures have the subject in the centre.",
        ),
        (variety("subject_colour", brown=10), "All 10 pictures show mainly brown food."),
        (
            variety("ground_colour", white=9, grey=1),
            "9 of 10 pictures are on a mainly white surface.",
        ),
        (variety("ratio", **{"3__2": 9, "1__1": 1}), "9 of 10 pictures are 3:2."),
    ],
)
def test_where_one_class_is_most_it_is_said(found, said):
    words = variety_words(found)
    assert words.startswith(said) if said else words == ""


def test_missing_angles_are_named():
    found = variety("camera_angle", three_quarter=4, overhead=26)
    assert variety_words(found).endswith("; none is level with the table.")


@pytest.mark.parametrize("dimension", CLASSES)
def test_every_class_and_every_trait_has_words(dimension):
    assert set(TITLES) == set(Dimension)
    assert set(TRAITS) == set(Trait)
    for name in CLASSES[dimension]:
        assert "_" not in class_name(dimension, name)
        only = OnlyOneRecord(dimension=dimension, name=name, file="a.jpg")
        assert only_words(only).startswith("the only one ")
        shared = SharedClassRecord(dimension=dimension, name=name, n_pictures=9, n_known=10)
        assert shared_words(shared).startswith("Nearly all pictures ")
        assert "_" not in only_words(only) + shared_words(shared)
    assert set(CLASS_NAMES.get(dimension, {})) <= set(CLASSES[dimension])


def test_the_only_one():
    said = [
        only_words(OnlyOneRecord(dimension=dimension, name=name, file="a.jpg"))
        for dimension, name in (("subject_size", "tiny"), ("light", "front"), ("ratio", "2:3"))
    ]
    assert said == [
        "the only one with a tiny subject", "the only one lit from the front",
        "the only one in 2:3",
    ]  # fmt: skip


def test_faults():
    faults = [
        FaultRecord(fault="clipped", severity=2.0, value=0.12),
        FaultRecord(fault="small", severity=2.0, value=400.0),
        FaultRecord(fault="tilt", severity=2.0, value=-4.0),
        FaultRecord(fault="cast", severity=2.0, value=70.0),
        FaultRecord(fault="cast", severity=2.0, duv=-0.02),
    ]
    said = weak_words(WeakPictureRecord(file="a.jpg", faults=faults))
    assert said == (
        "Highlights are clipped on 12% of the subject; only 400 pixels on the longer side; level "
        "lines rise 4° to the left; a strong warm cast, 70 mired from neutral; a strong magenta "
        "cast."
    )


NUMBERS = {"a.jpg": 1, "b.jpg": 2, "c.jpg": 3, "d.jpg": 4}


def test_an_order_that_parts_alike_pictures_is_left():
    assert "no other order is suggested" in order_words(OrderRecord(beside=[]), NUMBERS)


def test_a_move_says_where_to_and_why():
    move = MoveRecord(
        file="b.jpg", repeats="a.jpg", after="c.jpg", before="d.jpg", differs_in=["camera_angle"]
    )
    assert move_words(move, NUMBERS) == (
        "to between 3 and 4, away from 1, which it repeats; it differs from both in camera angle"
    )
    end = MoveRecord(file="b.jpg", repeats="a.jpg", after="d.jpg", before=None, differs_in=[])
    assert move_words(end, NUMBERS) == "to the end, after 4, away from 1, which it repeats"
    said = order_words(OrderRecord(beside=[("a.jpg", "b.jpg")], moves=[move]), NUMBERS)
    assert said == "In the present order these follow each other although they are alike: 1 and 2."


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ({"kind": "single", "is_given": True}, "by itself, as asked"),
        ({"kind": "single", "is_given": False}, "only one picture"),
        ({"kind": "set", "is_given": False, "by_plan": True}, "because they have a plan"),
        ({"kind": "set", "is_given": False}, "too few to tell"),
        ({"kind": "set", "is_given": False, "n_pairs": 10, "n_unlike": 1}, "90% of their pairs"),
        ({"kind": "set", "is_given": False, "n_pairs": 10, "n_unlike": 8}, "not certain"),
        (
            {"kind": "portfolio", "is_given": False, "n_pairs": 10, "n_unlike": 9, "n_formats": 3},
            (
                "90% of their pairs share neither colours nor a surface, and they differ in "
                "format. "
                "Add “--as set” to the command to compare them as one."
            ),
        ),
    ],
)
def test_how_the_kind_is_known_is_said(kind, said):
    assert said in kind_words(KindRecord(**kind))
