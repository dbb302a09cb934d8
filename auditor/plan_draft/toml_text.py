"""Write a draft as TOML, laid out as a person would write it.

Only what a draft holds can be written: text, numbers, lists and inline tables.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from auditor.plan_draft.draft import Entry, PlanDraft, Remarked, ShotDraft, TomlValue
from auditor.plan_draft.phrases import entry_comment
from auditor.safe_text import one_line, quoted

# A line that is longer does not fit beside another window; lists are then written item by item.
# Unit: characters (common practice, no source).
MOST_COLUMNS = 100
# Comments of a table begin in one column, unless a value reaches beyond this one (our choice).
LAST_COMMON_COLUMN = 60
PLACE_DECIMALS = 2  # of a position in the frame: 0.01 is less than anybody sees
_INDENT = "    "


def toml_text(draft: PlanDraft) -> str:
    """The text of a draft, with a line break at its end."""
    head = [_comment(line) for line in draft.comments]
    if draft.title:
        head += [*([""] if head else []), f"title = {quoted(draft.title)}"]
    blocks = ["\n".join(head)] if head else []
    if draft.series:
        blocks.append("\n".join(["[series]", *_lines(draft.series)]))
    blocks += [_shot(shot) for shot in draft.shots]
    return "\n\n".join(blocks) + "\n"


def value_text(value: TomlValue) -> str:
    """A value on one line, without comments."""
    if isinstance(value, Remarked):
        return value_text(value.value)
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, Mapping):
        return _braced((f"{key} = {value_text(one)}" for key, one in value.items()), "{}")
    if isinstance(value, Sequence):
        is_place = bool(value) and all(isinstance(one, float) for one in value)
        items = (f"{one:.{PLACE_DECIMALS}f}" if is_place else value_text(one) for one in value)
        return f"[{', '.join(items)}]"
    return f"{value:g}"


def _shot(shot: ShotDraft) -> str:
    named = [Entry("name", shot.name)]
    if shot.files:
        named.append(Entry("files", list(shot.files)))
    lines = _lines((*named, *shot.entries))
    return "\n".join(["[[shot]]", *(_comment(line) for line in shot.comments), *lines])


def _lines(entries: Iterable[Entry]) -> list[str]:
    """The lines of a table, their comments in one column where that is not too far away."""
    pairs = [pair for entry in entries for pair in _pairs(entry)]
    commented = [len(code) for code, comment in pairs if comment]
    column = max((width for width in commented if width <= LAST_COMMON_COLUMN), default=0)
    return [
        f"{code:<{column}}  {_comment(comment)}" if comment else code for code, comment in pairs
    ]


def _pairs(entry: Entry) -> list[tuple[str, str]]:
    """The lines of an entry, each with its comment."""
    comment = entry_comment(entry.comment, entry.confidence)
    line = f"{entry.key} = {value_text(entry.value)}"
    if not entry.is_stated:
        return [(_comment(line), comment)]
    items = _items(entry.value)
    if len(items) == 1 and not comment:
        return [(line, _remark(items[0]))]
    if not any(_remark(one) for one in items) and not (items and len(line) > MOST_COLUMNS):
        return [(line, comment)]
    return [
        (f"{entry.key} = [", comment),
        *((f"{_INDENT}{value_text(one)},", _remark(one)) for one in items),
        ("]", ""),
    ]


def _items(value: TomlValue) -> Sequence[TomlValue]:
    """The items of a list; none for any other value."""
    return value if isinstance(value, Sequence) and not isinstance(value, str) else ()


def _remark(item: TomlValue) -> str:
    return item.comment if isinstance(item, Remarked) else ""


def _comment(text: str) -> str:
    return f"# {one_line(text)}" if text else "#"


def _braced(parts: Iterable[str], braces: str) -> str:
    return f"{braces[0]} {', '.join(parts)} {braces[1]}"
