"""What the cells of a row say about a piece: texts of the shop, and what a spreadsheet did to them.

Only a collet has a series, shape and size. For all other kinds these cells hold the shop's own words (`takes
5C`, `8 in body`): what can be read of them goes into fields, and the words themselves are kept in the notes.
"""

from __future__ import annotations

import re
from collections.abc import Container
from decimal import Decimal

from inventory.measures.fields import LengthInput
from inventory.measures.lengths import LengthError, Unit, exact, parse, shorten
from inventory.models import Finding, Kind, Seat
from inventory.models.kinds import CENTERS, CHUCKS, COLLETS, CUT_TO_SIZE
from inventory.pieces.fields import PIECE_FIELDS
from inventory.pieces.words import shape_of
from inventory.transfer.reading.rows import scaled
from inventory.transfer.texts import BadCell, DayCell, ErrorCell, Formula

LENGTHS = frozenset(field.name for field in PIECE_FIELDS if isinstance(field.asked, LengthInput)) | {"size"}
SHOP_TEXTS = ("series", "shape", "size")

_HELD_OUTSIDE = (
    *CHUCKS, Kind.LATHE_DOG, Kind.STEADY_REST, Kind.FOLLOW_REST, Kind.DRILL_CHUCK, Kind.STEP_COLLET,
    Kind.TOOL_POST_HOLDER,
)  # fmt: skip
_HELD_INSIDE = (Kind.BULL_NOSE_CENTER, Kind.MANDREL, Kind.EXPANDING_ARBOR)
_TAKES_COLLETS = (Kind.COLLET_CHUCK, Kind.CLOSER)

_OUTER = r"(?:outside|shank|arbor|arbour|mount|taper|nose|back|backplate)"
_TAKES = re.compile(r"takes (\S+)", re.IGNORECASE)
_SOCKET = re.compile(r"(\S+) (?:inside|socket)", re.IGNORECASE)
_MOUNT = re.compile(rf"(\S+)(?: {_OUTER})?", re.IGNORECASE)
_JAWS = re.compile(r"([2-8])[ -]?jaws?", re.IGNORECASE)
_THROUGH = re.compile(r"(?:through|thru) (.+)", re.IGNORECASE)
_BODY = re.compile(r"(.+?) body|body (.+)", re.IGNORECASE)
_ANGLE = re.compile(r"([0-9]{1,3}) ?(?:deg\.?|degrees?|°)", re.ASCII | re.IGNORECASE)
_RANGE = re.compile(r"(?:(holes|inside|holds|outside) )?(.+?)(?: to |\N{EN DASH})(.+)", re.IGNORECASE)
_UNIT_AT_END = re.compile(r"[0-9] ?([a-z]+|\")$", re.ASCII | re.IGNORECASE)
_KEPT_AS_TEXT = re.compile(r" *['’]+ *[0-9.#]")
_NUMBER_FORMULA = re.compile(r"=\s*[0-9]*[.,]?[0-9]+\s*", re.ASCII)
_FRACTION_FORMULA = re.compile(
    r"=\s*(?:(?P<whole>[0-9]{1,2})\s*\+\s*)?(?P<fraction>[0-9]{1,2}/[0-9]{1,3})\s*", re.ASCII
)
_BARE = re.compile(r"[0-9]*[.,]?[0-9]+", re.ASCII)

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = f"(?P<month>{'|'.join(_MONTHS)})[a-z]*"
_DATE_LIKE = tuple(
    re.compile(pattern, re.ASCII | re.IGNORECASE)
    for pattern in (
        rf"(?P<day>\d{{1,2}})[- ]{_MONTH}(?:[- ]\d{{2,4}})?",
        rf"{_MONTH}[- ](?P<day>\d{{1,2}})(?:,? \d{{4}})?",
        r"\d{4}-(?P<month>\d{1,2})-(?P<day>\d{1,2})(?:[ T].*)?",
        r"(?P<month>\d{1,2})/(?P<day>\d{1,2})/(?:\d{4}|\d{2})",
    )
)

