import io

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import SheetImport, Tool
from inventory.transfer import in_progress, sheets
from tests import factories

pytestmark = pytest.mark.django_db

MIXED = (
    "Tag,Kind,Series,Size,Drawer\nC-1,collet,5C,3/4,A1\nC-2,collet,5C,<b>three</b>,A1\n,,,,\n"
    "K-1,universal chuck,3 jaw,8 in body,rack\n"
)


@pytest.fixture
def client(client_of):
    return client_of("keeper")


def send(client, text, *, name="crib.csv"):
    content = text if isinstance(text, bytes) else text.encode()
    return client.post(reverse("import_sheet"), {"sheet": SimpleUploadedFile(name, content)})


def match(client, address, **chosen):
    """Keep the choices that are shown but for those that are `chosen`, by `column0` and so on."""
    form = client.get(address + "match/").context["form"]
    return client.post(address + "match/", {**form.initial, **chosen})


def preview_of(client, text, *, name="crib.csv", answers=None, **chosen):
    """Send a sheet and go through its steps; the address of its preview."""
    address = send(client, text, name=name)["Location"]
    match(client, address, **chosen)
    if answers:
        client.post(address + "ask/", answers)
    return address


def take(client, address):
    """Press the button under the preview as it is shown now."""
    return client.post(address, {"shown": client.get(address).context["digest"]}, follow=True)


def text_of(response):
    return response.content.decode()


@pytest.mark.parametrize("role", ["machinist", "purchasing"])
@pytest.mark.parametrize("name", ["import_sheet", "import_preview", "import_refused", "export_sheet"])
def test_only_who_keeps_the_crib_may_import_and_export(client_of, role, name):
    args = [1] if name in {"import_preview", "import_refused"} else []

    assert client_of(role).get(reverse(name, args=args)).status_code == 403


def test_an_administrator_may_import(client_of):
    assert client_of("administrator").get(reverse("import_sheet")).status_code == 200


def test_who_is_not_signed_in_is_led_to_the_door(client_of):
    assert client_of(None).get(reverse("import_sheet")).status_code == 302


def test_the_preview_tells_what_every_row_would_do_and_writes_nothing(client):
    page = text_of(client.get(preview_of(client, MIXED)))

    for group in (
        "All <b>4</b>",
        "Cannot be read <b>1</b>",
        "Details to fill in <b>1</b>",
        "New <b>1</b>",
        "Empty <b>1</b>",
    ):
        assert group in page
    assert "“&lt;b&gt;three&lt;/b&gt;” cannot be read" in page
    assert "Enter 2 rows" in page
    assert not Tool.objects.exists()


def test_the_preview_tells_what_was_in_the_book_before(client):
    factories.collet("3/4", tag="C-1", location=factories.place("B9"))

    page = text_of(client.get(preview_of(client, MIXED)))

    assert "B9 → A1" in page


def test_the_good_rows_are_taken_and_the_page_says_what_was_done(client):
    address = preview_of(client, MIXED)

    page = text_of(take(client, address))

    assert "Taken: 2 added, 0 updated" in page
    assert "Row 3" in page
    assert {tool.tag for tool in Tool.objects.all()} == {"C-1", "K-1"}


def test_a_sheet_is_taken_once(client):
    address = preview_of(client, MIXED)
    take(client, address)
    Tool.objects.all().delete()

    page = text_of(client.post(address, follow=True))

    assert "taken already" in page
    assert not Tool.objects.exists()


def test_the_refused_rows_are_offered_as_a_sheet(client):
    address = preview_of(client, MIXED)
    client.get(address)

    response = client.get(address + "refused.csv")
    sheet = sheets.read(response.content, name="refused.csv")
    ((_, row),) = sheet.rows()

    assert response["Content-Type"].startswith("text/csv")
    assert sheet.headings[-1] == "Why refused"
    assert (row[0], "cannot be read" in row[-1]) == ("C-2", True)


def test_a_long_sheet_is_shown_page_by_page(client):
    rows = "".join(f"C-{number},collet,5C,1/2,A1\n" for number in range(100, 151))
    address = preview_of(client, "Tag,Kind,Series,Size,Drawer\n" + rows)

    assert "C-150" not in text_of(client.get(address))
    assert "C-150" in text_of(client.get(address + "?page=2"))


