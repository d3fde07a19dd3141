"""How the list of pieces is narrowed by what stands in its address."""

from functools import cached_property

import django_filters
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import F, Q
from django.db.models.functions import Coalesce

from inventory.figures.names import series_named
from inventory.measures.collet_marks import read_mark
from inventory.measures.fields import LengthInput
from inventory.measures.lengths import LengthError
from inventory.models import Condition, Kind, Series, Shape, Tool
from inventory.models.kinds import GROUPS
from inventory.pieces.search import SearchReading, read_search
from inventory.web.tables import OrderFilter


def _words(choices) -> list[tuple[str, str]]:
    """The choices as the rest of the pages writes them: by their values."""
    return [(str(value), str(value)) for value in choices]


class MarkedSizeInput(LengthInput):
    """A size as it may be marked on a piece: `Ø20`, `12-11 mm`, `1/2 A/F`; cleans to its nominal."""

    def to_python(self, value):
        text = str(value or "").strip()
        if not text:
            return None
        try:
            return read_mark(text, self.bare_unit).nominal
        except LengthError as error:
            raise ValidationError(error.message, code="unreadable") from None


class SizeFilter(django_filters.Filter):
    field_class = MarkedSizeInput


class SeriesChoice(forms.ModelChoiceField):
    """A series by its code, in any spelling and by any name of the shop's own."""

    def to_python(self, value):
        known = series_named(str(value)) if value and isinstance(value, str) else None
        return super().to_python(value if known is None else known.code)


class SeriesFilter(django_filters.ModelChoiceFilter):
    field_class = SeriesChoice


class ToolFilter(django_filters.FilterSet):
    """The pieces in the book; those that are retired only where they are asked for."""

    OUT, MISSING, DETAILS, RETIRED = "out", "missing", "details", "retired"
    STATES = [
        (OUT, "out"),
        (MISSING, "missing"),
        (DETAILS, "details to fill in"),
        (RETIRED, "retired"),
    ]

    text = django_filters.CharFilter(label="Size, tag, drawer or word", method="with_text")
    location = django_filters.CharFilter(field_name="location__name", lookup_expr="iexact", label="Drawer")
    size = SizeFilter(field_name="size__nominal", label="Size, like 3/4", method="of_size")
    group = django_filters.ChoiceFilter(
        label="Group", choices=[(words, words) for words in GROUPS], empty_label="any", method="in_group"
    )
    kind = django_filters.ChoiceFilter(label="Kind", choices=_words(Kind), empty_label="any")
    series = SeriesFilter(
        label="Series",
        method="of_series",
        queryset=Series.objects.only("code", "seat"),
        to_field_name="code",
        empty_label="any",
    )
    shape = django_filters.ChoiceFilter(
        field_name="size__shape", label="Shape", choices=_words(Shape), empty_label="any"
    )
    condition = django_filters.ChoiceFilter(label="Condition", choices=_words(Condition), empty_label="any")
    state = django_filters.ChoiceFilter(label="State", choices=STATES, empty_label="any", method="in_state")

    order = OrderFilter(
        {
            "size": ("is_called", "kind", "tag"),
            "what": ("kind", "size__series", "size__shape", "is_called"),
            "tag": ("tag",),
            "drawer": ("location__name", "tag"),
            "tir": ("tir",),
            "condition": ("condition", "tag"),
            "inspected": ("inspected_on",),
        }
    )

    class Meta:
        model = Tool
        fields = ()

    def filter_queryset(self, queryset):
        asked = self.form.cleaned_data
        if asked.get("state") != self.RETIRED and not (self.reading and self.reading.asks_for_retired):
            queryset = queryset.in_book()
        if asked.get("order") or asked.get("text"):
            queryset = queryset.annotate(is_called=Coalesce("size__nominal", "cuts", "shank", "body"))
        if asked.get("text"):
            queryset = queryset.order_by(F("is_called").asc(nulls_last=True), "tag")
        return super().filter_queryset(queryset)

    @cached_property
    def reading(self) -> SearchReading | None:
        """How the one field for all was read; None where it is empty."""
        text = self.form.cleaned_data.get("text")
        return read_search(text) if text else None

    def with_text(self, queryset, name, value):
        return queryset.filter(self.reading.means) if self.reading else queryset

    def of_series(self, queryset, name, value):
        # A blank that is not bored yet is known by its seat alone.
        return queryset.filter(Q(size__series=value) | Q(size=None, mounts_in=value.seat_id))

    def of_size(self, queryset, name, value):
        return queryset.filter(Q(size__nominal=value) | Q(cuts=value))

    def in_group(self, queryset, name, value):
        return queryset.filter(kind__in=GROUPS[value])

    def in_state(self, queryset, name, value):
        if value == self.OUT:
            return queryset.is_out()
        if value == self.MISSING:
            return queryset.exclude(missing_since=None)
        if value == self.DETAILS:
            return queryset.details_missing()
        return queryset.exclude(retired_at=None)
