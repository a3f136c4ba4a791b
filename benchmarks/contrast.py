"""How right and how quick the readings are: judged pairs, a whole block, one change, a shelf, a choice.

Run: python -m benchmarks.contrast. The last line is one JSON object: `pairs` judged pairs and how many of
them our words, the difference of mean L* and CIEDE2000 of the means get right; `readings_s`, all edges of a
61-patch block with three stems read at three distances, geometry and cloths fresh, once the swatches are in
memory; `reread_ms`, the same after one role's cloth changes; `shelf_vs_numpy`, the ranking of 20,000 cloths
over a bare numpy pass through the same columns; `choose_s`, cloths for 8 roles that all meet from 200, with
the table of their readings and the best ten. Times are medians.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from statistics import median
from time import perf_counter

import numpy as np

from blocks.edges import find_edges
from palettes.choosing import choose_cloths
from palettes.encodings import srgb8_to_lin
from palettes.looks import Look, look_of
from palettes.pair_table import pair_table
from palettes.shelf import COLOURS, Shelf, rank_shelf, shelf_of
from palettes.viewing import ACROSS_ROOM, ACROSS_TABLE, IN_HAND
from preview.audition import make_audition
from preview.keeping import PaintCache
from preview.readings import read_distances
from swatches.demo import demo_names, demo_swatch
from tests.palettes.judged_set import scores
from tests.preview.scenes import garden_block, spread_places

ROUNDS = 7
SHELF = 20_000
STASH = 200
ROLES = 8
BLOCK_CLOTHS = {
    "ground": "bee garden",
    "petal": "hay meadow",
    "sky": "clover field",
    "leaf": "willow walk",
    "stem": "yew hedge",
    "eye": "night hedge",
}


def seconds(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def read_times() -> tuple[float, float]:
    """Seconds for the first reading, and for another after one cloth changes to one not seen before."""
    block = garden_block()
    edges = find_edges(block)
    cloths = {role: demo_swatch(name) for role, name in BLOCK_CLOTHS.items()}
    changes = [
        demo_swatch(name) for name in ("seed packet", "moss bank", "red currant", "pond light", "tile path")
    ]
    places = spread_places(block)
    viewings = (IN_HAND, ACROSS_TABLE, ACROSS_ROOM)
    auditions = [make_audition(block, roles=cloths, places=places)]
    auditions += [make_audition(block, roles={**cloths, "petal": cloth}, places=places) for cloth in changes]
    first, again = [], []
    for _ in range(ROUNDS):
        kept = PaintCache()
        times = [
            seconds(lambda kept=kept, each=each: read_distances(each, edges, viewings=viewings, cache=kept))
            for each in auditions
        ]
        first.append(times[0])
        again += times[1:]
    return median(first), median(again)


def demo_looks() -> list[Look]:
    looks = []
    for name in demo_names():
        swatch = demo_swatch(name)
        step = round(swatch.ppi / 50)
        light = srgb8_to_lin(swatch.tile_srgb8[::step, ::step])
        looks.append(look_of(light, per_in=(swatch.ppi / step, swatch.ppi / step), repeats=swatch.repeats))
    return looks


def many_looks(looks: list[Look], count: int, *, seed: int) -> list[Look]:
    """Cloths like those given, each a little lighter, darker and otherwise coloured."""
    rng = np.random.default_rng(seed)
    found = []
    for index in range(count):
        look, move = looks[index % len(looks)], rng.normal(0, (8, 6, 6))
        spots, narrow = (
            np.clip(lab + move, (0, -100, -100), 100) for lab in (look.spots_lab, look.narrow_spots_lab)
        )
        found.append(replace(look, mean_lab=look.mean_lab + move, spots_lab=spots, narrow_spots_lab=narrow))
    return found


def bare_pass(shelf: Shelf, L: float, colours_lab: np.ndarray) -> np.ndarray:
    """One plain pass over the columns: differences of lightness and of every colour, a sum, a sort."""
    sum_L = np.abs(shelf.L - L) / np.sqrt(shelf.spread_L[0] ** 2 + 25) - shelf.busy[0]
    for own_lab, share in zip(shelf.colours_lab, shelf.shares, strict=True):
        for lab in colours_lab:
            sum_L -= share * (((own_lab - lab[:, None]) ** 2).sum(axis=0) < 144)
    return np.argsort(-sum_L, kind="stable")


def shelf_ratio(looks: list[Look]) -> tuple[float, float]:
    """Our time over the bare pass, contestants interleaved, and our seconds."""
    few = shelf_of(looks)
    which = np.random.default_rng(1).integers(0, len(few), SHELF)
    jitter = np.random.default_rng(2).normal(0, 0.5, SHELF).astype(np.float32)
    shelf = Shelf(
        few.L[which] + jitter,
        np.ascontiguousarray(few.spread_L[:, which]),
        np.ascontiguousarray(few.busy[:, which]),
        np.ascontiguousarray(few.colours_lab[..., which] + jitter),
        np.ascontiguousarray(few.shares[:, which]),
    )
    ground = looks[2]
    colours_lab = np.resize(np.array(few.colours_lab[:, :, 2]), (COLOURS, 3))
    ours, bare = [], []
    for _ in range(5 * ROUNDS):
        ours.append(seconds(lambda: rank_shelf(shelf, [ground], "stem")))
        bare.append(seconds(lambda: bare_pass(shelf, ground.L, colours_lab)))
    return median(ours) / median(bare), median(ours)


def choose_time(looks: list[Look]) -> float:
    stash = many_looks(looks, STASH, seed=3)
    allowed = np.ones((ROLES, STASH), bool)

    def choose() -> None:
        table = pair_table(stash)
        found = choose_cloths(allowed, dict.fromkeys(combinations(range(ROLES), 2), table))
        assert len(found) == 10
        assert all(choice.is_proven for choice in found)

    return median(seconds(choose) for _ in range(3))


def main() -> None:
    score = scores()
    readings_s, reread_s = read_times()
    looks = demo_looks()
    ratio, shelf_s = shelf_ratio(looks)
    choose_s = choose_time(looks)
    print(f"judged pairs: {score}")
    print(f"a block at three distances: {1000 * readings_s:.0f} ms, after a change {1000 * reread_s:.0f} ms")
    print(
        f"a shelf of {SHELF}: {1000 * shelf_s:.1f} ms, {ratio:.2f} times a bare pass; choice {choose_s:.2f} s"
    )
    print(
        json.dumps(
            {
                **score,
                "readings_s": round(readings_s, 3),
                "reread_ms": round(1000 * reread_s, 1),
                "shelf_vs_numpy": round(ratio, 2),
                "choose_s": round(choose_s, 3),
            }
        )
    )


if __name__ == "__main__":
    main()
