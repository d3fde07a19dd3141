"""The table of the ways to hold. A plan has each of them once; where nothing else tells two apart, in this order."""

from __future__ import annotations

from fitfinder.plan.methods.between_centers import BetweenCenters
from fitfinder.plan.methods.chucks import IndependentChuck, UniversalChuck
from fitfinder.plan.methods.collets import Collet
from fitfinder.plan.methods.faceplate import Faceplate
from fitfinder.plan.methods.mandrel import Mandrel
from fitfinder.plan.methods.soft_jaws import SoftJaws
from fitfinder.plan.methods.split_bushing import SplitBushing
from fitfinder.plan.way import HoldingMethod

WAYS: tuple[HoldingMethod, ...] = (
    UniversalChuck(),
    IndependentChuck(),
    Collet(),
    BetweenCenters(),
    Faceplate(),
    SoftJaws(),
    SplitBushing(),
    Mandrel(),
)
