"""The heads of a table, which put it in order by its address: `?order=size`, downward `?order=-size`."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

import django_filters
from django import forms
from django.db.models import F, QuerySet
from django.http import HttpRequest
from msgspec import Struct

from inventory.measures.inputs import LineInput, say_plainly

_Row = TypeVar("_Row")
ORDER = "order"
"""What it is called in an address."""


class Column(Struct, frozen=True):
    """A column of a table. One without a `key` puts nothing in order; figures stand at the right."""

    words: str
    key: str = ""
    is_figure: bool = False


class Head(Struct, frozen=True):
    """The head of a column on one page: where it leads, and whether the table is `sorted` by it, and how."""

    words: str
    is_figure: bool
    address: str = ""
    sorted: str = ""


def heads_of(request: HttpRequest, columns: Iterable[Column]) -> list[Head]:
    """Each with the address that puts the table in its order, or turns that around; all else of the page stays."""
    now = request.GET.get(ORDER, "")
    return [
        Head(
            column.words,
            column.is_figure,
            _address(request, f"-{column.key}" if now == column.key else column.key) if column.key else "",
            {column.key: "ascending", f"-{column.key}": "descending"}.get(now, "") if column.key else "",
        )
        for column in columns
    ]


def _address(request: HttpRequest, order: str) -> str:
    query = request.GET.copy()
    query.pop("page", None)
    query[ORDER] = order
    return f"?{query.urlencode()}"


def narrowed_by(request: HttpRequest, form: forms.BaseForm) -> list[tuple[str, str]]:
    """What is set of the filters in words, each with the address that is without it."""
    filters_set = []
    for name, field in form.fields.items():
        if name != ORDER and (text := request.GET.get(name, "").strip()):
            query = request.GET.copy()
            for one in (name, "page"):
                query.pop(one, None)
            filters_set.append((f"{str(field.label).split(',')[0].lower()} {text[:40]}", f"?{query.urlencode()}"))
    return filters_set


class OrderFilter(django_filters.ChoiceFilter):
    """Puts a queryset in order by the columns of its table; what is empty stands last, whichever way."""

    def __init__(self, columns: Mapping[str, tuple[str, ...]]) -> None:
        self.columns = columns
        both_ways = [f"{sign}{key}" for key in columns for sign in ("", "-")]
        super().__init__(label="Order", choices=[(one, one) for one in both_ways], widget=forms.HiddenInput)

    def filter(self, qs: QuerySet[Any], value: str | None) -> QuerySet[Any]:
        return _ordered(qs, value, self.columns)


def _ordered(rows: QuerySet[Any], order: str | None, columns: Mapping[str, tuple[str, ...]]) -> QuerySet[Any]:
    names = columns.get((order or "").removeprefix("-"))
    if not order or names is None:
        return rows
    if order.startswith("-"):
        return rows.order_by(*(F(name).desc(nulls_last=True) for name in names), "pk")
    return rows.order_by(*(F(name).asc(nulls_last=True) for name in names), "pk")


def by_column(request: HttpRequest, rows: QuerySet[Any], columns: Mapping[str, tuple[str, ...]]) -> QuerySet[Any]:
    """Rows of the database in the order that the address asks for; in their own where it asks for none."""
    return _ordered(rows, request.GET.get(ORDER), columns)


class WordFilter(forms.Form):
    """Narrows rows that were worked out to those in whose words each word of the address stands."""

    text = LineInput(required=False, max_length=100)

    def __init__(self, request: HttpRequest, label: str) -> None:
        super().__init__(request.GET)
        self.fields["text"].label = label
        say_plainly(self.fields)

    @property
    def is_narrowed(self) -> bool:
        return bool(self.errors or self.cleaned_data["text"])

    def among(self, rows: Iterable[_Row], words_of: Callable[[_Row], str]) -> list[_Row]:
        if not self.is_valid():
            return []
        asked = self.cleaned_data["text"].casefold().split()
        return [row for row in rows if all(word in words_of(row).casefold() for word in asked)]


def word_list(
    request: HttpRequest,
    rows: Iterable[_Row],
    columns: Iterable[Column],
    by: Mapping[str, Callable[[_Row], Any]],
    *,
    label: str,
    words_of: Callable[[_Row], str],
) -> dict[str, Any]:
    """What the page of a list that was worked out shows: those of its `rows` that the words of the address leave, in
    the order that it asks for, of `how_many`; and what its table and its filter, of this `label`, are drawn from."""
    rows, narrowing = list(rows), WordFilter(request, label)
    return {
        "rows": in_order(request, narrowing.among(rows, words_of), by),
        "how_many": len(rows),
        "heads": heads_of(request, columns),
        "narrowing": narrowing,
    }


def in_order(request: HttpRequest, rows: Iterable[_Row], by: Mapping[str, Callable[[_Row], Any]]) -> list[_Row]:
    """Rows that were worked out, in the order that the address asks for; as they came where it asks for none."""
    rows, asked = list(rows), request.GET.get(ORDER, "")
    key = by.get(asked.removeprefix("-"))
    if key is None:
        return rows
    known = [row for row in rows if key(row) not in (None, "")]
    known.sort(key=key, reverse=asked.startswith("-"))
    return known + [row for row in rows if key(row) in (None, "")]