_FINDINGS = (
    (Finding.CRACKED, re.compile(r"\bcrack(?:ed|s)?\b", re.IGNORECASE)),
    (Finding.BELL_MOUTHED, re.compile(r"\bbell[ -]?mouth(?:ed)?\b", re.IGNORECASE)),
    (Finding.SPRUNG, re.compile(r"\bsprung\b", re.IGNORECASE)),
)
# “Do not use: cracked” denies nothing.
_CLAUSE_END = re.compile(r"[.;,:\n()]| [-\N{EN DASH}] |\bbut\b|\bdo(?: not|n['’]t) use\b", re.IGNORECASE)
_DENIED = re.compile(
    r"(?:\b(?:no|not|non|never|nor|neither|without|free of|for|if)|n['’]t)\b(?:[ -]+[a-z-]+){0,3}[ -]*$", re.IGNORECASE
)
_DENIED_AFTER = re.compile(r"[\s:-]*(?:none|free|tests?|tested|checks?|checked)\b", re.IGNORECASE)


def odd_cell(field: str | None, text: str) -> str | None:
    """Why a cell cannot be used as it stands in the sheet, as a sentence; None where nothing is odd."""
    if isinstance(text, Formula):
        shown = f" The spreadsheet shows “{shorten(text.shown)}” there." if text.shown else ""
        return f"“{shorten(text)}” is a formula.{shown} Write its result in the cell instead."
    if isinstance(text, BadCell):
        return f"“{shorten(text)}” {text.why}"
    if isinstance(text, ErrorCell):
        return f"“{shorten(text)}” is an error of the spreadsheet. Write what is meant."
    if field in LENGTHS:
        return _date_in_length(text)
    return None


_IN_TAG = re.compile(r"(?<=\w)(?:\s*[-_/]\s*|\s+)(?=\w)")
_SPACED_TAG = re.compile(r"#?\s*[^\W\d_]{1,5}(?:\s*[-_/]\s*|\s+)\d+[^\W\d_]?", re.ASCII)


def is_spaced_tag(text: str) -> bool:
    """`E 101`, `E_101`, `E/101`: a tag in all but its dash."""
    return _SPACED_TAG.fullmatch(text) is not None and "-" not in text


def plain_tag(text: str) -> str:
    """A tag as the book writes it: `E 101`, `E_101`, `E/101` and `#E 101` are E-101."""
    return _IN_TAG.sub("-", text.strip().removeprefix("#").strip())


def without_apostrophe(field: str | None, text: str) -> str:
    """The text of a size without the mark by which a spreadsheet is told to take it as it is written."""
    return text.lstrip(" '’") if field in LENGTHS and _KEPT_AS_TEXT.match(text) else text


def is_bare(text: str) -> bool:
    """Whether a number stands without a unit."""
    return _BARE.fullmatch(text) is not None


def with_unit(field: str | None, text: str, unit: str | None) -> str:
    """A bare number with the unit that its heading says."""
    if unit is None or field not in LENGTHS | {"weight", "holds"} or not _BARE.fullmatch(text):
        return text
    return scaled(text, unit) if field in LENGTHS else f"{text} {unit}"


def plain_formula(text: Formula) -> str:
    """A formula that only writes a number, like `=3/4` or `=1+3/4`, as that number; any other as it is."""
    number = _FRACTION_FORMULA.fullmatch(text)
    if number is None:
        return text[1:].strip() if _NUMBER_FORMULA.fullmatch(text) else text
    return f"{number['whole']}-{number['fraction']}" if number["whole"] else number["fraction"]


def fraction_in_date(text: str) -> str | None:
    """The fraction of an inch of which a spreadsheet made this date; None where it is none, or no such fraction."""
    month, day = _month_and_day(text) or (0, 0)
    for over, under in ((month, day), (day, month)):
        if under in {2, 4, 8, 16} and over % 2 and over < under:
            return f"{over}/{under}"
    return None


