import dataclasses
from statistics import median

import pytest

from auditor.advice.advice import Advice, AdviceKind
from auditor.comparison.item import Verdict
from auditor.findings.codes import BREAKING, MEANINGS, FindingCode, is_breaking
from auditor.findings.gathering import gather_findings
from auditor.geometry import Box, Point
from auditor.runs.outcome import RefusedPicture
from auditor.series.alike import AlikePictures
from auditor.series.crops import CroppedPicture
from auditor.series.white_balance.temperature_clusters import SeriesTemperatureCluster
from auditor.values import Angle, Clock, Colours, Mired, Place
from auditor.wording.findings import SENTENCES
from tests.findings.audited import audited, followed, lines_of, matched, missed, record_of


def codes(found):
    return [finding.code.value for finding in gather_findings(found)]


LOW = missed("camera_elevation", Angle(70.0), Angle(46.0), -24.0, 10.0)
WARM = missed("colour_temperature", Mired(153.8), Mired(197.1), 43.3, 20.0)
DARK = missed("surface", Colours(("#b3aa9c",)), Colours(("#726b61",)), 22.2, 10.0)


def test_a_set_without_faults_has_no_findings():
    assert codes(audited()) == []


@pytest.mark.parametrize("verdict", [Verdict.MET, Verdict.CLOSE, Verdict.UNDECIDED])
def test_only_a_missed_item_is_a_finding(verdict):
    assert codes(audited({0: [LOW]})) == ["missed"]
    assert codes(audited({0: [dataclasses.replace(LOW, verdict=verdict)]})) == []


def test_findings_come_in_the_order_of_their_codes_and_then_of_their_severity():
    slight = missed("subject", Place(Point(0.5, 0.5)), Place(Point(0.6, 0.5)), 0.1, 0.08)
    found = audited(
        {0: [slight, LOW]},
        matches=matched(missing=("tea",), unplanned=("3.jpg",)),
        quantities=(followed("exposure", "EV", ("2.jpg", 1.0, 1.0)),),
        alike=(AlikePictures(("1.jpg", "2.jpg"), same_file=False),),
    )
    located = dataclasses.replace(found.pictures[4].camera, has_gps=True)
    pictures = [
        *found.pictures[:4],
        dataclasses.replace(found.pictures[4], camera=located),
        RefusedPicture("5.jpg", "empty_file", "The file is empty."),
    ]
    found = dataclasses.replace(found, pictures=pictures, unreadable_folders=("closed",))
    findings = gather_findings(found)
    assert [finding.code.value for finding in findings] == [
        "location",
        "unreadable_folder",
        "refused",
        "missing_shot",
        "missed",
        "missed",
        "set_outlier",
        "unplanned",
        "nearly_the_same",
    ]
    assert [f.quantity for f in findings if f.code is FindingCode.MISSED] == [
        "camera_elevation",
        "subject",
    ]
    ranks = [finding.rank for finding in record_of(found).findings]
    assert ranks == list(range(1, 10))


def test_outliers_come_in_the_order_of_their_spreads():
    slight = followed("exposure", "EV", ("0.jpg", 1.0, 1.0), spread=0.5)
    strong = followed("roll", "deg", ("1.jpg", 3.0, 3.0), spread=0.3)
    found = gather_findings(audited(quantities=(slight, strong)))
    assert [finding.files[0] for finding in found] == ["1.jpg", "0.jpg"]


def test_what_strict_is_about():
    assert {code.value for code in BREAKING} == {
        "delivery",
        "missing_shot",
        "set_rule",
        "often_missed",
        "missed",
        "set_outlier",
    }
    assert not is_breaking(FindingCode.LOCATION)


