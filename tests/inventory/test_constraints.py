"""What must always be true, tried past every form, straight in the database."""

from datetime import UTC, date, datetime

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.measures.lengths import Length
from inventory.models import (
    Ask,
    CenterHeight,
    Count,
    CountedMovement,
    CountLine,
    Deed,
    DeedAct,
    HeldTool,
    Inspection,
    Kind,
    Loan,
    LoanCall,
    Location,
    Move,
    OtherName,
    Series,
    SeriesShape,
    SetupOperation,
    SetupPhoto,
    SetupRun,
    ShiftNote,
    ShopFigures,
    Size,
    SurfaceSpeed,
    Want,
    WearLimit,
    WorkingMinutes,
)
from tests import factories

BELOW, NONE, ONE, TWO = Length(-1), Length(0), Length(1), Length(2)
LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)


def change(made, **columns):
    """Put the columns straight into the row."""
    type(made).objects.filter(pk=made.pk).update(**columns)


def copy(made, **columns):
    """A second row like the first one but for these columns, without the model's own saving."""
    values = {
        field.attname: getattr(made, field.attname) for field in made._meta.concrete_fields if not field.primary_key
    }
    type(made).objects.bulk_create([type(made)(**{**values, **columns})])


def figures():
    return SeriesShape.objects.get(series__code="5C", shape="round")


def marked_size():
    size = factories.size()
    change(size, is_marked=True)
    size.refresh_from_db()
    return size


def drill_chuck():
    return factories.piece(Kind.DRILL_CHUCK, tag="K-0001")


def jaws():
    return factories.jaws()


def dog_on_a_lathe():
    return factories.piece(Kind.LATHE_DOG, mounted_on=factories.lathe(), mounted_at="post")


def height():
    return CenterHeight.objects.create(tool=factories.piece(Kind.TOOL_POST_HOLDER), lathe=factories.lathe())


def lathe():
    return factories.lathe("Lathe 1")


def loan():
    return factories.loan(drill_chuck())


def loan_call():
    return LoanCall.objects.create(loan=Loan.objects.first() or loan(), by=keeper())


def drawer():
    return factories.place("A2-left")


def backup_taken():
    return Deed.objects.keep(DeedAct.BACKUP, "crib.zip")


def the_shop():
    return ShopFigures.objects.create(measuring_allowance=NONE)


def camlock():
    return factories.seat("D1-4")


def five_c():
    return Series.objects.get(code="5C")


def other_name():
    return OtherName.objects.create(text="Camlock four", seat=camlock())


def machinist():
    return factories.user("machinist")


def keeper():
    return factories.user("keeper")


def imported_row():
    sent = factories.sheet_in_progress("Tag\nC-1\n").sent
    return sent.book_rows.create(model="tool", key=1)


def sheet_row():
    return factories.sheet_in_progress("Tag,Kind\nC-1,collet\n").rows[0]


def inspection():
    return Inspection.objects.create(tool=drill_chuck(), taken_on=date(2026, 3, 18))


def in_holder_and_bare():
    """An inspection in a holder, for which only the word bare is missing."""
    made = inspection()
    change(made, in_holder=factories.closer())
    return made


def limit():
    return WearLimit.objects.create(kind="live center", every_days=30)


def ask():
    return Ask.objects.create(question="size=1", read_as="1 in round", verdict="nothing", asked_on=date(2026, 3, 18))


def kept_bar():
    return factories.kept_bar()


def price():
    return factories.price("3/4")


def price_of_rest():
    return factories.price()


def price_set():
    return factories.price_set(name="By sixteenths")


def working_minutes():
    return WorkingMinutes.objects.create(step="collet", hundredths=50, changed_by=keeper())


def setup_piece():
    return factories.setup_sheet(drill_chuck()).pieces.get()


def numbered_sheet():
    return factories.setup_sheet(number="MW-1", revision="b", lathe=factories.lathe())


def setup_operation():
    return SetupOperation.objects.create(sheet=factories.setup_sheet(), order=1, does="turning")


def setup_photo():
    return SetupPhoto.objects.create(sheet=factories.setup_sheet(), jpeg=b"picture")


