"""How well a sheet of office paper on cloth gives the scale: seeded photographs, one JSON line at the end.

Run: python -m benchmarks.paper [--photos N] [--odd]. A third of the cloths is pale or plain. Keys:
`paper_found_pct` (with no clicks), `paper_wrong_pct` (of those found: off by more than 2 %),
`paper_med_pct` and `paper_p95_pct` (how far the way round the paper is off in the plane that was found),
`clicks_used_pct` (edges found beside corners marked 4 pixels off), `clicks_med_pct`, `clicks_p95_pct`,
`false_pct` (found where none was laid), `seconds` (to find it, 3 megapixels). The limits of
swatches/paper_find.py were settled on photographs whose number, halved, is even; --odd leaves those out.
"""

from __future__ import annotations

import argparse
import json
from time import process_time

import numpy as np

from benchmarks.sim.paper_shot import PAPER_SIZE, paper_cloth, paper_shot
from swatches.card_plane import CardError, find_card_plane
from swatches.paper_find import find_paper, snap_paper
from swatches.resampling import map_points

__all__ = ["bare_photo", "main", "paper_photo"]


def paper_photo(number: int) -> dict[str, object]:
    """What one photograph with paper gives: found by itself, and beside rough clicks."""
    shot, thing = paper_shot(number)
    row: dict[str, object] = {"number": number, "cloth": paper_cloth(number), "found": True}
    began = process_time()
    try:
        corners = find_paper(shot.rgb, thing=thing).corners_px
        row["auto_pct"] = _error_pct(corners, shot, thing)
    except CardError:
        row["found"] = False
    row["seconds"] = process_time() - began
    clicks = shot.to_photo(shot.ref["paper"]) + 0.5 + np.random.default_rng(number).normal(0, 4, (4, 2))
    snapped = snap_paper(shot.rgb, [(x, y) for x, y in clicks], thing=thing)
    row["clicks_pct"] = None if snapped is None else _error_pct(snapped, shot, thing)
    return row


def bare_photo(number: int) -> bool:
    """Whether paper is found where there is cloth alone."""
    shot, thing = paper_shot(number, laid=False)
    try:
        find_paper(shot.rgb, thing=thing)
    except CardError:
        return False
    return True


def _error_pct(corners, shot, thing) -> float:
    wide, high = PAPER_SIZE
    plane = find_card_plane([(x, y) for x, y in corners], width_px=wide, height_px=high, thing=thing)
    seen_in = map_points(np.linalg.inv(plane.to_photo), shot.to_photo(shot.ref["paper"]) + 0.5)
    sides = np.hypot(*(np.roll(seen_in, -1, axis=0) - seen_in).T)
    return 100 * abs(float(sides.sum()) / float(2 * (thing.long_in + thing.short_in)) - 1)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--photos", type=int, default=40)
    parser.add_argument("--odd", action="store_true", help="only those that no limit was settled on")
    asked = parser.parse_args()
    numbers = [n for n in range(4 * asked.photos) if not asked.odd or n // 2 % 2 == 1][: asked.photos]
    rows = []
    for number in numbers:
        rows.append(paper_photo(number))
        if not rows[-1]["found"] or rows[-1]["auto_pct"] > 2:
            print(json.dumps(rows[-1]), flush=True)
    bare = [bare_photo(number) for number in numbers[::3]]
    autos = [row["auto_pct"] for row in rows if row["found"]]
    clicks = [row["clicks_pct"] for row in rows if row["clicks_pct"] is not None]
    told = {
        "paper_found_pct": 100 * len(autos) / len(rows),
        "paper_wrong_pct": 100 * float(np.mean([off > 2 for off in autos])),
        "paper_med_pct": float(np.median(autos)),
        "paper_p95_pct": float(np.percentile(autos, 95)),
        "clicks_used_pct": 100 * len(clicks) / len(rows),
        "clicks_med_pct": float(np.median(clicks)),
        "clicks_p95_pct": float(np.percentile(clicks, 95)),
        "false_pct": 100 * float(np.mean(bare)),
        "seconds": float(np.mean([row["seconds"] for row in rows])),
    }
    print(json.dumps({key: round(each, 3) for key, each in told.items()}))


if __name__ == "__main__":
    main()
