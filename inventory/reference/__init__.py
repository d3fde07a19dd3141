"""Published tables and working figures of the trade, each with where it comes from.

The figures lie in `data/`, one CSV file a table. A length is written with its unit (`1-1/8 in`, `0.5 mm`), an
empty cell is unknown, never zero, and every row has a `source` (keys of `data/sources.csv`, separated by
spaces) and a `basis`: `published-seen` (read in a published text), `published-from-memory` (belongs to a
standard or handbook, not found printed) or `common-practice` (habit of the trade, no standard behind it).
What is marked or measured on a piece beats any table here.
"""
