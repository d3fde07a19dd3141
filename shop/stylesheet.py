"""The one stylesheet, made small and known to the content security policy by its hash."""

import base64
import hashlib
import re
from pathlib import Path

_FILE = Path(__file__).resolve().parent.parent / "templates" / "style.css"


def _smaller(css: str) -> str:
    css = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
    css = re.sub(r"\s+", " ", css)
    return re.sub(r" ?([{};,>]) ?", r"\1", css).replace(": ", ":").replace(";}", "}").strip()


CSS = _smaller(_FILE.read_text(encoding="utf-8"))
CSP_SOURCE = "'sha256-" + base64.b64encode(hashlib.sha256(CSS.encode()).digest()).decode() + "'"
