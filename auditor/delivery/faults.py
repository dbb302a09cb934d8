"""Messages about the faults in rules, for the photographer who wrote them."""

from __future__ import annotations

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from auditor.delivery.models import GROUPS, TABLES, known_keys
from auditor.plan.cross_checks import WrittenFault
from auditor.plan.toml_lines import KeyPath
from auditor.plan.unknown_keys import nearest_key
from auditor.plan.written_values import shown

# Usual names of what rules have another key for; by the letters alone.
OTHER_NAMES = {
    "type": ("format", "filetype", "kind"),
    "bytes": ("size", "filesize", "weight"),
    "profile": ("icc", "iccprofile", "colourprofile", "colorprofile", "colourspace", "colorspace"),
    "long_side": ("longedge", "longestside", "longestedge"),
    "short_side": ("shortedge", "shortestside", "shortestedge"),
    "ratio": ("aspectratio", "aspect", "crop"),
    "names": ("pattern", "filename", "filenames", "naming"),
    "bits": ("bitdepth", "depth"),
    "colours": ("colors", "mode", "colourmode", "colormode"),
    "location": ("gps", "geotag", "position"),
    "serial_numbers": ("serialnumber", "serial", "serials"),
    "creator": ("author", "photographer", "byline", "artist"),
    "copyright": ("rights",),
    "caption": ("description",),
    "keywords": ("tags",),
    "writing": ("watermark", "watermarks", "captions", "text", "signature"),
    "border": ("borders", "frame"),
    "halos": ("sharpening", "oversharpened", "halo"),
    "subject_sharpness": ("sharpness", "softness", "focus"),
    "clipped_highlights": ("highlights", "blownhighlights"),
    "clipped_shadows": ("shadows", "blockedshadows"),
    "pictures": ("number", "count", "images", "photos"),
    "same_picture_twice": ("duplicates", "doubles", "twice"),
    "one_look": ("look", "consistent", "consistency"),
    "number_gaps": ("gaps",),
    "files": ("file", "folder", "folders"),
    "channel": ("channels",),
    "file": ("files",),
}
EXAMPLES = {
    **{name: f"[{name}] with its keys below" for name in GROUPS},
    "channel": "[[channel]] (two brackets) with its keys below",
    "files": 'files = "web/*"',
}
MISSING = {
    "name": 'every channel needs a name, as in name = "web"',
    "files": 'every channel needs its files, as in files = "web/*"',
}


def written_faults(error: ValidationError) -> list[WrittenFault]:
    """Path and message of each value or key that the models do not accept."""
    return [(details["loc"], _message(details)) for details in error.errors(include_url=False)]


def _message(details: ErrorDetails) -> str:
    path = details["loc"]
    match details["type"]:
        case "written_value":
            return details["msg"]
        case "extra_forbidden":
            return _unknown_key(path)
        case "missing":
            return MISSING[str(path[-1])]
    key = next(part for part in reversed(path) if isinstance(part, str))
    return f"{shown(details['input'])} is not right: write it like {EXAMPLES[key]}"


def _unknown_key(path: KeyPath) -> str:
    names = [part for part in path[:-1] if isinstance(part, str)]
    table, key = names[-1] if names else "", str(path[-1])
    places = [name for name in TABLES if name != table and key in known_keys(name)]
    if places:
        # What holds for a channel alone stands in its table; a rule for all has its heading.
        heads = [f"[[{name}]]" if name == "channel" else f"[{name}]" for name in places if name]
        return f"this key does not belong here but below {' or '.join(heads) or 'no heading'}"
    meant = meant_key(table, key)
    if meant is not None:
        return f"nothing of that name is known here; did you mean {meant}?"
    elsewhere = [name for name in GROUPS if name != table and meant_key(name, key) is not None]
    if elsewhere:
        return (
            f"nothing of that name is known here; did you mean {meant_key(elsewhere[0], key)} "
            f"below [{elsewhere[0]}]?"
        )
    return (
        f"nothing of that name is known here; known are {', '.join(known_keys(table))}. "
        "Write a note of your own after #"
    )


def meant_key(table: str, key: str) -> str | None:
    """The known key of a table that another means; None for none."""
    return nearest_key(key, known_keys(table), OTHER_NAMES)
