from unittest.mock import patch

from django.db import OperationalError, connection
from django.urls import reverse


def test_a_monitor_is_told_ok_without_signing_in(client, db, django_assert_num_queries):
    with django_assert_num_queries(1):
        answer = client.get(reverse("health"))

    assert (answer.status_code, answer.content) == (200, b"ok")
    assert answer["Content-Type"].startswith("text/plain")


def test_a_monitor_is_told_when_the_database_cannot_be_reached(client):
    with patch.object(connection, "cursor", side_effect=OperationalError("no route")):
        answer = client.get(reverse("health"))

    assert answer.status_code == 503
    assert b"no route" not in answer.content


def test_an_answer_about_health_is_never_kept_by_a_cache(client, db):
    assert "no-store" in client.get(reverse("health"))["Cache-Control"]