def test_the_unit_and_the_order_of_dates_are_kept_with_the_sheet(client):
    text = "Tag,Kind,Series,Size,Checked\nE-1,collet,ER32,12,3/4/2026\n"

    take(client, preview_of(client, text, answers={"unit": "mm", "dates": "dmy"}))

    tool = Tool.objects.get()
    assert (str(tool.size), tool.inspected_on.isoformat()) == ("12 mm round ER32", "2026-04-03")


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        ("", "crib.csv", "is empty"),
        ("Tag,Kind\n", "crib.xlsx", "is not a spreadsheet"),
        (b"x" * (5 * 1024 * 1024 + 1), "crib.csv", "is larger than 5 MB"),
        ("," * 5000 + "\nC-1" + ",x" * 5000, "crib.csv", "has more than 100 columns"),
    ],
)
def test_a_file_that_cannot_be_used_is_told_beside_the_field(client, text, name, said):
    response = send(client, text, name=name)

    assert response.status_code == 200
    assert said in text_of(response)
    assert not SheetImport.objects.exists()


def test_no_file_at_all_is_told_beside_the_field(client):
    response = client.post(reverse("import_sheet"), {"unit": "in"})

    assert response.context["form"].errors["sheet"] == ["This field is required."]


def test_the_book_is_offered_as_a_sheet(client):
    factories.collet("3/4", tag="C-1")

    response = client.get(reverse("export_sheet"))

    assert [row[0] for _, row in sheets.read(response.content, name="tooling.csv").rows()] == ["C-1"]
    assert 'filename="tooling.csv"' in response["Content-Disposition"]


@pytest.mark.parametrize("shown", [{}, {"shown": "another"}])
def test_what_was_not_shown_is_not_taken(client, shown):
    address = preview_of(client, MIXED)

    page = text_of(client.post(address, shown, follow=True))

    assert "The book changed since this preview: look again." in page
    assert "Enter 2 rows" in page
    assert not Tool.objects.exists()


def test_a_book_that_changed_since_the_preview_is_looked_at_again_and_then_taken(client):
    address = preview_of(client, MIXED)
    shown = client.get(address).context["digest"]
    factories.collet("3/4", tag="C-1", location=factories.place("B9"))

    page = text_of(client.post(address, {"shown": shown}, follow=True))

    assert "look again" in page
    assert "B9 → A1" in page
    assert f'value="{shown}"' not in page
    assert "Taken: 1 added, 1 updated" in text_of(take(client, address))


def test_the_preview_tells_what_a_new_row_becomes(client):
    text = "Tag,Kind,Series,Size,Drawer,TIR,Remarks\nC-1,collet,5C,3/4,A1,.0021,sprung\n"

    page = text_of(client.get(preview_of(client, text)))

    assert "C-1: 3/4 round 5C collet" in page
    assert "Drawer A1 · damaged (sprung, as the notes say) · TIR 0.0021 in" in page


def test_the_preview_shows_refused_rows_before_all_others(client):
    page = text_of(client.get(preview_of(client, MIXED)))

    headings = ["<h2>Cannot be read</h2>", "<h2>Details to fill in</h2>", "<h2>New</h2>", "<h2>Empty</h2>"]
    assert sorted(headings, key=page.index) == headings
    assert page.count("<table") == len(headings)


def test_the_preview_tells_how_the_headings_and_dates_were_read(client):
    text = "Tag,What it is,Series,Size (mm),Checked,Bought from,Lent\nE-1,collet,ER32,12,3/18/2026,a friend,\n"

    page = text_of(client.get(preview_of(client, text)))

    assert "<dt>What it is</dt><dd>Kind</dd>" in page
    assert "<dt>Size (mm)</dt><dd>Size, a bare number in mm</dd>" in page
    assert "<dt>Bought from</dt><dd>no field: goes into the notes</dd>" in page
    assert "<dt>Lent</dt>" not in page
    assert "the month comes first, as other dates of this sheet show" in page


def test_sheets_of_a_spreadsheet_that_are_not_read_are_named(client):
    book = openpyxl.Workbook()
    book.active.append(["Tag", "Kind"])
    book.create_sheet("Chucks")
    book.create_sheet("Old & gone")
    content = io.BytesIO()
    book.save(content)

    page = text_of(client.get(preview_of(client, content.getvalue(), name="crib.xlsx")))

    assert "“Chucks”, “Old &amp; gone”" in page


def test_no_step_of_the_page_speaks_of_the_options_of_the_command(client):
    text = "Tag,Kind,Series,Size,Checked\nC-1,collet,5C,3/4,3/4/2026\n"
    address = preview_of(client, text)

    pages = [text_of(client.get(address + step)) for step in ("match/", "ask/")]
    pages.append(text_of(client.get(preview_of(client, MIXED))))

    assert not any("--" in page.split("<main", 1)[1].split("</main>")[0] for page in pages)


