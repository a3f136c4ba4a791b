"""How well a phone photograph becomes a swatch: a seeded simulator with known truth, one JSON line.

Run: python -m benchmarks.photo [--photos N]. Of N photographs with the photo sheet one in ten has 12
megapixels, the others 3; some are turned, shaded, partly covered, curled or printed small. Cards add a third.
Keys: `sheet_found` (of the sheets, per cent, no clicks), `scale_med_pct`, `scale_p95_pct` (flat, 8 markers),
`pos_p95_mm` (the worst place in each window), `card_med_pct`, `card_p95_pct` (found by itself, else from
rough clicks), `grey_dE_mean`, `pair_dL_med`, `chart_dE_mean` (spectra of cloths, two cameras, nine lamps),
`flat_spread_L` (worst spread of L* left over plain cloth under a 40 % gradient), `repeat_ok_pct` (steps
within 0.5 %, of photographs that show 1.5 repeats), `repeat_wrong_pct` (of all: one reported that is none),
`seconds_12mp`, `peak_mb` (one process, from the file to the swatch). Also told: `curl_said_pct`,
`curl_false_pct`, `card_found_pct`, `card_wrong_pct` (of those found), `card_clicks_p95_pct`; and
`seconds_12mp_card` (a card, found by itself), `seconds_12mp_none` (only how much cloth is shown is known, and
the camera was tilted), `seconds_12mp_tile` (the same squarely from above, so that its repeats become a tile),
each the fastest of three runs, and `peak_mb_all`, the most that any of the four needs.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path
from time import process_time

import numpy as np

from benchmarks.photo_colour import colour_scores
from benchmarks.sim.fabrics import NAMES, render
from benchmarks.sim.ours import our_sheet
from benchmarks.sim.shot import simulate
from palettes.lightness import lab_from_lin
from swatches.card_find import find_card
from swatches.card_plane import CardError, find_card_plane
from swatches.lattice import reduced
from swatches.line_snap import snap_corners
from swatches.repeat import find_repeat
from swatches.resampling import map_points
from swatches.sheet_find import SheetError
from swatches.sheet_view import view_sheet

__all__ = ["main"]

_ASKED = (
    "sheet_found", "scale_med_pct", "scale_p95_pct", "pos_p95_mm", "card_med_pct", "card_p95_pct",
    "grey_dE_mean", "pair_dL_med", "chart_dE_mean", "flat_spread_L", "repeat_ok_pct", "repeat_wrong_pct",
    "seconds_12mp", "peak_mb",
)  # fmt: skip
"""The targets, in the order in which they are stated; what else is told comes after them."""

_WINDOW_IN = (7.9, 5.4)
_SMALL = {"size": (2000, 1500), "canvas_ppmm": 8}
_LARGE = {"size": (4000, 3000), "canvas_ppmm": 13}
_HARD = (
    {},
    {"roll_deg": 100.0},
    {"shadow": 0.4},
    {},
    {"cover_mm": [(0, 0, 32, 20)]},
    {"roll_deg": 181.0},
    {"paper_scale_err": -0.03},
    {},
    {"cover_mm": [(265, 0, 40, 30), (0, 180, 30, 40)], "shadow": 0.3},
    {"curl_mm": 2.5},
)


def sheet_photo(number: int) -> dict[str, object]:
    """What one photograph with the sheet gives."""
    name = NAMES[number % len(NAMES)]
    options = dict(_HARD[number % len(_HARD)])
    cloth, info = render(name, *_WINDOW_IN, 300, 1000 + number)
    large = number % 10 == 7
    page = "A4" if number % 2 else "Letter"
    if name == "solid":
        options["gradient"] = 0.4
    shot = simulate(
        cloth, 300, "sheet", seed=number, layout=our_sheet(page), tone=number % 3 != 0, keep_canvas=False,
        **(_LARGE if large else _SMALL), **options,
    )  # fmt: skip
    flat = "curl_mm" not in options
    row: dict[str, object] = {"name": name, "number": number, "flat": flat, "found": False}
    try:
        view = view_sheet(shot.rgb, bar_mm=100 * (1 + options.get("paper_scale_err", 0.0)))
    except (SheetError, ValueError) as fault:
        return {**row, "fault": str(fault)}
    sheet = view.sheet
    stretch = 1 + options.get("paper_scale_err", 0.0)
    row |= {"found": sheet.layout.page == page, "curled": sheet.curled, "tags": len(sheet.corners_px)}
    row |= _geometry(shot, sheet, stretch)
    if name == "solid" and flat:
        row["spread_L"] = _plain_spread(view)
    return row | (_repeat(view, info) if flat else {})


def _geometry(shot, sheet, stretch) -> dict[str, float]:
    left, top, right, bottom = sheet.layout.window_mm
    x, y = np.meshgrid(np.linspace(left, right, 11), np.linspace(top, bottom, 9))
    sheet_mm = np.stack([x.ravel(), y.ravel()], axis=1)
    # The simulator counts pixels from the centre of the first one.
    photo = shot.to_photo(sheet_mm * stretch + shot.ref["sheet_origin_mm"]) + 0.5
    seen_mm = sheet.plane.to_plane(photo)
    grown = np.linalg.lstsq(sheet_mm - sheet_mm.mean(0), seen_mm - seen_mm.mean(0), rcond=None)[0]
    return {
        "scale_pct": 100 * abs(float(np.sqrt(abs(np.linalg.det(grown)))) - 1),
        "worst_mm": float(np.hypot(*((seen_mm - sheet_mm) * stretch).T).max()),
    }


def _plain_spread(view) -> float:
    """Spread of L* over tenth-inch squares of plain cloth, weave and noise averaged away."""
    side = max(1, round(view.ppi / 10))
    rows, columns = (view.cloth_lin.shape[0] // side) * side, (view.cloth_lin.shape[1] // side) * side
    whole = view.cloth_lin[:rows, :columns]
    squares = whole.reshape(rows // side, side, columns // side, side, 3).mean((1, 3))
    return float(lab_from_lin(np.clip(squares, 0, 1))[..., 0].std())


def _repeat(view, info) -> dict[str, object]:
    found = find_repeat(view.cloth_lin, ppi=view.ppi)
    wide, high = view.cloth_lin.shape[1] / view.ppi, view.cloth_lin.shape[0] / view.ppi
    truth = np.array(info["lattice"]).reshape(-1, 2)
    if info["kind"] == "lattice":
        truth = np.array(reduced(tuple(truth[0]), tuple(truth[1])))
        seen_enough = all(abs(x) * 1.5 <= wide and abs(y) * 1.5 <= high for x, y in truth)
        right, wrong = _lattice_agrees(found, truth)
    elif info["kind"] == "stripe":
        seen_enough = truth[0, 0] * 1.5 <= wide
        right = found.kind == "stripe" and abs(np.hypot(*found.steps_in[0]) / truth[0, 0] - 1) < 0.005
        wrong = bool(found.steps_in) and not right
    else:
        seen_enough, right = False, found.kind in ("none", "plain")
        wrong = found.kind in ("lattice", "stripe")
    return {"repeat_seen": seen_enough, "repeat_ok": right, "repeat_wrong": wrong, "kind": found.kind}


def _lattice_agrees(found, truth) -> tuple[bool, bool]:
    if found.kind == "none":
        return False, False
    steps = np.array(found.steps_in).reshape(-1, 2)
    whole = steps @ np.linalg.inv(truth)
    off = np.abs(steps - np.rint(whole) @ truth).max() / np.hypot(*truth.T).max() if len(steps) else 1.0
    nearly = off < 0.005
    right = found.kind == "lattice" and nearly and abs(round(float(np.linalg.det(np.rint(whole))))) == 1
    # A multiple of the repeat still tiles rightly, and "one way only" owns up to the other; neither is false.
    false = not (nearly and np.abs(np.rint(whole)).max() > 0)
    return bool(right), bool(false)


def card_photo(number: int) -> dict[str, object]:
    """What one photograph with a card gives: found by itself, and from clicks 4 pixels off."""
    name = NAMES[(number * 5) % len(NAMES)]
    cloth, _ = render(name, 9.5, 7.2, 200, 2000 + number)
    shot = simulate(cloth, 200, "card", seed=5000 + number, wrinkle_mm=0, keep_canvas=False, **_SMALL)
    truth = shot.to_photo(shot.ref["card"]) + 0.5
    rng = np.random.default_rng(number)
    row: dict[str, object] = {"name": name, "number": number, "found": True}
    try:
        row["auto_pct"] = _card_error(find_card(shot.rgb).corners_px, shot)
    except CardError:
        row["found"] = False
    clicks = truth + rng.normal(0, 4, truth.shape)
    snapped = snap_corners(shot.rgb, [tuple(corner) for corner in clicks])
    row["click_pct"] = _card_error(snapped.corners_px, shot) if snapped.plain else None
    return row


def _card_error(corners, shot) -> float:
    """How far the way round the cloth that the card hides, in the plane that the corners span, is off."""
    plane = find_card_plane([tuple(corner) for corner in corners], width_px=2000, height_px=1500)
    hidden_in = map_points(np.linalg.inv(plane.to_photo), shot.to_photo(shot.ref["card"]) + 0.5)
    return 100 * abs(_around(hidden_in) * 25.4 / _around(shot.ref["card"]) - 1)


def _around(corners) -> float:
    return float(np.hypot(*(np.roll(corners, -1, axis=0) - corners).T).sum())


_ONE = """
import sys, json
import cv2
cv2.setNumThreads(1)
from fractions import Fraction
from time import process_time
from swatches.measure import measure_photo
from swatches.references import Card, PhotoSheet
from swatches.scale import ShownAcross
known = {"sheet": PhotoSheet(), "card": Card()}.get(sys.argv[2], ShownAcross(Fraction(19, 2)))
began = process_time()
made = measure_photo(sys.argv[1], name="bench", reference=known)
seconds = process_time() - began
status = open("/proc/self/status").read()
peak = int(status.split("VmHWM:")[1].split()[0]) / 1024
print(json.dumps([seconds, peak, made.swatch.repeats]))
"""
_LARGE_PHOTOS = {
    "sheet": {"seed": 77},
    "card": {"seed": 77},
    "none": {"seed": 77},
    "tile": {"seed": 78, "tilt_deg": 0.0, "roll_deg": 0.4, "k1": 0.0},
}
"""What stands for each ordinary photograph of 12 megapixels, by what is in it."""


def one_large(folder: Path, kind: str) -> tuple[float, float]:
    """Processor seconds and peak megabytes of one process that makes one swatch from a 12-megapixel JPEG."""
    shown_in = _WINDOW_IN if kind == "sheet" else (9.5, 7.2)
    cloth, _ = render("floral_half", *shown_in, 330, 3)
    reference = kind if kind in ("sheet", "card") else "none"
    layout = our_sheet("A4") if kind == "sheet" else None
    shot = simulate(
        cloth, 330, reference, layout=layout, tone=True, keep_canvas=False, **_LARGE, **_LARGE_PHOTOS[kind]
    )
    path = folder / f"{kind}.jpg"
    path.write_bytes(shot.jpeg)
    runs = []
    for _ in range(3):
        told = subprocess.run(
            [sys.executable, "-c", _ONE, str(path), kind], capture_output=True, text=True, check=True,
            env={"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(Path.cwd())},
        )  # fmt: skip
        runs.append(json.loads(told.stdout.splitlines()[-1]))
    if kind == "tile" and not runs[0][2]:
        raise RuntimeError("The photograph that is to show its repeats did not become a tile")
    return min(run[0] for run in runs), max(run[1] for run in runs)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--photos", type=int, default=100)
    count = parser.parse_args().photos
    began = process_time()
    colours = colour_scores()
    with tempfile.TemporaryDirectory() as folder:
        large = {kind: one_large(Path(folder), kind) for kind in _LARGE_PHOTOS}
    sheets = []
    for number in range(count):
        sheets.append(sheet_photo(number))
        row = sheets[-1]
        if not row["found"] or row.get("repeat_wrong") or (row.get("repeat_seen") and not row["repeat_ok"]):
            print(json.dumps(row), flush=True)
    cards = [card_photo(number) for number in range(max(4, count // 3))]
    print(f"{process_time() - began:.0f} s of processor time for {count} sheets and {len(cards)} cards")
    scores = {**_sheet_scores(sheets), **_card_scores(cards), **colours}
    seconds_12mp, peak_mb = large["sheet"]
    scores |= {"seconds_12mp": round(seconds_12mp, 2), "peak_mb": round(peak_mb)}
    scores |= {f"seconds_12mp_{kind}": round(large[kind][0], 2) for kind in large if kind != "sheet"}
    scores["peak_mb_all"] = round(max(peak for _, peak in large.values()))
    asked = {key: scores.pop(key) for key in _ASKED}
    print(json.dumps(asked | scores))


def _sheet_scores(rows: list[dict[str, object]]) -> dict[str, float]:
    seen = [row for row in rows if row["found"]]
    flat = [row for row in seen if row["flat"]]
    whole = [row["scale_pct"] for row in flat if row["tags"] == 8]
    spreads = [row["spread_L"] for row in seen if "spread_L" in row]
    enough = [row["repeat_ok"] for row in flat if row.get("repeat_seen")]
    asked = [row["repeat_wrong"] for row in flat if "repeat_wrong" in row]
    curled = [row["curled"] for row in seen if not row["flat"]]
    false_curl = [row["curled"] for row in flat]
    return {
        "sheet_found": round(100 * len(seen) / len(rows), 1),
        "scale_med_pct": round(float(np.median(whole)), 4),
        "scale_p95_pct": round(float(np.percentile(whole, 95)), 4),
        "pos_p95_mm": round(float(np.percentile([row["worst_mm"] for row in flat], 95)), 3),
        "flat_spread_L": round(max(spreads), 2) if spreads else None,
        "repeat_ok_pct": round(100 * float(np.mean(enough)), 1),
        "repeat_wrong_pct": round(100 * float(np.mean(asked)), 1),
        "curl_said_pct": round(100 * float(np.mean(curled)), 1) if curled else None,
        "curl_false_pct": round(100 * float(np.mean(false_curl)), 1),
    }


def _card_scores(rows: list[dict[str, object]]) -> dict[str, float]:
    autos = [row["auto_pct"] for row in rows if row["found"]]
    clicks = [row["click_pct"] for row in rows if row["click_pct"] is not None]
    used = [row["auto_pct"] if row["found"] else row["click_pct"] for row in rows]
    used = [share for share in used if share is not None]
    return {
        "card_med_pct": round(float(np.median(used)), 3),
        "card_p95_pct": round(float(np.percentile(used, 95)), 3),
        "card_found_pct": round(100 * len(autos) / len(rows), 1),
        "card_wrong_pct": round(100 * float(np.mean([share > 2 for share in autos])), 1) if autos else 0.0,
        "card_clicks_p95_pct": round(float(np.percentile(clicks, 95)), 3),
    }


if __name__ == "__main__":
    main()
