"""Each rule about single pictures has a picture that keeps it and one that breaks it."""

import numpy as np
import piexif
import pytest
from PIL import Image, ImageCms

from auditor.delivery.judged import Why
from auditor.geometry import Box, Point
from auditor.measurements.additions import Border, Writing
from auditor.measurements.focus import Focus
from auditor.quantity import Quantity
from auditor.reasons import Reason
from auditor.runs.outcome import RefusedPicture
from tests.delivery import files as made
from tests.delivery.files import bag, dataset, exif, grain, jpeg, judged, picture_of, saved, xmp
from tests.factories import measured_photograph, tone

PLAIN = jpeg(icc_profile=made.SRGB)
WITH_CREATOR = jpeg(exif=exif({piexif.ImageIFD.Artist: b"A. Tea"}))


def with_picture(data, name="broken.jpg", **changes):
    return data, picture_of(name, data, **changes)


def focused(sharpness):
    value = Focus(sharpness, Point(0.5, 0.5), subject_in_focus=True)
    return Quantity.measured(value, confidence=0.9, tolerance=0.1)


def overlaid(kind):
    return Quantity.measured(kind, confidence=0.9, tolerance=0.1)


WRITING = overlaid(object.__new__(Writing))
BORDER = overlaid(Border(Box(0.05, 0.05, 0.95, 0.95), "#ffffff"))


def blown():
    """A picture whose middle, where the subject is, is white and whose lower edge is black."""
    pixels = np.array(grain(200, 250))
    pixels[60:110, 100:160] = 255
    return Image.fromarray(pixels)


def edges(percent=0):
    """Sharp edges between even areas, sharpened by Pillow's unsharp masking."""
    from PIL import ImageFilter

    pixels = np.full((200, 200, 3), 80, np.uint8)
    for start in (30, 110):
        pixels[20:180, start : start + 40] = 170
    image = Image.fromarray(pixels).filter(ImageFilter.GaussianBlur(0.6))
    return image.filter(ImageFilter.UnsharpMask(1.5, percent, 0)) if percent else image


