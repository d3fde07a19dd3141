"""The ways to hold work, by their names."""

from enum import StrEnum


class Method(StrEnum):
    """A way to hold. The value is the word that pages, JSON and addresses use."""

    UNIVERSAL_CHUCK = "universal chuck"
    INDEPENDENT_CHUCK = "independent chuck"
    COLLET = "collet"
    BETWEEN_CENTERS = "between centers"
    FACEPLATE = "faceplate"
    SOFT_JAWS = "soft jaws"
    SPLIT_BUSHING = "split bushing"
    MANDREL = "mandrel"
