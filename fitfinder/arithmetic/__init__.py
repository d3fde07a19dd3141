"""Arithmetic of the shop: set-over, packing, indexing, balance, speed and what else is worked out at the lathe.

`sums.sum_named("set-over").worked({"length": "10", "ratio": "20"})` does one with texts as a person types them. The
functions of a subject beside it take plain fractions, in metres, newtons, kilograms and seconds unless they say
otherwise, or in any one unit where only lengths meet.
"""
