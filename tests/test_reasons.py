"""The registry of reasons is complete."""

from auditor.reasons import EXPLANATIONS, REFUSALS, Reason, RefusalReason


def test_every_reason_has_its_explanation():
    assert set(EXPLANATIONS) == set(Reason)
    assert set(REFUSALS) == set(RefusalReason)


def test_every_reason_stands_in_the_manual():
    from pathlib import Path

    manual = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
    missing = [code for code in [*Reason, *RefusalReason] if f"`{code}`" not in manual]
    assert missing == []
