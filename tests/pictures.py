"""Make the pictures of the guides anew: `make pictures`, or some by `python -m tests.pictures NAME …` in this folder.

The demo crib is made in a folder of its own and served; Chromium looks at it as a phone does, in the light look. What
pictures there are is said by the guides themselves. Each is a WebP in `shop/static/guide/`, as good as fits its limit.
"""

import io
import os
import shutil
import sys
import tempfile
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[1]
PICTURES = HOUSE / "shop" / "static" / "guide"
MOST_BYTES = 25_000
QUALITIES = range(80, 20, -5)
TALL = 4000
"""Of the window: the whole page is laid out in it, so that what hangs at its lower edge stays out of the picture."""


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATABASE_URL"] = f"sqlite:///{folder}/demo.sqlite3"
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
        # Playwright's own loop runs in this thread, and Django would refuse its database there.
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
        import django

        django.setup()
        _take_all()


def _take_all() -> None:
    from django.core.management import call_command
    from playwright.sync_api import sync_playwright

    from shop.guide import GUIDES
    from tests.browser.conftest import ARGUMENTS
    from tests.demo_pages import address_of
    from tests.load.served import serving

    call_command("demo", no_serve=True, stdout=io.StringIO())
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with serving(os.environ["DATABASE_URL"]) as served, sync_playwright() as playwright:
        base = f"http://127.0.0.1:{served.port}"
        browser = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        for guide in GUIDES:
            page = _signed_in(browser, base, guide.role)
            for picture in guide.pictures:
                if sys.argv[1:] and picture.name not in sys.argv[1:]:
                    continue
                _think_in("mm" if picture.is_metric else "in", guide.role)
                page.goto(base + address_of(picture.at))
                _keep(_shot(page, picture), PICTURES / f"{picture.name}.webp")
        browser.close()


def _signed_in(browser, base, role):
    """A phone on which somebody of this role is signed in; the bar of places, fixed to the window, is left out."""
    from django.conf import settings
    from django.test import Client

    from inventory.models import User

    client = Client()
    client.force_login(User.objects.get(role=role), backend="django.contrib.auth.backends.ModelBackend")
    context = browser.new_context(viewport={"width": 390, "height": TALL}, color_scheme="light", locale="en-US")
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": base}])
    return context.new_page()


def _think_in(unit: str, role) -> None:
    from inventory.models import User

    User.objects.filter(role=role).update(unit=unit)


def _shot(page, picture) -> bytes:
    top = page.get_by_text(picture.under).first.bounding_box()["y"] - 12 if picture.under else 0
    return page.screenshot(clip={"x": 0, "y": top, "width": 390, "height": picture.height})


def _keep(png: bytes, file: Path) -> None:
    from PIL import Image

    with Image.open(io.BytesIO(png)) as shot:
        for quality in QUALITIES:
            made = io.BytesIO()
            shot.convert("RGB").save(made, "WEBP", quality=quality, method=6)
            if made.tell() <= MOST_BYTES:
                break
        else:
            sys.exit(f"{file.name} is larger than {MOST_BYTES} bytes at any quality: make its height smaller.")
    file.write_bytes(made.getvalue())
    print(f"{file.relative_to(HOUSE)}: {made.tell()} bytes, quality {quality}")


if __name__ == "__main__":
    main()
