"""A setup sheet as its page and its print have it: plain words, in the order of the page."""

from __future__ import annotations

from django.db.models import Prefetch
from django.shortcuts import get_object_or_404
from msgspec import Struct

from fitfinder.cutting import hazards
from fitfinder.cutting.cut import IN_TAILSTOCK
from fitfinder.cutting.speeds import SpeedAdvice
from fitfinder.holding.rules.cautions import Caution
from fitfinder.setups.cuts import advice_of, cut_of, own_speeds, setup_of
from fitfinder.setups.inputs import height_text, minutes_text, pitch_text
from inventory.labels.codes import Code, code
from inventory.measures.length_words import in_unit
from inventory.models import SetupOperation, SetupPhoto, SetupRun, SetupSheet, Tool
from inventory.models.setup_operations import KnurlMaking
from inventory.reference.cutting import Does


class OperationLine(Struct, frozen=True, kw_only=True):
    """One operation in words; what is not told is empty."""

    key: int
    number: int
    does: str
    tool: str
    tool_tag: str
    holder: str
    position: str
    height: str
    stick_out: str
    speed: str
    feed: str
    stop: str
    details: tuple[str, ...]
    note: str
    speed_by: str
    photo: int | None


class SheetPage(Struct, frozen=True, kw_only=True):
    """What a template shows of a sheet beside its columns."""

    operations: tuple[OperationLine, ...]
    cautions: tuple[Caution, ...]
    at_most: str
    """The lowest speed that nothing turns faster than, and why."""
    photo: int | None
    qr: Code
    facts: tuple[tuple[str, str], ...]
    numbers: tuple[tuple[str, str], ...]
    """The numbers of the plan that the facts and the tools do not have."""


_TOLD_ABOVE = {"Stock", "Parts", "Never above"}


def sheet_for_page(pk: int) -> SetupSheet:
    """With its operations, runs and later revisions, each read once for all that the page tells of them."""
    tools = Prefetch("tool", Tool.objects.for_line()), Prefetch("holder", Tool.objects.only("tag"))
    rows_beside = (
        Prefetch("operations", SetupOperation.objects.prefetch_related(*tools)),
        Prefetch("runs", SetupRun.objects.select_related("written_by")),
        Prefetch("later", SetupSheet.objects.order_by("pk")),
    )
    return get_object_or_404(SetupSheet.objects.for_page().prefetch_related(*rows_beside), pk=pk)


def page_of(sheet: SetupSheet, *, address: str) -> SheetPage:
    """`address` is that of the page itself, as other machines of the shop open it."""
    setup = setup_of(sheet)
    operations = list(sheet.operations.all())
    own = own_speeds()
    advised = {operation.pk: advice_of(operation, sheet, setup, own) for operation in operations}
    photos = {photo.operation_id: photo.pk for photo in SetupPhoto.objects.filter(sheet=sheet).only("operation")}
    return SheetPage(
        operations=tuple(
            _line(number, operation, advised[operation.pk], photos.get(operation.pk))
            for number, operation in enumerate(operations, start=1)
        ),
        cautions=(
            *(Caution(text, source) for text, source in sheet.cautions),
            *hazards.of_all([cut_of(operation, advised[operation.pk]) for operation in operations], setup),
        ),
        at_most=f"At most {setup.lowest.rpm} rpm, {setup.lowest.why}." if setup.lowest else "",
        photo=photos.get(None),
        qr=code(address),
        facts=tuple(_facts(sheet)),
        numbers=tuple((words, value) for words, value in sheet.numbers if words not in _TOLD_ABOVE),
    )


def _facts(sheet: SetupSheet) -> list[tuple[str, str]]:
    rows = [
        ("Set-up", str(sheet.setup)),
        ("Lathe", str(sheet.lathe or "")),
        ("Stock", sheet.stock or (in_unit(sheet.stock_largest) if sheet.stock_largest else "")),
        ("Made of", sheet.material),
        ("Parts", str(sheet.parts or "")),
        ("Planned", planned(sheet)),
    ]
    return [(words, value) for words, value in rows if value]


def planned(sheet: SetupSheet) -> str:
    """`set-up 25 min, each part 6 min`."""
    return minutes_in_words(sheet.setup_hundredths, sheet.part_hundredths)


def minutes_in_words(setup: int | None, part: int | None) -> str:
    minutes = [
        f"{words} {minutes_text(value)} min" for words, value in (("set-up", setup), ("each part", part)) if value
    ]
    return ", ".join(minutes)


def _line(number: int, operation: SetupOperation, advice: SpeedAdvice | None, photo: int | None) -> OperationLine:
    tool, does = operation.tool, Does(operation.does)
    return OperationLine(
        key=operation.pk,
        number=number,
        does=does.called,
        tool=tool.what if tool else operation.tool_words,
        tool_tag=tool.tag if tool else "",
        holder=operation.holder.tag if operation.holder else "",
        position=operation.position,
        height="" if operation.height is None or does in IN_TAILSTOCK else height_text(operation.height),
        stick_out=in_unit(operation.stick_out) if operation.stick_out else "",
        speed=_speed(operation, advice),
        feed=in_unit(operation.feed) if operation.feed else "",
        stop=operation.stop,
        details=tuple(_details(operation)),
        note=operation.note,
        speed_by=_speed_by(operation, advice),
        photo=photo,
    )


def _speed(operation: SetupOperation, advice: SpeedAdvice | None) -> str:
    """As it was typed, else as the table has it now."""
    rpm = operation.rpm or (advice.rpm if advice else None)
    return f"{rpm} rpm" if rpm else ""


def _speed_by(operation: SetupOperation, advice: SpeedAdvice | None) -> str:
    """By what the speed is, or what the table gives where that is another."""
    if advice is None:
        return ""
    is_of_table = (operation.rpm or advice.rpm) == advice.by_table
    return advice.surface_words if is_of_table else f"the table gives {advice.by_table_words}"


def _details(operation: SetupOperation) -> list[str]:
    knurl = [word for word in (operation.pattern, _making(operation)) if word]
    return [
        *([f"at {in_unit(operation.diameter)}"] if operation.diameter else []),
        *([f"hole first {in_unit(operation.hole)}"] if operation.hole else []),
        *([f"pitch {pitch_text(operation.pitch)}"] if operation.pitch else []),
        *([", ".join(knurl)] if knurl else []),
        *([f"caught by {operation.caught_by}"] if operation.caught_by else []),
        *([operation.cutter] if operation.cutter else []),
    ]


def _making(operation: SetupOperation) -> str:
    return "formed" if operation.making == KnurlMaking.FORMED else operation.making
