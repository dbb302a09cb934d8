"""Every reason has an explanation, and README's tables have the same ones."""

import re

import pytest

from auditor.reasons import EXPLANATIONS, REFUSALS, Reason, RefusalReason
from tests.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_reason_has_its_explanation():
    assert list(EXPLANATIONS) == list(Reason)
    assert list(REFUSALS) == list(RefusalReason)


@pytest.mark.parametrize("texts", [EXPLANATIONS, REFUSALS], ids=["reasons", "refusals"])
def test_readme_has_the_same_table(texts):
    table = "".join(f"| `{code}` | {text} |\n" for code, text in texts.items())
    assert f"| code | meaning |\n| --- | --- |\n{table}\n" in README


@pytest.mark.parametrize("text", [*EXPLANATIONS.values(), *REFUSALS.values()])
def test_explanations_are_sentences(text):
    assert re.fullmatch(r"[A-Z][^\n]*\.", text)