def setup_run():
    return SetupRun.objects.create(
        sheet=factories.setup_sheet(), ran_on=date(2026, 3, 18), parts=3, part_hundredths=100, written_by=keeper(),
        token="6a1c1d5e-5b7a-4a44-9b0f-3f7a0d8b8a03",
    )  # fmt: skip


def shift_note():
    return ShiftNote.objects.create(text="The coolant pump drips.", written_by=keeper(), written_at=timezone.now())


def held_tool():
    return HeldTool.objects.create(
        tool=factories.piece("turning tool", tag="T-1"), holder=factories.piece("tool-post holder", tag="T-2")
    )


def surface_speed():
    return SurfaceSpeed.objects.create(
        material="brass", cutter="carbide", per_minute=Length.inches(3600), changed_by=keeper()
    )


def counted():
    return factories.counted("Center drill No. 3", size="1/8")


def counted_stock():
    return factories.counted(A4=3).stocks.get()


def count():
    return Count.objects.create(place=drawer(), begun_at=timezone.now(), begun_by=keeper())


def count_line():
    counted = count()
    return CountLine.objects.create(
        count=counted, tool=drill_chuck(), answer="here", at=timezone.now(), by=counted.begun_by
    )


def move():
    return Move.objects.create(tool=drill_chuck(), from_place=None, to_place=drawer(), at=timezone.now())


def counted_movement():
    return CountedMovement.objects.create(
        stock=counted_stock(), what="taken", how_many=1, left=2, by=machinist(), at=timezone.now()
    )


def want_of_item():
    return factories.want_of(item=factories.counted("Way oil"))


def want_in_words():
    return factories.want_of(what="MT3 drawbar")


def tried(name, words, make, /, **columns):
    """A case: the constraint, what is tried, what makes the row, and the columns that break it."""
    return pytest.param(name, make, columns, id=f"{name}: {words}")


