"""Display P3, the colours of phone photographs, against W3C's own test colours."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.encodings import decode, encode, lin_to_srgb8
from palettes.primaries import srgb_of_p3
from tests.published.tables import colour_science, read_rows

ROWS = read_rows("display_p3.csv")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: " ".join((row["P3_r"], row["P3_g"], row["P3_b"])))
def test_p3_to_srgb(row: dict[str, str]) -> None:
    light = srgb_of_p3(decode([float(row[f"P3_{primary}"]) for primary in "rgb"]))
    wanted = [float(row[f"sRGB_{primary}"]) for primary in "rgb"]
    np.testing.assert_allclose(encode(light), wanted, rtol=0, atol=5e-5)
    if row["expected"]:
        assert bytes(lin_to_srgb8(light)).hex() == row["expected"]


def test_white_stays_white_and_a_second_witness_agrees() -> None:
    np.testing.assert_allclose(srgb_of_p3(np.ones(3)), 1, rtol=0, atol=1e-12)
    colour = colour_science()
    spaces = colour.RGB_COLOURSPACES
    theirs = colour.matrix_RGB_to_RGB(spaces["Display P3"], spaces["sRGB"])
    # colour-science keeps the four-decimal matrix of the sRGB standard.
    np.testing.assert_allclose(srgb_of_p3(np.eye(3)).T, theirs, rtol=0, atol=2e-4)
