"""What each kind is asked beside a tag, and what it may answer: below, at and above the limits."""

import pytest

from inventory.measures.lengths import Length, parse
from inventory.models import Kind, Tool
from inventory.models.kinds import CUTTERS, DETAILS_MISSING, GROUPS
from inventory.pieces.fields import as_fields
from inventory.pieces.form import PieceForm
from inventory.pieces.telling import facts
from inventory.pieces.words import kind_of, operations_of
from inventory.transfer import entry, exports, imports, sheets
from tests import factories
from tests.inventory.pieces.filled import COMMON_FILLED, FILLED, as_typed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def lathes(db):
    return [factories.lathe("Lathe 1"), factories.lathe("Lathe 2")]


def page(kind, *, tool=None, tag="X-1", **typed):
    return PieceForm({"tag": tag, "condition": "good", **typed}, kind=kind, tool=tool)


def piece_of(kind, keeper, **typed):
    form = page(kind, **typed)
    assert form.is_valid(), form.errors
    tool = form.save(by=keeper)
    tool.refresh_from_db()
    return tool


@pytest.mark.parametrize("kind", FILLED)
def test_what_a_kind_is_asked_is_kept_and_told(kind, keeper):
    tool = piece_of(kind, keeper, **as_typed(FILLED[kind]))

    texts = as_fields(tool)
    asked = {name: texts[name].removesuffix(" in") for name in FILLED[kind]}
    assert asked == FILLED[kind]
    assert tool.missing_details == ()
    assert len(facts(tool)) >= (1 if kind in (Kind.KEY, Kind.STOP, Kind.MANDREL, Kind.PARTING_BLADE) else 2)


@pytest.mark.parametrize("kind", FILLED)
def test_a_kept_piece_that_is_kept_again_is_not_changed(kind, keeper):
    tool = piece_of(kind, keeper, **as_typed(FILLED[kind]))
    form = page(kind, tool=tool, **as_typed({name: as_fields(tool)[name] for name in FILLED[kind]}))

    assert form.is_valid(), form.errors
    form.save(by=keeper)
    assert not form.has_changed_piece


def test_every_kind_comes_back_from_a_sheet_as_it_was(keeper):
    for number, (kind, typed) in enumerate(FILLED.items()):
        piece_of(kind, keeper, tag=f"X-{number:02}", **as_typed(COMMON_FILLED | typed))
    before = exports.book(form="csv")

    same = imports.plan(sheets.read(before, name="book.csv"))
    Tool.objects.all().delete()
    entry.take(imports.SheetQuestion(sheet=sheets.read(before, name="book.csv")), by=None)

    assert same.report()["unchanged"] == len(FILLED)
    assert exports.book(form="csv") == before


