"""Curves against a browser's own reading of SVG paths, bent strips against plane geometry."""

from __future__ import annotations

from fractions import Fraction
from itertools import groupby

import pytest
from shapely.geometry import LineString, MultiLineString, Point

from blocks.curves import flatten
from blocks.paths import parse_path
from blocks.stems import FOLDS, cut_width, edge_strain, tightest_radius
from tests.published.tables import read_rows

PATHS = [
    (name, list(rows)) for name, rows in groupby(read_rows("path_points.csv"), key=lambda row: row["name"])
]


@pytest.mark.parametrize(("name", "rows"), PATHS)
def test_paths_run_where_a_browser_draws_them(name, rows):
    text, length = rows[0]["path"], float(rows[0]["length"])
    # The browser's arcs stray up to 1e-4 of the length; elsewhere both sides round to about 0.001.
    tolerance = 1e-4 * length if "a" in text.lower() else 0.001 + 2e-6 * length
    lines = []
    for stroke in parse_path(text):
        points = [(float(x), float(y)) for x, y in flatten(stroke)]
        lines.append(LineString([*points, points[0]] if stroke.closed else points))
    ours = MultiLineString(lines)
    assert len(rows) == 13
    for row in rows:
        assert ours.distance(Point(float(row["x"]), float(row["y"]))) < tolerance
    assert ours.length == pytest.approx(length, abs=3 * tolerance)


@pytest.mark.parametrize(
    "row", read_rows("edge_strain.csv"), ids=lambda row: f"{row['b_in']} at {row['R_in']}"
)
def test_edge_strain_of_a_bent_strip(row):
    width_in, radius_in = Fraction(row["b_in"]), Fraction(row["R_in"])
    # Half the last printed digit.
    assert 100 * edge_strain(width_in, float(radius_in)) == pytest.approx(
        float(row["edge_strain_pct"]), abs=5.001e-4
    )
    # The same from a drawn half circle, and from the lengths of its edges: a witness that knows no formula.
    (stroke,) = parse_path(f"M 20 20 a {row['R_in']} {row['R_in']} 0 0 1 {2 * float(radius_in)} 0")
    assert tightest_radius(stroke, over_in=width_in) == pytest.approx(float(radius_in), rel=1e-9)
    middle = LineString([(float(x), float(y)) for x, y in flatten(stroke, within_in=Fraction(1, 10**6))])
    # shapely thins what it offsets by up to a hundredth of the distance.
    edges = sorted(
        middle.offset_curve(side * float(width_in) / 2, join_style="mitre").length for side in (-1, 1)
    )
    assert 100 * (edges[1] / middle.length - 1) == pytest.approx(float(row["edge_strain_pct"]), abs=0.1)
    assert 100 * (1 - edges[0] / middle.length) == pytest.approx(float(row["edge_strain_pct"]), abs=0.1)


def test_cut_widths_follow_the_rules_of_the_trade():
    """Common practice, no publisher: four ways of folding a quarter-inch stem, four widths to cut."""
    quarter = Fraction(1, 4)
    cut = {fold: cut_width(quarter, fold=fold) for fold in FOLDS}
    assert cut == {
        "two edges to the middle": Fraction(5, 8),
        "tube on a bar": Fraction(1),
        "raw edges under": Fraction(3, 4),
        "folded double": Fraction(1),
    }
    assert cut_width(Fraction(1, 2), fold="folded double") == 2
