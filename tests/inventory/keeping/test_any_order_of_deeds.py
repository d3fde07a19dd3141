"""Any order of issue, return, look, move, count, retire and mount leaves a crib in which everything is in one place."""

import uuid

from django.utils import timezone
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from inventory.keeping import counting, lending
from inventory.keeping.mounting import mount, pieces_on, take_off
from inventory.keeping.spots import spots
from inventory.models import Condition, Count, CountAnswer, Kind, Loan, Move, Tool, User
from inventory.pieces.timeline import timeline_of
from tests import factories

PIECES = st.integers(0, 3)
DRAWERS = st.integers(0, 1)


class Crib(RuleBasedStateMachine):
    """Four chucks, two drawers, one lathe and two machinists; `hands` and `homes` are what ought to be so."""

    def __init__(self):
        super().__init__()
        Loan.objects.all().delete()
        Move.objects.all().delete()
        Count.objects.all().delete()
        Tool.objects.all().delete()
        self.lathe = factories.lathe()
        self.people = [factories.user("machinist"), factories.user("machinist")]
        self.keeper = factories.user("keeper")
        self.drawers = [factories.place("A1"), factories.place("A2")]
        pieces = [factories.piece(Kind.UNIVERSAL_CHUCK, mount="D1-4", location="A1") for _ in range(4)]
        self.keys = [piece.pk for piece in pieces]
        self.hands: dict[int, int] = {}
        self.homes = dict.fromkeys(self.keys, self.drawers[0].pk)

    def piece(self, number: int) -> Tool:
        return Tool.objects.get(pk=self.keys[number])

    @rule(number=PIECES, person=st.integers(0, 1), for_lathe=st.booleans())
    def issue(self, number, person, for_lathe):
        tool, to = self.piece(number), self.people[person]
        lathe = self.lathe if for_lathe else None
        try:
            lending.issue(tool, to=to, by=self.keeper, at=timezone.now(), token=uuid.uuid4(), lathe=lathe)
        except lending.CannotIssue as reason:
            if "already" in str(reason):
                assert str(User.objects.get(pk=self.hands[tool.pk])) in str(reason)
        else:
            assert tool.pk not in self.hands
            self.hands[tool.pk] = to.pk

    @rule(number=PIECES, is_damaged=st.booleans())
    def give_back(self, number, is_damaged):
        ended = lending.give_back(Loan.objects.filter(tool=self.keys[number]), by=self.keeper, at=timezone.now())
        assert len(ended) == (self.keys[number] in self.hands)
        self.hands.pop(self.keys[number], None)
        if ended and is_damaged:
            lending.came_back_damaged(self.piece(number), by=self.keeper, today=timezone.localdate())

    @rule(number=PIECES, verdict=st.sampled_from([Condition.GOOD, Condition.WORN, Condition.DAMAGED]))
    def inspect(self, number, verdict):
        tool = self.piece(number)
        tool.missing_since = None
        tool.record(tir=None, taken_on=timezone.localdate(), by=self.keeper, verdict=verdict)

    @rule(number=PIECES, drawer=DRAWERS)
    def move(self, number, drawer):
        tool = self.piece(number)
        tool.location = self.drawers[drawer]
        tool.save()
        self.homes[tool.pk] = self.drawers[drawer].pk

    @rule(number=PIECES)
    def retire_or_take_back(self, number):
        tool = self.piece(number)
        if tool.pk in self.hands:
            return
        if tool.retired_at is None and tool.mounted_on_id is not None:
            take_off(tool)
        tool.retired_at = None if tool.retired_at else timezone.now()
        tool.save()

    @rule(number=PIECES)
    def mount_or_take_off(self, number):
        tool = self.piece(number)
        if tool.mounted_on_id is not None:
            take_off(tool)
        elif tool.is_in_service:
            spot = spots(tool, self.lathe, pieces_on(self.lathe))[0]
            mount(tool, self.lathe, key=spot.key, instead_of=spot.now and spot.now.pk)

    @rule(drawer=DRAWERS, seen=st.sets(PIECES), moved_in=st.booleans(), is_dropped=st.booleans())
    def count(self, drawer, seen, moved_in, is_dropped):
        place = self.drawers[drawer]
        count = counting.begin(place, by=self.keeper, at=timezone.now())
        pieces = [tool for tool in map(self.piece, seen) if tool.retired_at is None]
        for tool in pieces:
            counting.mark_extra(
                count,
                tool.tag,
                CountAnswer.MOVE_IN if moved_in else CountAnswer.GOES_BACK,
                by=self.keeper,
                at=timezone.now(),
            )
        if is_dropped:
            counting.drop(count, by=self.keeper, at=timezone.now())
            return
        counting.close(
            count, unseen={tool.pk for tool in counting.drawer(count).unseen}, by=self.keeper, at=timezone.now()
        )
        for tool in pieces:
            self.hands.pop(tool.pk, None)
            if moved_in:
                self.homes[tool.pk] = place.pk

    @invariant()
    def no_piece_is_in_two_hands_or_in_the_wrong_ones(self):
        out = list(Loan.objects.open().values_list("tool", "borrower"))
        assert len(out) == len(dict(out))
        assert dict(out) == self.hands

    @invariant()
    def none_is_lost_and_each_belongs_where_it_was_put(self):
        assert dict(Tool.objects.values_list("pk", "location")) == self.homes

    @invariant()
    def one_piece_at_most_is_at_the_nose_and_none_that_is_retired(self):
        mounted = Tool.objects.filter(mounted_on=self.lathe)
        assert mounted.count() <= 1
        assert not mounted.exclude(retired_at=None).exists()

    def teardown(self):
        """The moves of each piece lead from its first place to its present one, and its history tells all of it."""
        for key in self.keys:
            tool = Tool.objects.get(pk=key)
            at = self.drawers[0].pk
            for move in tool.moves.order_by("pk"):
                assert move.from_place_id == at
                at = move.to_place_id
            assert at == tool.location_id
            sorts = [event.sort for event in timeline_of(tool)]
            assert sorts.count("issued") == tool.loans.count()
            assert sorts.count("returned") == tool.loans.exclude(returned_at=None).count()
            assert sorts.count("moved") == tool.moves.count()
            assert sorts.count("inspection") == tool.inspections.count()
            assert sorts.count("entered") == 1
            puts = sum(event.words.startswith("put on") for event in timeline_of(tool))
            offs = sum(event.words.startswith("taken off") for event in timeline_of(tool))
            assert puts - offs == (tool.mounted_on_id is not None)


class TestCrib(TestCase):
    def test_any_order_of_deeds_leaves_everything_in_one_place(self):
        quick = settings(max_examples=6, stateful_step_count=20, deadline=None, suppress_health_check=list(HealthCheck))
        run_state_machine_as_test(Crib, settings=quick)
