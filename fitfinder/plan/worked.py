"""The sums of the shop that belong to one way, worked with the setup's own numbers."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.arithmetic.quantities import Quantity
from fitfinder.arithmetic.sums import sum_named
from fitfinder.plan.ways import Way
from fitfinder.questions import QuestionError
from inventory.measures.lengths import exact

WORDS = {
    "narrow": "Packing, narrow jaws", "flat": "Packing, flat jaws", "tir": "Swings, at the throw",
    "set_over": "Tailstock over", "half_angle": "Compound at", "step": "Index on by", "drill": "Center drill",
    "mouth": "Center hole, mouth", "depth": "Center hole, depth",
}  # fmt: skip


class Worked(Struct, frozen=True):
    """One result: its words and value, and the sum with its texts, to be opened by itself."""

    words: str
    value: str
    sum_name: str
    texts: dict[str, str]


def worked(way: Way) -> list[Worked]:
    """What the features of the job call for, in this way of holding it; empty where they call for nothing."""
    if not way.can:
        return []
    found = []
    for name, texts, keys in _called_for(way):
        try:
            result = sum_named(name).worked(texts).result
        except QuestionError:
            continue  # work below the guide, a throw beyond what packing gives: the sum's own page says why
        found += [Worked(WORDS[key], _said(result[key]), name, texts) for key in keys if result.get(key) is not None]
    return found


def guides(way: Way) -> list[tuple[str, str, dict[str, str]]]:
    """(what it helps with, the sum, its texts) for what is done at the lathe: numbers that only the indicator tells,
    and sums whose texts the job does not give."""
    if not way.can:
        return []
    job, found = way.job, []
    if way.method in ("independent chuck", "faceplate"):
        found.append(("Dial it in from four readings", "dial-in", {}))
    if job.throw is not None and way.method == "universal chuck":
        throw = {"diameter": exact(job.stock.band.largest), "throw": exact(job.throw)}
        found.append(("Packing under one jaw for the throw", "packing", throw))
    if job.starts > 1:
        found.append((f"Index {job.starts} starts by jaws, slots or gear teeth", "starts", _positions(way)))
    if job.taper is not None and way.method != "between centers":
        found.append(("Compound angle for the taper", "taper", {"ratio": _decimal(job.taper)}))
    return found


def _positions(way: Way) -> dict[str, str]:
    jaws = next((piece.jaws for piece in way.pieces if piece.jaws), None)
    return {"starts": str(way.job.starts)} | ({"positions": str(jaws)} if jaws else {})


def _called_for(way: Way):
    """(sum, its texts, the results to show)."""
    job = way.job
    across = exact(job.stock.band.largest)
    if job.throw is not None:
        throw = exact(job.throw)
        if way.method == "universal chuck":
            yield "packing", {"diameter": across, "throw": throw}, ("narrow", "flat", "tir")
        else:
            yield "tir", {"offset": throw}, ("tir",)
    if job.taper is not None:
        ratio = _decimal(job.taper)
        if way.method == "between centers" and job.length is not None:
            yield "set-over", {"length": exact(job.length), "ratio": ratio}, ("set_over",)
        yield "taper", {"ratio": ratio}, ("half_angle",)
    jaws = next((piece.jaws for piece in way.pieces if piece.jaws), None)
    if job.starts > 1 and way.method == "between centers" and jaws:
        yield "starts", {"positions": str(jaws), "starts": str(job.starts)}, ("step",)
    if way.method == "between centers" or any("Center-drill" in step for step in way.steps):
        yield "center-hole", {"work_diameter": exact(job.stock.band.smallest)}, ("drill", "mouth")


def _decimal(value) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.6f}"


def _said(value) -> str:
    return value.both if isinstance(value, Quantity) else str(value)