@pytest.mark.parametrize(
    ("kind", "field", "text", "said"),
    [
        (Kind.STEP_COLLET, "step_depth", "3.9999", ""),
        (Kind.STEP_COLLET, "step_depth", "4", ""),
        (Kind.STEP_COLLET, "step_depth", "4.0001", "write at most 4 in"),
        (Kind.EXPANDING_ARBOR, "inside_max", ".4999", "0.4999 in is below the smallest size, 1/2 in."),
        (Kind.EXPANDING_ARBOR, "inside_max", "1/2", ""),
        (Kind.EXPANDING_ARBOR, "inside_max", ".5001", ""),
        (Kind.TOOL_POST_HOLDER, "outside_max", ".2499", "is below the smallest size"),
        (Kind.TOOL_POST_HOLDER, "outside_max", "1/4", ""),
        (Kind.TOOL_POST_HOLDER, "operations", ["turning", "sawing"], "“sawing” is no operation here. Write turning,"),
        (Kind.TOOL_POST_HOLDER, "set_for", ["Lathe 9"], "There is no lathe “Lathe 9” here."),
        (Kind.TOOL_POST_HOLDER, "shank_shape", "oval", "“oval” was read. Write round or square"),
        (Kind.STEADY_REST, "belongs_to", "Lathe 9", "There is no lathe “Lathe 9” here."),
        (Kind.LATHE_DOG, "dog_tail", "curly", "Write bent or straight"),
        (Kind.SLEEVE, "tang", "perhaps", "Write yes or no"),
        (Kind.REAMER, "driven_by", "steam", "Write hand or machine"),
        (Kind.TAPER_SHANK_DRILL, "size", "6 in", ""),
        (Kind.TAPER_SHANK_DRILL, "size", "6.0001 in", "write at most 6 in"),
        (Kind.TAPER_SHANK_DRILL, "size", "three quarters", "cannot be read"),
        (Kind.TAPER_SHANK_DRILL, "size", "12", "12 mm"),
        (Kind.REAMER, "size", "#7", ""),
        (Kind.COUNTERBORE, "size", "-1/2", "below zero"),
        (Kind.TURNING_TOOL, "shank_size", "4", ""),
        (Kind.TURNING_TOOL, "shank_size", "4.0001", "write at most 4 in"),
        (Kind.BORING_BAR, "shank_size", "0", "not above zero"),
        (Kind.DEAD_CENTER, "angle", "0", "write 1 or more"),
        (Kind.DEAD_CENTER, "angle", "1", ""),
        (Kind.DEAD_CENTER, "angle", "179", ""),
        (Kind.DEAD_CENTER, "angle", "180", "write 179 or less"),
        (Kind.UNIVERSAL_CHUCK, "jaws", "1", "write 2 or more"),
        (Kind.UNIVERSAL_CHUCK, "jaws", "2", ""),
        (Kind.UNIVERSAL_CHUCK, "jaws", "8", ""),
        (Kind.UNIVERSAL_CHUCK, "jaws", "9", "write 8 or less"),
        (Kind.UNIVERSAL_CHUCK, "outside_max", "60", ""),
        (Kind.UNIVERSAL_CHUCK, "outside_max", "60.0001", "write at most 60 in"),
        (Kind.KEY, "fits", "x" * 61, "write at most 60"),
    ],
)
def test_a_field_is_held_to_its_limit_and_says_it(kind, field, text, said):
    form = page(kind, **{**as_typed(FILLED.get(kind, {})), field: text})

    assert (field in form.errors) == bool(said), form.errors
    assert said in str(form.errors.get(field, [""])[0])


class TestBore:
    """A bore can only be opened, never closed."""

    @pytest.fixture
    def blank(self, keeper):
        return piece_of(Kind.MACHINABLE_COLLET, keeper, series="5C", pilot="1/16", bored=".4")

    @pytest.mark.parametrize(
        ("text", "said"),
        [
            ("1/16", ""),
            (".0624", "is below the pilot hole, 1/16 in."),
            ("1-1/8", ""),
            ("1.1251", "5C round collets go from 1/32 to 1-1/8."),
            ("", ""),
        ],
    )
    def test_it_lies_between_the_pilot_hole_and_the_largest_of_the_series(self, text, said):
        form = page(Kind.MACHINABLE_COLLET, series="5C", pilot="1/16", bored=text)

        assert form.is_valid() == (not said)
        assert said in str(form.errors.get("bored", [""])[0])

    @pytest.mark.parametrize(("text", "is_kept"), [(".3999", False), (".4", True), (".4001", True), ("", False)])
    def test_it_is_never_closed(self, text, is_kept, blank):
        form = page(Kind.MACHINABLE_COLLET, tool=blank, series="5C", pilot="1/16", bored=text)

        assert form.is_valid() == is_kept

    @pytest.mark.parametrize(("text", "bore"), [(".3", parse(".3")), ("", None)])
    def test_a_mistyped_bore_is_put_right(self, text, bore, blank, keeper):
        form = page(Kind.MACHINABLE_COLLET, tool=blank, series="5C", pilot="1/16", bored=text, mistyped="on")

        assert form.is_valid(), form.errors
        form.save(by=keeper)
        blank.refresh_from_db()
        assert blank.bored_to == bore

    def test_it_holds_that_size_and_nothing_beside_it(self, blank):
        assert (blank.size.clamps_from, blank.size.clamps_to) == (parse(".4"), parse(".4"))
        assert (blank.size.edge_bottom, blank.size.edge_top) == (Length(0), Length(0))

    def test_a_sheet_opens_it_and_does_not_close_it(self, blank):
        smaller = PieceForm({"tag": "X-1", "kind": "machinable collet", "series": "5C", "bored": ".3"}, tool=blank)
        silent = PieceForm({"tag": "X-1", "kind": "machinable collet", "series": "5C"}, tool=blank)

        assert "bored" in smaller.errors
        assert silent.is_valid()
        assert silent.applied().bored_to == parse(".4")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Collet, step", Kind.STEP_COLLET),
        ("expanding mandrel", Kind.EXPANDING_ARBOR),
        ("Drill, taper shank", Kind.TAPER_SHANK_DRILL),
        ("Morse taper drill", Kind.TAPER_SHANK_DRILL),
        ("hand reamers", Kind.REAMER),
        ("Counter-bore", Kind.COUNTERBORE),
        ("cut-off blade", Kind.PARTING_BLADE),
        ("Knurling head", Kind.KNURLING_HEAD),
        ("Boring bar", Kind.BORING_BAR),
        ("Boring bar holder", Kind.TOOL_POST_HOLDER),
        ("Chuck key", Kind.KEY),
        ("Drill chuck with key", Kind.DRILL_CHUCK),
        ("nut wrench", Kind.KEY),
        ("Tool, turning", Kind.TURNING_TOOL),
    ],
)
def test_the_trades_words_for_a_kind_are_read(text, kind):
    assert kind_of(text) == kind


