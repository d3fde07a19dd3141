"""The promises of the house: a core without the framework, one direction, and no float that decides a fit."""

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parent.parent
ROOMS = ("shop", "fitfinder", "inventory")
MAY_NOT_IMPORT = {"inventory": {"shop", "fitfinder"}, "fitfinder": {"shop"}}
PURE = {
    "inventory": ("measures.lengths", "measures.length_words", "measures.display", "measures.display_words",
                  "measures.money", "measures.day_words", "measures.masses", "measures.signs",
                  "measures.collet_marks", "reference", "inspections.wear", "inspections.wear_picture",
                  "orders.report_picture", "transfer.asked", "transfer.reading"),
    "fitfinder": ("questions", "holding", "find", "plan", "cutting", "buying", "short", "identify", "seating",
                  "arithmetic", "pocket"),
}  # fmt: skip
"""The pure core, by room or module; NOT_PURE names what stands in one of these rooms and reads rows or a form."""
NOT_PURE = {
    "fitfinder.find.question", "fitfinder.find.form",
    "fitfinder.plan.form", "fitfinder.plan.question", "fitfinder.holding.reader", "fitfinder.plan.setup_sheets",
    "fitfinder.plan.working_minutes",
    "fitfinder.buying.form", "fitfinder.buying.reader",
    "fitfinder.short.reader", "fitfinder.short.board_reader", "fitfinder.short.form",
    "fitfinder.identify.form", "fitfinder.identify.reader",
    "fitfinder.seating.forms", "fitfinder.seating.reader", "fitfinder.arithmetic.form",
    "fitfinder.pocket.file",
}  # fmt: skip
MAY_NAME_FLOATS = {
    "fitfinder.buying.solver",  # the solver works in them; what it chose is worked out again in whole numbers
    "fitfinder.buying.telling", "fitfinder.plan.telling",  # weights and minutes, once decided
}  # fmt: skip

IMPORT_WITHOUT_DJANGO = """
import importlib, json, sys

class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] == "django":
            raise ImportError("Django is out of reach")

sys.meta_path.insert(0, Blocker())
sys.path.insert(0, sys.argv[1])
failures = {}
for name in sys.argv[2:]:
    try:
        importlib.import_module(name)
    except Exception as error:
        failures[name] = repr(error)
print(json.dumps(failures))
"""


def source_files(room: str) -> list[Path]:
    return sorted((HOUSE / room).rglob("*.py"))


def pure_files() -> list[Path]:
    def is_in(module: str, rooms) -> bool:
        return any(module == room or module.startswith(f"{room}.") for room in rooms)

    core = tuple(f"{app}.{name}" for app, names in PURE.items() for name in names)
    files = [file for app in PURE for file in source_files(app)]
    return [file for file in files if is_in(dotted(file), core) and not is_in(dotted(file), NOT_PURE)]


def dotted(file: Path) -> str:
    return ".".join(file.relative_to(HOUSE).with_suffix("").parts).removesuffix(".__init__")


def imported_by(source: str) -> set[str]:
    """The modules that a source imports anywhere, also inside its functions."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def floats_in(source: str) -> list[int]:
    """The lines on which a float stands or is made by name."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if (isinstance(node, ast.Constant) and isinstance(node.value, float))
        or (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "float")
    ]


def failures_without_django(modules: list[str]) -> dict[str, str]:
    run = subprocess.run(
        [sys.executable, "-c", IMPORT_WITHOUT_DJANGO, str(HOUSE), *modules],
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(run.stdout)


def test_the_pure_core_imports_with_django_out_of_reach():
    modules = [dotted(file) for file in pure_files()]

    assert {"inventory.measures.lengths", "inventory.measures.masses"} <= set(modules)
    assert failures_without_django(modules) == {}


def test_django_is_really_out_of_reach_in_that_check():
    assert "out of reach" in failures_without_django(["shop.environment"])["shop.environment"]


@pytest.mark.parametrize("file", pure_files(), ids=dotted)
def test_a_pure_module_names_neither_django_nor_a_model(file):
    forbidden = {
        name
        for name in imported_by(file.read_text())
        if name.partition(".")[0] == "django" or name.startswith("inventory.models")
    }

    assert forbidden == set()


@pytest.mark.parametrize("room", MAY_NOT_IMPORT)
def test_dependencies_run_from_shop_to_fitfinder_to_inventory(room):
    against_the_flow = {
        f"{dotted(file)} imports {name}"
        for file in source_files(room)
        for name in imported_by(file.read_text())
        if name.partition(".")[0] in MAY_NOT_IMPORT[room]
    }

    assert source_files(room)
    assert against_the_flow == set()


@pytest.mark.parametrize("file", pure_files(), ids=dotted)
def test_no_float_stands_in_the_core_but_where_nothing_is_decided(file):
    assert bool(floats_in(file.read_text())) == (dotted(file) in MAY_NAME_FLOATS)


def test_the_checks_of_the_house_see_what_they_look_for():
    source = "def f():\n    from shop.server import network\n    import django.db\n    return float('1') + 0.5\n"

    assert imported_by(source) == {"shop.server", "shop.server.network", "django.db"}
    assert floats_in(source) == [4, 4]


def test_only_the_three_rooms_hold_the_product():
    rooms = {file.parent.name for file in HOUSE.glob("*/__init__.py")}

    assert rooms == set(ROOMS)