def test_a_finding_holds_what_was_found_and_what_it_was_held_against():
    (finding,) = record_of(audited({0: [LOW]})).findings
    assert (finding.value, finding.expected, finding.difference) == (46.0, 70.0, -24.0)
    assert (finding.unit, finding.tolerance, finding.shot) == ("deg", 10.0, "a shot")
    assert (
        finding.message
        == "The camera looks from lower than planned: three-quarter (46°); high (70°) was planned."
    )
    outlier = followed("exposure", "EV", ("2.jpg", 1.5, 1.2), centre=0.3)
    (finding,) = record_of(audited(quantities=(outlier,))).findings
    assert (finding.value, finding.expected, finding.difference) == (1.5, 0.3, 1.2)


def test_what_four_pictures_miss_is_one_finding():
    slight = dataclasses.replace(LOW, measured=Angle(59.0), difference=-11.0)
    three = audited({0: [slight], 1: [LOW], 2: [slight]})
    assert codes(three) == ["missed"] * 3
    four = audited({0: [slight], 1: [LOW], 2: [slight], 4: [slight]})
    assert lines_of(four) == ["Camera angle in 4 pictures, worst first: 1.jpg, 0.jpg, 2.jpg, 4.jpg"]


def test_elements_of_one_picture_are_not_several_pictures():
    gone = [
        missed("supporting", Place(Point(0.3, y)), None, None, 0.1, f"jar {y}")
        for y in (0.1, 0.3, 0.5, 0.7)
    ]
    assert codes(audited({0: gone})) == ["missed"] * 4


def test_one_cause_is_one_finding():
    outlier = followed("colour_temperature", "mired", ("0.jpg", 197.1, 30.7), centre=166.4)
    assert lines_of(audited({0: [WARM]}, quantities=(outlier,))) == [
        (
            "0.jpg: Warmer than the rest of the set (31 mired) and than planned (43 mired): "
            "5050 K; 6500 K was planned."
        )
    ]
    light = missed("light", Clock(10.5), Clock(1.8), 3.3, 1.0)
    outlier = followed("light", "h", ("0.jpg", 1.8, 3.5), centre=10.25)
    assert lines_of(audited({0: [light]}, quantities=(outlier,))) == [
        (
            "0.jpg: The light is about three and a half hours of the clock dial too far round to "
            "the right: three-quarter back light from the right (1:45); three-quarter back light "
            "from the left (10:30) was planned, and the rest of the set is lit from 10:15."
        )
    ]


def test_two_causes_are_two_findings():
    outlier = followed("exposure", "EV", ("0.jpg", 1.0, 1.2))
    assert lines_of(audited({0: [WARM]}, quantities=(outlier,))) == [
        "0.jpg: The picture is warmer than planned: 5050 K; 6500 K was planned (43 mired).",
        "0.jpg: A stop and a third lighter than the rest of the set (1.2 EV).",
    ]


def test_a_dark_picture_explains_a_dark_table():
    dark = followed("exposure", "EV", ("0.jpg", -0.1, -1.2))
    (line,) = lines_of(audited({0: [DARK]}, quantities=(dark,)))
    assert line.endswith(
        "allowed). The exposure explains it: a stop and a third darker than the rest of the "
        "set (1.2 EV)."
    )
    light = followed("exposure", "EV", ("0.jpg", 2.3, 1.2))
    assert codes(audited({0: [DARK]}, quantities=(light,))) == ["missed", "set_outlier"]


def groups(*sizes_and_mired, outliers=(), n=None):
    """A set in groups of colour temperature, the largest first, with some outliers."""
    names = iter(f"{number}.jpg" for number in range(100))
    most = sizes_and_mired[0][1]
    clusters = tuple(
        SeriesTemperatureCluster(
            1e6 / mired, mired, tuple(next(names) for _ in range(size)), most - mired
        )
        for size, mired in sizes_and_mired
    )
    values = tuple((file, cluster.mired) for cluster in clusters for file in cluster.files)
    centre = median(value for _, value in values)
    named = [(file, value, value - centre) for file, value in values if file in outliers]
    quantity = followed("colour_temperature", "mired", *named, centre=centre, values=values)
    return audited(n=n or len(values), quantities=(quantity,), colour_temperature_clusters=clusters)


