"""Files with metadata written by hand, and rules judged over them."""

import io
from pathlib import Path

import numpy as np
import piexif
from PIL import Image, ImageCms

from auditor.delivery.examining import Examination, examine
from auditor.delivery.judge import OF_PIXELS, judge_delivery
from auditor.delivery.reading import read_rules
from auditor.measurements.measured_photograph import MeasuredPhotograph
from tests.factories import measured_photograph
from tests.findings.audited import NOTHING

SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
SECRET_SERIAL, SECRET_CAPTION = "SN-4711-SECRET", "Secret caption of the tart"
SECRET_LATITUDE = ((47, 1), (11, 1), (4711, 100))


def grain(width=120, height=150, seed=0):
    """A picture of mild grain, so that nothing in it is clipped."""
    values = np.random.default_rng(seed).integers(90, 160, (height, width, 3), dtype=np.uint8)
    return Image.fromarray(values)


def jpeg(image=None, *, iptc=b"", **options):
    """A JPEG as bytes; IPTC-IIM goes into APP13 as cameras' and agencies' programs write it."""
    stream = io.BytesIO()
    (image or grain()).save(stream, "JPEG", quality=92, **options)
    data = stream.getvalue()
    if not iptc:
        return data
    # An image resource: signature, number 0x0404, an empty name of two bytes, length, content.
    content = iptc + b"\0" * (len(iptc) % 2)
    block = b"Photoshop 3.0\0" + b"8BIM" + (0x0404).to_bytes(2, "big") + b"\0\0"
    block += len(iptc).to_bytes(4, "big") + content
    return data[:2] + b"\xff\xed" + (len(block) + 2).to_bytes(2, "big") + block + data[2:]


def dataset(record, number, content):
    """One dataset of IPTC-IIM 4.2 (1.6): 1C, record, number, length, content."""
    body = content.encode("utf-8")
    return bytes((0x1C, record, number)) + len(body).to_bytes(2, "big") + body


def exif(main=None, photo=None, gps=None):
    return piexif.dump({"0th": main or {}, "Exif": photo or {}, "GPS": gps or {}})


GPS = exif(gps={2: SECRET_LATITUDE, 1: b"N"})


def xmp(attributes="", inside=""):
    """An XMP packet (ISO 16684-1) of one description."""
    return (
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">'
        '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
        '<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" '
        'xmlns:aux="http://ns.adobe.com/exif/1.0/aux/" '
        'xmlns:exifEX="http://cipa.jp/exif/1.0/" '
        'xmlns:exif="http://ns.adobe.com/exif/1.0/" '
        f"{attributes}>{inside}</rdf:Description></rdf:RDF></x:xmpmeta>"
    ).encode()


def bag(name, *texts):
    items = "".join(f"<rdf:li>{text}</rdf:li>" for text in texts)
    return f"<{name}><rdf:Bag>{items}</rdf:Bag></{name}>"


def saved(kind, image=None, **options):
    stream = io.BytesIO()
    (image or grain()).save(stream, kind, **options)
    return stream.getvalue()


def rules_of(folder: Path, text: str):
    path = folder / "rules.toml"
    path.write_text(text, encoding="utf-8")
    return read_rules(path)


def judged(folder: Path, text: str, files, series=NOTHING):
    """Judge rules over files: bytes by name, with the picture that was measured of each.

    The value of a file is bytes, or (bytes, picture or refused picture).
    """
    rules = rules_of(folder, text)
    pictures, examined = [], {}
    for name, given in files.items():
        data, picture = given if isinstance(given, tuple) else (given, None)
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
        if picture is None:
            picture = picture_of(name, data)
        pictures.append(picture)
        subject = None
        if isinstance(picture, MeasuredPhotograph) and picture.subject.value is not None:
            subject = picture.subject.value.bbox
        with_pixels = bool(rules.names() & OF_PIXELS)
        examined[picture.file] = examine(folder, Examination(name, name, subject, with_pixels))
    return judge_delivery(rules, pictures, series, examined)


def picture_of(name, data, **changes):
    """A plausible measured picture of the file's own size."""
    with Image.open(io.BytesIO(data)) as image:
        width, height = image.size
    return measured_photograph(file=name, width=width, height=height, **changes)


def verdicts(found, rule):
    """Verdict by file of one rule; None for the pictures together."""
    return {one.file: one.outcome.verdict for one in found if one.rule.name == rule}
