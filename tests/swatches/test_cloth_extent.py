"""Cloth that ends inside the photograph: the table is left out or told of, and cloth is not cut for nothing.

What is cloth and what is table is the simulator's own truth (benchmarks/sim/on_table.py).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from benchmarks.sim.fabrics import render
from benchmarks.sim.on_table import lay_cloth
from benchmarks.sim.shot import Shot, simulate
from swatches.card import CLEAR_OF_CARD_IN, beside_card, straight_view
from swatches.card_plane import CardPlane, find_card_plane
from swatches.cloth_extent import find_cloth
from swatches.crop import Crop
from swatches.measure import Measured, measure_photo
from swatches.references import Card
from swatches.resampling import map_points
from tests.swatches.shots import table_shot


@cache
def shot(lay: str, cloth: str, table: str, edge: str = "straight") -> Shot:
    return table_shot(
        lay,
        cloth,
        table,
        edge,
        kind="card",
        size=(2000, 1500),
        canvas_ppmm=8,
        card_ang=4.0,
        card_x=0.0,
        card_y=0.0,
        tilt_deg=6.0,
    )


def corners_of(seen: Shot) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in seen.to_photo(seen.ref["card"]) + 0.5)


def plane_of(seen: Shot) -> CardPlane:
    return find_card_plane(corners_of(seen), width_px=2000, height_px=1500)


def table_share(seen: Shot, box_px: tuple[int, int, int, int]) -> float:
    """Share of a part of the straightened view that is no cloth."""
    view = straight_view(plane_of(seen))
    x, y = np.meshgrid(np.linspace(box_px[0], box_px[2], 80), np.linspace(box_px[1], box_px[3], 80))
    at_in = np.column_stack([x.ravel() / view.ppi + view.left_in, y.ravel() / view.ppi + view.top_in])
    mm = seen.camera.to_plane(map_points(view.plane.to_photo, at_in) - 0.5)
    return float(1 - seen.ref["laid"].is_cloth(mm).mean())


def measured(seen: Shot, folder: Path, crop: Crop | None = None) -> Measured:
    path = folder / "photo.jpg"
    path.write_bytes(seen.jpeg)
    reference = Card(corners_of(seen), exact=True)  # type: ignore[arg-type]
    return measure_photo(path, name="cloth", reference=reference, crop=crop, repeat="as it is")


@pytest.mark.parametrize(
    ("cloth", "table", "edge"),
    [("floral_half", "white", "pinked"), ("plaid", "wood", "straight"), ("ditsy", "dark", "straight")],
)
def test_a_table_round_the_cloth_is_left_out(cloth: str, table: str, edge: str) -> None:
    seen = shot("island", cloth, table, edge)
    view = straight_view(plane_of(seen))
    assert table_share(seen, beside_card(view)) > 0.2
    extent = find_cloth(seen.rgb, view)
    assert extent.ends == "sure"
    assert extent.box_px is not None
    assert table_share(seen, extent.box_px) < 0.005
    left, top, right, bottom = view.card_px
    clear = CLEAR_OF_CARD_IN * view.ppi
    box = extent.box_px
    assert box[2] <= left - clear + 1 or box[0] >= right + clear - 1 or box[3] <= top or box[1] >= bottom


def test_wavy_edges_are_told_of_at_least() -> None:
    seen = shot("island", "ditsy", "dark", "wavy")
    assert find_cloth(seen.rgb, straight_view(plane_of(seen))).ends != "not seen"


@pytest.mark.parametrize("cloth", ["plaid", "large_floral", "stripe", "floral_grid", "solid"])
def test_cloth_that_fills_the_picture_is_not_cut(cloth: str) -> None:
    seen = shot("full", cloth, "wood")
    extent = find_cloth(seen.rgb, straight_view(plane_of(seen)))
    assert extent.box_px is None
    assert extent.ends == "not seen"


@pytest.mark.parametrize("seed", [2, 6])
def test_a_band_of_a_strong_colour_beside_a_print_is_told_of_and_never_cut(seed: int) -> None:
    picture, _ = render("ditsy", 10, 8, 160, seed)
    picture[:, 1280:] = (176, 52, 60) if seed == 2 else (40, 120, 84)
    dress = lay_cloth(
        picture, 160, lay="full", table="wood", edge="straight", away_mm=(0, 0, 0, 0), turn_deg=3.0, seed=5
    )
    seen = simulate(
        picture[:8, :8], 100, "card", seed=5, size=(2000, 1500), canvas_ppmm=8, keep_canvas=False, pad_mm=100,
        dress=dress, card_ang=4.0, card_x=0.0, card_y=0.0, wrinkle_mm=0.0, tilt_deg=6.0,
    )  # fmt: skip
    extent = find_cloth(seen.rgb, straight_view(plane_of(seen)))
    assert extent.box_px is None
    assert extent.ends == "doubtful"


def test_it_is_told_when_a_part_was_left_out(tmp_path: Path) -> None:
    seen = shot("island", "floral_half", "white", "pinked")
    found = measured(seen, tmp_path)
    assert "The cloth ends in the photograph" in found.swatch.scale_note
    assert "more than cloth" not in [fault.name for fault in found.faults]


def test_one_straight_edge_is_told_where_it_may_be_a_stripe(tmp_path: Path) -> None:
    seen = shot("one", "solid", "dark")
    found = measured(seen, tmp_path)
    assert "more than cloth" in [fault.name for fault in found.faults]
    # A piece that the maker gives is taken as it is.
    cropped = measured(seen, tmp_path, Crop(10, 10, 300, 200))
    assert "more than cloth" not in [fault.name for fault in cropped.faults]
