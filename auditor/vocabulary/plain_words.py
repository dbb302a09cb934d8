"""Words as people type them, brought to one form."""

from __future__ import annotations

import re


def plain_words(text: str) -> str:
    """Lower-case words with single spaces: ``"Upper-Right "`` becomes ``"upper right"``."""
    without_apostrophes = re.sub(r"['\u2019]", "", text.casefold())
    return " ".join(re.findall(r"\w+", without_apostrophes.replace("_", " ")))
