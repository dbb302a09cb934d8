"""Areas in the metadata are found where they were drawn, in the displayed frame."""

import numpy as np
import piexif
import pytest
from PIL import Image

from auditor.geometry import Box
from auditor.photograph.xmp import parse_packet
from tests.photograph.pictures import encoded, quarters, read

_SUBJECT_AREA, _SUBJECT_LOCATION, _WIDTH, _HEIGHT = 0x9214, 0xA214, 0xA002, 0xA003

_SPACES = " ".join(
    f"xmlns:{prefix}='{uri}'"
    for prefix, uri in {
        "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
        "mwg-rs": "http://www.metadataworkinggroup.com/schemas/regions/",
        "stArea": "http://ns.adobe.com/xmp/sType/Area#",
        "stDim": "http://ns.adobe.com/xap/1.0/sType/Dimensions#",
        "ext": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
        "xmp": "http://ns.adobe.com/xap/1.0/",
    }.items()
)


def _packet(content):
    return (
        f"<?xpacket begin='' id=''?><x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF {_SPACES}>"
        f"<rdf:Description rdf:about=''>{content}</rdf:Description></rdf:RDF></x:xmpmeta>"
        "<?xpacket end='w'?>"
    ).encode()


def _mwg(*items, applied=None):
    size = ""
    if applied is not None:
        size = (
            f"<mwg-rs:AppliedToDimensions stDim:w='{applied[0]}' stDim:h='{applied[1]}' "
            "stDim:unit='pixel'/>"
        )
    return _packet(
        f"<mwg-rs:Regions rdf:parseType='Resource'>{size}<mwg-rs:RegionList><rdf:Bag>"
        + "".join(items)
        + "</rdf:Bag></mwg-rs:RegionList></mwg-rs:Regions>"
    )


def _mwg_item(x, y, w, h, *, fields="mwg-rs:Name='kettle'"):
    area = f"stArea:x='{x}' stArea:y='{y}' stArea:w='{w}' stArea:h='{h}' stArea:unit='normalized'"
    return f"<rdf:li><rdf:Description {fields}><mwg-rs:Area {area}/></rdf:Description></rdf:li>"


def _iptc(boundary, extra=""):
    return _packet(
        "<ext:ImageRegion><rdf:Bag><rdf:li rdf:parseType='Resource'>"
        f"<ext:RegionBoundary rdf:parseType='Resource'>{boundary}</ext:RegionBoundary>"
        "<ext:Name><rdf:Alt><rdf:li xml:lang='x-default'>kettle</rdf:li></rdf:Alt></ext:Name>"
        f"{extra}</rdf:li></rdf:Bag></ext:ImageRegion>"
    )


def _fields(**values):
    return "".join(f"<ext:{name}>{value}</ext:{name}>" for name, value in values.items())


def _regions(folder, *, xmp=None, photo=None, orientation=1, size=(120, 80)):
    options = {"exif": piexif.dump({"0th": {0x0112: orientation}, "Exif": photo or {}})}
    if xmp is not None:
        options["xmp"] = xmp
    return read(folder, encoded(quarters(*size), "JPEG", **options)).regions


# CIPA DC-008-2019, tag 0x9214: two values a point, three a circle with its diameter, four a
# rectangle with its centre, width and height; here in a frame of 120 by 80.
@pytest.mark.parametrize(
    ("area", "box"),
    [
        ((30, 20), (0.25, 0.25, 0.25, 0.25)),
        ((60, 40, 24), (0.4, 0.35, 0.6, 0.65)),
        ((60, 20, 30, 16), (0.375, 0.15, 0.625, 0.35)),
    ],
)
def test_subject_area(tmp_path, area, box):
    (region,) = _regions(tmp_path, photo={_SUBJECT_AREA: area})
    assert region.box == pytest.approx(Box(*box))
    assert region.source == "EXIF SubjectArea"
    assert region.is_point is (len(area) == 2)


def test_subject_location(tmp_path):
    (region,) = _regions(tmp_path, photo={_SUBJECT_LOCATION: (90, 20)})
    assert region.box == pytest.approx(Box(0.75, 0.25, 0.75, 0.25))
    assert (region.source, region.is_point) == ("EXIF SubjectLocation", True)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_subject_area_turns_with_the_picture(tmp_path, orientation):
    """A white patch is drawn in the area, and the area must be found on the patch."""
    picture = np.zeros((80, 120, 3), np.uint8)
    picture[16:32, 80:112] = 255
    photo = {_SUBJECT_AREA: (96, 24, 32, 16)}
    exif = piexif.dump({"0th": {0x0112: orientation}, "Exif": photo})
    photograph = read(tmp_path, encoded(Image.fromarray(picture), "JPEG", exif=exif))
    height, width = photograph.pixels.shape[:2]
    rows, columns = np.nonzero(photograph.pixels[..., 0] > 127)
    box = photograph.regions[0].box
    assert (box.left, box.right) == pytest.approx(
        (columns.min() / width, (columns.max() + 1) / width), abs=1 / width
    )
    assert (box.top, box.bottom) == pytest.approx(
        (rows.min() / height, (rows.max() + 1) / height), abs=1 / height
    )


