import pytest

from auditor.vocabulary.kinds import Kind, kind_of


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("spoon", Kind.LONG),
        ("Wooden Spoons", Kind.LONG),
        ("cake knives", Kind.LONG),
        ("rolling pin", Kind.LONG),
        ("napkin", Kind.FLAT),
        ("linen cloth", Kind.FLAT),
        ("glass of herbs", Kind.TALL),
        ("wine glasses", Kind.TALL),
        ("second bowl", Kind.ROUND),
        ("bowl of mint leaves", Kind.ROUND),
        ("salt shaker", Kind.TALL),
        ("bay leaves", Kind.SMALL),
        ("raspberries", Kind.SMALL),
        ("honey jar", Kind.TALL),
        ("long thing 2", Kind.LONG),
        ("Tall thing", Kind.TALL),
        ("small things", Kind.SMALL),
        ("round thing", Kind.ROUND),
        ("thing", Kind.UNKNOWN),
        ("long table", Kind.UNKNOWN),
        ("bananas", Kind.UNKNOWN),
        ("element 2", Kind.UNKNOWN),
        ("", Kind.UNKNOWN),
    ],
)
def test_the_kind_of_a_name(name, kind):
    assert kind_of(name) is kind
