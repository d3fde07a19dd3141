"""The book as a sheet that an import reads back without a difference."""

from __future__ import annotations

from pathlib import PurePath

from inventory.forms import FIELDS, as_fields
from inventory.models import Tool
from inventory.transfer import sheets
from inventory.transfer.headings import REASONS
from inventory.transfer.imports import Plan
from inventory.transfer.sheets import SheetError


def book(*, form: str) -> bytes:
    """All pieces but retired ones, in the order of their tags, as `csv` or `xlsx`."""
    tools = Tool.objects.in_book().for_list().prefetch_related("set_for").order_by("tag")
    return sheets.written(FIELDS, map(_row, tools.iterator(chunk_size=2000)), form=form)


def refused(plan: Plan) -> bytes:
    """The refused rows of a sheet as CSV, as they were sent and with the reasons beside them."""
    rows = (
        [*outcome.texts, " ".join(f"{trouble.field}: {trouble.message}" for trouble in outcome.troubles)]
        for outcome in plan.refused
    )
    return sheets.written([*plan.question.sheet.headings, REASONS], rows, form="csv")


def form_of(name: str) -> str:
    """`csv` or `xlsx`, from a file's ending. Raises SheetError for any other."""
    ending = PurePath(name).suffix.lower().removeprefix(".")
    if ending not in {"csv", "xlsx"}:
        raise SheetError(f"“{name}” has no ending that can be written; use .csv or .xlsx.", read=name)
    return ending


def _row(tool: Tool) -> list[str]:
    texts = as_fields(tool)
    if tool.is_solid:
        texts["through"] = "solid"
    return [texts[name] for name in FIELDS]