BROKEN_VALUES = [
    tried(
        "inventory_reservation_lapses_after_it_starts",
        "a reservation that is over as it begins",
        lambda: factories.reservation(starts_at=LONG_AGO),
        lapses_at=LONG_AGO,
    ),
    tried(
        "inventory_reservation_lifted_by_somebody",
        "a reservation that nobody lifted",
        factories.reservation,
        lifted_at=LONG_AGO,
    ),
    tried(
        "inventory_reservation_lifted_or_taken",
        "a reservation that is lifted and taken",
        lambda: factories.reservation(lifted_at=LONG_AGO, lifted_by=keeper()),
        taken_at=LONG_AGO,
    ),
    tried("inventory_shift_note_not_empty", "a note without a word", shift_note, text=""),
    tried("inventory_tool_tag_not_empty", "an empty tag", drill_chuck, tag=""),
    tried("inventory_tool_kind_known", "a kind nobody knows", drill_chuck, kind="anvil"),
    tried("inventory_tool_condition_known", "a condition nobody knows", drill_chuck, condition="so-so"),
    tried("inventory_tool_collet_has_size", "a collet without a size", factories.collet, size=None),
    tried(
        "inventory_tool_outside_not_inverted",
        "largest below smallest",
        drill_chuck,
        outside_smallest=TWO,
        outside_largest=ONE,
    ),
    tried(
        "inventory_tool_outside_not_inverted",
        "from nothing on",
        drill_chuck,
        outside_smallest=NONE,
        outside_largest=ONE,
    ),
    tried(
        "inventory_tool_inside_not_inverted",
        "largest below smallest",
        drill_chuck,
        inside_smallest=TWO,
        inside_largest=ONE,
    ),
    tried(
        "inventory_tool_inside_not_inverted", "from nothing on", drill_chuck, inside_smallest=NONE, inside_largest=ONE
    ),
    tried("inventory_tool_tir_not_negative", "a TIR below zero", drill_chuck, tir=BELOW),
    tried("inventory_tool_capacities_above_zero", "a hole of nothing", drill_chuck, through=NONE),
    tried("inventory_tool_capacities_above_zero", "a hole in what is solid", drill_chuck, through=ONE, is_solid=True),
    tried("inventory_tool_capacities_above_zero", "a pilot of nothing", drill_chuck, pilot=NONE),
    tried("inventory_tool_capacities_above_zero", "a body of nothing", drill_chuck, body=NONE),
    tried("inventory_tool_jaw_length_above_zero", "jaws that grip by nothing", drill_chuck, jaw_length=NONE),
    tried("inventory_tool_jaws_possible", "one jaw", drill_chuck, jaws=1),
    tried("inventory_tool_jaws_possible", "nine jaws", drill_chuck, jaws=9),
    tried("inventory_tool_load_above_zero", "a center that carries nothing", drill_chuck, load_ug=0),
    tried("inventory_tool_slots_possible", "sixty-one slots", drill_chuck, slots=61),
    tried("inventory_tool_cutter_sizes_above_zero", "a point that extends by nothing", drill_chuck, extension=NONE),
    tried("inventory_tool_cutter_sizes_above_zero", "a step of no depth", drill_chuck, step_depth=NONE),
    tried("inventory_tool_cutter_sizes_above_zero", "a drill of no size", drill_chuck, cuts=NONE),
    tried("inventory_tool_cutter_sizes_above_zero", "a shank of nothing", drill_chuck, shank=NONE),
    tried("inventory_tool_only_hole_cutters_cut_to_size", "a drill chuck that cuts", drill_chuck, cuts=ONE),
    tried("inventory_tool_words_known", "an oval shank", drill_chuck, shank_shape="oval"),
    tried("inventory_tool_words_known", "a reamer driven by steam", drill_chuck, driven_by="steam"),
    tried("inventory_tool_words_known", "a curly tail", drill_chuck, tail="curly"),
    tried("inventory_tool_words_known", "a place that no lathe has", dog_on_a_lathe, mounted_at="roof"),
    tried("inventory_tool_place_only_on_a_lathe", "a place on no lathe", dog_on_a_lathe, mounted_on=None),
    tried("inventory_jaw_set_kind_known", "a kind nobody knows", jaws, kind="odd"),
    tried("inventory_jaw_set_condition_known", "a condition nobody knows", jaws, condition="so-so"),
    tried(
        "inventory_jaw_set_outside_not_inverted",
        "largest below smallest",
        jaws,
        outside_smallest=TWO,
        outside_largest=ONE,
    ),
    tried(
        "inventory_jaw_set_inside_not_inverted",
        "largest below smallest",
        jaws,
        inside_smallest=TWO,
        inside_largest=ONE,
    ),
    tried("inventory_jaw_set_only_soft_jaws_are_bored", "hard jaws that are bored", jaws, bored_to=ONE),
    tried("inventory_jaw_set_only_soft_jaws_are_bored", "a bore of nothing", jaws, kind="soft", bored_to=NONE),
    tried("inventory_jaw_set_length_above_zero", "jaws that grip by nothing", jaws, jaw_length=NONE),
    tried("inventory_jaw_set_in_only_where_usable", "cracked jaws in a chuck", jaws, is_in=True, condition="damaged"),
    tried("inventory_jaw_set_in_only_where_usable", "retired jaws in a chuck", jaws, is_in=True, retired_at=LONG_AGO),
    tried(
        "inventory_size_range_not_inverted",
        "largest below smallest",
        factories.size,
        clamps_from=TWO,
        clamps_to=ONE,
        true_from=None,
        true_to=None,
    ),
    tried("inventory_size_range_not_inverted", "from nothing on", factories.size, clamps_from=NONE),
    tried("inventory_size_true_zone_inside", "a zone from below the range", factories.size, true_from=ONE),
    tried("inventory_size_true_zone_inside", "a zone to above the range", factories.size, true_to=Length.inches(1)),
    tried(
        "inventory_size_true_zone_inside",
        "an inverted zone",
        factories.size,
        true_from=Length.inches("0.75"),
        true_to=Length.inches("0.749"),
    ),
    tried("inventory_series_shape_figures_not_negative", "closes by less than nothing", figures, closes_by=BELOW),
    tried("inventory_series_shape_figures_not_negative", "opens by less than nothing", figures, opens_by=BELOW),
    tried("inventory_series_shape_figures_not_negative", "an allowance below zero", figures, edge_top=BELOW),
    tried("inventory_series_shape_capacity_not_inverted", "largest below smallest", figures, smallest=TWO, largest=ONE),
    tried("inventory_series_shape_true_zone_whole", "half of a true zone", figures, true_under=ONE, true_over=None),
    tried("inventory_lathe_name_not_empty", "an empty name", lathe, name=""),
    tried("inventory_lathe_nose_tir_not_negative", "a TIR below zero", lathe, nose_tir=BELOW),
    tried("inventory_lathe_travels_above_zero", "a tailstock that sets over by nothing", lathe, set_over=NONE),
    tried("inventory_lathe_travels_above_zero", "a compound without travel", lathe, compound_travel=NONE),
    tried("inventory_lathe_bore_above_zero", "a bore of nothing", lathe, spindle_bore=NONE),
    tried("inventory_lathe_speeds_not_inverted", "fastest below slowest", lathe, slowest_rpm=2000, fastest_rpm=70),
    tried(
        "inventory_lathe_swing_not_inverted",
        "over the bed less than over the slide",
        lathe,
        swing_over_bed=ONE,
        swing_over_slide=TWO,
    ),
    tried("inventory_lathe_gap_not_inverted", "a gap of no width", lathe, gap_width=NONE),
    tried("inventory_lathe_gap_not_inverted", "less than over the bed", lathe, swing_over_bed=TWO, gap_swing=ONE),
    tried("inventory_loan_returned_after_issue", "returned before it was issued", loan, returned_at=LONG_AGO),
    tried("inventory_inspection_tir_not_negative", "a TIR below zero", inspection, tir=BELOW),
    tried("inventory_inspection_says_something", "nothing at all", inspection, taken_on=None),
    tried("inventory_inspection_far_with_distance", "a reading at no distance", inspection, tir_far=ONE),
    tried("inventory_inspection_far_with_distance", "a distance without a reading", inspection, far_at=ONE),
    tried("inventory_inspection_far_with_distance", "below zero", inspection, tir_far=BELOW, far_at=ONE),
    tried("inventory_inspection_pin_above_zero", "a pin of nothing", inspection, pin=NONE),
    tried("inventory_inspection_bare_in_no_holder", "bare and in a holder", in_holder_and_bare, is_bare=True),
    tried("inventory_inspection_verdict_known", "a verdict nobody knows", inspection, verdict="so-so"),
    tried("inventory_wear_limit_one_subject", "of nothing", limit, kind=""),
    tried("inventory_wear_limit_figures_above_zero", "a limit of nothing", limit, limit=NONE),
    tried("inventory_wear_limit_figures_above_zero", "every 0 days", limit, every_days=0),
    tried("inventory_wear_limit_figures_above_zero", "after 0 issues", limit, every_uses=0),
    tried("inventory_location_name_not_empty", "an empty name", drawer, name=""),
    tried("inventory_seat_code_not_empty", "an empty code", camlock, code=""),
    tried("inventory_keptbar_size_not_empty", "an empty size", kept_bar, size=""),
    tried("inventory_keptbar_weight_in_range", "of no weight", kept_bar, weight=0),
    tried("inventory_keptbar_weight_in_range", "of too much weight", kept_bar, weight=101),
    tried("inventory_price_above_zero", "for nothing", price, cents=0),
    tried("inventory_price_size_above_zero", "a size of nothing", price, nominal=NONE),
    tried("inventory_setprice_above_zero", "for nothing", price_set, cents=0),
    tried("inventory_setprice_name_not_empty", "an empty name", price_set, name=""),
    tried(
        "inventory_user_rights_follow_role",
        "a superuser who is no administrator",
        machinist,
        is_superuser=True,
        is_staff=True,
    ),
    tried("inventory_user_rights_follow_role", "staff who is no administrator", keeper, is_staff=True),
    tried("inventory_user_rights_follow_role", "an administrator without the rights", machinist, role="administrator"),
    tried("inventory_shop_figures_one_row", "a second shop", the_shop, id=2),
    tried("inventory_shop_figures_lead_days_in_range", "no day at all", the_shop, lead_days=0),
    tried("inventory_shop_figures_lead_days_in_range", "more than a year", the_shop, lead_days=366),
    tried("inventory_shop_figures_unit_known", "a unit nobody knows", the_shop, unit="cm"),
    tried("inventory_shop_figures_runout_unit_known", "run-out in a unit nobody knows", the_shop, runout_unit="cm"),
    tried("inventory_shop_figures_currency_places_known", "tenths of a coin", the_shop, currency_places=1),
    tried("inventory_shop_figures_day_order_known", "the year last but one", the_shop, day_order="d.y.m"),
    tried("inventory_user_unit_known", "a person's unit nobody knows", machinist, unit="ft"),
    tried("inventory_user_runout_unit_known", "a person's run-out in feet", machinist, runout_unit="ft"),
    tried("inventory_want_of_one_thing", "a size and words", factories.want, what="drawbar"),
    tried("inventory_want_of_one_thing", "nothing at all", factories.want, size=None),
    tried("inventory_want_of_one_thing", "something counted and words", want_of_item, what="drawbar"),
    tried("inventory_want_quantity_in_range", "none of it", factories.want, quantity=0),
    tried("inventory_want_quantity_in_range", "more than ten thousand", factories.want, quantity=10_001),
    tried("inventory_want_received_when_it_was", "received and still wanted", factories.want, received_at=LONG_AGO),
    tried("inventory_deed_act_known", "an act nobody knows", backup_taken, act="juggled"),
    tried("inventory_want_state_known", "a state nobody knows", factories.want, state="lost"),
    tried(
        "inventory_shop_figures_allowance_not_negative", "an allowance below zero", the_shop, measuring_allowance=BELOW
    ),
    tried("inventory_setup_sheet_title_not_empty", "an empty title", factories.setup_sheet, title=""),
    tried(
        "inventory_setup_sheet_frozen_by_somebody", "frozen by nobody", factories.setup_sheet, frozen_at=timezone.now()
    ),
    tried(
        "inventory_setup_sheet_stock_not_inverted",
        "stock of nothing",
        factories.setup_sheet,
        stock_smallest=NONE,
        stock_largest=ONE,
    ),
    tried(
        "inventory_setup_sheet_stock_not_inverted",
        "largest below smallest",
        factories.setup_sheet,
        stock_smallest=TWO,
        stock_largest=ONE,
    ),
    tried("inventory_setup_sheet_speed_above_zero", "a spindle that stands", factories.setup_sheet, speed_limit=0),
    tried("inventory_setup_sheet_setup_above_zero", "a set-up before the first", factories.setup_sheet, setup=0),
    tried("inventory_setup_operation_known", "a cut nobody knows", setup_operation, does="juggling"),
    tried("inventory_setup_operation_words_known", "a cutter of glass", setup_operation, cutter="glass"),
    tried("inventory_setup_operation_words_known", "a striped knurl", setup_operation, pattern="striped"),
    tried("inventory_setup_operation_figures_above_zero", "a spindle that stands", setup_operation, rpm=0),
    tried("inventory_setup_operation_figures_above_zero", "a feed of nothing", setup_operation, feed=NONE),
    tried("inventory_setup_operation_figures_above_zero", "a hole of nothing", setup_operation, hole=NONE),
    tried("inventory_setup_run_of_some_parts", "a run of no parts", setup_run, parts=0),
    tried("inventory_setup_run_says_some_minutes", "a run without minutes", setup_run, part_hundredths=None),
    tried("inventory_surface_speed_above_zero", "no speed", surface_speed, per_minute=NONE),
    tried("inventory_working_minutes_possible", "no minutes", working_minutes, hundredths=0),
    tried("inventory_working_minutes_possible", "over ten hours", working_minutes, hundredths=60_001),
    tried("inventory_counted_item_name_not_empty", "an empty name", counted, name=""),
    tried("inventory_counted_item_unit_not_empty", "counted in nothing", counted, unit=""),
    tried("inventory_counted_item_size_above_zero", "a size of nothing", counted, size=NONE),
    tried("inventory_counted_stock_not_below_zero", "one fewer than none", counted_stock, count=-1),
    tried("inventory_counted_movement_known", "a movement nobody knows", counted_movement, what="lost"),
    tried("inventory_counted_movement_moves_something", "none taken", counted_movement, how_many=0),
    tried("inventory_count_ended_by_somebody", "ended by nobody", count, ended_at=LONG_AGO),
    tried("inventory_count_ended_by_somebody", "dropped and open", count, is_dropped=True),
    tried("inventory_count_line_answer_known", "an answer nobody knows", count_line, answer="perhaps"),
    tried("inventory_move_somewhere_else", "from nowhere to nowhere", move, to_place=None),
    tried("inventory_other_name_not_empty", "a name of nothing but marks", other_name, key=""),
    tried("inventory_other_name_of_one_thing", "a name of nothing", other_name, seat=None),
    tried("inventory_user_role_known", "a role nobody knows", machinist, role="foreman"),
]
TWICE = [
    tried(
        "inventory_reservation_once_a_tap", "what was reserved in one tap", factories.reservation, starts_at=LONG_AGO
    ),
    tried(
        "inventory_reservation_one_at_a_time",
        "a piece for two jobs at one moment",
        factories.reservation,
        token="6a1c1d5e-5b7a-4a44-9b0f-3f7a0d8b8a04",
    ),
    tried("inventory_tool_tag_unique", "a tag in another case", drill_chuck, tag="k-0001"),
    tried("inventory_size_unique", "a size", factories.size),
    tried("inventory_size_marked_unique", "a marked size", marked_size),
    tried("inventory_series_shape_unique", "a shape of a series", figures),
    tried("inventory_lathe_name_unique", "a lathe's name in another case", lathe, name="LATHE 1"),
    tried("inventory_loan_one_open_each_piece", "a piece out", loan, token="6a1c1d5e-5b7a-4a44-9b0f-3f7a0d8b8a01"),
    tried("inventory_loan_called_once_by_each", "who needs it, twice", loan_call),
    tried("inventory_location_name_unique", "a place's name in another case", drawer, name="A2-LEFT"),
    tried("inventory_seat_code_unique_in_any_case", "a seat's code in another case", camlock, code="d1-4"),
    tried("inventory_series_code_unique_in_any_case", "a series in another case", five_c, code="5c"),
    tried("inventory_wear_limit_once_a_kind", "a kind's limits", limit),
    tried("inventory_want_stands_once", "a want to order and on order", factories.want, state="ordered"),
    tried("inventory_want_stands_once", "a want to order and approved", factories.want, state="approved"),
    tried("inventory_want_of_item_stands_once", "something counted, twice", want_of_item, state="ordered"),
    tried("inventory_want_in_words_stands_once", "the same words in capitals", want_in_words, what="MT3 DRAWBAR"),
    tried("inventory_keptbar_stands_once", "a bar on the list", kept_bar),
    tried("inventory_price_of_size_once", "the price of a size", price),
    tried("inventory_price_of_rest_once", "the price of all other sizes", price_of_rest),
    tried("inventory_setprice_name_unique", "a set's name in another case", price_set, name="BY SIXTEENTHS"),
    tried("inventory_counted_item_name_unique", "a name in another case", counted, name="CENTER DRILL NO. 3"),
    tried("inventory_counted_stock_once_a_place", "a thing in one place", counted_stock),
    tried("inventory_tool_one_at_each_place_of_a_lathe", "a second piece on one post", dog_on_a_lathe, tag="second"),
    tried("inventory_center_height_set_once", "a holder for one lathe", height),
    tried(
        "inventory_jaw_set_one_in_a_chuck",
        "jaws in one chuck",
        lambda: factories.jaws(is_in=True),
        token="6a1c1d5e-5b7a-4a44-9b0f-3f7a0d8b8a02",
    ),
    tried("inventory_count_one_open_each_place", "an open count of a place", count),
    tried("inventory_count_line_once_a_piece", "a piece in a count", count_line),
    tried("inventory_ask_once_a_day", "a question on one day", ask),
    tried("inventory_setup_piece_once_on_a_sheet", "a piece on a sheet", setup_piece),
    tried(
        "inventory_setup_sheet_one_of_a_revision",
        "a revision in another case",
        numbered_sheet,
        number="mw-1",
        revision="B",
        token="6a1c1d5e-5b7a-4a44-9b0f-3f7a0d8b8a04",
    ),
    tried("inventory_setup_photo_one_of_the_whole", "a picture of a sheet", setup_photo),
    tried("inventory_surface_speed_once", "a speed", surface_speed),
    tried("inventory_sheet_row_line_unique", "a row of a sheet", sheet_row),
    tried("inventory_imported_row_once_an_import", "what an import did to a row", imported_row),
]


