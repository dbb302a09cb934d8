"""What is said of files that were not looked at."""

from auditor.wording.passed_over import passed_over_lines


def test_nothing_is_said_of_nothing():
    assert passed_over_lines(0, ()) == []


def test_one_line_says_how_many_files_are_no_pictures():
    assert passed_over_lines(1, ()) == [
        "1 file was not looked at: its name does not end like that of a picture."
    ]
    assert passed_over_lines(7, ()) == [
        "7 files were not looked at: their names do not end like those of pictures."
    ]


def test_links_upwards_are_named_on_one_line():
    (line,) = passed_over_lines(0, ("up", "b/\x1b[31mup"))
    assert line == (
        "“up” and “b/\ufffd[31mup” are links to a folder above this one, which was not looked at."
    )
    (line,) = passed_over_lines(0, ("up",))
    assert line == "“up” is a link to a folder above this one, which was not looked at."
