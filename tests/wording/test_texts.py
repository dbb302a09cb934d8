from auditor.safe_text import one_line
from auditor.wording import texts


def test_words_are_joined_as_in_a_sentence():
    assert texts.listed([]) == ""
    assert texts.listed(["a"]) == "a"
    assert texts.listed(["a", "b", "c"]) == "a, b and c"


def test_a_file_name_can_be_shown_whatever_it_holds():
    assert one_line("a\nb\x1b[31m.jpg") == "a\ufffdb\ufffd[31m.jpg"
    assert one_line("bad\udce9.jpg") == "bad?.jpg"
    assert "\u202e" not in one_line("gpj.\u202ecod")


def test_times_are_dates_in_words_or_left_alone():
    assert texts.day("2026-11-25T09:36:00+00:00") == "25 November 2026"
    assert texts.moment("2026-11-20T10:30:00") == "20 November 2026, 10:30"
    assert texts.moment("last winter") == "last winter"
    assert texts.moment(None) == ""
