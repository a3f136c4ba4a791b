"""The page as a maker uses it, in a real browser: choose, look, read, take away; nothing leaves this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.ui.browser.steps import IN_BROWSER, SOURCE, choose_block, seen, wait_drawn

pytestmark = IN_BROWSER


def test_a_maker_chooses_looks_reads_and_takes_away(page: Any, address: str, tmp_path: Path) -> None:
    first = page.evaluate(SOURCE)
    assert page.evaluate("document.querySelector('#wall img').naturalWidth") == 1200

    choose_block(page, "Sawtooth Star")
    second = wait_drawn(page, first)
    star = seen(page, address)
    assert "Sawtooth Star" in page.locator("#wall .caption").inner_text()

    page.locator("#shelf [data-role=point]").click()
    page.get_by_role("option", name="berry", exact=True).click()
    third = wait_drawn(page, second)
    berry = seen(page, address)
    assert "point%3Dberry" in third
    changed = (star != berry).any(axis=2).mean()
    assert 0.2 < changed < 0.35, "the eight points are a quarter of a star"

    page.get_by_role("radio", name="Value", exact=True).check()
    fourth = wait_drawn(page, third)
    grey = seen(page, address)
    assert "view=value" in fourth
    assert (np.ptp(grey, axis=2) == 0).all()

    page.wait_for_function("document.querySelector('#cutting').innerText.includes('berry')")
    weakest = page.locator("#seams .edge").first
    assert weakest.inner_text().split()[0] in ("clear", "soft", "lost")
    assert "edges that should read" in page.locator("#seams .headline").inner_text()
    weakest.hover()
    assert len(page.locator("#wall .mark.on").get_attribute("d")) > 5, "the edge is marked in the picture"

    for name, opens in (("Picture, 300 ppi", b"\x89PNG"), ("Cutting list", b"Cutting list: Sawtooth Star")):
        with page.expect_download() as waiting:
            page.get_by_role("link", name=name, exact=True).click()
        file = tmp_path / waiting.value.suggested_filename
        waiting.value.save_as(file)
        assert file.read_bytes().startswith(opens)
    with Image.open(tmp_path / "sawtooth-star-picture.png") as picture:
        assert picture.size == (3600, 3600)
        assert picture.info["dpi"] == pytest.approx((300, 300), abs=0.01)


def test_every_word_of_a_reading_matches_its_figure(page: Any) -> None:
    page.locator("#seams summary").first.click()
    rows = [row for row in page.locator("#seams .edge").all_inner_texts() if row.strip()]
    assert len(rows) > 20
    shares = []
    for row in rows:
        word, share = row.split()[0], int(row.split(" %")[0].split()[-1])
        shares.append(share)
        # A share shown as 80 or 40 may lie on either side of the border.
        borders = {80: {"clear", "soft"}, 40: {"soft", "lost"}}
        expected = "clear" if share > 80 else "soft" if share > 40 else "lost"
        assert word in borders.get(share, {expected})
    assert shares == sorted(shares), "the weakest stand first"


def test_the_keyboard_is_enough(page: Any) -> None:
    before = page.evaluate(SOURCE)
    page.locator("#shelf .roles [aria-checked=true]").focus()
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.dataset.role") == page.locator(
        "#shelf .roles [aria-checked=true]"
    ).get_attribute("data-role")
    page.locator("#shelf .cloths [tabindex='0']").focus()
    page.keyboard.press("Home")
    page.keyboard.press("ArrowRight")
    picked = page.evaluate("document.activeElement.dataset.key")
    page.keyboard.press("Enter")
    after = wait_drawn(page, before)
    assert picked in after
    assert page.evaluate("document.activeElement.dataset.key") == picked, "the focus stays where it was"


def test_quick_changes_end_with_the_last(page: Any) -> None:
    page.get_by_role("radio", name="heart").click()
    for name in ("soot", "chalk", "plum", "sky", "rosehip"):
        page.get_by_role("option", name=name, exact=True).click()
    page.wait_for_function(f"({SOURCE})().includes('heart%3Drosehip')", timeout=30_000)
    assert "rosehip" in page.locator("#shelf .roles [data-role=heart]").inner_text()
    page.wait_for_function("document.querySelector('#cutting').innerText.includes('rosehip')")


def test_a_cloth_clicked_just_after_the_block_never_brings_the_old_block_back(page: Any) -> None:
    # Both clicks in one turn of the browser: no answer can have come in between.
    page.get_by_role("button", name="Choose a block").click()
    page.evaluate(
        "document.querySelector('#blocks [data-block=\"nine patch\"]').click();"
        "document.querySelector('#shelf [data-key=soot]').click();"
    )
    page.wait_for_function(f"({SOURCE})().includes('nine+patch')", timeout=30_000)
    page.wait_for_function("document.querySelector('#cutting').innerText.includes('seed packet')")
    page.wait_for_timeout(300)
    assert "nine+patch" in page.evaluate(SOURCE)
    assert "Nine Patch" in page.locator("#wall .caption").inner_text()
    names = page.evaluate("[...document.querySelectorAll('#shelf [data-role]')].map((e) => e.dataset.role)")
    assert names == ["dark", "light"]
    before = page.evaluate(SOURCE)
    page.get_by_role("option", name="soot", exact=True).click()
    assert "dark%3Dsoot" in wait_drawn(page, before), "the shelf takes cloth again"


def test_a_block_is_found_and_chosen_by_key(page: Any) -> None:
    before = page.evaluate(SOURCE)
    page.get_by_role("button", name="Choose a block").focus()
    page.keyboard.press("Enter")
    page.keyboard.type("hole in the barn")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.dataset.block") == "churn dash"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.className") == "open"
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Home")
    page.keyboard.press("ArrowRight")
    second = page.evaluate("document.activeElement.dataset.block")
    page.keyboard.press("Enter")
    assert second.replace(" ", "+") in wait_drawn(page, before)


def test_a_block_is_set_into_a_quilt_and_one_way_cloth_stands_upright(page: Any) -> None:
    choose_block(page, "Shoo Fly")
    first = wait_drawn(page, page.evaluate(SOURCE))
    upright = page.get_by_label("Print upright")
    assert not upright.is_visible()
    page.get_by_role("radio", name="Straight").check()
    second = wait_drawn(page, first)
    page.get_by_label("Sashing").first.fill("1 1/2")
    page.get_by_label("Sashing").first.press("Enter")
    third = wait_drawn(page, second)
    assert "30 x 30 in" in page.locator("#wall .caption").inner_text()
    page.get_by_role("radio", name="sash").click()
    page.get_by_role("option", name="hay meadow").click()
    fourth = wait_drawn(page, third)
    upright.check()
    assert "upright=yes" in wait_drawn(page, fourth)
    page.wait_for_function("document.querySelector('#cutting').innerText.includes('laid for an upright')")
    page.locator("#seams .edge").first.hover()
    assert len(page.locator("#wall .mark.on").get_attribute("d")) > 100, "all edges of the kind are marked"
    page.get_by_role("radio", name="On point").check()
    wait_drawn(page, page.evaluate(SOURCE))
    assert not page.get_by_label("Sashing").first.is_visible()
    page.get_by_role("radio", name="One block").check()
    page.wait_for_function(f"!({SOURCE})().includes('set=')", timeout=30_000)
    assert "9 x 9 in" in page.locator("#wall .caption").inner_text()


def test_a_mistake_is_told_and_nothing_changes(page: Any) -> None:
    before = page.evaluate(SOURCE)
    seam = page.get_by_label("Seam allowance")
    seam.fill("three elephants")
    seam.press("Enter")
    alert = page.get_by_role("alert")
    alert.wait_for()
    assert "'three elephants' is not a length." in alert.inner_text()
    top, foot = alert.evaluate(
        "node => [node.getBoundingClientRect().top, node.getBoundingClientRect().bottom]"
    )
    assert 0 <= top < foot <= 900, "in sight, though the page is scrolled to the field"
    assert "86 mm" in alert.inner_text()
    assert page.evaluate(SOURCE) == before
    seam.fill("7.5 mm")
    seam.press("Enter")
    wait_drawn(page, before)
    assert page.locator("[role=alert]").count() == 0


def test_a_choice_is_weighed(page: Any) -> None:
    page.get_by_role("button", name="Weigh the choice").click()
    page.get_by_label("From how far").fill("12 ft")
    page.get_by_role("button", name="Look", exact=True).click()
    page.wait_for_function("document.querySelector('#weighed img')?.naturalWidth === 1200", timeout=30_000)
    assert "from 12 feet" in page.locator("#weighed").inner_text()
    page.get_by_role("button", name="Light to dark").click()
    page.wait_for_function("document.querySelector('#weighed img')?.naturalWidth === 1040", timeout=30_000)
    page.get_by_role("button", name="What would help?").click()
    page.wait_for_function(
        "document.querySelector('#weighed').innerText.includes('Stitch round')", timeout=30_000
    )
    assert "becomes" in page.locator("#weighed").inner_text()
    since = page.get_by_text("The choice has changed since this was found.")
    assert since.is_hidden()
    before = page.evaluate(SOURCE)
    page.get_by_role("option", name="soot", exact=True).click()
    wait_drawn(page, before)
    assert since.is_visible()
    page.get_by_role("button", name="Light to dark").click()
    page.get_by_role("heading", name="The cloths from light to dark").wait_for()
    assert since.is_hidden()


def test_the_chosen_cloth_is_told_in_words(page: Any) -> None:
    page.get_by_role("radio", name="heart").click()
    page.get_by_role("option", name="hay meadow", exact=True).click()
    assert page.locator("#shelf .line").inner_text().startswith("hay meadow: ")


def test_readings_stay_inside_their_panel_on_a_phone(page: Any) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    over = """() => {
        const panel = document.querySelector('#reads').getBoundingClientRect().right - 12;
        return [...document.querySelectorAll('#seams *')]
            .filter((each) => each.getBoundingClientRect().right > panel).length;
    }"""
    assert page.locator("#seams .edge").count() > 8
    assert page.evaluate(over) == 0