CASES = {
    # key: rule, a picture that keeps it, one that breaks it
    "location": ("location = false", PLAIN, jpeg(exif=made.GPS)),
    "location in XMP": (
        "location = false",
        PLAIN,
        jpeg(xmp=xmp('exif:GPSLatitude="47,11.4711N"')),
    ),
    "location wanted": ("location = true", jpeg(exif=made.GPS), PLAIN),
    "body": (
        "serial_numbers = false",
        jpeg(exif=exif(photo={0xA431: b""})),
        jpeg(exif=exif(photo={0xA431: b"SN-4711"})),
    ),
    "lens": ("serial_numbers = false", PLAIN, jpeg(exif=exif(photo={0xA435: b"SN-4711"}))),
    "owner": ("serial_numbers = false", PLAIN, jpeg(exif=exif(photo={0xA430: b"A. Tea"}))),
    "serial in aux": (
        "serial_numbers = false",
        jpeg(xmp=xmp('aux:Lens="50 mm"')),
        jpeg(xmp=xmp('aux:SerialNumber="SN-4711"')),
    ),
    "serial in exifEX": (
        "serial_numbers = false",
        PLAIN,
        jpeg(xmp=xmp("", "<exifEX:LensSerialNumber>SN</exifEX:LensSerialNumber>")),
    ),
    "creator": ("creator = true", WITH_CREATOR, PLAIN),
    "creator in IIM": ("creator = true", jpeg(iptc=dataset(2, 80, "A. Tea")), PLAIN),
    "creator in XMP": ("creator = true", jpeg(xmp=xmp("", bag("dc:creator", "A. Tea"))), PLAIN),
    "creator by name": (
        'creator = "A. Tea"',
        WITH_CREATOR,
        jpeg(exif=exif({piexif.ImageIFD.Artist: b"B. Cup"})),
    ),
    "no creator": ("creator = false", PLAIN, WITH_CREATOR),
    "copyright": (
        "copyright = true",
        jpeg(iptc=dataset(2, 5, "title") + dataset(2, 116, "the teahouse")),
        jpeg(iptc=dataset(2, 5, "title")),
    ),
    "caption": ("caption = true", jpeg(iptc=dataset(2, 120, "Lemon tart")), PLAIN),
    "caption in XMP": (
        "caption = true",
        jpeg(xmp=xmp("", bag("dc:description", "Lemon tart"))),
        jpeg(xmp=xmp("", bag("dc:description", "  "))),
    ),
    "no caption": (
        "caption = false",
        PLAIN,
        jpeg(exif=exif({piexif.ImageIFD.ImageDescription: b"Lemon tart"})),
    ),
    "keywords": (
        'keywords = "at least 3"',
        jpeg(iptc=b"".join(dataset(2, 25, word) for word in ("tea", "lemon", "tart"))),
        jpeg(iptc=dataset(2, 25, "tea") + dataset(2, 25, "lemon")),
    ),
    "keywords in XMP": (
        "keywords = 2",
        jpeg(xmp=xmp("", bag("dc:subject", "tea", "lemon"))),
        jpeg(xmp=xmp("", bag("dc:subject", "tea"))),
    ),
    "some keywords": ("keywords = true", jpeg(iptc=dataset(2, 25, "tea")), PLAIN),
    "writing": ("writing = false", PLAIN, with_picture(PLAIN, writing=(WRITING,))),
    "border": ("border = false", PLAIN, with_picture(PLAIN, border=BORDER)),
    "highlights": (
        'clipped_highlights = "at most 1 %"',
        PLAIN,
        with_picture(PLAIN, tone=tone(clipped_highlights=0.012)),
    ),
    "shadows": (
        'clipped_shadows = "at most 1 %"',
        PLAIN,
        with_picture(PLAIN, tone=tone(clipped_shadows=0.012)),
    ),
    "subject_highlights": ('subject_highlights = "at most 1 %"', PLAIN, saved("PNG", blown())),
    "subject_shadows": (
        'subject_shadows = "at most 1 %"',
        PLAIN,
        saved("PNG", blown().point(lambda value: 255 - value)),
    ),
    "sharpness": (
        'subject_sharpness = "at least 0.4"',
        with_picture(PLAIN, "kept.jpg", focus=focused(0.5)),
        with_picture(PLAIN, focus=focused(0.2)),
    ),
    "halos": ('halos = "at most 8 %"', saved("PNG", edges()), saved("PNG", edges(250))),
    "long_side": ('long_side = "at least 150"', PLAIN, jpeg(grain(149, 120))),
    "short_side": ('short_side = "100 to 120 px"', PLAIN, jpeg(grain(121, 150))),
    "width": ("width = 120", PLAIN, jpeg(grain(119, 150))),
    "height": ("height = [140, 150]", PLAIN, jpeg(grain(120, 151))),
    "megapixels": ('megapixels = "at least 0.018"', PLAIN, jpeg(grain(120, 149))),
    "ratio": ('ratio = ["1:1", "4:5"]', PLAIN, jpeg(grain(120, 160))),
    "ratio turned": ('ratio = "4:5"', PLAIN, jpeg(grain(150, 120))),
    "type": ('type = "JPEG"', PLAIN, saved("PNG")),
    "bytes": ('bytes = "at most 20 kB"', jpeg(grain(20, 20)), b"" + jpeg(grain(400, 400))),
    "profile": (
        'profile = "sRGB"',
        PLAIN,
        jpeg(icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("XYZ")).tobytes()),
    ),
    "profile stated": ('profile = "sRGB"', jpeg(exif=exif(photo={0xA001: 1})), jpeg()),
    "embedded": ("embedded_profile = true", PLAIN, jpeg(exif=exif(photo={0xA001: 1}))),
    "colours": ('colours = "RGB"', PLAIN, jpeg(grain().convert("CMYK"))),
    "colours grey": ('colours = ["RGB", "CMYK"]', PLAIN, jpeg(grain().convert("L"))),
    "bits": ("bits = 8", PLAIN, saved("PNG", Image.new("I;16", (120, 150), 30000))),
}
TABLES = {
    "metadata": "location serial creator copyright caption keywords",
    "picture": "writing border clipped subject halos",
    "pixels": "long_side short_side width height megapixels ratio",
    "file": "type bytes profile embedded colours bits",
}


def rules_text(line):
    table = next(name for name, keys in TABLES.items() if line.startswith(tuple(keys.split())))
    return f"[{table}]\n{line}\n"


@pytest.mark.parametrize("case", CASES)
def test_a_picture_that_keeps_a_rule_and_one_that_breaks_it(case, tmp_path):
    line, kept, broken = CASES[case]
    found = judged(tmp_path, rules_text(line), {"kept.jpg": kept, "broken.jpg": broken})
    assert [(one.file, one.outcome.verdict) for one in found] == [
        ("kept.jpg", "met"),
        ("broken.jpg", "missed"),
    ]


