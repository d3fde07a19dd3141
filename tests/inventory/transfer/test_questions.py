import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from inventory.models import SheetImport
from inventory.transfer import questions
from inventory.transfer.in_progress import SheetInProgress
from inventory.transfer.outcomes import RowVerdict
from tests import factories

pytestmark = pytest.mark.django_db

SHEET = (
    "Tag,Kind,Series,Size,Drawer,Condition,Mount\n"
    "C-1,collet,5C,3/4,A1,blorp,\n"
    "C-2,collet,5C,7/8,A1,blorp,\n"
    "C-3,collet,5C,half or so,A1,good,\n"
    "C-4,collet,5C,1/2,A1,good,\n"
    "N-1,dead center,,,A1,good,\n"
    "N-2,dead center,,,A1,good,\n"
)


def read(text=SHEET):
    sent = factories.sheet_read(text).sent
    return SheetInProgress(SheetImport.objects.get(pk=sent.pk))


def again(sheet):
    return SheetInProgress(SheetImport.objects.get(pk=sheet.sent.pk))


def question(sheet, words):
    (found,) = [one for one in questions.questions_of(sheet) if words in f"{one.read} {one.about}"]
    return found


def verdict(sheet, line):
    return sheet.sent.rows.get(line=line).verdict


def test_a_word_that_cannot_be_read_is_asked_once_for_all_its_rows():
    asked = question(read(), "blorp")

    assert asked.lines == (2, 3)
    assert asked.rows_in_words == "rows 2, 3"
    assert asked.choices == ("good", "worn", "damaged", "scrapped", "leave it empty")


def test_one_answer_settles_all_rows_like_it():
    sheet = read()

    questions.answer(sheet, {question(sheet, "blorp").name: "good"}, set())

    assert {verdict(sheet, line) for line in (2, 3)} == {RowVerdict.NEW}


def test_a_cell_that_is_left_empty_is_not_asked_again():
    sheet = read()

    questions.answer(sheet, {question(sheet, "blorp").name: "leave it empty"}, set())

    assert verdict(sheet, 2) == RowVerdict.NEW
    assert not [one for one in questions.questions_of(again(sheet)) if one.read == "blorp"]


def test_a_blank_of_pieces_of_one_kind_is_asked_once_and_can_wait():
    asked = question(read(), "Dead center")

    assert (asked.lines, asked.can_wait, asked.offered) == ((6, 7), True, "seats")


def test_a_blank_that_is_filled_in_is_no_longer_lacking():
    sheet = read()

    questions.answer(sheet, {question(sheet, "Dead center").name: "MT3"}, set())

    assert not [one for one in questions.questions_of(again(sheet)) if one.can_wait]


def test_an_answer_that_cannot_be_read_stands_there_to_be_corrected():
    sheet = read()

    questions.answer(sheet, {question(sheet, "half or so").name: "a quarter"}, set())

    asked = question(again(sheet), "a quarter")
    assert (asked.lines, "cannot be read" in asked.why) == ((4,), True)


def test_rows_are_left_out_by_their_question_and_put_back():
    sheet = read()

    questions.answer(sheet, {}, {question(sheet, "blorp").name})
    assert {verdict(sheet, line) for line in (2, 3)} == {RowVerdict.LEFT_OUT}
    assert questions.take_back(again(sheet), questions.LEAVE_OUT)

    assert {verdict(sheet, line) for line in (2, 3)} == {RowVerdict.REFUSED}


def test_an_answer_is_taken_back_for_all_its_rows():
    sheet = read()
    questions.answer(sheet, {question(sheet, "blorp").name: "worn"}, set())
    (mend,) = questions.mends_of(again(sheet))
    assert (mend.about, mend.answer, mend.lines) == ("Condition: blorp", "worn", (2, 3))

    assert questions.take_back(again(sheet), mend.key)

    assert question(again(sheet), "blorp").lines == (2, 3)
    assert not questions.take_back(again(sheet), mend.key)


