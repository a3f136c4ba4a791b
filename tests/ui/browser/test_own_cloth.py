"""The maker's own cloth kept in order on the page, in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from swatches.solids import solid_swatch
from swatches.stash import Stash
from tests.ui.browser.steps import IN_BROWSER, SOURCE, wait_drawn

pytestmark = IN_BROWSER


def test_own_cloth_is_renamed_taken_out_and_put_back(page: Any, stash_file: Path) -> None:
    Stash(stash_file).replace(solid_swatch("#3a6a8a", name="river <b>"))
    assert page.locator("#own .mine").is_hidden(), "demo cloth is nobody's own"
    before = page.evaluate(SOURCE)
    page.get_by_role("option", name="river <b>", exact=True).click()
    before = wait_drawn(page, before)
    page.get_by_label("This cloth is called").fill("brook")
    page.keyboard.press("Enter")
    page.get_by_role("option", name="brook", exact=True).wait_for()
    assert page.locator("#own .said").text_content() == "river <b> is called brook from now on."
    page.get_by_role("button", name="Take out of the stash").click()
    page.get_by_text("is no longer at hand").wait_for()
    assert page.get_by_role("option", name="brook", exact=True).count() == 0
    assert Stash(stash_file).aside() == ("brook",)
    page.get_by_role("button", name="Put brook back").click()
    page.get_by_role("option", name="brook", exact=True).wait_for()
    page.get_by_text("is no longer at hand").wait_for(state="detached")
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
