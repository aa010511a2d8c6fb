"""Reads a page or a picture back, by parsers that are not ours: html5lib, strictly, and the standard library's XML."""

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element, fromstring

import html5lib

SVG = "{http://www.w3.org/2000/svg}"
HTML = "{http://www.w3.org/1999/xhtml}"


def read_page(page: str) -> Element:
    """The page as a tree. The first error against the WHATWG's rules of parsing is raised."""
    return html5lib.HTMLParser(tree=html5lib.getTreeBuilder("etree"), strict=True).parse(page)


def read_picture(picture: str) -> Element:
    return fromstring(picture)


def all_of(root: Element, name: str, look: str = "") -> list[Element]:
    """The elements of a name (HTML's, or `svg:` and SVG's), of a class if one is given."""
    full = SVG + name.removeprefix("svg:") if name.startswith("svg:") else HTML + name
    return [one for one in root.iter(full) if not look or look in one.get("class", "").split()]


def by_id(root: Element, name: str) -> Element:
    return next(one for one in root.iter() if one.get("id") == name)


def told(element: Element) -> str:
    """The words of an element, on one line."""
    return " ".join("".join(element.itertext()).split())


def seconds(shown: str) -> int | None:
    """A length as it is shown, `46 s`, `+1:08`, `−1:02:03`, in seconds; None for the dash of what is not known."""
    if shown == "–":
        return None
    sign = -1 if shown.startswith("−") else 1
    bare = shown.lstrip("+−")
    if found := re.fullmatch(r"(\d+) s", bare):
        return sign * int(found[1])
    found = re.fullmatch(r"(?:(\d+):)?(\d+):(\d\d)", bare)
    assert found is not None, shown
    return sign * (int(found[1] or 0) * 3600 + int(found[2]) * 60 + int(found[3]))


def drawn_blocks(picture: Element, band: str) -> Iterator[tuple[int, float, float]]:
    """Each step's number, left end and width in a band."""
    for group in by_id(picture, band):
        if group.get("data-step") is not None:
            rect = next(group.iter(SVG + "rect"))
            yield int(group.attrib["data-step"]), float(rect.attrib["x"]), float(rect.attrib["width"])