def shop_texts(
    kind: Kind, cells: dict[str, str], seats: dict[str, Seat], unit: Unit
) -> tuple[dict[str, str], list[str]]:
    """The fields that can be read from the texts of a row, and the texts as parts for the notes.

    `seats` are those in the book by their code in capitals. Only seats of the reference tables count: what the
    shop made itself would be known at a second import and not at the first.
    """
    if kind == Kind.COLLET:
        return {}, []
    shown = [name for name in SHOP_TEXTS if cells.get(name) and not _is_own_field(kind, name, cells[name], unit)]
    fields: dict[str, str] = {}
    for name in shown:
        for piece in re.split(r"[,;] ", cells[name]):
            read = _ReadPiece(kind, " ".join(piece.split()), seats, unit).fields()
            fields = {**read, **fields}
    return fields, [f"{name}: {cells[name]}" for name in shown]


def finding_in(remarks: str) -> Finding | None:
    """The finding that takes a piece out of use, where remarks say so and do not deny it."""
    for finding, words in _FINDINGS:
        for phrase in words.finditer(remarks):
            clause = _CLAUSE_END.split(remarks[: phrase.start()])[-1]
            if not _DENIED.search(clause) and not _DENIED_AFTER.match(remarks, phrase.end()):
                return finding
    return None


def without_shop_texts(kind: Kind, cells: dict[str, str], unit: Unit) -> dict[str, str]:
    """The cells but for those that are only words of the shop for a piece of this kind."""
    is_text = {name for name in SHOP_TEXTS if not _is_own_field(kind, name, cells.get(name, ""), unit)}
    # A machinable collet is round whatever a sheet says.
    is_text -= {"shape"} if kind == Kind.MACHINABLE_COLLET else set()
    return {name: text for name, text in cells.items() if name not in is_text}


def _is_own_field(kind: Kind, name: str, text: str, unit: Unit) -> bool:
    """A machinable collet has a series and a size (its pilot hole), and is round unless it is said otherwise.

    A drill, reamer or counterbore has a size where it can be read as one.
    """
    if kind == Kind.STEP_COLLET:
        return name == "series"
    if kind in CUT_TO_SIZE:
        return name == "size" and _is_size(text, unit)
    return kind in COLLETS and (name != "shape" or text.strip().lower() == "round")


def _is_size(text: str, unit: Unit) -> bool:
    try:
        parse(text, unit)
    except LengthError:
        return False
    return True


def _month_and_day(text: str) -> tuple[int, int] | None:
    if isinstance(text, DayCell):
        numbers = re.match(r"\d{4}-(?P<month>\d\d)-(?P<day>\d\d)", text)
    else:
        numbers = next(filter(None, (pattern.fullmatch(text.strip()) for pattern in _DATE_LIKE)), None)
    if not numbers:
        return None
    month = numbers["month"]
    return (int(month) if month.isdigit() else _MONTHS.index(month.lower()) + 1), int(numbers["day"])


def _date_in_length(text: str) -> str | None:
    read = _month_and_day(text)
    if read is None:
        return None
    month, day = read
    return (
        f"“{shorten(text)}” is a date: a spreadsheet turned {month}/{day} into it. "
        f"Write {_as_decimal(month, day)} or format the column as text."
    )


def _as_decimal(over: int, under: int) -> str:
    exact_value = under > 0 and over * 10**4 % under == 0
    return format((Decimal(over) / under).normalize(), "f") if exact_value else "the size as a decimal"


