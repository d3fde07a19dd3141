import io

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from shop.backup.archive import Archive
from tests import factories


@pytest.fixture
def browser(client_of):
    return client_of("administrator")


def test_a_backup_is_handed_out_whole(browser):
    factories.collet(tag="C-0011")

    answer = browser.post(reverse("backup"))

    archive = Archive(io.BytesIO(b"".join(answer.streaming_content)), name="download")
    assert archive.manifest.rows_of("inventory.tool") == 1
    assert answer["Content-Disposition"].startswith('attachment; filename="gripbook-')
    assert "no-store" in answer["Cache-Control"]


def test_the_page_says_what_it_holds_and_why_there_is_no_button_to_put_it_back(browser):
    factories.collet(tag="C-0011")

    page = browser.get(reverse("backup")).content.decode()

    assert "1 piece with" in page
    assert "password as a hash" in page
    assert "manage.py restore FILE" in page


def test_the_desk_leads_administrators_there_and_nobody_else(browser, client_of):
    assert reverse("backup") in browser.get(reverse("desk")).content.decode()
    assert reverse("backup") not in client_of("keeper").get(reverse("desk")).content.decode()


def test_a_book_that_cannot_be_backed_up_says_so_on_the_page(browser):
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES (%s, %s, %s)",
            ["inventory", "0999_of_the_future", timezone.now()],
        )

    page = browser.post(reverse("backup"), follow=True).content.decode()

    assert "The book is newer than this Gripbook" in page
