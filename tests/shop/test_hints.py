"""Whoever is new to the trade finds a sentence by each field that has a meaning in it."""

import pytest
from django.utils import timezone

from fitfinder.find.form import FindForm
from fitfinder.plan.form import JobForm
from inventory.figures.forms import SeriesForm
from inventory.inspections.findings import FINDINGS, MEANING
from inventory.inspections.form import InspectionForm
from inventory.keeping.lathes import LatheForm
from inventory.models import Kind, SeriesShape
from inventory.pieces.form import PieceForm
from tests import factories

PLAIN_WORDS = {"notes", "kind", "name", "shape", "lathe", "unit", "whole", "over", "parts", "note", "on_lathe", "token"}
"""Fields that say all in their label."""


def without_a_hint(form) -> set[str]:
    return {bound.name for bound in form if not bound.help_text} - PLAIN_WORDS


@pytest.mark.parametrize("kind", Kind)
def test_every_field_that_a_kind_is_asked_has_a_sentence(kind, db):
    assert without_a_hint(PieceForm(kind=Kind(kind))) == set()


def test_every_figure_of_a_series_says_what_it_means_and_its_unit(db):
    form = SeriesForm(figures=SeriesShape.objects.get(series__code="5C", shape="round"))

    assert without_a_hint(form) == set()
    assert "The true zone" in form["true_under"].help_text
    assert all("inches" in bound.help_text for bound in form)


def test_every_field_of_a_lathe_a_job_and_a_question_has_a_sentence(db):
    for form in (LatheForm(), JobForm(initial={}, lathes=[]), FindForm(initial={}, lathes=[])):
        assert without_a_hint(form) == set()


def test_every_field_of_an_inspection_has_a_sentence(db):
    form = InspectionForm(tool=factories.collet(), by=factories.user("keeper"), today=timezone.localdate())

    assert without_a_hint(form) == set()
    assert form["finding"].help_text.startswith("Bell-mouthed: wide at the mouth; sprung:")


def test_a_finding_is_explained_only_where_it_is_offered():
    offered = {finding for found in FINDINGS.values() for finding in found}

    assert MEANING.keys() <= offered
