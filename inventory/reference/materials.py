"""What work is made of, as far as weight and stiffness need it."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from inventory.measures.lengths import NM_PER_INCH
from inventory.measures.masses import UG_PER_LB
from inventory.reference import holding


class Material(StrEnum):
    """A material; the value is the word that pages, addresses and commands use."""

    STEEL = "steel"
    STAINLESS = "stainless"
    CAST_IRON = "cast iron"
    ALUMINIUM = "aluminium"
    BRASS = "brass"
    BRONZE = "bronze"
    COPPER = "copper"
    TITANIUM = "titanium"
    ACETAL = "acetal"

    @property
    def density(self) -> Fraction:
        """In micrograms to the cubic nanometre."""
        return holding.value(f"density.{self._key}") * UG_PER_LB / NM_PER_INCH**3

    @property
    def modulus(self) -> Fraction | None:
        """Of elasticity, in psi; None where none is on file."""
        figure = holding.maybe(f"modulus.{self._key}")
        return None if figure is None else figure.value

    @property
    def _key(self) -> str:
        return self.value.replace(" ", "_")


def named(text: str) -> Material | None:
    """`aluminum`, `Cast iron`, `alu`: by the words of a shop; None where none is meant."""
    plain = " ".join(text.lower().replace("-", " ").replace("_", " ").split())
    return _WORDS.get(plain)


_WORDS = {material.value: material for material in Material} | {
    "stainless steel": Material.STAINLESS,
    "iron": Material.CAST_IRON,
    "grey iron": Material.CAST_IRON,
    "gray iron": Material.CAST_IRON,
    "aluminum": Material.ALUMINIUM,
    "pom": Material.ACETAL,
}
