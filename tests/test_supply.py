"""What is installed: the files that were meant, told in a bill of materials, and asked about."""

import json
import re
from pathlib import Path

import pytest

from tests import audit, sbom

ROOT = Path(__file__).resolve().parent.parent
FOUND = {"name": "holed", "version": "1.0", "vulns": [{"id": "XX-2026-1", "fix_versions": ["1.1"]}]}
SOUND = {"name": "sound", "version": "2.0", "vulns": []}
SKIPPED = {"name": "unknown", "skip_reason": "not found"}


def pins(file):
    """Name and version of each line."""
    return dict(re.findall(r"^([A-Za-z0-9._-]+)==([^ ;\\\n]+)", (ROOT / file).read_text(), re.MULTILINE))


def plain(pins):
    return {re.sub(r"[._-]+", "-", name).lower(): version for name, version in pins.items()}


@pytest.mark.parametrize("folder", ["", "tests/"])
def test_what_is_installed_is_what_was_chosen(folder):
    chosen, installed = plain(pins(f"{folder}requirements.in")), plain(pins(f"{folder}requirements.txt"))

    assert chosen.items() <= installed.items(), "make hashes"


@pytest.mark.parametrize("file", ["requirements.txt", "tests/requirements.txt"])
def test_each_file_that_may_be_installed_has_its_digest_and_no_place_is_named(file):
    text = (ROOT / file).read_text()
    entries = re.split(r"\n(?=[a-z])", text.partition("\n")[2].partition("\n")[2])

    assert all("--hash=sha256:" in entry for entry in entries)
    assert "://" not in text
    assert text.count("--hash=sha256:") > 3 * len(entries)  # of most there is one for each system


def test_the_bill_of_materials_has_every_library_with_its_digests():
    bill = json.loads(sbom.bill())

    assert (bill["bomFormat"], bill["specVersion"]) == ("CycloneDX", "1.6")
    assert {one["name"]: one["version"] for one in bill["components"]} == pins("requirements.txt")
    assert all(one["externalReferences"][0]["hashes"] for one in bill["components"])
    (django,) = [one for one in bill["components"] if one["name"] == "django"]
    assert django["purl"] == f"pkg:pypi/django@{django['version']}"
    assert "BSD" in django["licenses"][0]["license"]["name"]


@pytest.mark.parametrize(
    ("found", "status", "words"),
    [
        ([SOUND], 0, "Asked about 1 of 1 libraries; known holes: 0."),
        ([SOUND, FOUND], 1, "holed 1.0: XX-2026-1, mended in 1.1"),
        ([SOUND, SKIPPED], 3, "Nobody could say anything about 1: unknown. That is no all-clear."),
        ([FOUND, SKIPPED], 1, "Nobody could say anything about 1: unknown."),
        ([], 3, "Asked about 0 of 0"),
    ],
)
def test_a_library_that_nobody_could_be_asked_about_is_no_sound_one(found, status, words):
    told = audit.status_and_words(json.dumps({"dependencies": found}))

    assert told[0] == status
    assert words in told[1]


def test_where_nobody_answers_it_is_said_and_why():
    status, words = audit.status_and_words("", "Traceback\nConnectionError: no route to the host\n")

    assert status == 3
    assert "nothing is known of any library. (ConnectionError: no route to the host)" in words
