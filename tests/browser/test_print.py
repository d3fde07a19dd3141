"""A setup sheet on paper: one page on each of the two papers, with nothing to type on it."""

import re

import pytest

from inventory.models import SetupOperation, SetupSheet
from tests.browser.conftest import follow

pytestmark = pytest.mark.browser

WAY = "/plan/between-centers/?size=.7485&length=9&parts=12"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_setup_sheet_with_seven_operations_is_one_page(signed_in, paper):
    page = signed_in("keeper")
    page.goto(WAY)
    follow(page.get_by_role("button", name="Make the setup sheet"))
    page.get_by_role("heading", name="Pick list").wait_for()
    cuts = ("facing", "center drilling", "turning", "grooving outside", "knurling", "chamfering", "parting")
    for number, cut in enumerate(cuts, start=1):
        note = "Both ends to length, from the stop."
        SetupOperation.objects.create(sheet=SetupSheet.objects.latest("pk"), order=number, does=cut, note=note)
    page.reload()
    page.get_by_text("7 parting").wait_for()

    assert len(re.findall(rb"/Type /Page\b(?!s)", page.pdf(format=paper))) == 1


def test_a_way_is_printed_without_its_form_and_a_drawer_with_its_word(signed_in):
    page = signed_in("keeper")
    page.goto(WAY)
    page.emulate_media(media="print")

    assert page.get_by_label("Job or part, if it has a name").is_hidden()
    word, box = page.locator(".drawer i").first, page.locator(".drawer").first
    assert word.evaluate("part => getComputedStyle(part).color") == box.evaluate("part => getComputedStyle(part).color")
