"""Cloth that ends inside a photograph with no card on it; what is table is the simulator's own truth."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from benchmarks.sim.shot import Shot
from swatches.cloth_alone import cloth_alone
from swatches.cloth_extent import find_cloth_alone
from swatches.crop import Box, Crop
from swatches.measure import Measured, measure_photo
from swatches.references import Reference
from swatches.ruler_scale import RulerTicks
from swatches.scale import ShownAcross, TwoPoints, TypedPpi
from tests.swatches.shots import other_shot, table_shot

PPI = 127.0
"""240 mm of the plane over 1200 pixels."""


@cache
def shot(lay: str, cloth: str, table: str, edge: str = "straight") -> Shot:
    return table_shot(
        lay, cloth, table, edge, kind="none", size=(1200, 900), canvas_ppmm=5, tilt_deg=4.0, fill=1.0
    )


def table_share(seen: Shot, box_px: Box) -> float:
    x, y = np.meshgrid(np.linspace(box_px[0], box_px[2], 90), np.linspace(box_px[1], box_px[3], 90))
    mm = seen.camera.to_plane(np.column_stack([x.ravel(), y.ravel()]) - 0.5)
    return float(1 - seen.ref["laid"].is_cloth(mm).mean())


def measured(seen: Shot, folder: Path, reference: Reference, crop: Crop | None = None) -> Measured:
    path = folder / "photo.jpg"
    path.write_bytes(seen.jpeg)
    return measure_photo(path, name="cloth", reference=reference, crop=crop, repeat="as it is")


def said(found: Measured) -> str:
    return " ".join(str(fault) for fault in found.faults if fault.name == "more than cloth")


@pytest.mark.parametrize(
    ("lay", "cloth", "table", "edge"),
    [
        ("island", "floral_half", "white", "pinked"),
        ("corner", "plaid", "wood", "straight"),
        ("one", "ditsy", "mat", "straight"),
    ],
)
def test_a_table_beside_the_cloth_is_left_out(lay: str, cloth: str, table: str, edge: str) -> None:
    seen = shot(lay, cloth, table, edge)
    assert table_share(seen, (0, 0, 1200, 900)) > 0.1
    box, faults = cloth_alone(seen.rgb, TypedPpi(PPI), ppi=PPI)
    assert box is not None
    assert table_share(seen, box) < 0.005
    assert faults == ()


@pytest.mark.parametrize("cloth", ["plaid", "large_floral", "stripe", "floral_grid", "solid", "grunge"])
def test_cloth_that_fills_the_picture_is_neither_cut_nor_told_of(cloth: str) -> None:
    seen = shot("full", cloth, "wood")
    assert cloth_alone(seen.rgb, TypedPpi(PPI), ppi=PPI) == (None, ())


def test_a_typed_density_holds_for_the_part_and_that_is_said(tmp_path: Path) -> None:
    found = measured(shot("island", "floral_half", "white", "pinked"), tmp_path, TypedPpi(PPI))
    assert "The cloth ends in the photograph" in found.swatch.scale_note
    assert found.swatch.ppi == PPI
    assert found.swatch.width_in < 6.5
    assert said(found) == ""


def test_a_width_may_have_been_the_cloth_s_so_nothing_is_cut(tmp_path: Path) -> None:
    seen = shot("island", "floral_half", "white", "pinked")
    found = measured(seen, tmp_path, ShownAcross(Fraction(9)))
    assert found.swatch.width_in == pytest.approx(9, rel=0.01)
    assert "the width that you gave may be the cloth's alone" in said(found)
    cropped = measured(seen, tmp_path, ShownAcross(Fraction(5)), Crop(400, 300, 800, 600))
    assert said(cropped) == ""


def test_a_single_edge_beside_plain_cloth_is_told_with_two_points_too(tmp_path: Path) -> None:
    seen = shot("one", "solid", "dark")
    found = measured(seen, tmp_path, TwoPoints((300, 450), (554, 450), Fraction(2)))
    assert "seems to end" in said(found)


def test_a_ruler_is_told_of_as_long_as_no_piece_is_marked(tmp_path: Path) -> None:
    seen, _ = other_shot("ruler")
    ruler = seen.ref["ruler"]
    ends = [(ruler["p0"][0] + 5, ruler["y"]), (ruler["p1"][0] - 5, ruler["y"])]
    (x0, y0), (x1, y1) = seen.to_photo(np.array(ends)) + 0.5
    ticks = RulerTicks((float(x0), float(y0)), (float(x1), float(y1)))
    assert "The ruler lies in the piece" in said(measured(seen, tmp_path, ticks))
    assert said(measured(seen, tmp_path, ticks, Crop(100, 100, 900, 500))) == ""


def test_any_size_that_is_said_of_a_picture_can_be_looked_at() -> None:
    seen = shot("one", "solid", "dark").rgb
    for ppi in (8.0, 40.0, 2000.0):
        assert find_cloth_alone(seen, ppi=ppi).ends in ("sure", "doubtful", "not seen")
    small = np.full((20, 30, 3), 120, np.uint8)
    assert find_cloth_alone(small, ppi=100.0).ends == "not seen"
