"""Which of the libraries that are installed have known holes: `make audit`, or `python -m tests.audit`.

Ends with 0 where all were asked about and none has any, with 1 where one has, and with 3 where some or all could not be
asked about: that is no all-clear.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
FILES = ("requirements.txt", "tests/requirements.txt")
CLEAR, HOLES, NOT_ASKED = 0, 1, 3


def main() -> None:
    call = [sys.executable, "-m", "pip_audit", "--progress-spinner", "off", "--disable-pip", "--require-hashes"]
    for file in FILES:
        call += ["--requirement", file]
    asked = subprocess.run([*call, "--format", "json"], cwd=ROOT, capture_output=True, text=True)
    status, words = status_and_words(asked.stdout, asked.stderr)
    print(words)
    sys.exit(status)


def status_and_words(report: str, trouble: str = "") -> tuple[int, str]:
    """The exit code and what to say, of what pip-audit wrote."""
    try:
        found: list[dict[str, Any]] = json.loads(report)["dependencies"]
    except (ValueError, KeyError):
        last = next((line for line in reversed(trouble.splitlines()) if line.strip()), "it said nothing")
        return NOT_ASKED, f"Nobody could be asked about known holes, so nothing is known of any library. ({last})"
    skipped = [one["name"] for one in found if "skip_reason" in one]
    holes = [
        f"{one['name']} {one['version']}: {hole['id']}, mended in {', '.join(hole['fix_versions']) or 'no version yet'}"
        for one in found
        for hole in one.get("vulns", [])
    ]
    lines = [f"Asked about {len(found) - len(skipped)} of {len(found)} libraries; known holes: {len(holes)}.", *holes]
    if skipped:
        lines.append(f"Nobody could say anything about {len(skipped)}: {', '.join(skipped)}. That is no all-clear.")
    return HOLES if holes else NOT_ASKED if skipped or not found else CLEAR, "\n".join(lines)


if __name__ == "__main__":
    main()
