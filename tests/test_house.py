"""What each room may hold: words in one room, judgement in none of the page's."""

import ast
import re
from pathlib import Path

import pytest

from auditor.findings.codes import MEANINGS

AUDITOR = Path(__file__).parent.parent / "auditor"
ROOMS_OF_DATA = (
    "series",
    "comparison",
    "advice",
    "findings",
    "history",
    "record",
    "page",
    "plan_sheet",
)
LEAST_WORDS = 2
# Layout: which dot is free, which tick has room, how many entries are shown at once. Nothing
# measured is judged there.
LAYOUT = {
    "attention_view.py",
    "dots.py",
    "labels.py",
    "palette_bar.py",
    "shapes.py",
    "shoot_charts.py",
    "strip_chart.py",
}


def modules(room):
    return sorted((AUDITOR / room).rglob("*.py"))


def sentences(tree):
    """Texts of two words and more that are neither docstrings nor messages of errors.

    The parts of an f-string are one text.
    """
    skipped = {
        id(part)
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise)
        for part in ast.walk(node)
    }
    skipped |= {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    inside = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = [part for part in node.values if isinstance(part, ast.Constant)]
            inside |= {id(part) for part in parts}
            texts = ["…".join(part.value for part in parts)] if id(node) not in skipped else []
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            texts = [node.value] if id(node) not in skipped | inside else []
        else:
            texts = []
        for text in texts:
            words = re.findall(r"(?<![\w.#/-])[A-Za-z’]{2,}(?![\w./-])", text)
            if len(words) >= LEAST_WORDS:
                yield text


# Statements of SQL are no words for people.
SQL = ("SELECT", "INSERT INTO", "DELETE FROM", "CREATE TABLE", "PRAGMA", "BEGIN")

# Names of the trade, of units and of settings, which are data.
VOCABULARY = {
    "back light",
    "colour temperature",
    "deep focus",
    "element cut",
    "element lost",
    "fraction of diagonal",
    "fraction of frame",
    "front light",
    "golden ratio",
    "golden spiral",
    "golden triangles",
    "missed focus",
    "motion blur",
    "rule of thirds",
    "shallow focus",
    "side light",
    "soft all over",
    "three-quarter back light",
    "too small",
    # The description of a field in the JSON Schema.
    "Why each quantity that is null, or whose value is null, has no value.",
}


@pytest.mark.parametrize("room", ROOMS_OF_DATA)
def test_no_sentence_stands_outside_wording(room):
    found = {
        (path.relative_to(AUDITOR).as_posix(), text)
        for path in modules(room)
        for text in sentences(ast.parse(path.read_text(encoding="utf-8")))
        if text not in VOCABULARY and not text.lstrip().startswith(SQL)
    }
    registry = {("findings/codes.py", meaning) for meaning in MEANINGS.values()}
    assert found - registry == set()


def test_a_sentence_would_be_found():
    tree = ast.parse('"""Doc string of it."""\nx = f"The light comes from {y}"\n')
    assert list(sentences(tree)) == ["The light comes from "]
    assert list(sentences(ast.parse('x = f"surface near {c}"'))) == ["surface near "]
    assert list(sentences(ast.parse('x = f"{n} pictures {v} the set"')))
    assert list(sentences(ast.parse('raise ValueError("this is not a colour")'))) == []


def test_templates_have_no_words_of_their_own():
    found = {}
    for path in sorted(AUDITOR.glob("*/templates/*.html")):
        text = re.sub(
            r"\{[{%#].*?[}%#]\}|<[^>]*>|&\w+;", " ", path.read_text(encoding="utf-8"), flags=re.S
        )
        words = re.findall(r"[A-Za-z’]{2,}", text)
        if words:
            found[path.name] = words
    # The names of the files that lie beside the page.
    assert found == {"page.html": ["audit", "json", "measurements", "csv", "verdicts", "csv"]}


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
