"""Read XMP (ISO 16684-1): properties, structures and lists of a packet.

RDF allows the same value as an attribute, as an element or inside ``rdf:Description``; the
functions here accept all three. A packet is untrusted XML, so defusedxml refuses entities and
references to other files.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING

from defusedxml import ElementTree
from defusedxml.common import DefusedXmlException
from PIL import Image

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
DUBLIN_CORE = "{http://purl.org/dc/elements/1.1/}"
EXIF = "{http://ns.adobe.com/exif/1.0/}"
AUXILIARY = "{http://ns.adobe.com/exif/1.0/aux/}"

_DESCRIPTION, _ITEM = RDF + "Description", RDF + "li"
_CONTAINERS = frozenset((RDF + "Bag", RDF + "Seq", RDF + "Alt"))
_GPS_PROPERTIES = (EXIF + "GPSLatitude", EXIF + "GPSLongitude")


def read_xmp(image: Image.Image) -> tuple[Element, ...]:
    """Top-level descriptions of a picture's packet; none if it is missing or malformed."""
    packet = image.info.get("xmp") or image.info.get("XML:com.adobe.xmp")
    if isinstance(packet, str):
        packet = packet.encode("utf-8", "surrogateescape")
    return parse_packet(packet) if isinstance(packet, bytes) else ()


def parse_packet(packet: bytes) -> tuple[Element, ...]:
    """Top-level ``rdf:Description`` elements of a packet; none if it is malformed."""
    try:
        root = ElementTree.fromstring(packet.strip(b"\x00 \t\r\n"))
    except (ElementTree.ParseError, DefusedXmlException, ValueError, LookupError, RecursionError):
        return ()
    rdf = root if root.tag == RDF + "RDF" else root.find(f".//{RDF}RDF")
    return () if rdf is None else tuple(rdf.findall(_DESCRIPTION))


def text_of(nodes: tuple[Element, ...] | Element, name: str) -> str | None:
    """First non-empty text of a simple property, or of the first item of a list."""
    for node in (nodes,) if not isinstance(nodes, tuple) else nodes:
        attribute = node.get(name)
        if attribute and attribute.strip():
            return attribute.strip()
        for element in node.findall(name):
            value = next(_texts(element), None)
            if value:
                return value
    return None


def n_items(nodes: tuple[Element, ...], name: str) -> int:
    """How many texts a list property has, or a simple one; 0 if it is missing or empty."""
    return sum(len([*_texts(element)]) for node in nodes for element in node.findall(name)) or int(
        text_of(nodes, name) is not None
    )


def says_anywhere(nodes: tuple[Element, ...], names: Collection[str]) -> bool:
    """True if one of some properties is in the packet and not empty, inside structures too."""
    return any(
        (value or "").strip()
        for node in nodes
        for element in node.iter()
        for value in (
            *(element.get(name) for name in names),
            *([next(_texts(element), None)] if element.tag in names else []),
        )
    )


def number_of(node: Element, name: str) -> float | None:
    """A finite number, written as a decimal or a rational; None for anything else."""
    text = text_of(node, name)
    if text is None:
        return None
    try:
        numerator, _, denominator = text.partition("/")
        value = float(numerator) / float(denominator or 1)
    except (ValueError, ZeroDivisionError):
        return None
    return value if math.isfinite(value) else None


def structure_of(node: Element, name: str) -> Element | None:
    """The node with the fields of a structure: the element or the description in it."""
    element = node.find(name)
    return None if element is None else _field_node(element)


def items_of(node: Element, name: str) -> Iterator[Element]:
    """The structures in a list property, in order."""
    for element in node.findall(name):
        for container in element:
            if container.tag in _CONTAINERS:
                yield from (_field_node(item) for item in container.findall(_ITEM))


def has_position(nodes: tuple[Element, ...]) -> bool:
    """True if the packet contains the geographic position of the picture."""
    return any(text_of(nodes, name) is not None for name in _GPS_PROPERTIES)


def _field_node(element: Element) -> Element:
    inner = element.find(_DESCRIPTION)
    return element if inner is None else inner


def _texts(element: Element) -> Iterator[str]:
    candidates = [element.text, *(item.text for item in element.iter(_ITEM))]
    return (text.strip() for text in candidates if text and text.strip())
