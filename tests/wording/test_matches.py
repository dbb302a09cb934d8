import dataclasses

import pytest

from auditor.comparison.item import ComparedItem, Verdict
from auditor.comparison.keeping import Rank
from auditor.comparison.matching import Assumed, BetterFit
from auditor.findings.audited_set import PlannedPicture
from auditor.page.page_view import page_view
from auditor.plan.file_patterns import claims_file
from auditor.record.plan_records import RankRecord
from auditor.values import Words
from auditor.wording.matches import files_key, rank_sentence
from tests.findings.audited import audited, lines_of, matched, record_of

ITEM = ComparedItem.of("technique", Words("centred"), Words("centred"), Verdict.MET)


def a_set(assumed, rank=None, **matches):
    planned = {"0.jpg": PlannedPicture("tea", (ITEM,), assumed=assumed, rank=rank)}
    of_tea = {"files_of": {"tea": ("0.jpg",)}, "assumed": {"0.jpg": assumed} if assumed else {}}
    return dataclasses.replace(audited(), planned=planned, matches=matched(**of_tea, **matches))


def test_a_match_by_content_is_said_with_the_second_guess_and_how_to_confirm_it():
    record = record_of(a_set(Assumed("tea", 0.93, "lemon tart", 0.05)))
    (shot,) = record.shots
    assert shot.assumed == ["0.jpg"]
    assumed = record.images[0].plan.assumed
    assert (assumed.probability, assumed.second, assumed.second_probability) == (
        0.93,
        "lemon tart",
        0.05,
    )
    assert assumed.message == (
        "Taken for “tea” by what it shows (93% sure; second guess: “lemon tart”, 5%). "
        'Add files = ["0.jpg"] to the shot to confirm.'
    )
    assert record.findings == []
    assert page_view(record, {}).pictures[0].matched == (assumed.message,)


@pytest.mark.parametrize(
    ("guess", "says"),
    [
        (Assumed("tea", 0.9, None, 0.08), "(90% sure; second guess: no shot of the plan, 8%)"),
        (Assumed("tea", 0.998, "tart", 0.001), "(over 99% sure)."),
    ],
)
def test_the_second_guess_is_named_where_it_is_possible(guess, says):
    assert says in record_of(a_set(guess)).images[0].plan.assumed.message


def test_a_doubtful_match_needs_attention():
    record = record_of(a_set(Assumed("tea", 0.55, "lemon tart", 0.4)))
    (finding,) = record.findings
    assert (finding.code, finding.shot, finding.other_shots, finding.value, finding.expected) == (
        "doubtful_match",
        "tea",
        ["lemon tart"],
        0.55,
        0.4,
    )
    assert finding.message == record.images[0].plan.assumed.message


def test_many_doubtful_matches_are_one_finding_the_least_certain_first():
    guesses = {f"{n}.jpg": Assumed("tea", 0.7 - 0.1 * n, "tart", 0.2) for n in range(4)}
    (line,) = lines_of(audited(matches=matched(assumed=guesses)))
    assert line == (
        "It is not certain which shots 4 pictures are of, the least certain first: "
        "3.jpg, 2.jpg, 1.jpg, 0.jpg"
    )


def test_a_picture_of_no_shot_names_the_likeliest():
    left = {"3.jpg": Assumed(None, 0.7, "tart", 0.25)}
    (line,) = lines_of(audited(matches=matched(unplanned=("3.jpg",), assumed=left)))
    assert "fits none well enough; the likeliest is “tart” (25%)" in line
    assert 'files = ["3.jpg"]' in line


def test_a_picture_of_no_shot_of_a_plan_with_names_is_said_as_before():
    (line,) = lines_of(audited(matches=matched(unplanned=("3.jpg",))))
    assert line == "3.jpg: No shot of the plan names this picture."


def test_a_picture_that_fits_another_shot_better_is_said_and_breaks_nothing():
    found = audited(matches=matched(fits_better={"2.jpg": BetterFit("tea", "tart", 500.0)}))
    (line,) = lines_of(found)
    assert line == "2.jpg: By its name it is “tea”, but it fits “tart” clearly better."


