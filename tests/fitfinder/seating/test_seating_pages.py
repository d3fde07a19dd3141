"""The pages of the three questions of seating, and the ways to them."""

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Kind, Tool
from tests import factories

pytestmark = pytest.mark.one_database("how an answer is shown; test_every_address.py opens the pages on each database")


@pytest.fixture
def lathe(db):
    factories.piece(Kind.TAPER_SHANK_DRILL, tag="T-0101", mount="MT2", cuts="3/4", has_tang=True, location="B2")
    factories.sleeve(tag="H-0065", mount="MT3", takes="MT2", location="D2")
    factories.center(tag="N-0091", max_rpm=4500)
    factories.center(tag="N-0092", mount="MT4")
    factories.piece(
        Kind.TOOL_POST_HOLDER, tag="H-0078", mount="Wedge post 1", outside=("1/4", "5/8"), shank_shape="square",
        operations="turning",
    )  # fmt: skip
    return factories.lathe("Lathe 1", post="Wedge post 1")


@pytest.fixture
def machinist(client_of, lathe):
    return client_of("machinist")


def text_of(client, name, *args, **texts):
    return client.get(reverse(name, args=args), texts).content.decode()


def test_the_tailstock_page_has_each_tool_with_its_sleeve_and_its_tang(machinist, lathe):
    text = text_of(machinist, "tailstock", lathe.pk)

    for words in ("T-0101", "B2", "With sleeve H-0065, D2.", "may have no slot for it", "N-0091"):
        assert words in text
    assert "Its MT4 shank is larger than the MT3 of the tailstock." in text


def test_a_tailstock_that_is_not_described_says_so(machinist):
    bare = factories.lathe(tailstock=None)

    assert "its tailstock taper is not filled in" in text_of(machinist, "tailstock", bare.pk)


def test_a_retired_lathe_has_no_tailstock_page(machinist):
    gone = factories.lathe(retired_at=factories.timezone.now())

    assert machinist.get(reverse("tailstock", args=[gone.pk])).status_code == 404


def test_the_center_for_the_work_leads_with_its_drawer(machinist):
    text = text_of(machinist, "which_center", lathe="Lathe 1", speed="800")

    assert "It serves" in text
    assert text.index("N-0091") < text.index("N-0092")


def test_a_center_that_another_job_wants_comes_behind_a_free_one_and_says_so(machinist):
    factories.reservation(Tool.objects.get(tag="N-0091"), sheet=factories.setup_sheet(title="Idler shaft"))
    factories.center(tag="N-0099", max_rpm=2000)

    text = text_of(machinist, "which_center", lathe="Lathe 1", speed="800")

    assert text.index("N-0099") < text.index("N-0091")
    assert "N-0091 is reserved for Idler shaft, tomorrow" in text


def test_what_is_missing_for_a_tube_is_said(machinist):
    assert "No bull-nose center for a bore of 2 in" in text_of(machinist, "which_center", lathe="Lathe 1", bore="2")


def test_the_holder_leads_with_why(machinist):
    text = text_of(machinist, "which_holder", shank="1/2", operation="turning")

    for words in ("It serves", "H-0078", "set it first"):
        assert words in text


@pytest.mark.parametrize(
    ("name", "texts", "says"),
    [
        ("which_center", {"lathe": "Lathe 9"}, "“Lathe 9” is no lathe of this shop. It has: Lathe 1."),
        ("which_center", {"lathe": "Lathe 1", "speed": "fast"}, "“fast” is no speed."),
        ("which_holder", {"shank": ""}, "No shank was given."),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_is_answered(machinist, name, texts, says):
    answer = machinist.get(reverse(name), texts)

    assert answer.status_code == 400
    assert says in answer.content.decode()


def test_the_questions_are_linked_from_plan_and_from_the_lathe(machinist, lathe):
    for text in (text_of(machinist, "plan"), text_of(machinist, "lathe", lathe.pk)):
        for address in (reverse("tailstock", args=[lathe.pk]), reverse("which_center"), reverse("which_holder")):
            assert address in text


def test_what_serves_is_issued_from_its_answer_with_its_sleeve(machinist):
    factories.piece(
        Kind.EXTENDED_POINT_CENTER, tag="N-0095", mount="MT2", location="C2", extension=parse("1-1/8"), max_rpm=3500
    )
    text = text_of(machinist, "which_center", lathe="Lathe 1", clearance="1", speed="800")

    assert "<h1>Extended-point center</h1>" in text
    assert "Take N-0095" in text
    assert "Take H-0065" in text


def test_what_is_on_the_lathe_is_not_issued(machinist, lathe):
    factories.Tool.objects.filter(tag="N-0091").update(mounted_on=lathe)
    text = text_of(machinist, "which_center", lathe="Lathe 1", speed="800")

    assert "on Lathe 1" in text
    assert "Issue N-0091" not in text


def test_beside_one_that_serves_those_to_look_at_first_are_folded(machinist):
    factories.piece(Kind.DEAD_CENTER, tag="N-0099", mount="MT3")
    text = text_of(machinist, "which_center", lathe="Lathe 1", speed="800")

    assert "1 other to look at first" in text
