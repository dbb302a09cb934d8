"""A sample of damaged files is measured or refused; the parsers take any bytes.

``tests/benchmarks/check_damage.py`` does the same with thousands, each in a process that may die.
"""

import struct

import pytest
from defusedxml import ElementTree
from hypothesis import Phase, find, given, settings
from hypothesis import strategies as st
from PIL import Image

import auditor
from auditor.delivery.examining import Examination, examine
from auditor.delivery.metadata import read_metadata
from auditor.errors import UnreadablePictureError
from auditor.photograph.camera_areas import camera_areas
from auditor.photograph.containers import (
    AVIF,
    HEIF,
    JPEG,
    PNG,
    TIFF,
    WEBP,
    declared_size_px,
    has_sound_checksums,
    is_cut_short,
    png_chunks,
    png_without_metadata,
    recognise,
)
from auditor.photograph.default_areas import read_head
from auditor.photograph.exif import ExifFields, camera_settings, exposed_ratio, read_exif
from auditor.photograph.exif_block import is_well_formed
from auditor.photograph.iptc import all_contents, read_iptc
from auditor.photograph.item_properties import code_points
from auditor.photograph.regions import StoredFrame, find_regions
from auditor.photograph.stated_colours import stated_colours
from auditor.photograph.xmp import RDF, has_position, parse_packet
from auditor.reasons import RefusalReason
from tests.photograph.mutants import CHANGES, mutant
from tests.photograph.seed_files import seed_files

SEED, N_MUTANTS, LONG_SIDE_PX = 2026, 66, 160
# Of our own faults and of killed processes there may be none.
OF_THE_FILE = set(RefusalReason) - {RefusalReason.MEASURING_FAILED, RefusalReason.PROCESS_KILLED}

