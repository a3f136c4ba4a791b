"""A photograph becomes cloth on the page, in a real browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from benchmarks.sim.fabrics import render
from tests.swatches.charts import with_chart
from tests.swatches.shots import sheet_shot
from tests.ui.browser.steps import IN_BROWSER, SOURCE, wait_drawn

pytestmark = IN_BROWSER


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
    in_sight = """() => {
        const edge = document.querySelector('#photo-said').getBoundingClientRect();
        return edge.top >= 0 && edge.top < innerHeight - 60;
    }"""
    page.get_by_role("button", name="Put it on the shelf").click()
    page.get_by_text("The cloth has no name yet.").wait_for()
    page.wait_for_function(in_sight)
    page.get_by_label("What you call it").fill("bee garden")
    page.get_by_role("button", name="Put it on the shelf").click()
    page.get_by_role("option", name="bee garden", exact=True).wait_for()
    page.locator("#photo-said").get_by_text("bee garden is on your shelf").wait_for()
    page.wait_for_function(in_sight)
    assert page.get_by_label("What you call it").input_value() == ""