@pytest.mark.parametrize(
    ("place", "n", "says"),
    [
        (1, 2, "Of the 2 pictures of this shot the nearest to the plan."),
        (2, 3, "Of the 3 pictures of this shot the second nearest to the plan."),
        (3, 3, "Of the 3 pictures of this shot the third nearest"),
        (4, 30, "Of the 30 pictures of this shot the 4th nearest"),
        (11, 30, "Of the 30 pictures of this shot the 11th nearest"),
        (21, 30, "Of the 30 pictures of this shot the 21st nearest"),
    ],
)
def test_the_rank_of_a_picture_in_words(place, n, says):
    assert says in rank_sentence(RankRecord(place=place, n_pictures=n))


def test_pictures_that_keep_the_plan_equally_well_are_said_to():
    shared = RankRecord(place=1, n_pictures=3, is_shared=True)
    assert rank_sentence(shared) == (
        "Of the 3 pictures of this shot the nearest to the plan, together with another one."
    )
    record = record_of(a_set(None, Rank(1, 3, is_shared=True)))
    (picture,) = page_view(record, {}).shots[0].pictures
    assert picture.note == "nearest to the plan, together with another one"


def test_the_rank_stands_in_the_record_and_on_the_page():
    record = record_of(a_set(None, Rank(1, 2)))
    rank = record.images[0].plan.rank
    assert (rank.place, rank.n_pictures) == (1, 2)
    assert page_view(record, {}).pictures[0].matched == (rank.message,)


def test_the_list_of_shots_says_what_was_assumed_and_which_picture_is_best():
    record = record_of(a_set(Assumed("tea", 0.93, None, 0.05), Rank(1, 2)))
    (shot,) = page_view(record, {}).shots
    assert [picture.note for picture in shot.pictures] == ["assumed, 93% sure; nearest to the plan"]
    second = record_of(a_set(None, Rank(2, 2)))
    assert [one.note for one in page_view(second, {}).shots[0].pictures] == [""]


def test_the_key_that_confirms_can_be_pasted_into_a_plan(plan_of):
    names = ['say "cheese".jpg', "di\\sh.jpg", "del\x7fete.jpg"]
    key = files_key(names)
    assert key == 'files = ["say \\"cheese\\".jpg", "di?sh.jpg", "del?ete.jpg"]'
    (shot,) = plan_of(f'[[shot]]\nname = "tea"\n{key}\n').shots
    assert all(claims_file(shot, name) for name in names)


def several(n):
    files = tuple(f"{number}.jpg" for number in range(n))
    guess = Assumed("tea", 0.93, None, 0.0)
    planned = {file: PlannedPicture("tea", (ITEM,), assumed=guess) for file in files}
    matches = matched(files_of={"tea": files}, assumed=dict.fromkeys(files, guess))
    return dataclasses.replace(audited(), planned=planned, matches=matches)


def test_all_pictures_of_a_shot_are_confirmed_in_one_key():
    for picture in record_of(several(2)).images[:2]:
        assert picture.plan.assumed.message.endswith(
            'Add files = ["0.jpg", "1.jpg"] to the shot to confirm.'
        )


def test_many_pictures_of_a_shot_are_confirmed_by_a_command():
    message = record_of(several(5)).images[0].plan.assumed.message
    assert message.endswith("`auditor plan match` writes all pictures of the shot into the plan.")


def test_a_picture_of_no_shot_is_added_to_those_of_the_likeliest():
    left = Assumed(None, 0.7, "tea", 0.25)
    found = several(2)
    matches = dataclasses.replace(
        found.matches, unplanned=("3.jpg",), assumed={**found.matches.assumed, "3.jpg": left}
    )
    (line,) = lines_of(dataclasses.replace(found, matches=matches))
    assert 'add files = ["0.jpg", "1.jpg", "3.jpg"] to the shot.' in line
