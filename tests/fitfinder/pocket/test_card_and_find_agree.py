"""What stands on the pocket card Find answers with “holds” on that lathe, with that piece; and the other way round."""

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fitfinder.find.question import Question
from fitfinder.holding.method import Method
from fitfinder.holding.verdicts import Outcome, Verdict
from fitfinder.pocket.file import read_card
from inventory.measures.lengths import exact
from inventory.models import Lathe, ShopFigures, Size
from tests.fitfinder import made_up_cribs

pytestmark = pytest.mark.one_database(
    "the card and Find have one reader; test_every_piece.py tries it on each database"
)

few_and_large = settings(
    max_examples=6,
    deadline=None,
    phases=[Phase.generate],  # a crib that fails is told by its seed
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


def find(length, shape, lathe):
    return Question(size=exact(length), shape=shape, lathe=lathe, unit="in").answer()


def tags_of(answer):
    return {grip.piece.tag for grip in answer.grips if grip.verdict is Verdict.HOLDS}


def on_the_card_and_not_in_find():
    """What Find says otherwise of the sizes of the card, at both ends of what they are sure to hold."""
    for lathe in read_card().lathes:
        name = lathe.lathe.name if lathe.lathe else ""
        for family in lathe.families:
            for entry in family.sizes:
                for length in (entry.holds.smallest, entry.holds.largest):
                    answer = find(length, family.shape, name)
                    is_told = tags_of(answer) & {piece.tag for piece in entry.pieces} or answer.more
                    if answer.verdict is not Outcome.HOLDS or not is_told:
                        yield name, family.name, exact(length), answer.headline


def in_find_and_not_on_the_card():
    """The marked sizes that Find says hold on a lathe in a collet of that size, and that the card has not. What a
    job wants soon Find pushes back, and the card leaves out."""
    card = {
        (lathe.lathe.name if lathe.lathe else "", entry.size.id): {piece.tag for piece in entry.pieces}
        for lathe in read_card().lathes
        for family in lathe.families
        for entry in family.sizes
    }
    lathes = [lathe.name for lathe in Lathe.objects.filter(retired_at=None)] or [""]
    for size in Size.objects.select_related("series"):
        for name in lathes:
            answer = find(size.nominal, size.shape, name)
            if answer.verdict is not Outcome.HOLDS:
                continue
            for grip in answer.grips:
                is_it = grip.method is Method.COLLET and grip.verdict is Verdict.HOLDS and grip.size.id == size.pk
                if is_it and not grip.piece.is_wanted and grip.piece.tag not in card.get((name, size.pk), ()):
                    yield name, str(size), grip.piece.tag


def test_in_the_demo_crib_both_say_the_same(demo):
    assert list(on_the_card_and_not_in_find()) == []
    assert list(in_find_and_not_on_the_card()) == []


def test_where_the_shop_measures_with_an_allowance_both_take_it_off(demo):
    ShopFigures.objects.update_or_create(defaults={"measuring_allowance": made_up_cribs.parse("0.001")})

    assert list(on_the_card_and_not_in_find()) == []
    assert list(in_find_and_not_on_the_card()) == []


@few_and_large
@given(seed=st.integers(0, 10_000), pieces=st.sampled_from([60, 30, 15, 5]))
def test_in_a_made_up_crib_both_say_the_same(seed, pieces, db):
    with transaction.atomic():
        made_up_cribs.fill(seed, pieces=pieces)
        apart = [*on_the_card_and_not_in_find(), *in_find_and_not_on_the_card()]
        transaction.set_rollback(True)

    assert apart == []


def test_a_chuck_on_the_card_holds_in_find_what_lies_in_its_range(demo):
    for lathe in read_card().lathes:
        for chuck in lathe.chucks:
            middle = type(chuck.outside[0].reach.smallest)(
                (chuck.outside[0].reach.smallest.nm + chuck.outside[0].reach.largest.nm) // 2
            )
            for shape in chuck.shapes:
                answer = find(middle, shape, lathe.name)
                assert chuck.piece.tag in {grip.piece.tag for grip in (*answer.grips, *answer.fallbacks)}


def test_a_blank_on_the_card_is_one_that_find_would_bore(demo):
    blanks = [(lathe.name, blank) for lathe in read_card().lathes for blank in lathe.blanks]

    assert blanks
    for name, blank in blanks:
        answer = find(blank.bores.largest, "round", name)
        tags = {piece.tag for piece in blank.pieces}
        assert answer.is_held or {piece.tag for piece in answer.blanks} & tags
