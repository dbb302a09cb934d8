"""Keys of a plan that nothing reads: free notes are ignored, likely mistakes are faults.

A photographer notes more than `auditor` compares: the client, the lens, the mood. Such a key is
left out and named in a remark. A key is taken for a mistake

* if it is a known key but for one letter, or for two in a key of six letters or more, whatever
  their case, blanks, hyphens and underscores;
* if it is a usual other name of a known key (`OTHER_NAMES`);
* if it is known in another table;
* in ``[tolerance]``, ``[set]`` and ``on_purpose``, where there is nothing to note.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from auditor.plan.models import TABLES, known_keys
from auditor.plan.toml_lines import KeyPath

OtherNames = Mapping[str, Sequence[str]]

# Usual names of what the plan has another key for; by the letters alone.
OTHER_NAMES = {
    "title": ("name", "heading"),
    "technique": ("composition", "compositionrule"),
    "supporting": ("props", "prop", "elements", "supportingelements", "accessories"),
    "camera_elevation": ("angle", "camera", "cameraangle", "cameraheight", "elevation", "view"),
    "light": ("lighting", "lightdirection", "lightfrom", "keylight"),
    "negative_space": ("emptyspace", "space", "whitespace", "copyspace", "negative"),
    "colour_temperature": ("whitebalance", "temperature", "colortemp", "colourtemp"),
    "palette": ("colours", "colors", "colour", "color"),
    "background": ("backdrop",),
    "surface": ("table", "tabletop"),
    "aspect_ratio": ("ratio", "format", "crop", "orientation", "aspect"),
    "files": ("file", "pictures", "picture", "images", "image", "photos", "photo", "filenames"),
    "diagonal": ("diagonals",),
    "at": ("place", "position", "where"),
    "fraction": ("share", "amount"),
}
# From this length of the known key on, two letters may be wrong; up to the other none.
LONG_KEY, SHORT_KEY = 6, 2
# What a subject is cannot be seen, and its name helps whoever reads the plan.
NOTES = {"subject": frozenset({"name"})}
_ALWAYS_TABLES = frozenset({"series", "shot", "tolerance", "set"})
# Tables in which there is nothing to note.
_WITHOUT_NOTES = frozenset({"tolerance", "set", "on_purpose"})


def without_notes(data: dict[str, object]) -> tuple[dict[str, object], tuple[KeyPath, ...]]:
    """The file's contents without free notes, and the paths of those."""
    ignored: list[KeyPath] = []
    return _cleaned(data, (), "", ignored), tuple(ignored)


def _cleaned(
    table: Mapping[str, object], path: KeyPath, name: str, ignored: list[KeyPath]
) -> dict[str, object]:
    kept = {}
    for key, value in table.items():
        if is_note(name, key, value):
            ignored.append((*path, key))
        else:
            kept[key] = _cleaned_value(value, (*path, key), key, ignored)
    return kept


def _cleaned_value(value: object, path: KeyPath, name: str, ignored: list[KeyPath]) -> object:
    if name not in TABLES:
        return value
    if isinstance(value, dict):
        return _cleaned(value, path, name, ignored)
    if isinstance(value, list):
        return [
            _cleaned(item, (*path, index), name, ignored) if isinstance(item, dict) else item
            for index, item in enumerate(value)
        ]
    return value


def is_note(table: str, key: str, value: object) -> bool:
    """Whether an unknown key of a table is a free note rather than a mistake."""
    if key in NOTES.get(table, ()):
        return True
    if key in known_keys(table) or table in _WITHOUT_NOTES:
        return False
    if any(key in known_keys(other) for other in TABLES if other != table):
        return False
    meant = meant_key(table, key)
    return meant is None or (meant in _ALWAYS_TABLES and not isinstance(value, dict | list))


def meant_key(table: str, key: str) -> str | None:
    """The known key of a table that a misspelt one means; None for none."""
    return nearest_key(key, known_keys(table), OTHER_NAMES)


def other_name(table: str, key: str) -> str | None:
    """The key of a table of which another is a usual name; None for none."""
    return _named(key, known_keys(table), OTHER_NAMES)


def nearest_key(key: str, known: Sequence[str], other_names: OtherNames) -> str | None:
    """The known key that a written one means, by a usual name or by its letters.

    Parameters
    ----------
    key : str
        As it is written.
    known : sequence of str
    other_names : mapping of str to sequence of str
        Usual names of known keys, by the letters alone.

    Returns
    -------
    str or None
        None for none.
    """
    named = _named(key, known, other_names)
    if named is not None:
        return named
    letters = _letters(key)
    near = [(distance, one) for one in known for distance in _near(letters, _letters(one))]
    return min(near)[1] if near else None


def _named(key: str, known: Sequence[str], other_names: OtherNames) -> str | None:
    letters = _letters(key)
    return next((one for one in known if letters in other_names.get(one, ())), None)


def _near(letters: str, known: str) -> Iterator[int]:
    """How many letters differ, if few enough do."""
    allowed = 2 if len(known) >= LONG_KEY else 0 if len(known) <= SHORT_KEY else 1
    if abs(len(letters) - len(known)) > allowed:
        return
    distance = letter_distance(letters, known)
    if distance <= allowed:
        yield distance


def _letters(key: str) -> str:
    return "".join(letter for letter in key.casefold() if letter.isalnum())


def letter_distance(first: str, second: str) -> int:
    """How many letters are wrong, missing, too many or exchanged with their neighbour.

    The optimal string alignment distance (Damerau 1964 names these four errors).
    """
    rows: list[list[int]] = [list(range(len(second) + 1))]
    for i, one in enumerate(first, start=1):
        row = [i]
        for j, other in enumerate(second, start=1):
            best = min(rows[-1][j] + 1, row[-1] + 1, rows[-1][j - 1] + (one != other))
            if i > 1 and j > 1 and one == second[j - 2] and first[i - 2] == other:
                best = min(best, rows[-2][j - 2] + 1)
            row.append(best)
        rows.append(row)
    return rows[-1][-1]
