"""How long a quilt takes to lay out, neighbours included, beside shapely's tree asked for neighbours alone.

Run: python -m benchmarks.layout. The last line is one JSON object: `vs_strtree`, our whole time (block file
read, block worked out, 144 blocks set, neighbours found) over the tree's query for touching polygons, and
`growth`, the exponent of our time against the number of patches. Medians; contestants take turns.
"""

from __future__ import annotations

import json
from fractions import Fraction
from math import log
from statistics import median
from time import perf_counter

import numpy as np
from shapely import STRtree
from shapely.geometry import Polygon

from blocks.joins import neighbours_of
from blocks.library import open_block
from blocks.quilt import Quilt, set_quilt, write_out
from blocks.setting import Setting
from blocks.steps import Part

BLOCK = "orchard lantern"
SIDES = (1, 2, 4, 8, 12)
ROUNDS = 7


def lay_out_ours(side: int) -> tuple[Quilt, int]:
    """The quilt of side x side blocks and how many pairs of patches meet in it."""
    rows = tuple(tuple(Part(BLOCK) for _ in range(side)) for _ in range(side))
    quilt = set_quilt(Setting(rows), {BLOCK: open_block(BLOCK)}, seam_in=Fraction(1, 4))
    return quilt, len(neighbours_of(quilt).first)


def main() -> None:
    times: dict[int, list[float]] = {side: [] for side in SIDES}
    tree_times: list[float] = []
    bare_times: list[float] = []
    quilt, _ = lay_out_ours(SIDES[-1])
    polygons = np.array([Polygon(patch.outline) for patch in write_out(quilt).patches])
    for _ in range(ROUNDS):
        for side in SIDES:
            start = perf_counter()
            lay_out_ours(side)
            times[side].append(perf_counter() - start)
        start = perf_counter()
        tree = STRtree(polygons)
        tree.query(polygons, predicate="touches")
        tree_times.append(perf_counter() - start)
        start = perf_counter()
        STRtree(polygons).query(polygons, predicate="intersects")
        bare_times.append(perf_counter() - start)
    ours = {side: median(times[side]) for side in SIDES}
    # The slope of the last steps, where the one-off work on the block no longer hides it.
    patches = {side: side * side * len(quilt) / SIDES[-1] ** 2 for side in SIDES}
    growth = log(ours[12] / ours[4]) / log(patches[12] / patches[4])
    for side in SIDES:
        print(f"{side * side:4d} blocks, {patches[side]:6.0f} patches: {ours[side] * 1000:7.1f} ms")
    touches_ms, intersects_ms = median(tree_times) * 1000, median(bare_times) * 1000
    print(f"STRtree, touches: {touches_ms:.1f} ms; intersects: {intersects_ms:.1f} ms")
    print(
        json.dumps(
            {
                "vs_strtree": round(ours[12] / median(tree_times), 3),
                "vs_strtree_intersects": round(ours[12] / median(bare_times), 3),
                "growth": round(growth, 3),
            }
        )
    )


if __name__ == "__main__":
    main()
