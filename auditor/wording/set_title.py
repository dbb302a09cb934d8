"""What an audit is called: by its plan, its picture or its folder, or by what it holds."""

from __future__ import annotations

import re
from pathlib import PurePath, PureWindowsPath

from auditor.record.audit_record import AuditRecord
from auditor.record.picture_record import RefusedPictureRecord
from auditor.safe_text import one_line
from auditor.vocabulary.counts import count
from auditor.wording.texts import day

NOT_MEASURED = "could not be measured"

# Names that folders of pictures have whatever is in them: they are no title (collected by us, no
# source).
NO_TITLES = frozenset(
    {
        *("picture", "pictures", "image", "images", "img", "imgs", "photo", "photos", "pics"),
        *("photograph", "photographs", "photography", "camera", "camera roll", "dcim", "gallery"),
        *("final", "finals", "finished", "selects", "selection", "edit", "edits", "edited"),
        *("retouched", "original", "originals", "raw", "raws", "export", "exports", "exported"),
        *("output", "out", "delivery", "deliverables", "upload", "uploads", "web", "print"),
        *("full", "full size", "high res", "highres", "hires", "low res", "lowres", "preview"),
        *("previews", "jpg", "jpgs", "jpeg", "jpegs", "png", "tif", "tiff", "heic", "webp"),
        *("avif", "folder", "new folder", "untitled folder", "untitled", "new", "temp", "tmp"),
        *("test", "download", "downloads", "desktop", "documents", "home"),
        *("bilder", "fotos", "foto", "bild", "immagini", "imagenes", "imágenes", "neuer ordner"),
    }
)
# What is put behind a name to tell copies and parts apart: "export 2", "New folder (3)".
_NUMBERED = re.compile(r"[\s_\-.()#]*\d*[\s_\-.()#]*$")
# Three digits and five letters or digits, as cameras name their folders (DCF, JEITA CP-3461).
_OF_CAMERA = re.compile(r"\d{3}[0-9A-Z_]{5}")


def last_part(path: str) -> str:
    """A path's last part alone: the folders above it can betray a home or a client."""
    name = PureWindowsPath(path).name if "\\" in path else PurePath(path).name
    return one_line(name)


def folder_title(folder: str) -> str:
    """The name of a folder; empty if it says nothing about the pictures."""
    name = last_part(folder)
    plain = _NUMBERED.sub("", name.casefold()).replace("_", " ").replace("-", " ")
    if _OF_CAMERA.fullmatch(name) or " ".join(plain.split()) in NO_TITLES:
        return ""
    return name


def set_name(record: AuditRecord) -> str:
    """What the audit is called.

    A picture alone has its own name. A set has that of its plan, else that of its folder; if that
    says nothing, the number of pictures and the day of the audit.
    """
    if len(record.images) == 1:
        return last_part(record.images[0].file)
    return one_line(record.title or "") or folder_title(record.folder) or _counted(record)


def subtitle(record: AuditRecord) -> str:
    """Title of the plan, folder, number of pictures, plan and day, without what the name says."""
    name = set_name(record)
    refused = sum(isinstance(picture, RefusedPictureRecord) for picture in record.images)
    n_measured = len(record.images) - refused
    is_counted = name == _counted(record)
    parts = [one_line(record.title or ""), folder_title(record.folder)]
    if len(record.images) > 1 and not (is_counted and not refused):
        parts.append(count(n_measured, "picture") + " measured")
    if refused:
        parts.append(f"{refused} {NOT_MEASURED}")
    parts.append(f"plan: {last_part(record.plan)}" if record.plan else "without a plan")
    if not is_counted:
        parts.append(day(record.created))
    return " · ".join(part for part in parts if part and part != name)


def _counted(record: AuditRecord) -> str:
    return f"{count(len(record.images), 'picture')}, {day(record.created)}"