def test_a_tag_is_asked_of_each_row_by_itself():
    text = "Tag,Kind,Series,Size\nC 1!,collet,5C,3/4\nC 1!,collet,5C,7/8\n"

    assert [one.lines for one in questions.questions_of(read(text))] == [(2,), (3,)]


def test_a_sheet_that_asks_nothing_has_no_questions():
    assert questions.questions_of(read("Tag,Kind,Series,Size\nC-1,collet,5C,3/4\n")) == []


def test_what_is_no_open_question_is_not_looked_at():
    sheet = read()

    assert questions.answer(sheet, {"nonsense": "good"}, {"more nonsense"}) == 0


@pytest.fixture
def keeper(client_of):
    return client_of("keeper")


@pytest.fixture
def address(keeper):
    sent = keeper.post(reverse("import_sheet"), {"sheet": SimpleUploadedFile("crib.csv", SHEET.encode())})
    address = sent["Location"]
    keeper.post(address + "match/", keeper.get(address + "match/").context["form"].initial)
    return address


def page_of(response):
    return response.content.decode()


def test_the_page_asks_on_top_and_shows_each_row_as_it_came_and_as_it_was_read(keeper, address):
    page = page_of(keeper.get(address))

    assert page.index("<code>blorp</code>") < page.index('id="row-2"')
    assert '<tr id="row-2" class="bad">' in page
    assert '<tr id="row-5" class="ready">' in page
    assert "cannot be read</span>" in page
    assert "<code>half or so</code>" in page
    assert "<style" not in page
    assert "style=" not in page


def test_all_answers_are_sent_at_once_and_can_be_taken_back_one_by_one(keeper, address):
    asked = keeper.get(address).context["questions"]
    by_read = {one.read: one.name for one in asked}
    answers = {f"answer-{by_read['blorp']}": "good", f"answer-{by_read['half or so']}": "1/4"}

    page = page_of(keeper.post(address + "answer/", answers, follow=True))
    assert "2 questions answered." in page
    assert "Enter 6 rows" in page
    mends = keeper.get(address).context["mends"]
    page = page_of(keeper.post(address + "answer/", {"take_back": mends[0].key}, follow=True))

    assert "The answer is taken back." in page
    assert "Enter 4 rows" in page


def test_an_empty_form_answers_nothing(keeper, address):
    keeper.get(address)

    page = page_of(keeper.post(address + "answer/", follow=True))

    assert "No question was answered" in page


def test_an_answer_to_a_sheet_that_was_entered_is_not_found(keeper, address):
    keeper.post(address, {"shown": keeper.get(address).context["digest"]})

    assert keeper.post(address + "answer/").status_code == 404


def test_pieces_without_tags_are_asked_about_once_and_numbered(keeper):
    text = b"Kind,Series,Size\ncollet,5C,3/4\ncollet,5C,7/8\n"
    address = keeper.post(reverse("import_sheet"), {"sheet": SimpleUploadedFile("crib.csv", text)})["Location"]
    keeper.post(address + "match/", keeper.get(address + "match/").context["form"].initial)
    (asked,) = keeper.get(address).context["questions"]
    assert asked.lines == (2, 3)

    page = page_of(keeper.post(address + "answer/", {f"answer-{asked.name}": asked.choices[0]}, follow=True))

    assert "1 question answered." in page
    assert "Enter 2 rows" in page


def test_an_answer_that_is_no_choice_is_not_taken(keeper):
    sheet = read("Kind,Series,Size\ncollet,5C,3/4\n")
    (asked,) = questions.questions_of(sheet)

    assert questions.answer(sheet, {asked.name: "perhaps"}, set()) == 0
    assert again(sheet).sent.answered == []


def test_an_answered_doubt_is_asked_again_once_it_is_taken_back(keeper):
    sheet = read("Kind,Series,Size\ncollet,5C,3/4\n")
    (asked,) = questions.questions_of(sheet)
    questions.answer(sheet, {asked.name: asked.choices[0]}, set())
    (mend,) = questions.mends_of(again(sheet))

    questions.take_back(again(sheet), mend.key)

    assert again(sheet).sent.answered == []
    assert not again(sheet).is_read
