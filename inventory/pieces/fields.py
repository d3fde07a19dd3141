"""What is known of a piece: the table of its fields, of which form, sheets and page are made.

`asked` says which kind is asked what.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from django import forms

from inventory.measures import days, masses
from inventory.measures.days import DayInput
from inventory.measures.fields import LengthInput, MassInput
from inventory.measures.inputs import CountInput, LineInput, MoneyInput, SizeInput, TirInput
from inventory.measures.lengths import Length, exact, parse
from inventory.models import Condition, Shape, Tool
from inventory.models.kinds import DrivenBy, ShankShape, Tail
from inventory.pieces import words
from inventory.pieces.columns import (
    PieceField,
    as_text,
    cost_text,
    marked_text,
    mount_text,
    series_text,
    shape_text,
    size_text,
)
from inventory.pieces.inputs import OperationsInput, SeveralInput, WordInput

UNKNOWN = ("", "not known")
LARGEST_SHANK = Length.inches(4)
"""Above any shank that a tool post here takes (common practice, no source)."""
LARGEST_HELD = Length.inches(60)
"""Above what any chuck, rest or faceplate of a small shop holds (common practice, no source)."""


def _line(label: str, hint: str, *, most: int | None = None) -> LineInput:
    return LineInput(required=False, label=label, help_text=hint, max_length=most)


def _length(label: str, hint: str = "") -> LengthInput:
    return LengthInput(required=False, label=label, help_text=hint)


def _shank(label: str, hint: str = "") -> SizeInput:
    return SizeInput(required=False, label=label, help_text=hint, at_most=LARGEST_SHANK)


def _holding_size(label: str, hint: str) -> SizeInput:
    return SizeInput(required=False, label=label, help_text=hint, at_most=LARGEST_HELD)


def _count(label: str, hint: str, *, least: int, most: int) -> CountInput:
    return CountInput(required=False, label=label, help_text=hint, min_value=least, max_value=most)


def _word(
    label: str, hint: str, read: Callable[[str], str | bool | None], choices: Iterable[str], *, empty: str | None = ""
) -> WordInput:
    accepted = " or ".join(choices)
    widget = forms.Select(choices=[UNKNOWN, *((word, word) for word in choices)])
    return WordInput(read=read, accepted=accepted, empty=empty, label=label, help_text=hint, widget=widget)


PIECE_FIELDS = (
    PieceField(
        "tag",
        forms.CharField(max_length=20, help_text="Short, as it is etched on the piece: C-0011."),
        column="tag",
        headings="tag number/tag no/piece/asset/asset tag/id/number/no/item no/item number/label/mark",
    ),
    PieceField(
        "kind",
        forms.CharField(required=False),
        text=lambda tool: tool.kind,
        headings="type/what it is/what/item/tool/category/kind of piece/description",
    ),
    PieceField(
        "series",
        forms.CharField(required=False, help_text="As stamped on its face: 5C, ER32 …"),
        text=series_text,
        headings="collet series/family/style",
    ),
    PieceField(
        "shape",
        forms.CharField(
            required=False,
            widget=forms.Select(choices=Shape.choices),
            help_text="Of the hole that grips: round, hex, square.",
        ),
        text=shape_text,
        headings="form/profile",
    ),
    PieceField(
        "size",
        forms.CharField(
            required=False,
            help_text="The size that is marked on it: [3/4, 19 mm|19, 3/4], #7. Hex and square: across flats.",
        ),
        text=size_text,
        headings="nominal/nominal size/diameter/dia/marked size",
    ),
    PieceField(
        "location",
        _line("Drawer or place", "Like E2. A new name makes a new place.", most=60),
        text=lambda tool: tool.location.name if tool.location else "",
        headings="drawer/place/bin/shelf/rack/cabinet/where/slot/box/stored in/kept in/home",
    ),
    PieceField(
        "condition",
        forms.CharField(
            required=False,
            widget=forms.Select(choices=[(word, word) for word in Condition.values]),
            help_text="Worn is offered after the good ones, and said to be; damaged and scrapped are never offered.",
        ),
        column="condition",
        headings="state/status",
    ),
    PieceField(
        "tir",
        TirInput(
            required=False,
            label="TIR",
            help_text="The full swing of the indicator in one turn: [TIR]; to [MOST TIR].",
        ),
        text=lambda tool: as_text(tool.tir),
        headings="runout/run out/total indicator reading/total indicated runout",
    ),
    PieceField(
        "inspected_on",
        DayInput(required=False, label="Inspected on", help_text="Of that reading, like [DAY]."),
        text=lambda tool: tool.inspected_on.isoformat() if tool.inspected_on else "",
        headings="inspected/checked/checked on/last checked/last inspected/last inspection/inspection date/"
        "date checked/date inspected/inspection/measured on/date",
    ),
    PieceField(
        "cost",
        MoneyInput(required=False, label="Paid", help_text="Like [MONEY]."),
        column="cost_cents",
        text=cost_text,
        headings="paid/price/price paid/bought for/amount",
    ),
    PieceField(
        "notes",
        forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3})),
        column="notes",
        headings="note/remarks/remark/comments/comment",
    ),
    PieceField(
        "mount",
        _line(
            "Mounts on", "The seat that it goes into or onto: a nose like D1-4 or 1-1/2-8, a taper like MT3.", most=30
        ),
        text=mount_text,
        headings="mounts on/mounts in/mounting/shank/outside taper",
    ),
    PieceField(
        "takes",
        _line("Takes", "What goes into it: 5C or ER32 collets, or the taper inside, like MT3.", most=30),
        text=lambda tool: tool.offers.code if tool.offers else "",
        headings="accepts/socket/inside taper",
    ),
    PieceField("pilot", _length("Pilot hole"), column="pilot", headings="pilot hole"),
    PieceField(
        "through",
        _holding_size(
            "Bar passes up to", "The smallest hole on the way through, like [1-1/4|32]; up to [60 in|1524 mm]."
        ),
        column="through",
        headings="through hole/thru/thru hole/bore/hole/passes/bar passes up to",
    ),
    PieceField(
        "solid",
        forms.BooleanField(
            required=False,
            label="Solid: passes no bar",
            help_text="A rod, not a tube: no bar goes through the spindle while it is in.",
        ),
        column="is_solid",
        text=lambda tool: "yes" if tool.is_solid else "",
        is_in_sheet=False,  # a sheet writes `solid` into `through`
    ),
    PieceField(
        "jaws",
        _count("Jaws", "How many, 2 to 8.", least=2, most=8),
        column="jaws",
        headings="jaw/number of jaws/no of jaws/jaw count",
    ),
    PieceField(
        "body",
        _holding_size(
            "Body diameter", "Across the body, like [8|200]; up to [60 in|1524 mm]. It must swing clear over the bed."
        ),
        column="body",
        headings="body diameter/body dia/body size",
    ),
    PieceField(
        "outside_min",
        _holding_size("Holds outside, from", "The smallest that the jaws close on from without, like [1/8|3]."),
        column="outside_smallest",
        headings="min outside/outside from/holds from/holds outside from",
    ),
    PieceField(
        "outside_max",
        _holding_size("Holds outside, to", "The largest; not below the smallest, up to [60 in|1524 mm]."),
        column="outside_largest",
        headings="max outside/outside to/holds to/holds outside to",
    ),
    PieceField(
        "inside_min",
        _holding_size("Holds inside, from", "The smallest bore that it holds from within."),
        column="inside_smallest",
        headings="min inside/inside from/holds inside from",
    ),
    PieceField(
        "inside_max",
        _holding_size("Holds inside, to", "The largest; not below the smallest, up to [60 in|1524 mm]."),
        column="inside_largest",
        headings="max inside/inside to/holds inside to",
    ),
    PieceField(
        "jaw_length",
        _holding_size(
            "Jaws grip by",
            "How long the step or face of a jaw is that touches the work, like [1|25]; up to [60 in|1524 mm].",
        ),
        column="jaw_length",
        page="Jaws grip by",
        headings="jaw length/length of jaws/jaw step/step length/grip length",
    ),
    PieceField(
        "max_rpm",
        _count(
            "Marked maximum, rpm",
            "As stamped on it, 1 to 100,000. Empty: not known, and then nothing can warn of it.",
            least=1,
            most=100_000,
        ),
        column="max_rpm",
        headings="rpm/maximum rpm/max speed/marked maximum/speed limit",
    ),
    PieceField(
        "weight",
        MassInput(
            required=False,
            label="Weight",
            help_text="With its unit: 42 lb, 19 kg. Over 25 lb an answer says: not one person alone.",
        ),
        column="weight_ug",
        text=lambda tool: "" if tool.weight_ug is None else masses.exact(tool.weight_ug),
        headings="mass",
    ),
    PieceField(
        "load",
        MassInput(
            required=False,
            label="Rated load",
            help_text="What it carries at its point, as its maker says: 800 lb, 400 kg. Half of the work lies on it.",
        ),
        column="load_ug",
        text=lambda tool: "" if tool.load_ug is None else masses.exact(tool.load_ug),
        headings="rated load/load rating/capacity at the point",
    ),
    PieceField(
        "angle",
        _count("Point angle, degrees", "Of the cone, side to side: 1 to 179, mostly 60.", least=1, most=179),
        column="angle_deg",
        headings="point angle/degrees/point",
    ),
    PieceField("bored", _length("Bored to"), text=lambda tool: as_text(tool.bored_to)),
    PieceField("step_depth", _shank("Depth of step"), column="step_depth", page="Depth of step"),
    PieceField("shank_size", _shank("Straight shank", "Its diameter or height; up to [4 in|100 mm]."), column="shank"),
    PieceField(
        "shank_shape",
        _word("Shape of shank", "Of the part that is clamped.", words.shank_shape_of, ShankShape.values),
        column="shank_shape",
    ),
    PieceField(
        "tang",
        _word(
            "Tang",
            "The flat end of its taper, by which a drift pushes it out.",
            words.yes_or_no,
            ("yes", "no"),
            empty=None,
        ),
        column="has_tang",
    ),
    PieceField(
        "driven_by",
        _word(
            "Hand or machine",
            "By hand it is turned with a wrench, never under power.",
            words.driven_by_of,
            DrivenBy.values,
        ),
        column="driven_by",
    ),
    PieceField(
        "operations",
        OperationsInput(
            required=False,
            label="Set up for",
            help_text="What the tool in it does as it stands; several where it does several.",
        ),
        column="operations",
    ),
    PieceField(
        "set_for",
        SeveralInput(
            required=False,
            label="Center height is set for",
            help_text="The lathes on which its edge stands at the height of the axis; on another it is set anew.",
        ),
        text=lambda tool: "; ".join(lathe.name for lathe in tool.lathes_set_for()),
    ),
    PieceField("point_tip", _line("Point", "Carbide, half cut away …", most=60), column="tip", page="Point"),
    PieceField(
        "point_extension",
        _shank("Point extends", "How far the slim part stands out, like [1-1/8|30]."),
        column="extension",
        page="Point extends",
    ),
    PieceField(
        "dog_tail",
        _word(
            "Tail", "Bent reaches into a slot of the plate; straight lies against a pin.", words.tail_of, Tail.values
        ),
        column="tail",
        page="Tail",
    ),
    PieceField(
        "slots",
        _count("Slots", "Slots that a dog's tail goes into, equally spaced, 0 to 60; 0: none.", least=0, most=60),
        column="slots",
        page="Slots",
        headings="number of slots/slots of the plate",
    ),
    PieceField(
        "belongs_to", _line("Belongs to", "The lathe whose bed it fits."), column="belongs_to", page="Belongs to"
    ),
    PieceField(
        "fits",
        _line(
            "Fits", "What it tightens: the tags of chucks like K-0081, K-0083, or a seat like D1-4 or ER32.", most=60
        ),
        column="fits",
        page="Tightens",
    ),
    PieceField(
        "grips_min",
        _length("Marked range, from", "Only where it is marked on it."),
        text=lambda tool: marked_text(tool, "clamps_from"),
    ),
    PieceField(
        "grips_max",
        _length("Marked range, to", "It beats the series' own figures."),
        text=lambda tool: marked_text(tool, "clamps_to"),
    ),
    PieceField(
        "stop_thread",
        forms.TypedChoiceField(
            required=False,
            label="Thread for a stop inside",
            help_text="Cut into its back for a stop, it narrows the way through: such a 5C passes [63/64 "
            "in|25 mm] only.",
            choices=[UNKNOWN, ("yes", "cut"), ("no", "not cut")],
            coerce=lambda text: text == "yes",
            empty_value=None,
        ),
        column="stop_thread",
    ),
)
"""In the order in which a sheet has them."""

SHEET_FIELDS = tuple(field.name for field in PIECE_FIELDS if field.is_in_sheet)
COLUMN_OF = {field.name: field.column for field in PIECE_FIELDS if field.column}
"""Field -> column, where what was read is kept as it is."""
FIELD_OF = {column: name for name, column in COLUMN_OF.items()} | {
    "mounts_in": "mount",
    "offers": "takes",
    "cuts": "size",
}
"""Column -> field; for a collet its series says where it mounts."""


def as_fields(tool: Tool) -> dict[str, str]:
    """A piece as the texts of its fields, which the form reads back to the same piece, whoever reads them."""
    return {field.name: field.as_text(tool) for field in PIECE_FIELDS}


def as_typed(tool: Tool) -> dict[str, str]:
    """As `as_fields`, for a person to change: in the units and the notation that they read."""
    texts = as_fields(tool)
    for field in PIECE_FIELDS:
        if isinstance(field.asked, LengthInput) and (text := texts[field.name]):
            texts[field.name] = field.asked.prepare_value(_length_of(text))
    texts["inspected_on"] = days.shown(tool.inspected_on) if tool.inspected_on else ""
    return texts


def _length_of(text: str) -> Length:
    return Length(0) if text == exact(Length(0)) else parse(text)
