"""The picture seen near, on a phone and while the stash changes, in a real browser."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from swatches.by_eye import ByEye
from swatches.solids import solid_swatch
from swatches.stash import Stash
from tests.ui.browser.steps import IN_BROWSER, SOURCE, choose_block, seen, wait_drawn

pytestmark = IN_BROWSER


def near_part(page: Any, before: dict[str, str] | None = None) -> dict[str, str]:
    """What the near picture was asked for, once another than `before` has come."""
    read = "[...new URLSearchParams(document.querySelector('#wall .near').getAttribute('src').split('?')[1])]"
    page.wait_for_function(
        f"""(before) => !document.querySelector('#wall .near').hidden &&
        JSON.stringify(Object.fromEntries({read})) !== JSON.stringify(before)""",
        arg=before,
        timeout=30_000,
    )
    return dict(page.evaluate(read))


def test_the_picture_is_seen_near_by_key_button_and_drag(page: Any, address: str) -> None:
    frame, times = page.locator("#wall .picture"), page.locator("#wall output")
    whole, further = page.get_by_role("button", name="Whole"), page.get_by_role("button", name="Further away")
    assert whole.is_disabled()
    assert further.is_disabled()
    frame.focus()
    page.keyboard.press("+")
    page.keyboard.press("+")
    assert times.inner_text() == "2.3 x"
    asked = near_part(page)
    side = frame.evaluate("node => node.clientWidth")
    assert int(asked["ppi"]) == int(side * 2.25 / 12), "a pixel of the screen shows a pixel of its own"
    middle = int(asked["left"]) + int(asked["wide"]) / 2
    assert middle == pytest.approx(12 * int(asked["ppi"]) / 2, abs=2)
    near = page.request.get(address + page.get_attribute("#wall .near", "src")).body()
    assert Image.open(io.BytesIO(near)).size == (int(asked["wide"]), int(asked["high"]))

    page.keyboard.press("ArrowRight")
    moved = near_part(page, asked)
    assert int(moved["left"]) == pytest.approx(int(asked["left"]) + 0.2 * side, abs=3)
    role = page.locator("#shelf .roles [aria-checked=true]").inner_text()
    box = frame.bounding_box()
    page.mouse.move(box["x"] + 300, box["y"] + 300)
    page.mouse.down()
    page.mouse.move(box["x"] + 250, box["y"] + 200, steps=4)
    page.mouse.up()
    assert int(near_part(page, moved)["top"]) == pytest.approx(int(asked["top"]) + 100, abs=3)
    assert page.locator("#shelf .roles [aria-checked=true]").inner_text() == role, "a drag chooses nothing"
    page.mouse.click(box["x"] + 5, box["y"] + 5)
    page.keyboard.press("0")
    assert times.inner_text() == "1 x"
    assert page.locator("#wall .near").is_hidden()

    for _ in range(9):
        if page.get_by_role("button", name="Nearer").is_enabled():
            page.get_by_role("button", name="Nearer").click()
    assert page.get_by_role("button", name="Nearer").is_disabled(), "there is a nearest"
    before = page.evaluate(SOURCE)
    page.get_by_role("radio", name="Value", exact=True).check()
    wait_drawn(page, before)
    assert near_part(page)["view"] == "value", "another view is seen as near"
    choose_block(page, "Nine Patch")
    wait_drawn(page, page.evaluate(SOURCE))
    page.wait_for_function("document.querySelector('#wall output').textContent === '1 x'")


def test_an_open_page_follows_the_stash(page: Any, address: str, stash_file: Path) -> None:
    stash, river = Stash(stash_file), solid_swatch("#3a6a8a", name="river")
    choose_block(page, "Nine Patch")
    stash.add(river)
    page.get_by_role("radio", name="dark").click()
    page.evaluate("window.dispatchEvent(new Event('focus'))")
    page.get_by_role("option", name="river", exact=True).click()
    page.wait_for_function(f"({SOURCE})().includes('dark%3D{river.key}')", timeout=30_000)
    before = page.evaluate(SOURCE)
    assert seen(page, address)[100, 100].tolist() == [0x3A, 0x6A, 0x8A]

    stash.replace(replace(river, by_eye=ByEye(light=60)))
    after = wait_drawn(page, before)  # nothing is clicked: it looks for itself every few seconds
    assert seen(page, address)[100, 100].sum() > 0x3A + 0x6A + 0x8A + 60
    chip = page.locator("#shelf [data-role=dark] img").get_attribute("src")
    assert chip.endswith(f"?seen={stash.stamps()[river.key]}")

    stash.remove("river")
    other = solid_swatch("#7a2a3a", name="river")
    stash.add(other)
    page.evaluate("window.dispatchEvent(new Event('focus'))")
    wait_drawn(page, after)
    assert f"dark%3D{other.key}" in page.evaluate(SOURCE), "a cloth photographed anew is taken for the old"

    stash.remove("river")
    page.evaluate("window.dispatchEvent(new Event('focus'))")
    alert = page.get_by_role("alert")
    alert.wait_for()
    assert "The cloth that was chosen for dark is no longer at hand." in alert.inner_text()
    assert "river" in page.locator("#shelf [data-role=dark]").inner_text(), "by its name, not by its key"
    page.get_by_role("option", name="soot", exact=True).click()
    page.wait_for_function(f"({SOURCE})().includes('dark%3Dsoot')", timeout=30_000)
    assert page.locator("[role=alert]").count() == 0


def test_a_phone_scrolls_one_way_only(browser: Any, address: str) -> None:
    phone = browser.new_page(viewport={"width": 390, "height": 844})
    phone.goto(address)
    wait_drawn(phone, "")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    phone.get_by_role("button", name="Choose a block").click()
    phone.get_by_role("radio", name="Straight").check()
    wait_drawn(phone, phone.evaluate(SOURCE))
    assert phone.evaluate("document.documentElement.scrollWidth") <= 390
    phone.close()


def test_two_fingers_bring_the_picture_nearer(browser: Any, address: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    phone = context.new_page()
    phone.goto(address)
    wait_drawn(phone, "")
    hand = context.new_cdp_session(phone)

    def touch(kind: str, *places: tuple[float, float]) -> None:
        points = [{"x": x, "y": y, "id": number} for number, (x, y) in enumerate(places)]
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    touch("touchStart", (150, 350), (250, 350))
    for step in range(1, 6):
        touch("touchMove", (150 - 10 * step, 350), (250 + 10 * step, 350))
    touch("touchEnd")
    phone.wait_for_function("document.querySelector('#wall output').textContent === '2 x'")
    nearer = near_part(phone)
    touch("touchStart", (250, 350))
    for step in range(1, 6):
        touch("touchMove", (250 - 10 * step, 350))
    touch("touchEnd")
    assert int(near_part(phone, nearer)["left"]) == pytest.approx(int(nearer["left"]) + 50, abs=3)
    assert phone.evaluate("[window.scrollX, window.visualViewport.scale]") == [0, 1]
    context.close()