class _ReadPiece:
    """One piece of a text between commas, tried as each thing that a piece of this kind can say."""

    def __init__(self, kind: Kind, text: str, seats: dict[str, Seat], unit: Unit) -> None:
        self.kind, self.text, self.seats, self.unit = kind, text, seats, unit

    def fields(self) -> dict[str, str]:
        for attempt in (self._jaws, self._takes, self._angle, self._through, self._body, self._range, self._mount):
            fields = attempt()
            if fields:
                return fields
        return {}

    def _jaws(self) -> dict[str, str]:
        jaws = _JAWS.fullmatch(self.text)
        return {"jaws": jaws[1]} if jaws and self.kind in CHUCKS else {}

    def _takes(self) -> dict[str, str]:
        taken = _TAKES.fullmatch(self.text) or _SOCKET.fullmatch(self.text)
        seat = self._seat(taken[1]) if taken else None
        return {"takes": seat.code} if seat else {}

    def _mount(self) -> dict[str, str]:
        mounted = _MOUNT.fullmatch(self.text)
        seat = self._seat(mounted[1]) if mounted else None
        if mounted is None or seat is None:
            return {}
        is_bare = mounted[0] == mounted[1]
        if is_bare and self.kind in _TAKES_COLLETS and seat.family == Seat.Family.COLLET:
            return {"takes": seat.code}
        # A sleeve has a taper on both sides: a bare code could be either.
        return {} if is_bare and self.kind == Kind.SLEEVE else {"mount": seat.code}

    def _angle(self) -> dict[str, str]:
        angle = _ANGLE.fullmatch(self.text)
        return {"angle": angle[1]} if angle and self.kind in CENTERS else {}

    def _through(self) -> dict[str, str]:
        through = _THROUGH.fullmatch(self.text)
        return self._length("through", through[1]) if through else {}

    def _body(self) -> dict[str, str]:
        body = _BODY.fullmatch(self.text)
        if body:
            return self._length("body", body[1] or body[2])
        return self._length("body", self.text) if self.kind == Kind.FACEPLATE else {}

    def _range(self) -> dict[str, str]:
        span = _RANGE.fullmatch(self.text)
        if not span:
            return {}
        side = self._side((span[1] or "").lower())
        unit = _UNIT_AT_END.search(span[3])
        lowest = f"{span[2]} {unit[1]}" if unit and _BARE.fullmatch(span[2].strip()) else span[2]
        ends = {**self._length(f"{side}_min", lowest), **self._length(f"{side}_max", span[3])}
        return ends if side and len(ends) == 2 else {}

    def _side(self, word: str) -> str:
        if word in {"holes", "inside"}:
            return "inside"
        if self.kind in _HELD_INSIDE:
            return "inside"
        return "outside" if self.kind in _HELD_OUTSIDE else ""

    def _seat(self, code: str) -> Seat | None:
        seat = self.seats.get(code.upper())
        return seat if seat is not None and seat.family not in {Seat.Family.OTHER, Seat.Family.POST} else None

    def _length(self, field: str, text: str) -> dict[str, str]:
        try:
            return {field: exact(parse(text, self.unit))}
        except LengthError:
            return {}


_WORD = re.compile(r"[a-z0-9]+", re.ASCII | re.IGNORECASE)
_SIZE_AND_SHAPE = re.compile(r"(.*[0-9].*?) +([a-z]+)\.?", re.ASCII | re.IGNORECASE)


def spread_out(kind: Kind, texts: dict[str, str], series: Container[str]) -> dict[str, str]:
    """The texts of a collet's row, with series and shape where its kind or size says them and no cell of their own.

    `series` are the codes of the book in capitals. What a cell of its own says always stands, and of two series in
    one name neither is taken.
    """
    names = [word.upper() for word in _WORD.findall(texts.get("kind", ""))]
    codes = {word for word in names if word in series}
    series_named = {"series": codes.pop()} if len(codes) == 1 else {}
    if kind != Kind.COLLET:
        return series_named | texts
    shapes = {shape for word in names if (shape := shape_of(word))}
    size = _SIZE_AND_SHAPE.fullmatch(texts.get("size", "").strip())
    if size and (shape := shape_of(size[2])):
        texts = {**texts, "size": size[1]}
        shapes = {shape}
    return series_named | ({"shape": shapes.pop()} if len(shapes) == 1 else {}) | texts
