"""Texts that a stranger's file may carry, by what they would do where they are shown raw."""

from __future__ import annotations

import unicodedata

CONTROLS = [chr(code) for code in (*range(1, 0x20), 0x7F)]
LATER_CONTROLS = [chr(code) for code in (0x80, 0x84, 0x85, 0x90, 0x9B, 0x9D, 0x9F)]
LINE_BREAKS = ["\r\n", "\u2028", "\u2029"]
DIRECTIONS = [
    chr(code) for code in (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))
]
ZERO_WIDTH = ["\u200b", "\u200c", "\u200d", "\u2060", "\ufeff", "\u00ad", "\u180e"]
TAGS = ["\U000e0001", "\U000e0041", "\U000e007f"]
SURROGATES = ["\ud800", "\udbff", "\udc80", "\udcff", "\udfff"]
PRIVATE = ["\ue000", "\U000f0000", "\U0010fffd"]
NO_CHARACTERS = ["\ufdd0", "\ufffe", "\uffff", "\U0001ffff"]
# Sequences that set a title, clear a screen, link elsewhere or answer for the user.
SEQUENCES = [
    "\x1b[2J",
    "\x1b]0;owned\x07",
    "\x1b]8;;file:///etc\x1b\\",
    "\x1b[31m",
    "\x1bP+q\x1b\\",
    "\x9b5n",
]
FORMULA_SIGNS = ["=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"]
FORMULAS = [
    f"{before}{sign}cmd('x')" for before in ("", " ", '"', "'", "\t ") for sign in FORMULA_SIGNS
]
MARKUP = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</title></style></script><b>",
    "<!-- --><![CDATA[",
    "&lt;b&gt;&#0;",
    "{{ 7 * 7 }}{% raw %}",
    "{0}{name}{0.__class__}%s%n",
    "[red]loud[/red][link=file:x]",
    "javascript:alert(1)",
    '\\" = [[shot]] # """ \'\'\'',
    "${IFS}`id`$(id)",
]
LENGTHS = ["long" * 60, "\u0628" * 120, "Z" + "\u0336\u0321" * 60, "emoji \U0001f35c" * 20]

BY_CATEGORY = {
    "control": [f"tea{c}pot" for c in CONTROLS],
    "later control": [f"tea{c}pot" for c in LATER_CONTROLS],
    "line break": [f"tea{c}auditor: all is well" for c in LINE_BREAKS],
    "direction": [f"tea{c}gpj.exe" for c in DIRECTIONS],
    "zero width": [f"tea{c}pot" for c in ZERO_WIDTH],
    "tag": [f"tea{c}pot" for c in TAGS],
    "surrogate": [f"tea{c}pot" for c in SURROGATES],
    "private": [f"tea{c}pot" for c in PRIVATE],
    "no character": [f"tea{c}pot" for c in NO_CHARACTERS],
    "sequence": [f"tea{c}pot" for c in SEQUENCES],
    "formula": FORMULAS,
    "markup": MARKUP,
    "length": LENGTHS,
}
HOSTILE_TEXTS = [text for texts in BY_CATEGORY.values() for text in texts]

# Categories of Unicode that nothing shown to a person may hold, besides a line's own end: controls,
# formats (directions, zero width, tags), surrogates, private use, unassigned, line and paragraph
# separators.
UNSAFE = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def unsafe_in(text: str) -> set[str]:
    """The characters of a text that could do harm where it is shown on one line."""
    return {c for c in text if unicodedata.category(c) in UNSAFE}