@pytest.mark.parametrize(("name", "make", "columns"), BROKEN_VALUES)
def test_the_database_refuses(name, make, columns, db):
    row = make()

    with pytest.raises(IntegrityError, match=rf"\b{name}\b"), transaction.atomic():
        change(row, **columns)


def test_the_database_refuses_a_chuck_with_a_size(db):
    chuck, size = drill_chuck(), factories.size()

    with pytest.raises(IntegrityError, match="inventory_tool_only_collets_have_size"), transaction.atomic():
        change(chuck, size=size)


def test_the_database_refuses_a_place_in_itself(db):
    place = drawer()

    with pytest.raises(IntegrityError, match="inventory_location_not_in_itself"), transaction.atomic():
        change(place, parent=place)


def test_the_database_refuses_a_place_that_stands_in_what_stands_in_it(db):
    crib = drawer()
    cabinet = Location.objects.create(name="Cabinet", parent=crib)
    slot = Location.objects.create(name="Slot", parent=cabinet)

    for inside in (cabinet, slot):
        with pytest.raises(IntegrityError, match="inventory_location_in_no_circle"), transaction.atomic():
            change(crib, parent=inside)
    change(slot, parent=crib)


def test_the_database_refuses_a_move_to_the_same_place(db):
    made = move()

    with pytest.raises(IntegrityError, match="inventory_move_somewhere_else"), transaction.atomic():
        change(made, from_place=made.to_place)


