import pytest
from axe_core_python.sync_playwright import Axe

from shop.backup.archive import Archive
from tests.browser.conftest import follow

pytestmark = pytest.mark.browser


def test_an_administrator_downloads_a_whole_backup(signed_in):
    page = signed_in("administrator")
    page.goto("/desk/")
    follow(page.get_by_role("link", name="Backup"))
    with page.expect_download() as download:
        page.get_by_role("button", name="Download a backup").click()

    with open(download.value.path(), "rb") as file:
        assert Archive(file, name="download").manifest.rows_of("inventory.tool") > 100


def test_the_page_of_backups_can_be_read_and_tapped(signed_in):
    page = signed_in("administrator", bypass_csp=True)
    page.goto("/desk/backup/")

    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert Axe().run(page)["violations"] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.get_by_role("button", name="Download a backup").bounding_box()["height"] >= 44
