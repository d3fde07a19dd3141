"""The stylesheets, made small and known to the content security policy by their hashes.

`style.css` stands in every page; `desk.css` only in the pages that ask for it, so that an answer stays light.
"""

import base64
import hashlib
import re
from pathlib import Path

_TEMPLATES = Path(__file__).resolve().parent.parent / "templates"


def _smaller(css: str) -> str:
    css = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
    css = re.sub(r"\s+", " ", css)
    return re.sub(r" ?([{};,>]) ?", r"\1", css).replace(": ", ":").replace(";}", "}").strip()


def _read(name: str) -> str:
    return _smaller((_TEMPLATES / name).read_text(encoding="utf-8"))


def _hash_source(css: str) -> str:
    return "'sha256-" + base64.b64encode(hashlib.sha256(css.encode()).digest()).decode() + "'"


CSS = _read("style.css")
DESK_CSS = _read("desk.css")
CSP_SOURCES = (_hash_source(CSS), _hash_source(DESK_CSS))
