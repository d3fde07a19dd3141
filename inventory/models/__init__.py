"""What the shop owns and what happened to it."""

from inventory.models.asks import Ask
from inventory.models.center_heights import CenterHeight
from inventory.models.counted import CountedItem, CountedMovement, CountedStock
from inventory.models.counts import Count, CountAnswer, CountLine
from inventory.models.deeds import Deed, DeedAct
from inventory.models.held_tools import HeldTool
from inventory.models.imports import ImportedRow, KnownHeading, SheetImport, SheetRow
from inventory.models.jaws import JawSet
from inventory.models.kept_bars import KeptBar
from inventory.models.kinds import Kind
from inventory.models.lathes import Lathe
from inventory.models.loan_calls import LoanCall
from inventory.models.loans import Loan
from inventory.models.locations import Location
from inventory.models.moves import Move
from inventory.models.prices import Price, SetPrice
from inventory.models.reservations import Reservation
from inventory.models.seats import OtherName, Seat
from inventory.models.setup_operations import SetupOperation, SetupPhoto, SetupRun
from inventory.models.setup_sheets import SetupPiece, SetupSheet
from inventory.models.shift_notes import ShiftNote
from inventory.models.shop_figures import ShopFigures
from inventory.models.sizes import Series, SeriesShape, Shape, Size
from inventory.models.surface_speeds import SurfaceSpeed
from inventory.models.tokens import ReadToken
from inventory.models.tools import Tool
from inventory.models.users import Role, User
from inventory.models.wants import Want
from inventory.models.wear import Condition, Finding, Inspection, InspectionPhoto, WearLimit
from inventory.models.working_minutes import WorkingMinutes

__all__ = [
    "DeedAct",
    "Deed",
    "Ask",
    "CenterHeight",
    "Condition",
    "Count",
    "CountAnswer",
    "CountLine",
    "CountedItem",
    "CountedMovement",
    "CountedStock",
    "Finding",
    "HeldTool",
    "ImportedRow",
    "Inspection",
    "InspectionPhoto",
    "JawSet",
    "KeptBar",
    "Kind",
    "KnownHeading",
    "Lathe",
    "Loan",
    "LoanCall",
    "Location",
    "Move",
    "OtherName",
    "Price",
    "ReadToken",
    "Reservation",
    "Role",
    "Seat",
    "Series",
    "SeriesShape",
    "SetPrice",
    "SetupOperation",
    "SetupPhoto",
    "SetupPiece",
    "SetupRun",
    "SetupSheet",
    "Shape",
    "SheetImport",
    "SheetRow",
    "ShiftNote",
    "ShopFigures",
    "Size",
    "SurfaceSpeed",
    "Tool",
    "User",
    "Want",
    "WearLimit",
    "WorkingMinutes",
]
