"""What the README shows is what happens."""

import io
import re
from pathlib import Path

import pytest
from django.core.management import call_command, get_commands

HOUSE = Path(__file__).resolve().parents[2]
README = (HOUSE / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_answer_that_it_shows_is_the_one_that_the_demo_crib_gives(demo):
    shown = re.search(r"manage\.py fit \.7485\n(.*?)```", README, re.DOTALL)[1]
    said = io.StringIO()

    call_command("fit", ".7485", stdout=said)

    assert said.getvalue().startswith(shown)


def test_every_command_that_it_names_is_there():
    named = set(re.findall(r"manage\.py ([a-z_]+)", README)) | set(re.findall(r"^\| `([a-z_]+) ", README, re.M))

    assert {"demo", "serve", "fit", "import_sheet"} <= named
    assert named <= get_commands().keys()


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_file_that_the_notes_lead_to_is_there(text):
    led_to = {address.partition("#")[0] for address in re.findall(r"\]\(([^)\s]+)\)", text)} - {""}

    assert {address for address in led_to if not (HOUSE / address).exists()} == set()