@pytest.mark.parametrize(
    ("outliers", "code"), [((), "temperature_group"), (("5.jpg", "6.jpg"), "set_outlier")]
)
def test_a_group_of_another_colour_temperature_is_one_finding(outliers, code):
    # 1e6 / (1e6 / 5000 + 38) = 4202 K: cooler is a lower setting of the raw developer.
    found = groups((5, 153.8), (2, 191.8), outliers=outliers)
    assert codes(found) == [code]
    assert lines_of(found) == ["2 pictures are warmer than the other 5 (38 mired): 5.jpg, 6.jpg"]


def test_a_group_is_held_against_the_largest_and_not_against_the_middle_of_all():
    # Five and three, 72 mired apart: the median of all eight lies in the larger group, that of
    # four and four between the two. The shift that joins them is 72 mired in both.
    for sizes in ((5, 3), (4, 4)):
        (finding,) = record_of(groups((sizes[0], 160.0), (sizes[1], 232.0))).findings
        assert finding.difference == 72.0
        assert f"warmer than the other {sizes[0]} (72 mired)" in finding.message
    first, second = record_of(groups((4, 160.0), (3, 198.0), (2, 234.0))).findings
    assert (first.difference, second.difference) == (74.0, 38.0)
    assert "than the largest group of 4" in first.message


def test_one_picture_of_another_colour_temperature_is_an_outlier_or_stands_at_the_chart():
    alone = groups((6, 153.8), (1, 191.8))
    assert lines_of(alone) == []
    (_, cluster) = record_of(alone).series.colour_temperature_clusters
    assert cluster.message.startswith("warmer than the other 6 (38 mired); to join, cool it by as")
    (line,) = lines_of(groups((6, 153.8), (1, 191.8), outliers=("6.jpg",)))
    assert line == "6.jpg: Warmer than the rest of the set (38 mired)."


def test_in_a_set_too_small_for_outliers_one_picture_is_a_group():
    assert lines_of(groups((3, 153.8), (1, 191.8))) == [
        "3.jpg: Warmer than the other 3 (38 mired)."
    ]


def test_a_miss_takes_a_picture_out_of_its_group():
    found = groups((6, 153.8), (3, 191.8), outliers=("6.jpg", "7.jpg", "8.jpg"))
    planned = audited({8: [WARM]}, n=9).planned
    lines = lines_of(dataclasses.replace(found, planned=planned))
    assert [line[:5] for line in lines] == ["8.jpg", "2 pic"]
    pair = groups((6, 153.8), (2, 191.8), outliers=("6.jpg", "7.jpg"))
    planned = audited({7: [WARM]}, n=8).planned
    lines = lines_of(dataclasses.replace(pair, planned=planned))
    assert [line[:5] for line in lines] == ["7.jpg", "6.jpg"]
    # The other picture of the pair is no outlier, and the number of both is not its own.
    one = groups((6, 153.8), (2, 191.8), outliers=("7.jpg",))
    lines = lines_of(dataclasses.replace(one, planned=planned))
    assert [line[:5] for line in lines] == ["7.jpg"]


def test_no_remedy_is_named_where_the_plan_asks_for_the_opposite():
    found = groups((6, 153.8), (1, 191.8), outliers=("6.jpg",))
    warmer = Advice(AdviceKind.COLOUR_TEMPERATURE, 51.0, "mired", None, ("colour_temperature",), ())
    (entry,) = record_of(dataclasses.replace(found, advice={"6.jpg": (warmer,)})).attention
    assert entry.gravity == "look"
    assert entry.to_do == [
        "Its plan asks for the colour temperature: the plan or the set has to give."
    ]


def test_two_elements_of_one_name_have_findings_of_their_own():
    first, second = (
        missed("supporting", Place(Point(0.3, 0.7)), Place(Point(0.3, y)), off, 0.1, "jar")
        for y, off in ((0.2, 0.4), (0.4, 0.23))
    )
    lines = lines_of(audited({0: [first, second]}))
    assert ["(0.40 of" in lines[0], "(0.23 of" in lines[1]] == [True, True]


