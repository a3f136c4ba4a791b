"""Other eyes: the matrices as published, and what they make of a few colours."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from palettes.vision import as_seen_by, eyes_matrix
from tests.published.tables import colour_science, read_rows

KINDS = {"Protanomaly": "protan", "Deuteranomaly": "deutan", "Tritanomaly": "tritan"}
MATRICES = read_rows("machado_2009_matrices.csv")


@pytest.mark.parametrize("row", MATRICES, ids=lambda row: f"{row['type']} {row['severity']}")
def test_every_published_matrix(row: dict[str, str]) -> None:
    wanted = np.array([[float(row[f"m{i}{j}"]) for j in (1, 2, 3)] for i in (1, 2, 3)])
    got = eyes_matrix(KINDS[row["type"]], severity=float(row["severity"]))
    np.testing.assert_allclose(got, wanted, rtol=0, atol=1e-12)


def test_the_table_is_whole() -> None:
    assert len(MATRICES) == 33


@pytest.mark.parametrize("kind", KINDS)
def test_a_second_witness_holds_the_same_matrices(kind: str) -> None:
    """At the tenths only: between them that package continues the next tenth's line instead."""
    for severity, matrix in colour_science().blindness.CVD_MATRICES_MACHADO2010[kind].items():
        np.testing.assert_allclose(eyes_matrix(KINDS[kind], severity=severity), matrix, rtol=0, atol=1e-12)


@pytest.mark.parametrize("row", read_rows("machado_2009_colours.csv"), ids=lambda row: row["eyes"])
def test_colours_in_linear_light(row: dict[str, str]) -> None:
    light = srgb8_to_lin(np.array([int(row[c]) for c in "rgb"], dtype=np.uint8))
    seen = lin_to_srgb8(as_seen_by(light, eyes=row["eyes"]))
    assert seen.tolist() == [int(row[f"seen_{c}"]) for c in "rgb"]
