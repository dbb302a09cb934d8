"""Pieces of sentences: lists and dates."""

from __future__ import annotations

from datetime import datetime

from auditor.safe_text import one_line

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def capital(text: str) -> str:
    """Begin with a capital letter."""
    return text[:1].upper() + text[1:]


def ended(text: str) -> str:
    """End with a full stop, if nothing else ends the sentence."""
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def listed(parts: list[str]) -> str:
    """Join words as a sentence does: "a, b and c"."""
    if len(parts) <= 1:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def day(created: str) -> str:
    """Write an ISO 8601 time as a date in words; anything else as it is."""
    try:
        date = datetime.fromisoformat(created)
    except ValueError:
        return one_line(created)
    return f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def moment(taken: str | None) -> str:
    """Write an ISO 8601 time as a date in words with the time of day; anything else as it is."""
    try:
        return f"{day(taken)}, {datetime.fromisoformat(taken):%H:%M}" if taken else ""
    except ValueError:
        return one_line(taken or "")
