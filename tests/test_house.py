"""What each room may hold: words in one room, judgement in none of the page's."""

import ast
import re
from pathlib import Path

import pytest

AUDITOR = Path(__file__).parent.parent / "auditor"
ROOMS_OF_DATA = ("series", "comparison", "advice", "findings", "record", "page")
LEAST_WORDS = 3
# Layout in pixels: which dot is free, which tick has room. Nothing measured is judged there.
LAYOUT = {"dots.py", "labels.py", "palette_bar.py", "shapes.py", "strip_chart.py"}


def modules(room):
    return sorted((AUDITOR / room).rglob("*.py"))


def sentences(tree):
    """Texts of three words and more that are neither docstrings, keys nor messages of errors."""
    skipped = {id(n) for raised in ast.walk(tree) if isinstance(raised, ast.Raise)
               for n in ast.walk(raised)}  # fmt: skip
    skipped |= {id(n.value) for n in ast.walk(tree) if isinstance(n, ast.Expr)}
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in skipped
        ):
            words = re.findall(r"(?<![\w.])[A-Za-z’]{2,}(?![\w.])", node.value)
            if len(words) >= LEAST_WORDS:
                yield node.value


# Names of the trade and of units, which are data; meanings of the registry of findings, for the
# manual; the description of a field in the JSON Schema.
VOCABULARY = {
    "fraction of frame",
    "fraction of diagonal",
    "rule of thirds",
    "soft all over",
    "three-quarter back light",
    "https://json-schema.org/draft/2020-12/schema",
}


@pytest.mark.parametrize("room", ROOMS_OF_DATA)
def test_no_sentence_stands_outside_wording(room):
    found = {
        (path.relative_to(AUDITOR).as_posix(), text)
        for path in modules(room)
        for text in sentences(ast.parse(path.read_text(encoding="utf-8")))
        if text not in VOCABULARY
    }
    allowed = {("findings/codes.py", text) for name, text in found if name == "findings/codes.py"}
    allowed |= {(name, text) for name, text in found if "null" in text}
    assert found - allowed == set()


def test_a_sentence_would_be_found():
    tree = ast.parse('"""Doc string of it."""\nx = f"The light comes from {y}"\n')
    assert list(sentences(tree)) == ["The light comes from "]


def comparisons(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    ordered = (ast.Lt, ast.LtE, ast.Gt, ast.GtE)
    return [
        ast.unparse(node)
        for node in ast.walk(tree)
        if isinstance(node, ast.Compare) and any(isinstance(op, ordered) for op in node.ops)
    ]


def test_the_page_judges_nothing():
    found = {path.name: comparisons(path) for path in modules("page") if comparisons(path)}
    assert set(found) <= LAYOUT, found
