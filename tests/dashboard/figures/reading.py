"""Reads a figure's HTML back as a tree, so that tests ask for parts and not for strings."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET


def tree(html: str) -> ET.Element:
    """Read HTML made by the figures; they close every tag, so it is also XML."""
    closed = re.sub(r"<(br|col)( [^>]*)?>", r"<\1\2/>", html)
    return ET.fromstring(f"<root>{closed}</root>")


def words(element: ET.Element) -> str:
    """Give all words of an element, each gap one space; thin spaces stay."""
    return re.sub(r"[ \n]+", " ", "".join(element.itertext())).strip()


def having(element: ET.Element, css: str) -> list[ET.Element]:
    """Give the parts that carry a CSS class."""
    return [part for part in element.iter() if css in part.get("class", "").split()]


def rows(element: ET.Element) -> list[list[str]]:
    """Give the words of every body row, cell by cell."""
    return [[words(cell) for cell in row] for body in element.iter("tbody") for row in body.iter("tr")]


def labels(element: ET.Element) -> list[str]:
    """Give what is said of each picture to those who don't see it."""
    return [part.get("aria-label", "") for part in element.iter() if part.get("role") == "img"]