def test_subject_area_of_a_resized_file_is_read_in_the_pixels_of_the_camera(tmp_path):
    photo = {_SUBJECT_AREA: (3000, 1000, 600, 400), _WIDTH: 6000, _HEIGHT: 4000}
    (region,) = _regions(tmp_path, photo=photo)
    assert region.box == pytest.approx(Box(0.45, 0.2, 0.55, 0.3))


@pytest.mark.parametrize(
    "photo",
    [
        {_SUBJECT_AREA: (3000, 1000, 600, 400)},
        {_SUBJECT_AREA: (30, 10, 6, 4), _WIDTH: 6000, _HEIGHT: 6000},
        {_SUBJECT_AREA: (30, 10, 6, 4, 5)},
        {_SUBJECT_AREA: (30,)},
    ],
    ids=["outside", "of another cut", "five values", "one value"],
)
def test_an_area_that_does_not_fit_is_left_out(tmp_path, photo):
    assert _regions(tmp_path, photo=photo) == ()


def test_an_area_beyond_the_edge_is_cut_off_at_the_edge(tmp_path):
    (region,) = _regions(tmp_path, photo={_SUBJECT_AREA: (110, 40, 40, 20)})
    assert region.box == pytest.approx(Box(0.75, 0.375, 1.0, 0.625))


def test_mwg_region(tmp_path):
    (region,) = _regions(tmp_path, xmp=_mwg(_mwg_item(0.6, 0.4, 0.2, 0.1), applied=(6000, 4000)))
    assert region.box == pytest.approx(Box(0.5, 0.35, 0.7, 0.45))
    assert (region.source, region.name, region.is_point) == ("MWG region", "kettle", False)


def test_mwg_region_written_as_elements(tmp_path):
    item = (
        "<rdf:li rdf:parseType='Resource'><mwg-rs:Area rdf:parseType='Resource'>"
        "<stArea:x>0.6</stArea:x><stArea:y>0.4</stArea:y><stArea:d>0.3</stArea:d>"
        "</mwg-rs:Area></rdf:li>"
    )
    (region,) = _regions(tmp_path, xmp=_mwg(item))
    # the diameter of a circle: 0.3 of the short side, 24 of 120 by 80 pixels
    assert region.box == pytest.approx(Box(0.5, 0.25, 0.7, 0.55))
    assert region.name is None


def test_mwg_point(tmp_path):
    area = "<mwg-rs:Area stArea:x='.2' stArea:y='.3'/>"
    item = f"<rdf:li><rdf:Description>{area}</rdf:Description></rdf:li>"
    (region,) = _regions(tmp_path, xmp=_mwg(item))
    assert (region.box, region.is_point) == (pytest.approx(Box(0.2, 0.3, 0.2, 0.3)), True)


@pytest.mark.parametrize(
    ("fields", "n_found"),
    [
        ("mwg-rs:Type='Face' mwg-rs:Name='cook'", 0),
        ("mwg-rs:Type='Pet'", 0),
        ("mwg-rs:Type='BarCode'", 0),
        ("mwg-rs:Type='Focus' mwg-rs:FocusUsage='EvaluatedUsed'", 1),
        ("mwg-rs:Type='Focus' mwg-rs:FocusUsage='EvaluatedNotUsed'", 0),
        ("mwg-rs:Type='Focus' mwg-rs:FocusUsage='NotEvaluatedNotUsed'", 0),
        ("mwg-rs:Description='the plate'", 1),
    ],
)
def test_mwg_types_that_mark_a_subject(tmp_path, fields, n_found):
    packet = _mwg(_mwg_item(0.5, 0.5, 0.2, 0.2, fields=fields))
    assert len(_regions(tmp_path, xmp=packet)) == n_found


def test_mwg_regions_are_in_the_stored_frame_unless_their_size_shows_another(tmp_path):
    item = _mwg_item(0.6, 0.4, 0.2, 0.1)
    for applied in (None, (120, 80), (6000, 4000)):
        (stored,) = _regions(tmp_path, xmp=_mwg(item, applied=applied), orientation=6)
        # a quarter turn clockwise: x becomes y, y becomes 1 - x
        assert stored.box == pytest.approx(Box(0.55, 0.5, 0.65, 0.7))
    (shown,) = _regions(tmp_path, xmp=_mwg(item, applied=(80, 120)), orientation=6)
    assert shown.box == pytest.approx(Box(0.5, 0.35, 0.7, 0.45))
    assert _regions(tmp_path, xmp=_mwg(item, applied=(100, 100)), orientation=6) == ()


