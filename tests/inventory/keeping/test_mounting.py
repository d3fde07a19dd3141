"""What goes where on a lathe, putting it there and taking it off."""

import pytest
from django.urls import reverse

from inventory.keeping.mounting import pieces_on
from inventory.keeping.spots import Spot, spots
from inventory.measures.lengths import Length
from inventory.measures.masses import UG_PER_LB
from inventory.models import Kind, Tool
from inventory.models.kinds import Place
from tests import factories


@pytest.fixture
def lathe(db):
    return factories.lathe("Lathe 1", nose="D1-4", headstock="MT5", tailstock="MT3", post="Wedge post 1")


@pytest.fixture
def machinists_browser(client_of, machinist):
    return client_of(machinist)


def spots_of(tool, lathe) -> list[Spot]:
    return spots(tool, lathe, pieces_on(lathe))


def places(tool, lathe):
    return [spot.key for spot in spots_of(tool, lathe)]


def tap(client, tool, lathe, *, spot="nose", instead_of="", drawn=None, follow=True):
    given = {"lathe": lathe.pk, "spot": spot, "instead_of": instead_of, "drawn_from": drawn or newest(tool)}
    return client.post(reverse("tool_mount", args=[tool.tag]), given, follow=follow).content.decode()


def take_off(client, tool, drawn=None):
    address = reverse("tool_take_off", args=[tool.tag])
    return client.post(address, {"drawn_from": drawn or newest(tool)}, follow=True).content.decode()


def newest(tool):
    return tool.history.first().history_id


def on(tool):
    tool.refresh_from_db()
    return tool.mounted_on


@pytest.mark.parametrize(
    ("kind", "columns", "where"),
    [
        (Kind.UNIVERSAL_CHUCK, {"mount": "D1-4"}, [Place.NOSE]),
        (Kind.COLLET_CHUCK, {"mount": "MT5"}, [Place.HEADSTOCK]),
        (Kind.LIVE_CENTER, {"mount": "MT3"}, [Place.TAILSTOCK]),
        (Kind.TAPER_SHANK_DRILL, {"mount": "MT3"}, [Place.TAILSTOCK]),
        (Kind.TOOL_POST_HOLDER, {"mount": "Wedge post 1"}, [Place.POST]),
        (Kind.DRAWBAR, {"mount": "MT5"}, [Place.SPINDLE]),
        (Kind.DRAWBAR, {"mount": "MT4"}, []),
        (Kind.UNIVERSAL_CHUCK, {"mount": "1-1/2-8"}, []),
        (Kind.KEY, {}, []),
        (Kind.LATHE_DOG, {}, []),
    ],
)
def test_a_piece_goes_where_its_seat_is(kind, columns, where, lathe):
    assert places(factories.piece(kind, **columns), lathe) == where


def test_a_rest_goes_on_its_own_lathe_only(lathe):
    steady = factories.piece(Kind.STEADY_REST, belongs_to=lathe)
    follow = factories.piece(Kind.FOLLOW_REST, belongs_to=lathe)

    assert (places(steady, lathe), places(follow, lathe)) == ([Place.BED], [Place.SADDLE])
    assert places(steady, factories.lathe("Lathe 2")) == []


def test_a_collet_goes_into_the_closer_that_is_on_the_lathe(lathe):
    collet = factories.collet("3/4")
    assert places(collet, lathe) == []

    closer = factories.closer(mounted_on=lathe, mounted_at="nose")

    assert places(collet, lathe) == [f"in {closer.pk}"]


def test_an_unknown_seat_is_offered_with_a_doubt(lathe):
    (spot,) = spots_of(factories.chuck(tag="K-0001", mount=None), lathe)
    (beside,) = spots_of(factories.piece(Kind.TOOL_POST_HOLDER, mount="Q post"), factories.lathe("Lathe 2"))

    assert (spot.key, spot.doubt) == ("nose", "Nobody wrote down what K-0001 mounts on.")
    assert (beside.key, beside.doubt) == ("post", "The tool post of Lathe 2 is not described.")


def test_two_taps_put_a_chuck_on_the_lathe(machinists_browser, lathe):
    chuck = factories.chuck(tag="K-0001")
    page = machinists_browser.get(reverse("lathe_mount", args=[lathe.pk])).content.decode()
    assert "Mount on the spindle nose" in page

    said = tap(machinists_browser, chuck, lathe)

    assert "K-0001 is on Lathe 1 now." in said
    assert (on(chuck), chuck.mounted_at) == (lathe, "nose")


