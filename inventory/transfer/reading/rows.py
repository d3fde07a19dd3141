"""A row of a sheet as its shop means it: what the form of a piece is given, what goes into the notes, what is doubtful.

The cells come in by field as they stand in the sheet. What can be read as it stands is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from inventory.measures.lengths import Length, LengthError, Unit, exact, parse, shorten
from inventory.reference.kinds import Kind
from inventory.transfer.asked import RowDoubt
from inventory.transfer.reading import conditions, places, sets
from inventory.transfer.reading.columns import HOLDS, OUT_TO, QUANTITY, UNIT
from inventory.transfer.reading.conditions import SPOILED
from inventory.transfer.reading.context import SheetContext
from inventory.transfer.reading.kinds import NamedKind, named_kind
from inventory.transfer.reading.money import names_currency, plain_amount
from inventory.transfer.reading.remarks import RemarkRead, read_remark
from inventory.transfer.reading.seats import NamedCode, seats_in, series_in
from inventory.transfer.reading.sizes import Span, WrittenLength, measures_in, prepared, spans_in
from inventory.transfer.reading.vocabulary import fold, tokens_of, vocabulary

LEAVE_OUT = "leave out"
LARGEST_TIR = Length.inches("0.02")
"""A run-out above it is asked about: more than a piece in use swings, less than a wrong unit makes of one."""
SMALLEST_BODY = Length.inches("1.5")
LARGEST_BODY = Length.inches(60)

_JUST_THAT = "it is just that size"
_BESIDE_A_SIZE = (
    "shape", "unit", "set", "pieces", "by", "to", "cut", "flats", "filler", "kind", "base", "trait", "pilot",
)  # fmt: skip
_NOTHING = re.compile(
    r"[-–—_.?/\s]*|n/?a|none|keine?|k\.?\s?a\.?|s/d|n\.?\s?d\.?|nil|tbd|unbekannt|unknown", re.IGNORECASE
)
_ANGLE = re.compile(r"(?<![\d.])([1-9]\d{1,2}|[1-9]\d)\s*(?:°|o\b|deg\b|grad\b|gradi\b|grados\b|degres\b)")
_JAWS = re.compile(
    r"\b[2-8]\s*-?\s*(?:jaws?|backen\w*|mors|garras|griffe|ganasce|j)\b|\b\w*backenfutter\b|\bx?\s*\(?\d+\s*(?:st\.?|off|pcs?)\)?"
)
_ONLY_OF_SHEETS = frozenset({HOLDS, OUT_TO, QUANTITY, UNIT})
_BESIDE = re.compile(r"[,;(:]|\bw/|\b(?:with|mit|avec|con|for|fur|pour|para|per|aus|from)\b")
_LARGEST_ONLY = re.compile(r"\b(?:max\w*|bis|up to|hasta|fino a|jusqu)\b")
_CHUCKS = frozenset({Kind.UNIVERSAL_CHUCK, Kind.INDEPENDENT_CHUCK})
_HELD_INSIDE = frozenset({Kind.BULL_NOSE_CENTER, Kind.MANDREL, Kind.EXPANDING_ARBOR})
_HELD_OUTSIDE = frozenset(
    {*_CHUCKS, Kind.DRILL_CHUCK, Kind.LATHE_DOG, Kind.STEADY_REST, Kind.FOLLOW_REST, Kind.STEP_COLLET}
)
_SHANKED = frozenset({Kind.TURNING_TOOL, Kind.BORING_BAR, Kind.PARTING_BLADE, Kind.KNURLING_HEAD})
_CUT_TO_SIZE = frozenset({Kind.TAPER_SHANK_DRILL, Kind.REAMER, Kind.COUNTERBORE})
_WITH_COLLETS = frozenset({Kind.COLLET_CHUCK, Kind.CLOSER, Kind.COLLET_NUT})
_COLLETS = frozenset({Kind.COLLET, Kind.MACHINABLE_COLLET, Kind.STEP_COLLET})
_SHANK_WORDS = re.compile(r"\s*-?\s*(?:shank|arbor|arbour|taper|schaft|aufnahme|queue|mango|codolo|attacco|spindle)")
_MORSE_ALONE = re.compile(r"(?:mt|mk|cm|morse|m\.t\.?)")
_TWO_NUMBERS = re.compile(r"([0-7])\s*(?:-|/|to|x|in|a|auf)\s*([0-7])")
_ABOUT = {
    "tapping": "“{}” is for holding a tap, not work: it is no collet of this book.",
    "driving plate": "“{}” is a driving plate: is it to be entered as a faceplate?",
    "chuck": "“{}” does not say which chuck: with a scroll, or with jaws that are set one by one?",
    "center": "“{}” does not say which center: live or dead?",
    "ask none": "“{}” is no kind of piece of this book.",
    "mandrel or drill chuck": "“{}” is a drill chuck or a mandrel: which?",
}


class RowRead(Struct, kw_only=True):
    """`fields` are given to the form; `notes` are parts for the notes of the piece, `described` for those of a new one.

    `sizes` are those of a set in one row, as texts. `is_ours` is False where the row names no tooling of this book.
    """

    fields: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    described: list[str] = field(default_factory=list)
    doubts: list[RowDoubt] = field(default_factory=list)
    finding: str = ""
    quantity: int = 1
    sizes: tuple[str, ...] = ()
    is_ours: bool = True
    is_left_out: bool = False
    is_missing: bool = False
    borrower: str = ""


def read_row(cells: Mapping[str, str], extra: Sequence[str], sheet: SheetContext) -> RowRead:
    """How a row is understood. `extra` are texts of columns that are no field of a piece."""
    return _Row(dict(cells), list(extra), sheet).read()


class _Row:
    def __init__(self, cells: dict[str, str], extra: list[str], sheet: SheetContext) -> None:
        self.cells, self.extra, self.sheet = cells, extra, sheet
        self.out = RowRead(fields={}, notes=list(extra))
        self.kind_text = prepared(fold(cells.get("kind", "")))
        self.kind: Kind | None = None
        own_unit = fold(cells.get(UNIT, "")).strip(" .")
        self.own_unit = "in" if own_unit == '"' else vocabulary("unit").means(own_unit, sheet.language)

    def read(self) -> RowRead:
        for name, text in self.cells.items():
            if name not in {"tag", "notes", "kind", "condition", *_ONLY_OF_SHEETS} and _NOTHING.fullmatch(text):
                continue
            if name not in _ONLY_OF_SHEETS:
                self.out.fields[name] = text
        named = self._read_kind()
        if self.kind is not None:
            self._read_piece(named)
        self._read_condition_and_remarks()
        self._read_place()
        self._read_price()
        self._read_run_out()
        self._read_quantity()
        return self.out

    # ---- what it is

    def _read_kind(self) -> NamedKind:
        text = self.cells.get("kind", "") or self.sheet.default_kind
        if not text:
            return NamedKind()
        folded = prepared(fold(text))
        plain = self.sheet.known.plain_kind(text)
        named = named_kind(folded, self.sheet.language)
        if named.doubt == "chuck" and self._jaws_cell() in {"3", "4", "6"}:
            named = named_kind(f"{self._jaws_cell()} jaw {folded}", self.sheet.language)
        if named.doubt == "chuck" and series_in(folded, self.sheet.known.series):
            named = NamedKind(kind=Kind.COLLET_CHUCK, understood=named.understood)
        if named.kind is None and not named.doubt and plain is None and series_in(folded, self.sheet.known.series):
            named = NamedKind(kind=Kind.COLLET)
        self.kind = named.kind
        if named.doubt:
            self._ask_kind(named, text)
        elif named.kind is None:
            self.kind = plain
        if self.kind is not None:
            self.out.fields["kind"] = str(self.kind)
        return named

    def _ask_kind(self, named: NamedKind, text: str) -> None:
        if named.doubt == "none":
            self.out.is_ours = False
            return
        about = _ABOUT.get(named.doubt, "“{}” does not say whether it is universal or independent: which?")
        answer = self._ask(f"kind:{named.doubt}", about.format(shorten(text)), (*map(str, named.likely), LEAVE_OUT))
        if answer in map(str, named.likely):
            self.kind = Kind(answer)

    def _jaws_cell(self) -> str:
        leading = re.match(r"\s*([2-8])\b", self.cells.get("jaws", ""))
        return leading[1] if leading else ""

    def _read_piece(self, named: NamedKind) -> None:
        if self.kind in _COLLETS:
            self._read_collet()
        else:
            self._read_other(named)
        angle = _ANGLE.search(self.kind_text)
        if angle and self.kind in {Kind.LIVE_CENTER, Kind.DEAD_CENTER, Kind.BULL_NOSE_CENTER}:
            self.out.fields.setdefault("angle", angle[1])
        self._note_what_was_not_understood(named)

    def _note_what_was_not_understood(self, named: NamedKind) -> None:
        """The description goes into the notes where it says more than was read from it."""
        if self.kind_text == self.kind:  # as our own sheets have it: a “stop” is known there, and vague elsewhere
            return
        tokens = tokens_of(self.kind_text)
        spent = set(named.understood)
        language = self.sheet.language
        for sort in ("shape", "unit", "set", "pieces", "by", "to", "cut", "flats", "machine"):
            spent |= {
                place for phrase in vocabulary(sort).find(tokens, language) for place in range(phrase.start, phrase.end)
            }
        left = [token for place, token in enumerate(tokens) if place not in spent]
        codes = re.compile(
            r"\d.*|(?:er|mt|mk|cm|d|jt|tg|da|l|r|m|din|iso|camlock|morse|morsekegel|cono|no|ø|gr|tpi|bsw|bsf)\d*|[a-z0-9]"
        )
        unknown = [token for token in left if not codes.fullmatch(token)]
        says_more = any(len(token) > 3 for token in unknown)
        head = tokens_of(_BESIDE.split(self.kind_text)[0])
        for word in dict.fromkeys(unknown):
            if word in head and len(word) > 2 and vocabulary("filler").means(word, language) is None:
                self._ask(
                    f"word:{word}",
                    f"“{word}” in “{shorten(self.cells.get('kind', ''))}” is not understood. Does it change what the "
                    "piece is?",
                    ("it changes nothing", LEAVE_OUT),
                )
        is_plain_key = self.kind == Kind.KEY and any(token.isdigit() for token in left)
        is_odd = re.search(r"\d\s?x\s?\d", self.kind_text) is not None
        if says_more or is_plain_key or is_odd:
            self.out.described.append(self.cells.get("kind", "").strip())

    # ---- collets

    def _read_collet(self) -> None:
        fields = self.out.fields
        known = self.sheet.known
        series_text = fold(self.cells.get("series", ""))
        named = series_in(series_text, known.series) or series_in(self.kind_text, known.series)
        if len({one.code for one in named}) == 1:
            fields["series"] = named[0].code
        elif not named and not self.cells.get("series") and series_in(fold(self.cells.get("size", "")), known.series):
            fields["series"] = series_in(fold(self.cells["size"]), known.series)[0].code
        self._read_shape()
        text = _without(self.kind_text, series_in(self.kind_text, known.series))
        if self.kind == Kind.COLLET and self._reads_set(text):
            return
        source = self.out.fields.get("size", "")
        if self.kind == Kind.COLLET:
            self._read_size_of_collet(source, text)
        elif self.kind == Kind.MACHINABLE_COLLET:
            self._read_pilot(source, text)
        else:
            self._read_range(source, text)

    def _read_shape(self) -> None:
        """The shape by its own cell, else by the description or the size; across flats alone says hex or square."""
        language, shapes = self.sheet.language, vocabulary("shape")
        own = fold(self.cells.get("shape", ""))
        shape = shapes.means(own, language) if own else None
        if shape:
            self.out.fields["shape"] = shape
            return
        if own and not _NOTHING.fullmatch(own):
            meanings = {one.meaning for one in shapes.find(tokens_of(own), language)}
            if len(meanings) == 1:
                self.out.fields["shape"] = meanings.pop()
            return
        size = fold(self.cells.get("size", ""))
        beside = (fold(text.partition(":")[2]) for text in self.extra)
        texts = (
            self.kind_text,
            size,
            fold(self.cells.get("series", "")),
            *(text for text in beside if len(text) > 1 and shapes.means(text, language)),
        )
        meanings = {
            one.meaning
            for text in texts
            for one in shapes.find(tokens_of(text), language)
            if len("".join(tokens_of(text)[one.start : one.end])) > 1
        }
        if len(meanings) == 1:
            self.out.fields["shape"] = meanings.pop()
        elif not meanings and any(vocabulary("flats").find(tokens_of(text), language) for text in texts):
            answer = self._ask(
                "flats",
                f"“{shorten(self.cells.get('size') or self.cells.get('kind', ''))}” is a size across flats: is it "
                "hex or square?",
                ("hex", "square", LEAVE_OUT),
            )
            if answer in {"hex", "square"}:
                self.out.fields["shape"] = answer

    def _read_size_of_collet(self, source: str, described: str) -> None:
        if source:
            if names_currency(source):
                self._ask("size:money", f"“{shorten(source)}” stands where sizes stand, and is a price.", (LEAVE_OUT,))
                return
            bare = self._bare_unit("size")
            text = self._without_words(prepared(fold(source)))
            if _is_plain(source, self.sheet.unit) and bare is self.sheet.unit and not self._is_metric_number(text):
                return
            size = self._one_size(text, bare)
            if size:
                self.out.fields["size"] = size
                self._doubt_what_else_stands_there(source, text)
            return
        size = self._one_size(self._without_words(described), self._bare_unit("kind"))
        if size:
            self.out.fields["size"] = size

    def _doubt_what_else_stands_there(self, source: str, text: str) -> None:
        """A size with a word beside it that nobody here knows: “1/2 or so” is no half inch until somebody says so."""
        for start, end in [(span.start, span.end) for span in spans_in(text)] + [
            (one.start, one.end) for one in measures_in(text)
        ]:
            text = text[:start] + " " * (end - start) + text[end:]
        tokens = tokens_of(text)
        spent = {
            place
            for sort in _BESIDE_A_SIZE
            for phrase in vocabulary(sort).find(tokens, self.sheet.language)
            for place in range(phrase.start, phrase.end)
        }
        left = [
            token for place, token in enumerate(tokens) if place not in spent and token.isalpha() and len(token) > 1
        ]
        if left or re.search(r"[~≈?]", source):
            words = " ".join(left) or "?"
            self._ask(
                f"size:{words}",
                f"“{words}” stands beside a size: “{shorten(source)}”. Is it just that size?",
                (_JUST_THAT, LEAVE_OUT),
            )

    def _without_words(self, text: str) -> str:
        """A size without the words for its shape and for how it is measured, and without a family that stands there."""
        text = _without(text, series_in(text, self.sheet.known.series))
        text = re.sub(r"(?<![\w])a\s?/\s?f(?![\w])|\bacross flats\b|\be/c\b", " ", text)
        return re.sub(
            r"\b(?:af|sw|hex|sq|square|round|rd|rnd|sechskant|vierkant|rund|6kt|4kt|6-kant|4-kant|ch)\b\.?", " ", text
        )

    def _one_size(self, text: str, bare: Unit) -> str:
        """The size in a text: of an ER collet that is marked with both ends, the larger."""
        spans = spans_in(text)
        if spans:
            return self._larger(spans[0], bare)
        measures = measures_in(text)
        lengths = {length for one in measures if (length := self._length(one, bare)) is not None}
        return exact(lengths.pop()) if len(lengths) == 1 else ""

    def _length(self, one: WrittenLength, bare: Unit) -> Length | None:
        return one.length(Unit.MM if one.unit is None and self._is_metric_number(one.number) else bare)

    def _is_metric_number(self, number: str) -> bool:
        """Whether a bare number can only be millimetres: the families by ISO are made in them."""
        series = self.out.fields.get("series", "").upper()
        figures = self.sheet.known.figures.get((series, "round"))
        largest = figures[1] if figures else None
        return (
            largest is not None
            and largest.is_metric
            and re.fullmatch(r"\d{1,2}(?:[.,]\d)?", number.strip()) is not None
            and Length.inches(number.strip().replace(",", ".")) > largest
        )

    def _larger(self, span: Span, bare: Unit) -> str:
        high, low = self._length(span.high, bare), self._length(span.low, bare) if span.low else None
        if high is None or low is None:
            return ""
        largest, smallest = max(high, low), min(high, low)
        if largest - smallest <= Length.mm(2):
            return exact(largest)
        return ""

    def _read_pilot(self, source: str, described: str) -> None:
        """The hole that it comes with: its size, or what stands beside the word pilot."""
        if source and _is_plain(source, self.sheet.unit) and self._bare_unit("size") is self.sheet.unit:
            return
        texts = [prepared(fold(source)), described, *(prepared(fold(note)) for note in self._remarks())]
        for place, text in enumerate(texts):
            says_pilot = bool(vocabulary("pilot").find(tokens_of(text), self.sheet.language))
            if place and not says_pilot:
                continue
            near = [one for one in measures_in(text) if one.length(self._bare_unit("size")) is not None]
            if len(near) == 1:
                self.out.fields["pilot"] = near[0].text(self._bare_unit("size"))
                self.out.fields.pop("size", None)
                return

    def _reads_set(self, described: str) -> bool:
        """A set in one row; its pieces are offered together."""
        series = self.out.fields.get("series", "").upper()
        shape = self.out.fields.get("shape", "round") or "round"
        texts = f"{described} {prepared(fold(self.cells.get('size', '')))}".strip()
        described_set = sets.set_in(texts, self.sheet.unit, self.sheet.language, count=self._count_cell())
        if described_set is None:
            return False
        title = shorten(self.cells.get("kind", ""))
        sizes = sets.sizes_of(described_set, self.sheet.known.figures.get((series, shape)), self.sheet.unit)
        if not sizes:
            count = f", the row says {described_set.count}" if described_set.count else ""
            self._ask(f"set:{fold(title)}", f"“{title}” is a set: which sizes are in it{count}?", (LEAVE_OUT,))
            return True
        enter = f"enter {len(sizes)} pieces"
        about = f"“{title}” is a set of {len(sizes)} in one row: {series} from {exact(sizes[0])} to {exact(sizes[-1])}."
        if self._ask(f"set:{fold(title)}", about, (enter, LEAVE_OUT)) == enter:
            self.out.sizes = tuple(map(exact, sizes))
            self.out.fields["size"] = self.out.sizes[0]
        return True

    # ---- all else

    def _read_other(self, named: NamedKind) -> None:
        texts = {name: prepared(fold(self.cells.get(name, ""))) for name in ("mount", "takes", "series", "size", HOLDS)}
        self._read_seats(texts)
        if self.kind in _CHUCKS:
            jaws = self._jaws_cell() or str(named.jaws or "")
            if jaws:
                self.out.fields["jaws"] = jaws
        described = self.kind_text
        described = _without(described, seats_in(described, self.sheet.known.seats))
        described = _without(described, series_in(described, self.sheet.known.series))
        described = _ANGLE.sub(" ", _JAWS.sub(" ", described))
        size = texts["size"]
        size = _without(size, seats_in(size, self.sheet.known.seats))
        if self.kind in _HELD_OUTSIDE | _HELD_INSIDE:
            self._read_range(self.cells.get(HOLDS, ""), "")
        if self.kind in _CHUCKS or self.kind == Kind.FACEPLATE:
            self._read_body(size, described)
        elif self.kind in _HELD_OUTSIDE | _HELD_INSIDE:
            self._read_range(size, described)
        elif self.kind in _CUT_TO_SIZE and not self.cells.get("size"):
            self._read_single_size("size", described)
        elif self.kind in _SHANKED:
            self._read_single_size("shank_size", size or described)

    def _read_seats(self, texts: Mapping[str, str]) -> None:
        """What it mounts in and what it takes, wherever the row says it."""
        known, fields = self.sheet.known, self.out.fields
        sources = (texts["mount"], texts["takes"], texts["series"], self.kind_text, texts["size"])
        named: list[str] = []
        for text in sources:
            named += [one.code for one in seats_in(text, known.seats)]
        if self.kind == Kind.SLEEVE:
            self._read_sleeve(named, texts)
            return
        mounts = [one.code for one in seats_in(texts["mount"], known.seats)] or named
        behind = [
            one.code
            for text in (self.kind_text, texts["mount"])
            for one in (*seats_in(text, known.seats), *series_in(text, known.series))
            if _SHANK_WORDS.match(text, one.end)
        ]
        if self.kind in _WITH_COLLETS:
            taken = [one.code for text in (texts["takes"], self.kind_text, texts["series"], texts["size"])
                     for one in series_in(text, known.series) if one.code not in behind]  # fmt: skip
            if taken:
                fields["takes"] = taken[0]
            in_mount = [one.code for one in series_in(texts["mount"], known.series)]
            mounts = mounts or in_mount
        chosen = next((code for code in behind if not code.startswith("JT")), None) or next(
            (code for code in mounts if not code.startswith("JT")), mounts[0] if mounts else None
        )
        if chosen is not None and (named or behind):
            fields["mount"] = chosen

    def _read_sleeve(self, named: Sequence[str], texts: Mapping[str, str]) -> None:
        """Its outside is the larger of two Morse tapers: that is what a reducing sleeve is for."""
        tapers = sorted({code for code in named if code.startswith("MT")})
        numbers = _TWO_NUMBERS.fullmatch(texts["size"].strip())
        if not tapers and numbers and _MORSE_ALONE.fullmatch(texts["mount"].strip()):
            tapers = sorted({f"MT{numbers[1]}", f"MT{numbers[2]}"})
        if len(tapers) == 1 and not texts["takes"]:
            both = re.search(r"(?:mt|mk|cm|morse)\s*([0-7])\s*(?:-|/|x|to|auf|a|in)\s*([0-7])\b", self.kind_text)
            tapers = sorted({f"MT{both[1]}", f"MT{both[2]}"}) if both else tapers
        if len(tapers) == 2:
            self.out.fields["takes"], self.out.fields["mount"] = tapers
        elif self.cells.get("takes") and self.cells.get("mount"):
            for name in ("takes", "mount"):
                own = seats_in(texts[name], self.sheet.known.seats)
                if own:
                    self.out.fields[name] = own[0].code

    def _read_body(self, size: str, described: str) -> None:
        fields = self.out.fields
        own = prepared(fold(self.cells.get("body", "")))
        for text, name in ((own, "body"), (size, "size"), (described, "kind")):
            spans = spans_in(text)
            if spans and name != "body":
                self._put_range(spans[0], self._bare_unit(name))
                continue
            lengths = [one for one in measures_in(text) if one.length(self._bare_unit(name)) is not None]
            if len(lengths) != 1:
                continue
            if name == "size" and _LARGEST_ONLY.search(text) and self.kind in _CHUCKS:
                self.out.fields.setdefault("outside_max", lengths[0].text(self._bare_unit(name)))
                continue
            length = lengths[0].length(self._bare_unit(name))
            if length is None or not SMALLEST_BODY <= length <= LARGEST_BODY:
                self._ask_body(lengths[0], text)
                return
            fields["body"] = exact(length)
            return

    def _ask_body(self, one: WrittenLength, text: str) -> None:
        other = Unit.MM if self.sheet.unit is Unit.INCH else Unit.INCH
        length = one.length(other) if one.unit is None else None
        if length is None or not SMALLEST_BODY <= length <= LARGEST_BODY:
            self.out.fields.pop("body", None)
            return
        choice = f"they are in {other}"
        if (
            self._ask("body:unit", f"{one.number} {self.sheet.unit} is no size of a chuck.", (choice, LEAVE_OUT))
            == choice
        ):
            self.out.fields["body"] = exact(length)

    def _read_range(self, source: str, described: str) -> None:
        if source and names_currency(source):
            self._ask("size:money", f"“{shorten(source)}” stands where sizes stand, and is a price.", (LEAVE_OUT,))
            return
        for text, name in ((prepared(fold(source)), "size"), (described, "kind")):
            if not text or self._side() + "_max" in self.out.fields:
                continue
            spans = spans_in(text)
            bare = self._bare_unit(HOLDS if source and not described else name)
            if spans:
                self._put_range(spans[0], bare)
                return
            lengths = [one for one in measures_in(text) if one.length(bare) is not None]
            is_largest = _LARGEST_ONLY.search(text) is not None
            if len(lengths) == 1 and (is_largest or self.kind not in _HELD_INSIDE):
                self.out.fields[f"{self._side()}_max"] = lengths[0].text(bare)
                return

    def _put_range(self, span: Span, bare: Unit) -> None:
        side = self._side()
        high = span.high.text(bare)
        low = span.low.text(bare) if span.low else ""
        if high:
            self.out.fields.setdefault(f"{side}_max", high)
        if high and low:
            self.out.fields.setdefault(f"{side}_min", low)

    def _side(self) -> str:
        return "inside" if self.kind in _HELD_INSIDE else "outside"

    def _read_single_size(self, name: str, text: str) -> None:
        if name in self.out.fields:
            return
        lengths = [one for one in measures_in(text) if one.length(self.sheet.unit) is not None]
        if len(lengths) == 1:
            self.out.fields[name] = lengths[0].text(self.sheet.unit)

    # ---- how it is, where it is, what it cost

    def _remarks(self) -> list[str]:
        if self.sheet.is_our_own:
            return []  # what they say has columns of its own there, and a note is a note
        return [text for text in (self.cells.get("notes", ""), *self.extra) if text]

    def _read_condition_and_remarks(self) -> None:
        kind = self.kind
        state = conditions.read_condition(self.cells.get("condition", ""), self.sheet)
        remarks = [read_remark(text, self.sheet.language) for text in self._remarks()]
        if kind is not None and "kind" in self.cells:
            remarks.append(_only_findings(read_remark(self.cells["kind"], self.sheet.language)))
        if state.remark is not None:
            remarks.append(state.remark)
        condition = state.condition
        findings = [finding for remark in remarks for finding in remark.findings]
        if state.likely == "damaged" and SPOILED.intersection(findings):
            # What is said of it beside the word takes it out of use in any case.
            condition = "damaged"
        elif state.doubt is not None:
            answer = self._ask(state.doubt.key, state.doubt.about, state.doubt.choices)
            condition = answer if answer != LEAVE_OUT else ""
        self.out.finding, worse = conditions.finding_of(findings, kind, self.sheet.known)
        if any(remark.is_unfit for remark in remarks) and condition not in {"scrapped", "damaged"}:
            condition = "damaged"
        if worse and condition in {"", "good"}:
            condition = worse
        if any(remark.is_worn for remark in remarks) and condition in {"", "good"} and not findings:
            condition = "worn"
        for trouble in dict.fromkeys(part for remark in remarks for part in remark.troubles):
            if condition in {"", "good"} and not findings:
                condition = self._ask_trouble(trouble) or condition
        if condition or "condition" in self.out.fields:
            self.out.fields["condition"] = condition
        self._read_whereabouts(remarks)
        tir = next((remark.tir for remark in remarks if remark.tir), "")
        if tir and not self.out.fields.get("tir"):
            self.out.fields["tir"] = tir
            day = next((remark.day for remark in remarks if remark.tir), "")
            if day and not self.out.fields.get("inspected_on"):
                self.out.fields["inspected_on"] = day

    def _ask_trouble(self, trouble: str) -> str:
        """What words of trouble that are not understood say of the condition, once somebody said it."""
        choices = ("good", "worn", "damaged", "scrapped", LEAVE_OUT)
        about = f"“{shorten(trouble)}” is said of pieces: in which condition are they?"
        answer = self._ask(f"remark:{trouble}", about, choices)
        return answer if answer != LEAVE_OUT else ""

    def _read_whereabouts(self, remarks: Sequence[RemarkRead]) -> None:
        if any(remark.is_missing for remark in remarks):
            answer = self._ask(
                "missing",
                "Remarks say that pieces are lost. Are they missing?",
                ("they are missing", "they are here", LEAVE_OUT),
            )
            self.out.is_missing = answer == "they are missing"
        borrower = self.cells.get(OUT_TO, "").strip() or next(
            (remark.borrower for remark in remarks if remark.borrower), ""
        )
        if any(remark.is_out for remark in remarks) or self.cells.get(OUT_TO, "").strip():
            self._ask(
                "out",
                f"The sheet says that pieces are out to somebody{f' ({shorten(borrower)})' if borrower else ''}. "
                "Are they back?",
                ("they are back", "note who has them", LEAVE_OUT),
            )
            if borrower and OUT_TO in self.cells:
                self.out.notes.append(f"out to {borrower}")

    def _read_place(self) -> None:
        location = self.cells.get("location", "")
        texts = [location, *(clause for note in self._remarks() for clause in re.split(r"[,;.]", note))]
        for text in texts:
            lathe = places.lathe_in(text, self.sheet.language)
            if not lathe:
                continue
            if not any(character.isdigit() for character in lathe) and text is location:
                # Which one is not said: where it is is no place, and is kept in its notes.
                self.out.fields.pop("location", None)
                self.out.notes.append(location.strip())
                return
            choices = ("enter without a place", f"a place “{shorten(lathe)}”", LEAVE_OUT)
            answer = self._ask(
                f"lathe:{fold(lathe)}", f"“{shorten(text.strip())}” is a lathe, not a place to keep things in.", choices
            )
            if answer == choices[0] and text is location:
                self.out.fields.pop("location", None)
            elif answer == choices[1]:
                self.out.fields["location"] = lathe
            return

    def _read_price(self) -> None:
        text = self.out.fields.get("cost", "")
        if text and (amount := plain_amount(text, self.sheet.decimal)) is not None:
            self.out.fields["cost"] = amount

    def _read_run_out(self) -> None:
        text = self.out.fields.get("tir", "")
        if not text:
            return
        try:
            tir = parse(text, self.sheet.unit)
        except LengthError:
            return
        if tir <= LARGEST_TIR:
            return
        choices = {
            "thousandths of an inch": "thou",
            "thousandths of a millimetre": "um",
            "hundredths of a millimetre": "0.01mm",
        }
        answer = self._ask(
            "tir:unit",
            f"A run-out of {exact(tir)}, read from “{shorten(self.cells.get('tir', text))}”, is more than a piece in "
            "use has. In what are they?",
            (*choices, "leave the reading out", LEAVE_OUT),
        )
        number = re.match(r"\d*[.,]?\d+", text)
        if answer == "leave the reading out":
            self.out.fields.pop("tir")
        elif answer in choices and number:
            self.out.fields["tir"] = scaled(number[0], choices[answer])

    def _count_cell(self) -> int | None:
        leading = re.match(r"\s*(\d{1,4})(?![\d.,/])", self.cells.get(QUANTITY, ""))
        return int(leading[1]) if leading else None

    def _read_quantity(self) -> None:
        if self.out.sizes or any(doubt.key.startswith("set:") for doubt in self.out.doubts):
            return
        count = self._count_cell()
        if count is None or count == 1:
            quantities = [
                read_remark(text, self.sheet.language).quantity
                for text in (*self._remarks(), self.cells.get("kind", ""))
            ]
            count = next((number for number in quantities if number), count)
        if count == 0:
            self._ask("none", "Rows say that none is there (a quantity of 0).", ("enter them all the same", LEAVE_OUT))
        if count is None or count <= 1:
            return
        if self.sheet.splits_quantities:
            self.out.quantity = count
            return
        each = "a piece each, with the next free tags"
        answer = self._ask(
            "quantity",
            "Rows say several pieces under one number. Is each to be a piece of its own?",
            (each, "one piece, with the number in its notes", LEAVE_OUT),
        )
        if answer == each:
            self.out.quantity = count
        elif answer and answer != LEAVE_OUT:
            self.out.notes.append(f"quantity: {count}")

    # ---- help

    def _bare_unit(self, name: str) -> Unit:
        unit = self.sheet.units.get(name) or self.own_unit
        return Unit(unit) if unit in {"in", "mm"} else self.sheet.unit

    def _ask(self, key: str, about: str, choices: tuple[str, ...]) -> str:
        """Note a question, and what was answered to it; empty where nothing was."""
        self.out.doubts.append(RowDoubt(key=key, about=about, choices=choices))
        answer = self.sheet.answers.get(key, "")
        if answer == LEAVE_OUT:
            self.out.is_left_out = True
        return answer


def scaled(number: str, unit: str) -> str:
    """A number of thousandths, tenths of a thousandth or hundredths as a length that a form reads."""
    if unit not in {"tenth", "hundredth mm", "0.01mm"}:
        return f"{number} {'µm' if unit == 'um' else unit}"
    places, to = (1, "thou") if unit == "tenth" else (2, "mm")
    before, _, rest = number.replace(",", ".").partition(".")
    digits = before.rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}{rest} {to}"


def _only_findings(remark: RemarkRead) -> RemarkRead:
    return RemarkRead(findings=remark.findings, is_unfit=remark.is_unfit)


def _without(text: str, named: Sequence[NamedCode]) -> str:
    """A text with what was named in it blanked out."""
    for one in named:
        text = text[: one.start] + " " * (one.end - one.start) + text[one.end :]
    return text


def _is_plain(text: str, unit: Unit) -> bool:
    """Whether a text is a length as it stands, which the form can read by itself."""
    try:
        parse(text, unit)
    except LengthError:
        return False
    return True
