"""Figures of the tests' own for the series that they speak of, whatever the tables say.

A figure of a table is checked against its source in tests/outside/; everywhere else a test counts with what stands
here. It is put in place wherever a database of the tests is made or emptied, after the built-in figures.
"""

from inventory.models import SeriesShape
from inventory.reference.tables import as_length

_INCH = {
    "closes_by": "0.005 in", "opens_by": "0.005 in", "true_under": "0.002 in", "true_over": "0 in",
    "edge_bottom": "0.0005 in", "edge_top": "0.0005 in",
}  # fmt: skip
_5C = {**_INCH, "passes": "1-1/16 in", "passes_with_stop_thread": "63/64 in"}
_ER = {
    "closes_by": "1 mm", "opens_by": "0 mm", "small_closes_by": "0.5 mm", "small_upto": "3 mm",
    "true_under": "0.1 mm", "true_over": "0 mm", "edge_bottom": "0.1 mm", "edge_top": "0 mm",
}  # fmt: skip
SERIES = {
    ("5C", "round"): {**_5C, "typical_tir": "0.0005 in"},
    ("5C", "hex"): {**_5C, "typical_tir": "0.001 in"},
    ("5C", "square"): {**_5C, "typical_tir": "0.001 in"},
    ("3J", "round"): {**_INCH, "passes": "1-3/4 in", "typical_tir": "0.0005 in"},
    ("16C", "round"): {**_INCH, "passes": "1-5/8 in", "typical_tir": "0.0005 in"},
    ("R8", "round"): {**_INCH, "opens_by": "0.002 in", "typical_tir": "0.0005 in"},
    ("ER16", "round"): {**_ER, "passes": "10.5 mm"},
    ("ER32", "round"): {**_ER, "passes": "23.5 mm"},
}
_LADDERS = {
    ("5C", "round"): ("1/32 in", "1-1/8 in", "1/64 in"),
    ("5C", "hex"): ("1/8 in", "7/8 in", "1/32 in"),
    ("5C", "square"): ("1/8 in", "3/4 in", "1/32 in"),
    ("3J", "round"): ("1/16 in", "1-3/4 in", "1/64 in"),
    ("16C", "round"): ("1/16 in", "1-5/8 in", "1/64 in"),
    ("R8", "round"): ("1/16 in", "7/8 in", "1/32 in"),
    ("ER16", "round"): ("1 mm", "10 mm", "1 mm"),
    ("ER32", "round"): ("2 mm", "20 mm", "1 mm"),
}


def put_in_place(*, using: str, **_signal: object) -> None:
    for (code, shape), figures in SERIES.items():
        first, last, step = _LADDERS[code, shape]
        ladder = {"smallest": first, "largest": last, "ladder_from": first, "ladder_to": last, "ladder_step": step}
        values = {name: as_length(text) for name, text in {**figures, **ladder}.items()}
        for kept in (SeriesShape.objects, SeriesShape.history):
            kept.using(using).filter(series__code=code, shape=shape).update(**values)