quick = settings(max_examples=150, deadline=None, derandomize=True)
KINDS = st.sampled_from((JPEG, PNG, TIFF, WEBP, AVIF, HEIF))
HEADS = (b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0\x08\0\0\0", b"MM\0*\0\0\0\x08")


@pytest.mark.parametrize("number", range(N_MUTANTS))
def test_a_damaged_file_is_measured_or_refused(tmp_path, number, capfd):
    name, _, data = mutant(number, SEED, seed_files(LONG_SIDE_PX))
    path = tmp_path / name
    path.write_bytes(data)
    read_head(tmp_path, name)
    examine(tmp_path, Examination(name, name, with_pixels=True))
    try:
        measured = auditor.measure(path)
    except UnreadablePictureError as error:
        outcome = error.code in OF_THE_FILE and error.message.startswith(f"{path}: ")
    else:
        outcome = measured.file == name
    assert outcome
    assert capfd.readouterr() == ("", "")


def test_every_good_file_is_measured_and_every_change_is_made(tmp_path):
    files = seed_files(LONG_SIDE_PX)
    for name in ("progressive.jpg", "stereo.mpo", "deep.tif", "animated.webp", "animated.avif"):
        (tmp_path / name).write_bytes(files[name])
        assert auditor.measure(tmp_path / name).file == name
    made = [mutant(number, SEED, files) for number in range(N_MUTANTS * 6)]
    assert {what for _, what, _ in made} == set(CHANGES)
    assert {name for name, _, _ in made} == set(files)
    n_unchanged = sum(data == files[name] for name, _, data in made)  # zeros over zeros
    assert n_unchanged < len(made) / 50
    assert [mutant(number, SEED, files) for number in range(9)] == made[:9]


@quick
@given(head=st.sampled_from(HEADS), body=st.binary(max_size=200), kind=KINDS)
def test_containers_of_any_bytes(head, body, kind):
    data = head + body
    assert recognise(data) in (None, JPEG, PNG, TIFF, WEBP, AVIF, HEIF)
    size = declared_size_px(data, kind)
    assert size is None or len(size) == 2
    assert is_cut_short(data, kind) in (True, False)
    assert has_sound_checksums(data, kind) in (True, False)
    assert sum(len(content) for _, content in png_chunks(data)) <= len(data)
    assert len(png_without_metadata(data)) <= len(data)


@quick
@given(body=st.binary(max_size=200), points=st.binary(max_size=40))
def test_item_properties_of_any_bytes(body, points):
    def box(kind, content):
        return struct.pack(">I4s", len(content) + 8, kind) + content

    properties = box(b"iprp", box(b"ipco", box(b"colr", b"nclx" + points)) + box(b"ipma", body))
    for data in (body, box(b"meta", bytes(4) + box(b"pitm", bytes(6)) + properties)):
        found = code_points(data)
        assert found is None or len(found) == 2


@quick
@given(head=st.sampled_from(HEADS[3:]), body=st.binary(max_size=300))
def test_blocks_of_exif_of_any_bytes(head, body):
    assert is_well_formed(head + body) in (True, False)
    image = Image.new("RGB", (4, 4))
    image.info["exif"] = b"Exif\0\0" + head + body
    fields = read_exif(image)
    camera_settings(fields)
    assert exposed_ratio(fields, (40, 30), 6) is None or fields.photo


values = st.recursive(
    st.none() | st.integers(-(2**31), 2**32 - 1) | st.binary(max_size=12) | st.floats(),
    lambda inner: st.tuples(inner, inner) | st.tuples(inner, inner, inner, inner),
    max_leaves=8,
)
TAGS = (0x829A, 0x829D, 0x8827, 0x8830, 0x9003, 0x9201, 0x9202, 0x920A, 0x9214, 0xA001)
TAGS = (*TAGS, 0xA002, 0xA003, 0xA20E, 0xA20F, 0xA210, 0xA214, 0xA405, 0xA434)


@quick
@given(photo=st.dictionaries(st.sampled_from(TAGS), values), main=values)
def test_fields_of_exif_of_any_type(photo, main):
    fields = ExifFields(main={0x010F: main, 0x0132: main}, photo=photo, interoperability={1: main})
    camera = camera_settings(fields)
    assert camera.iso is None or camera.iso >= 1
    assert camera.f_number is None or 0.5 <= camera.f_number <= 256
    exposed_ratio(fields, (40, 30), 1)
    list(camera_areas(fields, 40, 30))
    for region in find_regions(fields, (), StoredFrame(40, 30, 6)):
        box = region.box
        assert 0 <= box.left <= box.right <= 1
        assert 0 <= box.top <= box.bottom <= 1
    for kind in (JPEG, PNG, HEIF):
        stated_colours(b"", kind, fields)


@quick
@given(block=st.binary(max_size=120))
def test_iptc_of_any_bytes(block):
    image = Image.new("RGB", (4, 4))
    for content in (block, b"\x1c\x02\x50" + block):
        image.info["photoshop"] = {0x0404: content}
        assert all(isinstance(one, bytes) for one in read_iptc(image).values())
        assert read_iptc(image).keys() == all_contents(image).keys()
        read_metadata(image)


MWG = "{http://www.metadataworkinggroup.com/schemas/regions/}"
AREA = "{http://ns.adobe.com/xmp/sType/Area#}"
SIZE = "{http://ns.adobe.com/xap/1.0/sType/Dimensions#}"
IPTC = "{http://iptc.org/std/Iptc4xmpExt/2008-02-29/}"
# From an outer element to the one whose attributes are numbers, and these attributes.
BRANCHES = (
    ((MWG + "RegionList", RDF + "Bag", RDF + "li", MWG + "Area"), [AREA + n for n in "xywhd"]),
    ((MWG + "AppliedToDimensions",), [SIZE + n for n in "wh"]),
    (
        (IPTC + "ImageRegion", RDF + "Bag", RDF + "li", IPTC + "RegionBoundary"),
        [IPTC + "rb" + n for n in ("X", "Y", "W", "H", "Rx", "Unit")],
    ),
    (
        (IPTC + "RegionBoundary", IPTC + "rbVertices", RDF + "Seq", RDF + "li"),
        [IPTC + "rbX", IPTC + "rbY"],
    ),
)
TEXTS = st.sampled_from(
    ("0.5", "0.2", "0.7", "-1", "40", "1e308", "nan", "inf", "1/0", "1/3", "pixel", "9" * 400, "½")
)


def _child(parent, name):
    """The first child of a name, made where there is none."""
    child = parent.find(name)
    if child is None:
        parent.append(ElementTree.fromstring("<a/>"))
        child = parent[-1]
        child.tag = name
    return child


@st.composite
def descriptions(draw):
    """XMP with regions in it, whose numbers are any text and some of which are missing."""
    root = ElementTree.fromstring("<a/>")
    for path, names in draw(st.lists(st.sampled_from(BRANCHES), min_size=1, max_size=4)):
        element = root if path[0] == IPTC + "ImageRegion" else _child(root, MWG + "Regions")
        if path[0] == IPTC + "RegionBoundary":
            element = _child(_child(_child(root, IPTC + "ImageRegion"), RDF + "Bag"), RDF + "li")
        for name in path:
            element = _child(element, name)
        for name in names:
            if draw(st.integers(0, 5)):
                element.set(name, draw(TEXTS))
    return root


def _checked_regions(root, orientation):
    regions = find_regions(ExifFields(), (root,), StoredFrame(300, 200, orientation))
    for region in regions:
        box = region.box
        assert 0 <= box.left <= box.right <= 1
        assert 0 <= box.top <= box.bottom <= 1
    return regions


@quick
@given(root=descriptions(), orientation=st.integers(1, 8))
def test_regions_of_any_numbers(root, orientation):
    _checked_regions(root, orientation)
    assert has_position((root,)) is False


def test_among_such_regions_are_good_ones():
    first = settings(quick, phases=[Phase.generate], max_examples=500)
    assert find(descriptions(), lambda root: _checked_regions(root, 1), settings=first) is not None


@quick
@given(packet=st.binary(max_size=200), head=st.sampled_from((b"", b"<?xml", b"\xff\xfe<", b"<x:")))
def test_packets_of_any_bytes(packet, head):
    assert isinstance(parse_packet(head + packet), tuple)


@quick
@given(body=st.binary(max_size=120), name=st.sampled_from((b"cICP", b"gAMA", b"cHRM", b"sRGB")))
def test_stated_colours_of_any_chunk(body, name):
    chunk = struct.pack(">I", len(body)) + name + body + bytes(4)
    gamma = struct.pack(">I4sI", 4, b"gAMA", 45_455) + bytes(4)
    stated = stated_colours(HEADS[2] + gamma + chunk, PNG, ExifFields())
    assert stated is None or stated.name
