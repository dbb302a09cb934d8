from __future__ import annotations

import dataclasses

import pytest

from auditor.accepted import Accepted
from auditor.errors import InvalidPlanError
from auditor.geometry import Point
from auditor.plan.models import WrittenTolerance
from auditor.plan.reading import read_plan
from auditor.plan.shot_plan import DEFAULT_TOLERANCES, Intent, Plan, PlannedThing, Shot
from auditor.plan.summary import describe_plan
from auditor.quantities import WITH_TOLERANCE, tolerance_rule
from tests.intents import intent_with, thing


def test_published_example_means_what_it_says(winter_citrus):
    series = intent_with(
        light=Accepted(10.5, ((9.75, 11.25),), "back left"),
        colour_temperature=1e6 / 6000,
        palette=("#e08a1e", "#2f4a3c", "#d8d2c4"),
        background=("#cfc7b6",),
        surface=("#6f6a63",),
        aspect_ratio=0.8,
    )
    intent = dataclasses.replace(
        series,
        techniques=("rule of thirds",),
        subject=thing(at=Point(2 / 3, 1 / 3), size=0.2),
        supporting=(
            PlannedThing(name="honey jar", at=Point(0.30, 0.70)),
            PlannedThing(name="cloth", at=Point(1 / 3, 2 / 3)),
        ),
        camera_elevation=Accepted.exactly(45.0),
        negative_space=Accepted.exactly(0.45),
        negative_space_sides=("left",),
        diagonal="rising",
    )
    read = winter_citrus
    subject = read.shots[0].intent.subject
    assert subject.at == pytest.approx((2 / 3, 1 / 3), abs=1e-12)
    cloth = read.shots[0].intent.supporting[1]
    assert cloth.at == pytest.approx((1 / 3, 2 / 3), abs=1e-12)
    # Places in words are zones, which begin at the lines of thirds.
    assert subject.zone.boxes == (pytest.approx((2 / 3, 0, 1, 1 / 3)),)
    assert cloth.zone.boxes == (pytest.approx((0, 2 / 3, 1 / 3, 1)),)
    assert (subject.zone.words, cloth.zone.words) == ("upper right", "lower left")
    # Everything else is equal exactly, the two positions above up to rounding.
    exact = dataclasses.replace(
        read.shots[0].intent,
        subject=dataclasses.replace(subject, at=Point(2 / 3, 1 / 3), zone=None),
        supporting=(
            read.shots[0].intent.supporting[0],
            dataclasses.replace(cloth, at=Point(1 / 3, 2 / 3), zone=None),
        ),
    )
    assert dataclasses.replace(
        read, shots=(dataclasses.replace(read.shots[0], intent=exact),)
    ) == Plan(
        title="Winter citrus at the hillside teahouse",
        series=series,
        shots=(Shot("kettle and clementines", ("*kettle*",), intent),),
        tolerances=dataclasses.replace(DEFAULT_TOLERANCES, subject=0.06),
    )


def test_name_and_files_are_enough(plan_of):
    plan = plan_of('[[shot]]\nname = "tea"\nfiles = ["tea.jpg"]\n')
    assert plan == Plan(None, Intent(), (Shot("tea", ("tea.jpg",), Intent()),), DEFAULT_TOLERANCES)


def test_a_shot_inherits_what_it_leaves_out_and_only_that(plan_of):
    plan = plan_of("""
        [series]
        technique = "golden ratio"
        subject = { at = "upper left", size = 0.3 }
        negative_space = { fraction = 0.5, side = "right" }
        light = { clock = 2 }
        palette = ["#ffffff"]
        [[shot]]
        name = "as the series"
        files = ["a"]
        [[shot]]
        name = "other"
        files = ["b"]
        technique = "rule of thirds"
        subject = { size = 0.1 }
        negative_space = { side = "top" }
        light = { from = "left" }
        palette = []
    """)
    as_series, other = (shot.intent for shot in plan.shots)
    assert as_series == plan.series
    # A place in words depends on the technique of the shot that inherits it.
    # 1 - 1/phi = 0.3819660113
    assert as_series.subject.at == pytest.approx((0.3819660113, 0.3819660113))
    assert other.subject.at == pytest.approx((1 / 3, 1 / 3))
    assert other.subject.size == Accepted.exactly(0.1)
    assert (other.negative_space.nominal, other.negative_space_sides) == (0.5, ("top",))
    assert other.light.nominal == 9
    assert other.palette == ()


