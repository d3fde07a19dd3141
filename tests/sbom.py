"""What Gripbook runs on, as a bill of materials (CycloneDX 1.6): `make sbom`, or `python -m tests.sbom FILE`.

Written of requirements.txt whenever somebody wants one, so that it cannot be out of date: each library with its
version, its license as it says itself, and the digests of all files that pip may install of it.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, metadata
from pathlib import Path

from cyclonedx.model import ExternalReference, ExternalReferenceType, HashAlgorithm, HashType, XsUri
from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.model.license import DisjunctiveLicense
from cyclonedx.output.json import JsonV1Dot6
from packageurl import PackageURL

ROOT = Path(__file__).resolve().parent.parent
_PINNED = re.compile(r"^([a-z0-9.-]+)==([^ ;\\]+)((?:.*\\\n)(?:    --hash=.*\n)+)", re.MULTILINE)
_DIGEST = re.compile(r"--hash=sha256:([0-9a-f]{64})")


def main() -> None:
    Path(sys.argv[1]).write_text(bill(), encoding="utf-8")
    print(f"{sys.argv[1]} is written.")


def bill() -> str:
    bom = Bom()
    house = Component(name="gripbook", type=ComponentType.APPLICATION, bom_ref="gripbook")
    bom.metadata.component = house
    libraries = list(_libraries())
    for library in libraries:
        bom.components.add(library)
    bom.register_dependency(house, libraries)
    return str(JsonV1Dot6(bom).output_as_string(indent=2))


def _libraries() -> Iterator[Component]:
    pinned = (ROOT / "requirements.txt").read_text(encoding="utf-8")
    for name, version, rest in _PINNED.findall(pinned):
        url = PackageURL(type="pypi", name=name, version=version)
        files = ExternalReference(
            type=ExternalReferenceType.DISTRIBUTION,
            url=XsUri(str(url)),
            comment="every file of this version that may be installed",
            hashes=[HashType(alg=HashAlgorithm.SHA_256, content=digest) for digest in _DIGEST.findall(rest)],
        )
        yield Component(
            name=name,
            version=version,
            type=ComponentType.LIBRARY,
            bom_ref=str(url),
            purl=url,
            licenses=_licenses(name),
            external_references=[files],
        )


def _licenses(name: str) -> list[DisjunctiveLicense]:
    try:
        said = metadata(name)
    except PackageNotFoundError:  # one that only another system installs
        return []
    text = said.get("License-Expression") or (said.get("License") or "").partition("\n")[0]
    classified = [
        line.rpartition(" :: ")[2] for line in said.get_all("Classifier", []) if line.startswith("License ::")
    ]
    return [DisjunctiveLicense(name=one) for one in ([text] if text else classified)]


if __name__ == "__main__":
    main()