def test_mounting_another_takes_the_first_off(machinists_browser, lathe):
    first, second = factories.chuck(tag="K-0001"), factories.chuck(tag="K-0002")
    tap(machinists_browser, first, lathe)

    page = machinists_browser.get(reverse("tool_mount", args=["K-0002"])).content.decode()
    said = tap(machinists_browser, second, lathe, instead_of=first.pk)

    assert "K-0001 is there now and comes off." in page
    assert "K-0001 came off; its place is drawer A2." in said
    assert (on(first), on(second)) == (None, lathe)


def test_what_somebody_else_put_there_meanwhile_stays(machinists_browser, lathe):
    first, second = factories.chuck(tag="K-0001"), factories.chuck(tag="K-0002")
    tap(machinists_browser, first, lathe)

    said = tap(machinists_browser, second, lathe)

    assert "Not mounted: K-0001 is on the spindle nose of Lathe 1 by now. Look again." in said
    assert (on(first), on(second)) == (lathe, None)


def test_a_tap_that_is_sent_again_does_nothing(machinists_browser, lathe):
    chuck = factories.chuck(tag="K-0001")
    drawn = newest(chuck)
    tap(machinists_browser, chuck, lathe, drawn=drawn)
    entries = chuck.history.count()

    assert "K-0001 is on Lathe 1 already." in tap(machinists_browser, chuck, lathe, drawn=drawn)
    assert chuck.history.count() == entries

    take_off(machinists_browser, chuck)
    assert "was changed since this page was drawn" in tap(machinists_browser, chuck, lathe, drawn=drawn)
    assert on(chuck) is None


def test_a_late_tap_does_not_take_off_what_was_mounted_again(machinists_browser, lathe):
    chuck = factories.chuck(tag="K-0001", mounted_on=lathe, mounted_at="nose")
    drawn = newest(chuck)
    take_off(machinists_browser, chuck, drawn)
    tap(machinists_browser, chuck, lathe)

    assert "Look again, then take it off." in take_off(machinists_browser, chuck, drawn)
    assert on(chuck) == lathe


def test_what_sits_in_a_closer_comes_off_with_it(machinists_browser, lathe):
    closer = factories.closer(tag="H-0001", mounted_on=lathe, mounted_at="nose")
    collet = factories.collet("3/4", tag="C-0001")
    tap(machinists_browser, collet, lathe, spot=f"in {closer.pk}")
    assert collet.history.first().history_id and on(collet) == lathe

    said = take_off(machinists_browser, closer)

    assert "C-0001 came off with it." in said
    assert on(collet) is None


def test_a_retired_piece_is_on_no_lathe(client_of, lathe):
    chuck = factories.chuck(tag="K-0001", mounted_on=lathe, mounted_at="nose")

    client_of("keeper").post(reverse("tool_retire", args=["K-0001"]))

    assert on(chuck) is None


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        ({"condition": "damaged"}, "K-0001 is damaged and is not to be used."),
        ({"missing_since": "2026-03-18"}, "K-0001 is missing since 2026-03-18."),
    ],
)
def test_what_is_not_usable_says_why_it_is_not_mounted(columns, said, machinists_browser, lathe):
    chuck = factories.chuck(tag="K-0001")
    Tool.objects.update(**columns)

    assert said in machinists_browser.get(reverse("tool_mount", args=["K-0001"])).content.decode()
    assert f"Not mounted: {said}" in tap(machinists_browser, chuck, lathe)
    assert on(chuck) is None


def test_what_is_out_to_another_is_not_mounted(machinists_browser, machinist, lathe):
    other = factories.user("machinist", name="other")
    theirs, mine = factories.chuck(tag="K-0001"), factories.chuck(tag="K-0002")
    factories.loan(theirs, to=other)
    factories.loan(mine, to=machinist)

    assert "Not mounted: K-0001 is out to other." in tap(machinists_browser, theirs, lathe)
    tap(machinists_browser, mine, lathe)

    assert (on(theirs), on(mine)) == (None, lathe)


def test_the_lathe_page_lists_what_is_on_it_with_its_place(machinists_browser, lathe):
    factories.chuck(tag="K-0001", mounted_on=lathe, mounted_at="nose")

    page = machinists_browser.get(reverse("lathe", args=[lathe.pk])).content.decode()

    assert "On it now" in page
    assert "<h3>Spindle nose, D1-4</h3>" in page
    assert "Take off" in page