@pytest.mark.parametrize(
    ("line", "field", "meant"),
    [
        ("aspect_ratio = 1.5", "aspect_ratio", 1.5),
        ('aspect_ratio = "16 x 9"', "aspect_ratio", 16 / 9),
        ('aspect_ratio = "2.35:1"', "aspect_ratio", 2.35),
        ("camera_elevation = 0", "camera_elevation", 0),
        ('camera_elevation = "Overhead"', "camera_elevation", 90),
        ('camera_elevation = "three-quarter"', "camera_elevation", 45),
        ('camera_elevation = "high"', "camera_elevation", 70),
        ('camera_elevation = "straight on"', "camera_elevation", 0),
        ("light = { clock = 12 }", "light", 12),
        ("light.from = 'Side Left'", "light", 9),
        ("light.from = 'three-quarter back light from the left'", "light", 10.5),
        ("colour_temperature = { mired = 200 }", "colour_temperature", 200),
        ("diagonal = -30", "diagonal_deg", -30),
        ('diagonal = "none"', "diagonal", "none"),
        ("negative_space = { fraction = 0.4 }", "negative_space", 0.4),
        ('negative_space = { side = "around" }', "negative_space_sides", ("around",)),
        ('technique = "Golden-Triangles"', "techniques", ("golden triangles",)),
        ('technique = "centered"', "techniques", ("centred",)),
        ('technique = "Fibonacci spiral"', "techniques", ("golden spiral",)),
        ('technique = "triangle"', "techniques", ("triangle arrangement",)),
        ('technique = "frame-within-a-frame"', "techniques", ("frame within a frame",)),
        ('palette = ["#FA0", "#E08A1E"]', "palette", ("#ffaa00", "#e08a1e")),
    ],
)
def test_single_values(plan_of, line, field, meant):
    intent = plan_of(f'[[shot]]\nname = "tea"\nfiles = ["tea"]\n{line}\n').shots[0].intent
    value = getattr(intent, field)
    if isinstance(value, Accepted):
        assert value.is_value == (not value.words)
        value = value.nominal
    elif field == "palette":
        value = tuple(colour.hex for colour in value)
    assert value == (meant if isinstance(meant, str | tuple) else pytest.approx(meant))
    assert dataclasses.replace(intent, **{field: Intent.__dataclass_fields__[field].default}) == (
        Intent()
    )


def test_elements_without_a_name_are_named_by_their_number_in_the_list(plan_of):
    plan = plan_of("""
        [[shot]]
        name = "tea"
        files = ["tea"]
        supporting = [ { name = "spoon" }, { at = [0.1, 0.9] } ]
    """)
    assert [thing.name for thing in plan.shots[0].intent.supporting] == ["spoon", "element 2"]


def test_tolerances_are_those_of_the_registry():
    names = [field.name for field in dataclasses.fields(DEFAULT_TOLERANCES)]
    assert sorted(names) == sorted(WITH_TOLERANCE)
    assert list(WrittenTolerance.model_fields) == names
    for name in names:
        assert getattr(DEFAULT_TOLERANCES, name) == tolerance_rule(name).default


def test_every_tolerance_can_be_replaced(plan_of):
    names = [field.name for field in dataclasses.fields(DEFAULT_TOLERANCES)]
    values = {name: 0.001 * (number + 1) for number, name in enumerate(names)}
    text = "\n".join(f"{name} = {value}" for name, value in values.items())
    plan = plan_of(f'[tolerance]\n{text}\n[[shot]]\nname = "tea"\nfiles = ["tea"]\n')
    assert dataclasses.asdict(plan.tolerances) == pytest.approx(values)


def test_a_byte_order_mark_and_other_line_ends_are_accepted(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_bytes('\ufeff[[shot]]\r\nname = "thé"\r\nfiles = ["a"]\r\n'.encode())
    assert read_plan(path).shots[0].name == "thé"


def test_a_plan_in_one_line(plan_of, winter_citrus):
    assert describe_plan(winter_citrus) == (
        "Winter citrus at the hillside teahouse: 1 shot, with files"
    )
    two = plan_of('[[shot]]\nname = "a"\nfiles = ["a", "b"]\n[[shot]]\nname = "b"\nfiles = ["c"]\n')
    assert describe_plan(two) == "2 shots, all with files"
    half = plan_of('[[shot]]\nname = "a"\nfiles = "a"\n[[shot]]\nname = "b"\n')
    assert describe_plan(half) == "2 shots, 1 without files, matched by what pictures show"


@pytest.mark.parametrize(
    ("written", "words"),
    [("left edge", "left edge"), ("Behind the subject", "behind"), ("in front", "in front")],
)
def test_a_supporting_element_may_have_a_place_named_after_the_subject(tmp_path, written, words):
    path = tmp_path / "plan.toml"
    path.write_text(
        f'[[shot]]\nname = "a"\nfiles = ["a*"]\nsupporting = [ {{ at = "{written}" }} ]\n'
    )
    (thing,) = read_plan(path).shots[0].intent.supporting
    assert (thing.zone.words, thing.has_place) == (words, True)


def test_the_subject_cannot_be_behind_itself(tmp_path):
    path = tmp_path / "plan.toml"
    path.write_text('[[shot]]\nname = "a"\nfiles = ["a*"]\nsubject = { at = "beside" }\n')
    with pytest.raises(InvalidPlanError, match="beside itself"):
        read_plan(path)
