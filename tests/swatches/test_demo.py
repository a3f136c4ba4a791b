"""The shelf of demo cloth: what is on it, what its labels say, and that it is drawn alike every time."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lightness
from swatches.demo import UnknownCloth, demo_about, demo_names, demo_swatch
from swatches.demo.shelf import draw_swatch

ROOT = Path(__file__).resolve().parents[2]

SORTS = {
    "large floral": 2,
    "medium floral": 2,
    "ditsy": 4,
    "floral stripe": 1,
    "one-way": 3,
    "half-drop": 1,
    "brick": 2,
    "dots": 3,
    "geometric": 3,
    "gingham": 2,
    "tiny check": 1,
    "plaid": 2,
    "ticking stripe": 1,
    "awning stripe": 2,
    "tone-on-tone": 5,
    "leafy ground": 3,
    "low-volume": 3,
    "batik-like": 3,
    "solid": 23,
}

ONE_OF_EACH = sorted({demo_about(name).kind: name for name in demo_names()}.values())


def mean_lightness(name: str) -> float:
    return float(lightness(luminance(srgb8_to_lin(demo_swatch(name).tile_srgb8)).mean(dtype=np.float64)))


def digest(tile_srgb8: np.ndarray) -> str:
    return hashlib.sha256(tile_srgb8.tobytes()).hexdigest()


def test_the_shelf_holds_every_sort_of_cloth() -> None:
    names = demo_names()
    assert len(set(names)) == len(names)
    assert Counter(demo_about(name).kind for name in names) == SORTS
    assert sum(SORTS.values()) - SORTS["solid"] >= 28


@pytest.mark.parametrize("name", demo_names())
def test_the_repeat_is_exact(name: str) -> None:
    swatch, about = demo_swatch(name), demo_about(name)
    height, width, _ = swatch.tile_srgb8.shape
    assert (Fraction(width, 150), Fraction(height, 150)) == about.repeat_in
    assert swatch.ppi == 150
    assert swatch.repeats
    assert not swatch.tile_srgb8.flags.writeable
    assert swatch.name == about.name == name
    assert swatch.key == name.replace(" ", "-")
    assert swatch.one_way == about.one_way
    assert (swatch.kind == "solid") == (about.kind == "solid") == (about.motif_in == 0)
    assert about.line.endswith(".")


def test_values_run_from_very_light_to_very_dark() -> None:
    prints = [mean_lightness(name) for name in demo_names() if demo_about(name).kind != "solid"]
    solids = [mean_lightness(name) for name in demo_names() if demo_about(name).kind == "solid"]
    for shelf in (prints, solids):
        assert max(shelf) > 94
        assert min(shelf) < 22
        # Light, medium and dark, as a teacher sorts a stash: some of each.
        assert sum(L >= 75 for L in shelf) >= 5
        assert sum(45 <= L < 75 for L in shelf) >= 5
        assert sum(L < 45 for L in shelf) >= 4


def test_quiet_cloth_is_quiet() -> None:
    for name in demo_names():
        if demo_about(name).kind == "low-volume":
            assert mean_lightness(name) > 88
    assert mean_lightness("frost fern") > 90
    assert mean_lightness("wet slate") < 25


def test_large_florals_are_large() -> None:
    for name in demo_names():
        about = demo_about(name)
        if about.kind == "large floral":
            assert min(about.repeat_in) >= 8
            assert 3 <= about.motif_in <= 5


@pytest.mark.parametrize("name", ONE_OF_EACH)
def test_a_cloth_drawn_again_is_the_same_cloth(name: str) -> None:
    first, again = demo_swatch(name), draw_swatch(name)
    assert again.tile_srgb8 is not first.tile_srgb8
    assert digest(again.tile_srgb8) == digest(first.tile_srgb8)
    assert demo_swatch(name) is first


def test_another_python_draws_the_same_and_loads_nothing_slow() -> None:
    code = (
        "import hashlib, sys\n"
        "from swatches.demo import demo_swatch\n"
        "print(hashlib.sha256(demo_swatch('clover field').tile_srgb8.tobytes()).hexdigest())\n"
        "print(*{name.split('.')[0] for name in sys.modules})\n"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    drawn, loaded = run.stdout.splitlines()
    assert drawn == digest(demo_swatch("clover field").tile_srgb8)
    assert "numpy" in loaded.split()
    assert not {"skimage", "scipy", "colour", "gradio"} & set(loaded.split())


def test_a_name_may_be_typed_carelessly() -> None:
    assert demo_swatch("Clover-Field") is demo_swatch(" clover  field")


def test_an_unknown_name_is_answered_with_close_ones() -> None:
    with pytest.raises(UnknownCloth, match='"clover feild"') as caught:
        demo_swatch("clover feild")
    assert '"clover field"' in caught.value.mend
    with pytest.raises(UnknownCloth) as caught:
        demo_about("xqz")
    assert all(name in caught.value.mend for name in demo_names())
