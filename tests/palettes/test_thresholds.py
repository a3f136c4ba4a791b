from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from palettes.encodings import decode
from palettes.legibility import contrast_ratio
from palettes.lightness import lightness
from palettes.munsell import luminance_of_value
from palettes.thresholds import FOOTING, OURS, THRESHOLDS, deciding_figures


def test_every_threshold_is_explained_with_its_own_number() -> None:
    shown = [figure.value for figure in deciding_figures()]
    assert sorted(shown) == sorted(getattr(THRESHOLDS, field.name) for field in fields(THRESHOLDS))
    tried = replace(THRESHOLDS, clear_share=0.9)
    assert 0.9 in [figure.value for figure in deciding_figures(tried)]


@pytest.mark.parametrize("figure", [*deciding_figures(), *FOOTING], ids=lambda figure: figure.meaning)
def test_every_figure_has_a_meaning_and_a_source(figure: object) -> None:
    assert figure.meaning
    assert figure.source


def test_ours_are_marked_and_published_ones_are_not() -> None:
    others = [figure.meaning for figure in deciding_figures() if not figure.source.startswith(OURS)]
    assert len(others) == 1
    assert others[0].startswith("spread s of the eye's blur")
    assert not any(figure.source.startswith(OURS) for figure in FOOTING)


def test_half_seen_is_one_step_of_munsell_value() -> None:
    """ASTM D1535: between neighbouring whole values lie 9.6 to 10.4 L*."""
    steps = np.diff(lightness(luminance_of_value(np.arange(11))))
    assert abs(steps - THRESHOLDS.half_seen_L).max() < 0.45


def test_the_published_footings_agree_with_each_other() -> None:
    """On a white ground, a contrast of 3 : 1 asks for more than 30 L*, so neither is the milder everywhere."""
    ratio = next(figure.value for figure in FOOTING if figure.unit == ":1")
    step_L = next(figure.value for figure in FOOTING if figure.unit == "L*")
    white, grey = decode([1.0] * 3), decode([148 / 255] * 3)
    assert contrast_ratio(white, grey) == pytest.approx(ratio, abs=0.05)
    assert 100 - lightness(grey[0]) > step_L