def test_a_sheet_is_thrown_away_and_nothing_of_it_comes_into_the_book(client):
    address = preview_of(client, MIXED)

    page = text_of(client.post(address + "drop/", follow=True))

    assert "crib.csv is discarded" in page
    assert not SheetImport.objects.exists()
    assert not Tool.objects.exists()


def test_a_sheet_that_was_taken_is_not_thrown_away(client):
    address = preview_of(client, MIXED)
    take(client, address)
    client.post(address + "drop/")

    assert SheetImport.objects.get().taken_at is not None


def test_the_sheets_begun_are_listed_with_who_and_how_far(client):
    send(client, MIXED)
    taken = preview_of(client, MIXED, name="old.csv")
    take(client, taken)

    page = text_of(client.get(reverse("import_sheet")))

    assert "Go on with crib.csv" in page
    assert "headings to be matched" in page
    assert "old.csv" not in page


def test_the_columns_are_shown_with_samples_and_the_guessed_field(client):
    address = send(client, "Tag,Sort,,Gossip\nC-1,collet,5C,<i>\n")["Location"]

    response = client.get(address + "match/")

    assert response.context["form"].initial == {
        "column0": "tag", "column1": "kind", "column2": "series", "column3": "noted",
    }  # fmt: skip
    assert "Column 3, without a heading" in text_of(response)
    assert "“&lt;i&gt;”" in text_of(response)


def test_two_columns_on_one_field_are_refused_with_a_sentence(client):
    address = send(client, MIXED)["Location"]

    page = text_of(match(client, address, column4="size"))

    assert "“Size” and “Drawer” cannot both be Size: choose it for one of them." in page
    assert SheetImport.objects.get().choices is None


def test_a_sheet_in_which_no_column_is_the_tag_goes_no_further(client):
    address = send(client, "Name,Colour\nDot,red\n")["Location"]

    assert "No column is the tag yet" in text_of(match(client, address))


def test_a_choice_is_there_again_for_the_next_sheet(client):
    text = "Tag,Kind,Gossip\nC-1,collet,psst\n"
    preview_of(client, text, column2="left out")

    address = send(client, text)["Location"]

    assert client.get(address + "match/").context["form"].initial["column2"] == "left out"


def test_the_row_of_the_headings_can_be_changed(client):
    address = send(client, "Tag,Kind\nPeg,What\nC-1,collet\n")["Location"]

    client.post(address + "headings/", {"line": 2})

    assert "Peg" in text_of(client.get(address + "match/"))


def test_a_row_that_is_no_choice_leaves_the_headings_where_they_are(client):
    address = send(client, MIXED)["Location"]

    page = text_of(client.post(address + "headings/", {"line": 99}, follow=True))

    assert "Choose the row of the headings from the list." in page
    assert SheetImport.objects.get().headings_line == 1


def test_a_refused_cell_is_mended_in_the_list_and_leads_back_to_its_place(client):
    address = preview_of(client, MIXED)
    client.get(address)
    back = f"{address}?show=refused&page=1#row-3"

    response = client.post(address + "row/3/", {"row3-3": "1/2", "do": "keep", "next": back})
    page = text_of(client.get(address))

    assert response["Location"] == back
    assert "Row 3, C-2: new." in page
    assert "Enter 3 rows" in page


def test_after_a_row_is_put_right_the_list_goes_on_at_the_next_refused_one(client):
    address = preview_of(client, "Tag,Kind,Series,Size\nC-1,collet,5C,half\nC-2,collet,5C,1/2\nC-3,collet,5C,third\n")
    client.get(address)

    response = client.post(address + "row/2/", {"row2-3": "1/2", "do": "keep", "here": "page=1"})
    page = text_of(client.get(response["Location"]))

    assert response["Location"] == f"{address}?page=1&after=2#row-4"
    assert page.index("Row 2, C-1: new.") < page.rindex("third")


def test_a_row_that_is_refused_again_stays_in_view(client):
    address = preview_of(client, "Tag,Kind,Series,Size\nC-1,collet,5C,half\nC-3,collet,5C,third\n")
    client.get(address)
    back = f"{address}?page=1#row-2"

    response = client.post(address + "row/2/", {"row2-3": "nonsense", "do": "keep", "here": "page=1", "next": back})

    assert response["Location"] == back