@pytest.mark.parametrize(
    ("boundary", "box"),
    [
        (
            {"rbShape": "rectangle", "rbUnit": "relative"}
            | {"rbX": 0.1, "rbY": 0.2, "rbW": 0.3, "rbH": 0.4},
            (0.1, 0.2, 0.4, 0.6),
        ),
        (
            {"rbShape": "rectangle", "rbUnit": "pixel", "rbX": 12, "rbY": 16, "rbW": 36, "rbH": 32},
            (0.1, 0.2, 0.4, 0.6),
        ),
        (
            {"rbShape": "circle", "rbUnit": "relative", "rbX": 0.5, "rbY": 0.5, "rbRx": 0.1},
            (0.4, 0.35, 0.6, 0.65),
        ),
        (
            {"rbShape": "circle", "rbUnit": "pixel", "rbX": 60, "rbY": 40, "rbRx": 12},
            (0.4, 0.35, 0.6, 0.65),
        ),
    ],
)
def test_iptc_rectangles_and_circles(tmp_path, boundary, box):
    """A circle's radius is measured along x; 0.1 of 120 pixels is 0.15 of 80."""
    (region,) = _regions(tmp_path, xmp=_iptc(_fields(**boundary)))
    assert region.box == pytest.approx(Box(*box))
    assert (region.source, region.name) == ("IPTC region", "kettle")


def test_iptc_polygon_becomes_its_box(tmp_path):
    corners = ((0.2, 0.3), (0.6, 0.2), (0.5, 0.7))
    vertices = "".join(
        f"<rdf:li rdf:parseType='Resource'>{_fields(rbX=x, rbY=y)}</rdf:li>" for x, y in corners
    )
    boundary = _fields(rbShape="polygon", rbUnit="relative")
    boundary += f"<ext:rbVertices><rdf:Seq>{vertices}</rdf:Seq></ext:rbVertices>"
    (region,) = _regions(tmp_path, xmp=_iptc(boundary))
    assert region.box == pytest.approx(Box(0.2, 0.2, 0.6, 0.7))


def _term(name, uri):
    return (
        f"<ext:{name}><rdf:Bag><rdf:li rdf:parseType='Resource'><xmp:Identifier><rdf:Bag><rdf:li>"
        f"{uri}</rdf:li></rdf:Bag></xmp:Identifier></rdf:li></rdf:Bag></ext:{name}>"
    )


@pytest.mark.parametrize(
    ("name", "term", "n_found"),
    [
        ("rRole", "http://cv.iptc.org/newscodes/imageregionrole/mainSubjectArea", 1),
        ("rRole", "http://cv.iptc.org/newscodes/imageregionrole/subjectArea", 1),
        ("rRole", "https://cv.iptc.org/newscodes/imageregionrole/areaOfInterest", 1),
        ("rRole", "http://cv.iptc.org/newscodes/imageregionrole/recomCropping", 0),
        ("rRole", "http://cv.iptc.org/newscodes/imageregionrole/copyrightRegion", 0),
        ("rCtype", "http://cv.iptc.org/newscodes/imageregiontype/food", 1),
        ("rCtype", "http://cv.iptc.org/newscodes/imageregiontype/machineCode", 0),
    ],
)
def test_iptc_roles_and_types_that_mark_a_subject(tmp_path, name, term, n_found):
    boundary = _fields(rbShape="rectangle", rbUnit="relative", rbX=0.1, rbY=0.1, rbW=0.2, rbH=0.2)
    assert len(_regions(tmp_path, xmp=_iptc(boundary, _term(name, term)))) == n_found


def test_areas_drawn_by_a_person_come_before_those_of_the_camera(tmp_path):
    packet = _mwg(_mwg_item(0.5, 0.5, 0.2, 0.2))
    regions = _regions(tmp_path, xmp=packet, photo={_SUBJECT_AREA: (60, 40)})
    assert [region.source for region in regions] == ["MWG region", "EXIF SubjectArea"]


_LAUGHS = (
    b"<!DOCTYPE x [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;'>]><x:xmpmeta xmlns:x='adobe:ns:meta/'>"
    b"<rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description>&b;"
    b"</rdf:Description></rdf:RDF></x:xmpmeta>"
)


@pytest.mark.parametrize(
    "packet",
    [
        b"",
        b"<x:xmpmeta",
        b"\xff\xfe\x00",
        b"<?xml version='1.0' encoding='no-such'?><a/>",
        _LAUGHS,
        _mwg(_mwg_item("a", "nan", "1/0", "inf")),
        _iptc(_fields(rbX="left", rbY=0.2)),
        _iptc(""),
        _packet("<mwg-rs:Regions>text</mwg-rs:Regions><ext:ImageRegion/>"),
        b"<a>" * 5000,
    ],
)
def test_malformed_xmp_names_nothing(tmp_path, packet):
    assert _regions(tmp_path, xmp=packet or b" ") == ()


def test_entities_are_refused():
    assert parse_packet(_LAUGHS) == ()
    assert len(parse_packet(_packet(""))) == 1
