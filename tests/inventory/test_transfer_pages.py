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


def send(client, text, *, name="crib.csv", **how):
    file = SimpleUploadedFile(name, text.encode())
    return client.post(reverse("import_sheet"), {"sheet": file, "unit": "in", "dates": "", **how})


def preview_of(client, text):
    return send(client, text)["Location"]


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

    assert "was B9" in page


def test_the_good_rows_are_taken_and_the_page_says_what_was_done(client):
    address = preview_of(client, MIXED)

    page = text_of(client.post(address, follow=True))

    assert "Taken: 2 added, 0 updated" in page
    assert "Row 3" in page
    assert {tool.tag for tool in Tool.objects.all()} == {"C-1", "K-1"}


def test_a_sheet_is_taken_once(client):
    address = preview_of(client, MIXED)
    client.post(address)
    Tool.objects.all().delete()

    page = text_of(client.post(address, follow=True))

    assert "taken already" in page
    assert not Tool.objects.exists()


def test_the_refused_rows_are_offered_as_a_sheet(client):
    address = preview_of(client, MIXED)

    response = client.get(address + "refused.csv")
    sheet = sheets.read(response.content, name="refused.csv")
    ((_, row),) = sheet.rows()

    assert response["Content-Type"].startswith("text/csv")
    assert sheet.headings[-1] == "Why refused"
    assert (row[0], "cannot be read" in row[-1]) == ("C-2", True)


def test_a_long_sheet_is_shown_page_by_page(client):
    rows = "".join(f"C-{number},collet,5C,1/2,A1\n" for number in range(501))
    address = preview_of(client, "Tag,Kind,Series,Size,Drawer\n" + rows)

    assert "C-500" not in text_of(client.get(address))
    assert "C-500" in text_of(client.get(address + "?page=2"))


def test_the_unit_and_the_order_of_dates_are_kept_with_the_sheet(client):
    text = "Tag,Kind,Series,Size,Checked\nE-1,collet,ER32,12,3/4/2026\n"

    client.post(send(client, text, unit="mm", dates="dmy")["Location"])

    tool = Tool.objects.get()
    assert (str(tool.size), tool.inspected_on.isoformat()) == ("12 mm round ER32", "2026-04-03")


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        ("", "crib.csv", "is empty"),
        ("Tag,Kind\n", "crib.xlsx", "is not a spreadsheet"),
        ("Colour,Name\nred,Dot\n", "crib.csv", "No heading of the sheet is the tag"),
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
