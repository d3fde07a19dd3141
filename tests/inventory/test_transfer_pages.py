import io

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import SheetImport, Tool
from inventory.transfer import sheets
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

    assert "4 rows: 2 new, 0 changed, 0 the same, 1 refused, 1 empty" in page
    assert "“&lt;b&gt;three&lt;/b&gt;” cannot be read" in page
    assert "Details missing: 1." in page
    assert "Take 2 rows" in page
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
    assert "Take 2 rows" in page
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

    headings = ["<h2>Refused</h2>", "<h2>Details missing</h2>", "<h2>New</h2>", "<h2>Empty</h2>"]
    assert sorted(headings, key=page.index) == headings
    assert "<table" not in page


def test_the_preview_tells_how_the_headings_and_dates_were_read(client):
    text = "Tag,What it is,Series,Size (mm),Checked,Bought from,Lent\nE-1,collet,ER32,12,3/18/2026,a friend,\n"

    page = text_of(client.get(preview_of(client, text)))

    assert "<dt>What it is</dt><dd>Kind</dd>" in page
    assert "<dt>Size (mm)</dt><dd>Size, a bare number in mm</dd>" in page
    assert "<dt>Bought from</dt><dd>no field: kept in the notes</dd>" in page
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
