"""The codes of labels, read by a decoder that is not ours: zxing-cpp, after ISO/IEC 18004.

The dark modules are painted from what stands in the page, so that everything between the address and the paper but
the printer itself is checked.
"""

import re

import pytest
import zxingcpp
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from inventory.labels.codes import QUIET, code
from tests import factories

BAR = re.compile(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z")
PIXELS = 4
"""Of one module."""


def painted(path, side):
    image = Image.new("L", (side * PIXELS, side * PIXELS), 255)
    draw = ImageDraw.Draw(image)
    for x, y, length, back in BAR.findall(path):
        assert length == back
        left, top = int(x) * PIXELS, int(y) * PIXELS
        draw.rectangle((left, top, left + int(length) * PIXELS - 1, top + PIXELS - 1), fill=0)
    return image


def read(path, side):
    return [found.text for found in zxingcpp.read_barcodes(painted(path, side))]


@given(st.from_regex(r"https?://[a-z0-9.-]{1,60}(:[0-9]{2,5})?/t/[A-Za-z0-9-]{1,20}/", fullmatch=True))
def test_a_code_says_the_address_that_it_was_made_of(address):
    made = code(address)

    assert BAR.sub("", made.path) == ""
    assert read(made.path, made.side) == [address]


def test_a_code_keeps_its_quiet_zone():
    made = code("http://crib.example/places/1/")

    bars = [tuple(map(int, bar)) for bar in BAR.findall(made.path)]
    assert min(x for x, *_ in bars) == min(y for _, y, *_ in bars) == QUIET
    assert max(x + length for x, _, length, _ in bars) == made.side - QUIET


# With error correction M about 15 % of a code may be lost (ISO/IEC 18004).
def test_a_code_with_a_spot_of_oil_on_it_is_still_read():
    made = code("http://crib.example:8000/places/12/")
    image = painted(made.path, made.side)
    middle, spot = image.width // 2, image.width // 10
    ImageDraw.Draw(image).ellipse((middle - spot, middle - spot, middle + spot, middle + spot), fill=0)

    assert [found.text for found in zxingcpp.read_barcodes(image)] == ["http://crib.example:8000/places/12/"]


@pytest.mark.parametrize("paper", ["a4", "letter", "large", "small"])
def test_the_codes_of_a_printed_sheet_open_the_pages_of_what_they_stick_to(paper, client_of, settings):
    settings.PUBLIC_URL = "http://crib.example:8000"
    place = factories.collet(tag="C-0011", location="A2").location
    browser = client_of("machinist")

    page = browser.get(reverse("labels_print"), {"place": place.pk, "tags": "C-0011", "paper": paper}).content.decode()

    paths = re.findall(r'shape-rendering="crispEdges" d="([^"]*)"', page)
    addresses = [read(path, 60)[0] for path in paths]
    assert addresses == [f"http://crib.example:8000/places/{place.pk}/", "http://crib.example:8000/t/C-0011/"]
    assert all(
        browser.get(address.removeprefix("http://crib.example:8000")).status_code == 200 for address in addresses
    )