@pytest.mark.parametrize("after", ["x", "99999999999999999999", "3", "-1"])
def test_a_number_of_no_row_says_nothing(client, after):
    address = preview_of(client, MIXED)
    client.get(address)

    assert client.get(address, {"after": after}).context["just_mended"] is None


def test_a_refused_row_shows_what_else_the_sheet_says_of_it(client):
    address = preview_of(client, "Tag,Kind,Series,Size,Drawer\nC-1,collet,5C,half,A1 at the back\n")

    assert "C-1 · collet · 5C · half · A1 at the back" in text_of(client.get(address))


def test_the_page_of_a_row_asks_what_such_a_piece_is_asked(client):
    address = preview_of(client, "Tag,Kind,Size\nK-1,3 jaw chuck,8 in body\n")
    client.get(address)

    form = client.get(address + "row/2/").context["form"]

    assert {"mount", "jaws", "outside_min", "outside_max"} <= set(form.fields)
    assert "pilot" not in form.fields


def test_what_was_typed_stays_beside_its_error(client):
    address = preview_of(client, MIXED)
    client.get(address)

    client.post(address + "row/3/", {"row3-3": "half", "do": "keep"})
    page = text_of(client.get(address))

    assert 'value="half"' in page
    assert "“half” cannot be read" in page


def test_a_cell_that_is_much_too_long_is_not_kept(client):
    address = preview_of(client, MIXED)
    client.get(address)

    page = text_of(client.post(address + "row/3/", {"row3-3": "x" * 4001, "do": "keep"}, follow=True))

    assert "Row 3 was not saved: 4001 characters were read" in page


def test_a_cell_of_no_column_and_no_field_is_not_looked_at(client):
    address = preview_of(client, MIXED)
    client.get(address)

    client.post(address + "row/3/", {"row3-99": "x", "row3-nonsense": "y", "do": "keep"})

    assert SheetImport.objects.get().rows.get(line=3).mended == {}


def test_the_page_of_a_row_has_all_its_cells_and_what_the_sheet_has_no_column_for(client):
    address = preview_of(client, "Tag,Kind,Size\nC-1,collet,3/4\n")
    client.get(address)

    form = client.get(address + "row/2/").context["form"]

    assert {"0", "1", "2"} < set(form.fields)
    assert {"series", "shape", "location", "tir", "notes"} <= set(form.fields)
    assert "jaws" not in form.fields


def test_a_row_that_the_sheet_does_not_have_is_not_found(client):
    address = preview_of(client, MIXED)
    client.get(address)

    assert client.get(address + "row/77/").status_code == 404


def test_nothing_can_be_said_of_a_sheet_that_was_taken(client):
    address = preview_of(client, MIXED)
    take(client, address)

    statuses = [client.get(address + step).status_code for step in ("match/", "ask/", "row/3/")]

    assert statuses == [404, 404, 404]


def test_the_counts_narrow_the_list(client):
    address = preview_of(client, MIXED)

    page = text_of(client.get(address + "?show=details-missing"))

    assert "K-1" in page
    assert "C-1:" not in page


def test_a_preview_that_is_not_read_yet_shows_how_far_it_is_and_goes_on_by_itself(client, monkeypatch):
    monkeypatch.setattr(in_progress, "STEP_SECONDS", 0)
    rows = "".join(f"C-{number},collet,5C,1/2\n" for number in range(450))
    address = preview_of(client, "Tag,Kind,Series,Size\n" + rows)

    pages = [text_of(client.get(address)) for _ in range(3)]

    assert f'<meta http-equiv="refresh" content="0;url={address}">' in pages[0]
    assert '<progress id="far" value="200" max="450">' in pages[0]
    assert "400 of 450 rows read" in pages[1]
    assert "Enter 450 rows" in pages[2]


def test_a_list_takes_as_many_queries_for_many_rows_as_for_few(client, django_assert_max_num_queries):
    address = preview_of(client, "Tag,Kind,Series,Size\n" + "".join(f"C-{n},collet,5C,x\n" for n in range(100)))
    client.get(address)

    with django_assert_max_num_queries(13):
        client.get(address)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_blank_sheet_is_offered(client, form):
    response = client.get(reverse("import_blank", args=[form]))

    assert sheets.read(response.content, name=f"blank.{form}").headings[:2] == ["tag", "kind"]


def test_a_blank_sheet_of_another_form_is_not_found(client):
    assert client.get(reverse("import_blank", args=["ods"])).status_code == 404
