"""The page as a maker uses it, in a real browser: choose, look, read, take away; nothing leaves this machine."""

from __future__ import annotations

import io
import shutil
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from benchmarks.sim.fabrics import render
from swatches.by_eye import ByEye
from swatches.solids import solid_swatch
from swatches.stash import Stash
from tests.swatches.charts import with_chart
from tests.swatches.shots import sheet_shot
from ui.serve import HOST, make_app
from ui.shelf import Shelf
from ui.workroom import Workroom

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

pytestmark = [
    pytest.mark.skipif(CHROMIUM is None, reason="needs Debian's chromium"),
    # Raised inside gradio, which still calls what pandas 4 will drop.
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::FutureWarning"),
]


@pytest.fixture(scope="module")
def stash_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("stash") / "stash.sqlite"


@pytest.fixture(scope="module")
def address(stash_file: Path) -> Iterator[str]:
    """The page, served from this process at a free port."""
    import uvicorn

    listener = socket.socket()
    listener.bind((HOST, 0))
    app = make_app(Workroom(Shelf(stash_file)))
    server = uvicorn.Server(uvicorn.Config(app, log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://{HOST}:{listener.getsockname()[1]}"
    server.should_exit = True
    thread.join(timeout=10)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Debian's browser, driven without a screen."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        running = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-dev-shm-usage"]
        )
        yield running
        running.close()


@pytest.fixture
def page(browser: Any, address: str) -> Iterator[Any]:
    """The page, loaded and drawn; at the end nothing was asked of another host and no script had failed."""
    opened = browser.new_page(viewport={"width": 1400, "height": 900})
    asked: list[str] = []
    wrong: list[str] = []
    opened.on("request", lambda request: asked.append(request.url))
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    opened.on("console", lambda line: wrong.append(line.text) if line.type == "error" else None)
    opened.goto(address)
    wait_drawn(opened, "")
    yield opened
    opened.close()
    outside = [url for url in asked if not url.startswith((address, "data:", f"blob:{address}"))]
    assert len(asked) > 10
    assert outside == []
    assert wrong == []


SOURCE = "() => document.querySelector('#wall [data-shown]')?.dataset.shown ?? ''"


def wait_drawn(page: Any, before: str) -> str:
    """The address of the picture, once another than `before` is on the wall."""
    page.wait_for_function(f"(before) => ({SOURCE})() !== before", arg=before, timeout=30_000)
    return str(page.evaluate(SOURCE))


def seen(page: Any, address: str) -> np.ndarray:
    """The pixels of the picture that the page shows."""
    source = page.get_attribute("#wall .whole", "src")
    return np.asarray(Image.open(io.BytesIO(page.request.get(address + source).body())).convert("RGB"))


def choose_block(page: Any, title: str) -> None:
    page.get_by_role("button", name="Choose a block").click()
    page.get_by_label("Find a block").fill(title.lower())
    page.get_by_role("option", name=title, exact=True).click()


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


def test_a_photograph_becomes_cloth_with_markers_moved_by_key(page: Any, tmp_path: Path) -> None:
    photo = tmp_path / "photo.png"
    Image.fromarray(np.full((400, 600, 3), (200, 40, 80), np.uint8)).save(photo)
    page.get_by_role("button", name="New cloth from a photograph").click()
    page.set_input_files("#photo-form input[type=file]", photo)
    page.get_by_role("radio", name="A ruler lies on the cloth").check()
    marker = page.get_by_role("button", name="first point on the ruler")
    marker.focus()
    for _ in range(6):
        page.keyboard.press("Shift+ArrowLeft")
    assert page.evaluate("document.querySelector('#photo .marker').style.left") == "0%"
    page.get_by_label("The two points are apart").fill("4 1/2")
    name = "${window.wrong=1} <img src=x onerror=window.wrong=1>"
    page.get_by_label("What you call it").fill(name)
    page.get_by_role("button", name="Put it on the shelf").click()
    page.locator("#photo-said .kept").wait_for()
    option = page.get_by_role("option", name=name)
    option.wait_for()
    before = page.evaluate(SOURCE)
    option.click()
    wait_drawn(page, before)
    assert page.evaluate("window.wrong") is None, "a name is text, whatever it says"


def test_a_chart_is_found_and_moved_by_mouse_and_key(page: Any, tmp_path: Path) -> None:
    cloth, _ = render("gingham", 6.0, 4.5, 120, 2)
    photo = tmp_path / "chart.png"
    Image.fromarray(with_chart(cloth, ppi=120, at_in=(0.5, 0.5), step_in=0.3)).save(photo)
    page.get_by_role("button", name="New cloth from a photograph").click()
    page.set_input_files("#photo-form input[type=file]", photo)
    page.locator("#photo .found").get_by_text("24-patch chart was found too").wait_for()
    page.get_by_role("radio", name="A 24-patch chart, made since").and_(page.locator(":checked")).wait_for()
    marker = page.get_by_role("button", name="first corner of the chart")
    where = "node => [parseFloat(node.style.left), parseFloat(node.style.top)]"
    before = marker.evaluate(where)
    assert before == pytest.approx([100 * 62 / 720, 100 * 62 / 540], abs=0.5)
    marker.scroll_into_view_if_needed()
    box = marker.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + 40, box["y"] + 30, steps=4)
    page.mouse.up()
    dragged = marker.evaluate(where)
    assert dragged[0] > before[0] + 1
    page.keyboard.press("ArrowLeft")
    assert marker.evaluate(where) == pytest.approx([dragged[0] - 100 / 720, dragged[1]], abs=1e-3)
    assert page.locator("#photo path[data-group=chart]").get_attribute("d").count("L") == 3


def test_a_sheet_is_found_and_its_swatch_corrected_by_eye(page: Any, tmp_path: Path) -> None:
    photo = tmp_path / "sheet.jpg"
    photo.write_bytes(sheet_shot()[0].jpeg)
    page.get_by_role("button", name="New cloth from a photograph").click()
    page.set_input_files("#photo-form input[type=file]", photo)
    page.get_by_role("radio", name="The photo sheet lies on the cloth").and_(
        page.locator(":checked")
    ).wait_for()
    assert page.locator("#photo path[data-group=sheet]").get_attribute("d").count("Z") == 8
    page.get_by_role("button", name="Make the swatch").click()
    cloth = page.locator("#tried .cloth")
    cloth.wait_for()
    assert cloth.evaluate("node => [node.clientWidth, node.clientHeight]") == [480, 384], (
        "5 x 4 inches of CSS"
    )
    assert page.locator("#tried .cloth path.on").get_attribute("d").count("M") > 8, "a lattice of both steps"
    page.get_by_role("slider", name="Warmer").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("document.querySelector('#tried .cloth img').src.includes('warm=1&')")
    page.get_by_label("On this screen it measures").fill("2.5")
    page.keyboard.press("Tab")
    assert cloth.evaluate("node => node.clientWidth") == 576
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.get_by_role("radio", name="I mark it").check()
    page.get_by_role("button", name="Make the swatch").click()
    marker = page.get_by_role("button", name="a motif", exact=True)
    marker.wait_for()
    before = marker.evaluate("node => node.style.left")
    marker.focus()
    page.keyboard.press("Shift+ArrowRight")
    assert marker.evaluate("node => node.style.left") != before
    page.get_by_role("button", name="Make the swatch").click()
    page.get_by_text("as marked").wait_for()
    page.get_by_label("What you call it").fill("bee garden")
    page.get_by_role("button", name="Put it on the shelf").click()
    page.get_by_role("option", name="bee garden", exact=True).wait_for()


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