NAMES = {
    'names = "teahouse-{number:3}"': ("teahouse-007.jpg", "teahouse-7.jpg"),
    'names = "{date}-{word}"': ("20261130-tart.jpg", "20261130-lemon tart.jpg"),
    'names = "board*"': ("board 1.jpg", "Board 1.jpg"),
    "spaces_in_names = false": ("lemon-tart.jpg", "lemon tart.jpg"),
    "safe_names = true": ("Lemon_tart-1.jpg", "tart&tea.jpg"),
    "lower_case_names = true": ("lemon.jpg", "Lemon.jpg"),
    'name_length = "at most 9"': ("lemon.jpg", "lemons.jpg"),
    'type = "JPEG"': ("tart.jpg", "tart.png"),
}


@pytest.mark.parametrize("line", NAMES)
def test_names(line, tmp_path):
    kept, broken = NAMES[line]
    found = judged(tmp_path, f"[file]\n{line}\n", {kept: PLAIN, broken: PLAIN})
    assert [one.outcome.verdict for one in found] == ["met", "missed"]


def test_a_name_in_a_folder_is_the_name_of_the_file_alone(tmp_path):
    found = judged(tmp_path, "[file]\nsafe_names = true\n", {"day one/tart.jpg": PLAIN})
    assert [one.outcome.verdict for one in found] == ["met"]


REFUSED = RefusedPicture("kept.jpg", "cut_short", "The file is cut short.")
OPEN = {
    "[metadata]\nserial_numbers = false": (
        jpeg(exif=exif(photo={0x927C: b"maker's own"})),
        Why.MAKER_NOTE,
    ),
    "[metadata]\nlocation = false": (jpeg(xmp=b"<x:xmpmeta broken"), Why.BROKEN_METADATA),
    "[metadata]\ncaption = true": (b"\xff\xd8\xff\xe0 no picture", Why.METADATA_UNREADABLE),
    "[pixels]\nlong_side = 100": (b"\xff\xd8\xff\xe0 no picture", Why.UNREADABLE),
    "[picture]\nwriting = false": (PLAIN, Why.REFUSED),
    "[picture]\nclipped_highlights = 'at most 1 %'": (PLAIN, Why.REFUSED),
    "[picture]\nsubject_highlights = 'at most 1 %'": (PLAIN, Why.REFUSED),
    "[picture]\nhalos = 'at most 9 %'": (saved("PNG", Image.new("RGB", (90, 90))), Why.FEW_EDGES),
    "[file]\nprofile = 'sRGB'": (jpeg(icc_profile=b"no profile at all"), Why.UNKNOWN_PROFILE),
}


@pytest.mark.parametrize("text", OPEN)
def test_what_cannot_be_checked_is_undecided_with_its_reason(text, tmp_path):
    data, why = OPEN[text]
    (one,) = judged(tmp_path, text, {"kept.jpg": (data, REFUSED)})
    assert (one.outcome.verdict, one.outcome.why) == ("undecided", why)


def test_rules_about_the_file_hold_for_a_picture_that_was_refused(tmp_path):
    text = '[file]\nbytes = "at most 1 kB"\nsafe_names = true\ntype = "JPEG"\n'
    found = judged(tmp_path, text, {"kept.jpg": (b"\xff\xd8\xff\xe0 no picture", REFUSED)})
    assert [one.outcome.verdict for one in found] == ["met", "met", "met"]


def test_without_a_subject_there_is_no_clipping_on_it(tmp_path):
    picture = measured_photograph(file="a.jpg", subject=Quantity.undetermined(Reason.NO_SUBJECT))
    text = '[picture]\nsubject_shadows = "at most 1 %"\n'
    (one,) = judged(tmp_path, text, {"a.jpg": (PLAIN, picture)})
    assert one.outcome.why is Why.NO_SUBJECT


def test_a_broken_block_counts_as_absent_where_something_must_be_there(tmp_path):
    (one,) = judged(tmp_path, "[metadata]\ncreator = true\n", {"a.jpg": jpeg(xmp=b"<broken")})
    assert one.outcome.verdict == "missed"


def test_a_ratio_allows_for_the_rounding_to_whole_pixels(tmp_path):
    text = '[pixels]\nratio = "16:9"\n'
    found = judged(tmp_path, text, {"a.jpg": jpeg(grain(854, 480)), "b.jpg": jpeg(grain(858, 480))})
    assert [one.outcome.verdict for one in found] == ["met", "missed"]


def test_the_size_is_that_of_the_picture_as_it_is_displayed(tmp_path):
    turned = jpeg(grain(150, 120), exif=exif({piexif.ImageIFD.Orientation: 6}))
    refused = RefusedPicture("a.jpg", "measuring_failed", "")
    (one,) = judged(tmp_path, "[pixels]\nwidth = 120\n", {"a.jpg": (turned, refused)})
    assert one.outcome.verdict == "met"