def test_operations_are_read_in_any_order_and_what_is_none_is_named():
    assert operations_of("Facing and turn; sawing") == (["turning", "facing"], ["sawing"])


def test_a_size_of_a_drill_that_cannot_be_read_stays_in_the_notes():
    sheet = sheets.read(b"Tag,Kind,Size\nT-1,taper-shank drill,about an inch\n", name="crib.csv")
    entry.take(imports.SheetQuestion(sheet=sheet), by=None)

    tool = Tool.objects.get()
    assert (tool.cuts, tool.notes) == (None, "size: about an inch")


def test_the_key_of_a_chuck_stands_on_the_chucks_page():
    chuck = factories.chuck(tag="K-0081", mount="D1-4")
    factories.piece(Kind.KEY, tag="H-1", fits="K-0081", location="D4")
    factories.piece(Kind.KEY, tag="H-2", fits="D1-4", location=None)
    factories.piece(Kind.KEY, tag="H-3", fits="K-00810")

    assert dict(facts(chuck))["Tightened by"] == "H-1 in drawer D4; H-2"


def test_what_a_key_fits_that_is_not_in_the_book_is_told(client_of):
    answer = client_of("keeper").post(
        "/tooling/add/key/", {"tag": "H-1", "fits": "k-9, er 32", "condition": "good"}, follow=True
    )

    assert "K-9 is neither a piece nor a seat here" in answer.content.decode()
    assert Tool.objects.get().fits == "K-9, ER32"


def test_a_list_is_narrowed_to_a_group_of_kinds(client_of):
    factories.piece(Kind.REAMER, tag="T-1")
    factories.chuck(tag="K-1")

    listed = client_of("machinist").get("/tooling/", {"group": "cutting tools"}).content.decode()

    assert "T-1" in listed
    assert "K-1" not in listed


def test_every_kind_is_in_one_group():
    grouped = [kind for kinds in GROUPS.values() for kind in kinds]

    assert sorted(grouped) == sorted(Kind)
    assert set(CUTTERS) == set(GROUPS["cutting tools"])


def test_another_like_this_begins_with_what_the_first_can_do(client_of, keeper):
    piece_of(Kind.TOOL_POST_HOLDER, keeper, **as_typed(FILLED[Kind.TOOL_POST_HOLDER]))
    client = client_of(keeper)
    page = client.get("/t/X-1/").content.decode()
    address = page.split('href="/tooling/add/tool-post-holder/')[1].split('"')[0].replace("&amp;", "&")

    form = client.get(f"/tooling/add/tool-post-holder/{address}").content.decode()

    assert 'value="X-1"' not in form
    assert 'value="parting" id="id_operations_6" checked' in form or form.count("checked") == 4


@pytest.mark.parametrize(("shank", "lacks"), [("3/4", 0), (None, 1)])
def test_a_soft_center_is_gripped_by_its_shank_and_lacks_no_taper(shank, lacks, db):
    kept = factories.piece(Kind.DEAD_CENTER, shank=shank)

    assert len(kept.missing_details) == lacks
    assert Tool.objects.filter(DETAILS_MISSING).exists() is bool(lacks)
