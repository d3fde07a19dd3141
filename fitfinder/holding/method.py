"""The ways to hold work, by their names."""

from __future__ import annotations

from enum import StrEnum


class Method(StrEnum):
    """A way to hold. The value is the word that pages and JSON use."""

    UNIVERSAL_CHUCK = "universal chuck"
    INDEPENDENT_CHUCK = "independent chuck"
    COLLET = "collet"
    BETWEEN_CENTERS = "between centers"
    SOFT_CENTER = "soft center"
    """Between centers too, on a point that is turned in a chuck."""
    FACEPLATE = "faceplate"
    SOFT_JAWS = "soft jaws"
    SPLIT_BUSHING = "split bushing"
    MANDREL = "mandrel"

    @property
    def is_on_centers(self) -> bool:
        return self in (Method.BETWEEN_CENTERS, Method.SOFT_CENTER)

    @property
    def slug(self) -> str:
        """As an address has it: `universal-chuck`."""
        return self.value.replace(" ", "-")

    @classmethod
    def of_slug(cls, slug: str) -> Method | None:
        return next((method for method in cls if method.slug == slug), None)
