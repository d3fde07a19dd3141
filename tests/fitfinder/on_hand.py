"""Plain objects of the core, with all filled in that a test does not care about. Lengths are written as text."""

import itertools

from msgspec.structs import replace

from fitfinder.find import finder
from fitfinder.holding import verdicts
from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.chains import Chain
from fitfinder.holding.collets.collet_grips import collet_grip
from fitfinder.holding.pieces import ColletOnHand, CribNow, LatheOnHand, Piece, SeatOnHand, SeriesOnHand, SizeOnHand
from fitfinder.holding.stock import StockShape
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length, parse
from inventory.reference.kinds import Kind

_numbers = itertools.count(1)


def seat(code):
    if not code:
        return None
    return SeatOnHand(code, needs_drawbar=code.startswith("MT") or code == "R8", is_thread=code == "1-1/2-8")


def length(text):
    return parse(text) if text else None


def reach(low, high, *, edge="0.0005", true=None):
    """A clamping range; `edge` counts at both ends, an empty one is none."""
    allowance = length(edge) or Length(0)
    zone = [parse(end) for end in true] if true else (None, None)
    return Reach(
        smallest=parse(low),
        largest=parse(high),
        edge_bottom=allowance,
        edge_top=allowance,
        true_from=zone[0],
        true_to=zone[1],
    )


def reach_of_5c(nominal):
    """How a 5C collet grips: 0.005 in either way, as marked from 0.002 in under to nominal."""
    return Reach(
        smallest=nominal - parse("0.005"),
        largest=nominal + parse("0.005"),
        edge_bottom=parse("0.0005"),
        edge_top=parse("0.0005"),
        true_from=nominal - parse("0.002"),
        true_to=nominal,
    )


def size(text="3/4", *, series="5C", shape="round", passes="1-1/16", narrow=None, typical="0.0005"):
    nominal = parse(text)
    return SizeOnHand(
        id=hash((series, shape, nominal)),
        series=series,
        seat=series,
        shape=StockShape(shape),
        nominal=nominal,
        reach=reach_of_5c(nominal),
        passes=length(passes),
        passes_with_stop_thread=length(narrow),
        typical_tir=length(typical),
    )


def piece(kind, *, tag=None, mount=None, takes=None, outside=None, **fields):
    number = next(_numbers)
    if outside:
        fields["outside_smallest"], fields["outside_largest"] = (parse(end) for end in outside)
    for name in ("through", "pilot", "tir"):
        if name in fields:
            fields[name] = length(fields[name])
    fields.setdefault("is_lent", fields.get("why_not", "").startswith("out to "))
    return (ColletOnHand if "size" in fields else Piece)(
        id=number, tag=tag or f"T-{number:04d}", kind=Kind(kind), mounts_in=seat(mount), offers=takes, **fields
    )


def collet(text="3/4", *, series="5C", shape="round", passes="1-1/16", narrow=None, typical="0.0005", **fields):
    of_size = size(text, series=series, shape=shape, passes=passes, narrow=narrow, typical=typical)
    return piece(fields.pop("kind", Kind.COLLET), size=of_size, **fields)


def closer(*, mount="D1-4", takes="5C", through="1-1/16", **fields):
    return piece("closer", mount=mount, takes=takes, through=through, **fields)


def collet_chuck(*, mount="MT5", takes="ER32", through="20 mm", **fields):
    return piece("collet chuck", mount=mount, takes=takes, through=through, **fields)


def drawbar(*, mount="MT5", **fields):
    return piece("drawbar", mount=mount, **fields)


def sleeve(*, mount="MT5", takes="MT3", **fields):
    return piece("sleeve", mount=mount, takes=takes, **fields)


def blank(pilot="1/16", *, series="5C", **fields):
    return piece("machinable collet", mount=series, pilot=pilot, **fields)


def chuck(kind="universal chuck", *, mount="D1-4", jaws=3, outside=("1/8", "6"), **fields):
    return piece(kind, mount=mount, jaws=jaws, outside=outside, **fields)


def independent_chuck(**fields):
    return chuck("independent chuck", **{"jaws": 4, **fields})


def lathe(name="Lathe 1", *, nose="D1-4", headstock="MT5", tailstock="MT3", bore="1.57", tir="0.0001"):
    return LatheOnHand(
        id=next(_numbers),
        name=name,
        nose=seat(nose),
        headstock_taper=seat(headstock),
        tailstock_taper=seat(tailstock),
        spindle_bore=length(bore),
        nose_tir=length(tir),
    )


def series(code="5C", *, shape="round", step="1/64", first="1/32", last="1-1/8"):
    return SeriesOnHand(
        code=code,
        seat=code,
        shape=StockShape(shape),
        smallest=length(first),
        largest=length(last),
        ladder_from=length(first),
        ladder_to=length(last),
        ladder_step=length(step),
        reach_of=reach_of_5c,
    )


def crib(*pieces, lathes=(), **fields):
    """What is on hand: the collets among the pieces as such, all else as rig."""
    return CribNow(
        lathes=tuple(lathes),
        rig=tuple(one for one in pieces if not isinstance(one, ColletOnHand)),
        collets=tuple(one for one in pieces if isinstance(one, ColletOnHand)),
        **fields,
    )


def answer(text, *pieces, lathes=(), tir=None, shape="round", grade="", **fields):
    """The answer for a size; `fields` are those of the crib."""
    stock = stock_from(text, shape=shape, grade=grade)
    return finder.answer(stock, PlanCrib(crib=crib(*pieces, lathes=lathes, **fields)), asked_tir=length(tir))


def grip(text="0.75", *, holding=None, chain=None, asked=None, **changes):
    """One grip of measured round stock, on a lathe that takes the collet itself."""
    holding = holding or collet()
    chain = chain or Chain(lathe=lathe())
    stock = stock_from(text)
    fit = verdicts.fit(stock.band, holding.size.reach)
    made = collet_grip(stock, holding, chain, fit, asked=length(asked))
    return replace(made, **changes)