def test_alike_pictures_are_one_finding_a_group():
    five = AlikePictures(tuple(f"{n}.jpg" for n in range(5)), same_file=False)
    assert lines_of(audited(alike=(five,))) == [
        "5 pictures are nearly the same: 0.jpg, 1.jpg, 2.jpg, 3.jpg, 4.jpg"
    ]
    pair = AlikePictures(("2.jpg", "3.jpg"), same_file=False)
    copies = AlikePictures(("0.jpg", "2.jpg"), same_file=True)
    assert lines_of(audited(alike=(pair, copies))) == [
        "0.jpg: The same file twice, here and as 3, 2.jpg.",
        "2.jpg: Nearly the same picture as 4, 3.jpg.",
    ]
    three = AlikePictures(("0.jpg", "1.jpg", "2.jpg"), same_file=True)
    assert lines_of(audited(alike=(three,))) == ["The same file 3 times: 0.jpg, 1.jpg, 2.jpg"]


def cropped(whole, crop, box=(0.1, 0.0, 0.9, 0.6), crop_box=(0.0, 0.0, 1.0, 1.0)):
    return CroppedPicture(f"{whole}.jpg", f"{crop}.jpg", Box(*box), Box(*crop_box))


def test_a_crop_names_the_picture_that_it_is_cut_from():
    found = audited(crops=(cropped(3, 1), cropped(0, 2, crop_box=(0.0, 0.1, 1.0, 0.9))))
    assert lines_of(found) == [
        "1.jpg: The same picture as 4, 3.jpg, cropped to 48% of it.",
        "2.jpg: The same picture as 1, 0.jpg, cropped differently.",
    ]
    first, second = gather_findings(found)
    assert (first.value, first.unit) == (pytest.approx(0.48), "fraction of frame")
    assert second.files == ("2.jpg", "0.jpg")


def test_all_framings_of_a_photograph_are_one_finding():
    chain = (cropped(4, 1), cropped(3, 4), cropped(3, 1), cropped(2, 0))
    assert lines_of(audited(crops=chain)) == [
        "3 pictures are the same picture, cropped differently: 3.jpg, 1.jpg, 4.jpg",
        "0.jpg: The same picture as 3, 2.jpg, cropped to 48% of it.",
    ]
    # A pair that joins two others afterwards.
    joined = (cropped(0, 1), cropped(2, 3), cropped(0, 2))
    assert lines_of(audited(crops=joined)) == [
        "4 pictures are the same picture, cropped differently: 0.jpg, 1.jpg, 3.jpg, 2.jpg"
    ]


def test_crops_break_no_set_and_come_last():
    alike = AlikePictures(("1.jpg", "2.jpg"), same_file=False)
    found = audited(alike=(alike,), crops=(cropped(3, 1),))
    assert codes(found) == ["nearly_the_same", "cropped"]
    assert not is_breaking(FindingCode.CROPPED)


def test_a_missing_shot_says_where_its_picture_went():
    alone = matched(missing=("steam",))
    assert lines_of(audited(matches=alone)) == ["No picture was found for “steam”."]
    taken = matched(missing=("steam",), claimed_by={"steam": "kettle"})
    (line,) = lines_of(audited(matches=taken))
    assert "“steam” has no picture of its own" in line
    assert "“kettle”" in line


def test_a_picture_that_several_shots_name_lists_them():
    twice = matched(claimed_twice={"0.jpg": ("tea", "kettle")})
    assert lines_of(audited(matches=twice)) == [
        "0.jpg: Several shots name this picture: tea, kettle. It was compared with the first."
    ]


def test_every_code_has_a_meaning_and_a_sentence():
    assert set(MEANINGS) == set(SENTENCES) == set(FindingCode)