def test_the_database_refuses_a_piece_that_sits_in_itself(db):
    closer = factories.closer(mounted_on=factories.lathe())

    with pytest.raises(IntegrityError, match="inventory_tool_sits_in_one_place"), transaction.atomic():
        change(closer, mounted_in=closer)


def test_the_database_refuses_a_tool_that_is_held_in_itself(db):
    held = held_tool()

    with pytest.raises(IntegrityError, match="inventory_held_tool_not_in_itself"), transaction.atomic():
        change(held, holder=held.tool)


def test_the_database_refuses_a_tool_of_an_operation_that_is_a_piece_and_words(db):
    operation = setup_operation()

    with pytest.raises(IntegrityError, match="inventory_setup_operation_one_tool"), transaction.atomic():
        change(operation, tool=drill_chuck(), tool_words="No. 3 center drill")


@pytest.mark.parametrize(("name", "make", "columns"), TWICE)
def test_the_database_refuses_twice(name, make, columns, db):
    row = make()
    # For a unique constraint over plain columns SQLite names the columns and not the constraint.
    refusal = rf"\b{name}\b|UNIQUE constraint failed: {row._meta.db_table}\."

    with pytest.raises(IntegrityError, match=refusal), transaction.atomic():
        copy(row, **columns)


def test_every_named_constraint_is_tried_here():
    names = {case.values[0] for case in BROKEN_VALUES + TWICE}
    named = {
        constraint.name
        for model in apps.get_app_config("inventory").get_models()
        if not model._meta.proxy
        for constraint in model._meta.constraints
    }

    assert named == names | {
        "inventory_tool_only_collets_have_size",
        "inventory_tool_sits_in_one_place",
        "inventory_location_not_in_itself",
        "inventory_held_tool_not_in_itself",
        "inventory_setup_operation_one_tool",
    }


def test_a_piece_that_came_back_may_go_out_again(db):
    loan = factories.loan(drill_chuck())
    change(loan, returned_at=timezone.now())

    assert factories.loan(loan.tool).returned_at is None


def test_a_want_that_was_received_may_be_wanted_again(db):
    size = factories.size()
    change(factories.want(size), state="received")
    factories.want(size)

    assert Want.objects.filter(size=size).count() == 2


def test_a_marked_size_may_stand_beside_the_one_that_follows_the_series(db):
    size = factories.size()
    copy(size, is_marked=True)

    assert Size.objects.filter(nominal=size.nominal, shape="round", series=size.series).count() == 2


def test_the_same_question_may_be_kept_on_another_day(db):
    copy(ask(), asked_on=date(2026, 3, 19))

    assert Ask.objects.count() == 2