def test_each_spot_of_the_drawn_lathe_leads_to_its_row_which_says_what_is_on_it(machinists_browser, lathe):
    closer = factories.closer(tag="H-0001", mounted_on=lathe, mounted_at="nose")
    factories.collet("3/4", tag="C-0001", mounted_on=lathe, mounted_in=closer)

    page = machinists_browser.get(reverse("lathe", args=[lathe.pk])).content.decode()

    assert 'href="#at-nose" class="taken" aria-label="3: Spindle nose, D1-4: H-0001, C-0001"' in page
    assert 'href="#at-tailstock" aria-label="5: Tailstock, MT3: empty"' in page
    assert all(page.count(f'id="at-{place}"') == 1 for place in Place.values)
    assert "in H-0001" in page.partition('id="at-nose"')[2].partition("</li>")[0]


@pytest.mark.parametrize(("at", "offered"), [("nose", ["K-0001"]), ("tailstock", ["N-0001"]), ("post", [])])
def test_what_goes_on_one_spot_is_offered_alone(machinists_browser, lathe, at, offered):
    factories.chuck(tag="K-0001")
    factories.center(tag="N-0001", mount="MT3")

    page = machinists_browser.get(reverse("lathe_mount", args=[lathe.pk]), {"at": at}).content.decode()

    assert [tag for tag in ("K-0001", "N-0001") if f"<b>{tag}</b>" in page] == offered


def test_a_spot_that_no_lathe_has_narrows_nothing(machinists_browser, lathe):
    factories.chuck(tag="K-0001")

    assert (
        "<b>K-0001</b>"
        in machinists_browser.get(reverse("lathe_mount", args=[lathe.pk]), {"at": "roof"}).content.decode()
    )


def test_many_pieces_for_a_lathe_take_no_more_queries(machinists_browser, lathe, django_assert_max_num_queries):
    for _ in range(30):
        factories.chuck()

    with django_assert_max_num_queries(12):
        machinists_browser.get(reverse("lathe_mount", args=[lathe.pk]))


HEAVY = {"mount": "D1-4", "jaws": 3, "body": Length.inches("8")}


def mount_page(client, lathe):
    return client.get(reverse("lathe_mount", args=[lathe.pk]), {"at": Place.NOSE}).content.decode()


def test_a_chuck_too_heavy_for_one_person_warns_before_it_is_mounted_and_taken_off(machinists_browser, lathe):
    chuck = factories.piece(Kind.UNIVERSAL_CHUCK, **HEAVY, weight_ug=30 * UG_PER_LB)
    caution = f"{chuck.tag} weighs 30.0 lb (13.6 kg): not one person over the bed. Two people or a cradle."
    alone = machinists_browser.get(reverse("tool_mount", args=[chuck.tag])).content.decode()

    assert caution in mount_page(machinists_browser, lathe)
    assert caution in alone

    tap(machinists_browser, chuck, lathe)
    on_lathe = machinists_browser.get(reverse("lathe", args=[lathe.pk])).content.decode()
    assert on_lathe.index(caution) < on_lathe.index("Take off")
    assert caution in machinists_browser.get(chuck.get_absolute_url()).content.decode()


def test_what_one_person_lifts_is_mounted_without_a_caution(machinists_browser, lathe):
    factories.piece(Kind.UNIVERSAL_CHUCK, **HEAVY, weight_ug=25 * UG_PER_LB)

    assert "not one person" not in mount_page(machinists_browser, lathe)


def test_a_chuck_that_nobody_weighed_is_judged_by_its_body(machinists_browser, lathe):
    factories.piece(Kind.UNIVERSAL_CHUCK, mount="D1-4", body=Length.inches("15"))

    page = mount_page(machinists_browser, lathe)

    assert "weighs about" in page
    assert "A hoist. Board on the ways" in page
    assert "no weight is entered: look for its marking" in page


def test_pieces_called_alike_are_told_apart_where_they_are_mounted(machinists_browser, lathe):
    factories.piece(Kind.UNIVERSAL_CHUCK, **HEAVY, weight_ug=42 * UG_PER_LB)
    factories.piece(Kind.UNIVERSAL_CHUCK, **HEAVY | {"jaws": 6, "body": Length.inches("5")})

    page = mount_page(machinists_browser, lathe)

    assert "D1-4, 3 jaws, body 8 in, 42.0 lb (19.1 kg)" in page
    assert "D1-4, 6 jaws, body 5 in" in page


def test_who_mounts_from_a_spot_comes_back_to_that_spot_of_the_lathe(machinists_browser, lathe):
    factories.piece(Kind.UNIVERSAL_CHUCK, mount="D1-4")

    assert f'name="next" value="{reverse("lathe", args=[lathe.pk])}#at-nose"' in mount_page(machinists_browser, lathe)
