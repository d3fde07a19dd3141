"""The table of the ways to hold. A plan has each of them once; where nothing else tells two apart, in this order."""

from __future__ import annotations

from fitfinder.holding.methods.between_centers import BetweenCenters, SoftCenter
from fitfinder.holding.methods.chucks import IndependentChuck, UniversalChuck
from fitfinder.holding.methods.collets import COLLET
from fitfinder.holding.methods.faceplate import Faceplate
from fitfinder.holding.methods.mandrel import Mandrel
from fitfinder.holding.methods.soft_jaws import SoftJaws
from fitfinder.holding.methods.split_bushing import SplitBushing
from fitfinder.holding.way import HoldingMethod

WAYS: tuple[HoldingMethod, ...] = (
    UniversalChuck(),
    IndependentChuck(),
    COLLET,
    BetweenCenters(),
    SoftCenter(),
    Faceplate(),
    SoftJaws(),
    SplitBushing(),
    Mandrel(),
)
