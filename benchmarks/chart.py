"""How well a 24-patch chart is found without a click, and how near colours come with it.

Run: python -m benchmarks.chart [--photos N]. N simulated photographs of 3 megapixels show a chart, 5 to 40
per cent of the picture wide, lying any way round on printed cloth, seen at up to 25 degrees from straight
above; a third have a slope of light over the chart and a third a shadow's edge. Half as many more show cloth
alone, a mirrored chart, or a field of 24 other colours. One JSON line: `found_pct` and `wrong_pct` (a corner
half a patch off or more; of all with a chart), `false_pct` (of those without), `corner_med_patches`,
`corner_worst_patches`, `chart_dE_mean` (99 measured cloths beside the found chart, of those that are not
refused), `chart_dE_worst`, `refused_pct` (found, but too unevenly lit or too bright to measure colours with),
`seconds`. Whether refusals are right: `kept_dE_beside` and `refused_dE_beside`, mean colour difference of
cloths in the better light beside the chart, with the charts that were kept and with those refused as if they
had not been, `refused_dE_least` the least of these, `refused_evenly_lit_pct` refused without a shadow's edge.
"""

from __future__ import annotations

import argparse
import json
import sys
from time import process_time

import numpy as np

from benchmarks.sim.chart_shot import chart_shot
from benchmarks.sim.spectra import LAMPS, Spectra, read_spectra, stored_of
from palettes.difference import ciede2000
from palettes.lightness import lab_from_lin
from swatches.chart import ChartError, fit_chart, read_chart
from swatches.chart_find import find_chart

__all__ = ["main"]

_HALF_A_PATCH = 0.5


def chart_photo(number: int, spectra: Spectra, *, kind: str = "chart", **given) -> dict[str, object]:
    """What one photograph gives."""
    see = spectra.camera(number % 2, LAMPS[number % len(LAMPS)], balance=(0.5, 0.75, 1.0)[number % 3])
    patches = np.clip(see(spectra.chart), 0, None)
    if kind == "other":
        patches = np.clip(see(spectra.cloth[np.random.default_rng(number).permutation(99)[:24]]), 0, None)
    white = see(np.ones_like(spectra.wave)[None])[0]
    shot = chart_shot(number, patches_lin=patches, cast=white, kind=kind, **given)
    row: dict[str, object] = {"number": number, "shade": shot.params["shade"], "share": shot.params["share"]}
    start = process_time()
    try:
        found = find_chart(shot.rgb)
    except ChartError:
        return {**row, "found": False, "seconds": process_time() - start}
    row |= {"found": True, "seconds": process_time() - start, "likeness": found.likeness}
    if kind != "chart":
        return row
    patch_px = float(np.hypot(*(shot.corners_px[1] - shot.corners_px[0]))) / 6
    off = float(np.hypot(*(np.array(found.corners_px) - shot.corners_px).T).max())
    row |= {"off": off / patch_px}
    patches_seen = read_chart(shot.rgb, found.corners_px)
    off: dict[str, object] = {}
    try:
        fitted = fit_chart(patches_seen, edition="before 2014")
        off["dE"] = _off(fitted, see, spectra, light=shot.light)
    except ChartError as fault:
        row |= {"refused": str(fault)}
        try:
            fitted = fit_chart(patches_seen, edition="before 2014", most_misfit=np.inf)
        except ChartError:
            return row
    off["dE_beside"] = _off(fitted, see, spectra, light=shot.beside)
    return {**row, **off, "misfit": fitted.misfit}


def _off(fitted, see, spectra: Spectra, *, light: float) -> float:
    """Mean CIEDE2000 of the cloths in that share of the light."""
    stored = stored_of(see(spectra.cloth) * light)
    made = fitted.light_of(np.round(stored * 65535).astype(np.uint16))
    return float(ciede2000(lab_from_lin(np.clip(made, 0, 1)), spectra.cloth_lab).mean())


def main(arguments: list[str]) -> None:
    """Prints one JSON line."""
    parser = argparse.ArgumentParser(description="Charts found in simulated photographs.")
    parser.add_argument("--photos", type=int, default=100, help="photographs with a chart (default: 100)")
    photos = parser.parse_args(arguments).photos
    spectra = read_spectra()
    rows = [chart_photo(number, spectra) for number in range(photos)]
    kinds = ("none", "mirrored", "other")
    without = [chart_photo(1000 + i, spectra, kind=kinds[i % 3]) for i in range(photos // 2)]
    found = [row for row in rows if row["found"]]
    off = np.array([row["off"] for row in found])
    colour = [row["dE"] for row in found if "dE" in row]
    kept, lost = (
        [row["dE_beside"] for row in found if "dE_beside" in row and ("refused" in row) is refused]
        for refused in (False, True)
    )
    print(
        json.dumps(
            {
                "found_pct": round(100 * len(found) / len(rows), 1),
                "wrong_pct": round(100 * float((off >= _HALF_A_PATCH).sum()) / len(rows), 1),
                "false_pct": round(
                    100 * sum(bool(row["found"]) for row in without) / max(len(without), 1), 1
                ),
                "corner_med_patches": round(float(np.median(off)), 3),
                "corner_worst_patches": round(float(off.max()), 3),
                "chart_dE_mean": round(float(np.mean(colour)), 2),
                "chart_dE_worst": round(float(np.max(colour)), 2),
                "refused_pct": round(100 * sum("refused" in row for row in found) / len(rows), 1),
                "kept_dE_beside": round(float(np.mean(kept)), 2),
                "refused_dE_beside": round(float(np.mean(lost)), 2) if lost else None,
                "refused_dE_least": round(float(np.min(lost)), 2) if lost else None,
                "refused_evenly_lit_pct": round(
                    100 * sum("refused" in row and row["shade"] != "edge" for row in found) / len(rows), 1
                ),
                "seconds": round(float(np.mean([row["seconds"] for row in rows])), 2),
            }
        )
    )


if __name__ == "__main__":
    main(sys.argv[1:])
