"""How often faults of light and lens are named without the photo sheet, and how often of even photographs.

Run: python -m benchmarks.light [--half tuning] [--each N] [--rows FILE]. Simulated phone photographs of
cloth of known scale (made-up prints, demo cloth, and real cloth where a folder `shared/cloth` lies beside
this one), each with one fault or with none. A faint vignette, a tilt of up to 8 degrees, noise, a tone
curve and JPEG are in all of them, low folds in a third of those without a fault. The limits were tuned on
one half of the fabrics; the figures are of the other. Each fabric is seen without a fault, and with N of
the faults in turn.

One JSON line. `hit_*`: of photographs with that fault, the per cent in which it is said; `false_*`: of
those without any, the per cent in which it is said; `clean_pct`: of those, in which nothing is said.
`left_*`: spread of L* over quarter inches that the light leaves once it was evened out, median and 95th
percentile, and `was_*` before. Faults: `slope20`, `slope40` (the darkest place has so much less light;
the first counts as said where it was evened out, the second where it is named), `straight` and `round`
shadow's edges, `mixed` light, `glare`, `bright` (a tenth of the cloth clipped), `few` (70 pixels an
inch), `soft` (out of focus) and `shaken`, by pixels of spread at 220 an inch, from the cloth alone and
from a card; `tilt` by degrees, with a card. `said_lens`: anything said of a lens that leaves 0.6 of the
light in the corners, which is no fault. `untold_light_pct`: of slopes of 40 %, shadows and mixed light,
those where it is said that light cannot be told from the print; `silent_light_pct`: neither said nor
named.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from time import process_time

import cv2
import numpy as np
from PIL import Image

from benchmarks.sim.fabrics import NAMES, render
from benchmarks.sim.lit_shot import Laid, in_light, lay, photograph
from palettes.encodings import lin16_of_srgb8, srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.blur import read_cloth_blur, read_outline_blur
from swatches.card_find import find_card
from swatches.card_plane import CardError, find_card_plane
from swatches.clipping import clipped_share
from swatches.cloth_light import find_cloth_light
from swatches.demo.shelf import demo_about, demo_names, draw_swatch
from swatches.faults import blur_faults, cloth_faults, light_faults, tilt_faults
from swatches.line_snap import snap_corners
from swatches.repeat import find_repeat

__all__ = ["main"]

_REAL = Path(__file__).resolve().parents[2] / "shared" / "cloth"
_PRINT_PPI, _DEMO_PPI, _REAL_PPI = 220.0, 150.0, 110.0
_SOFT_PX, _SHAKEN_PX = (2.0, 3.0, 4.5), (6.0, 10.0, 16.0)
_TILTS_DEG = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0)
_FAULTS = ("slope20", "slope40", "straight", "round", "mixed", "glare", "bright", "few")
_SAID_AS = {
    "slope40": "uneven light", "straight": "shadow", "round": "shadow", "mixed": "mixed light",
    "glare": "glare", "bright": "too bright", "few": "few pixels",
}  # fmt: skip
_NAMES = ("uneven light", "shadow", "mixed light", "glare", "too bright", "few pixels", "blurred", "tilted")
_SHADED = ("slope20", "slope40", "straight", "round")


@dataclass(frozen=True)
class Fabric:
    """One cloth, flat."""

    name: str
    kind: str
    cloth_srgb8: np.ndarray
    cloth_ppi: float
    seen_ppi: float
    size: tuple[int, int]


def fabrics(half: str) -> Iterator[Fabric]:
    """Every other fabric of each kind, drawn as it is asked for."""
    start = 0 if half == "tuning" else 1
    for name in NAMES[start::2]:
        for seed in (1, 2):
            cloth, _ = render(name, 10.4, 8.0, 270, 40 + seed)
            yield Fabric(f"{name} {seed}", "print", cloth, 270.0, _PRINT_PPI, (2000, 1500))
    for kind, step in (("print", 3), ("solid", 12)):
        of_kind = [one for one in demo_names() if (demo_about(one).kind == "solid") == (kind == "solid")]
        for name in of_kind[start::step]:
            tile = draw_swatch(name).tile_srgb8
            times = [-(-side // have) for side, have in zip((1600, 2100), tile.shape, strict=False)]
            cloth = np.tile(tile, (*times, 1))[:1600, :2100]
            yield Fabric(name, "demo", cloth, _DEMO_PPI, _DEMO_PPI, (1840, 1380))
    for path in sorted(_REAL.glob("*.[jp][pn]g"))[start::2]:
        cloth = np.asarray(Image.open(path).convert("RGB"))
        size = (int(cloth.shape[1] * 0.88), int(cloth.shape[0] * 0.88))
        yield Fabric(path.stem, "real", cloth, _REAL_PPI, _REAL_PPI, size)


def shadow(kind: str, rng: np.random.Generator):
    """A shadow as the share of the light at places in half widths; its edge is 0.1 to 0.4 inches wide."""
    depth, soft = rng.uniform(0.3, 0.5), rng.uniform(0.1, 0.4) / 4.5 / 4.4
    if kind == "straight":
        way, reach = rng.uniform(0, 2 * np.pi), rng.uniform(0, 0.4)
        return _cast(lambda at: reach - at[..., 0] * np.cos(way) - at[..., 1] * np.sin(way), depth, soft)
    # As of a hand or a phone that reaches in from one side.
    way = rng.uniform(0, 2 * np.pi)
    middle = np.array([np.cos(way), 0.75 * np.sin(way)]) * rng.uniform(0.5, 0.8)
    wide, high = rng.uniform(0.35, 0.6, 2)
    turn = rng.uniform(0, np.pi)

    def far(at):
        x, y = at[..., 0] - middle[0], at[..., 1] - middle[1]
        u, v = x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)
        power = 3.0
        return ((np.abs(u) / wide) ** power + (np.abs(v) / high) ** power) ** (1 / power) * min(
            wide, high
        ) - min(wide, high)

    return _cast(far, depth, soft)


def _cast(far, depth: float, soft: float):
    return lambda at: (1 - depth / (1 + np.exp(np.clip(far(at) / soft, -30, 30)))).astype(np.float32)


def slope(share: float, rng: np.random.Generator):
    """Light that falls evenly by that share from one corner of the view to the other."""
    way = rng.uniform(0, 2 * np.pi)
    across, down = np.cos(way), np.sin(way)
    most = abs(across) + 0.75 * abs(down)
    return lambda at: 1 - share * 0.5 * (1 + np.clip((at[..., 0] * across + at[..., 1] * down) / most, -1, 1))


def faulty(laid: Laid, fault: str, rng: np.random.Generator) -> np.ndarray:
    """A photograph with that fault."""
    if fault in ("slope20", "slope40"):
        return photograph(laid, lamp=slope(int(fault[-2:]) / 100, rng))
    if fault in ("straight", "round"):
        return photograph(laid, lamp=shadow(fault, rng))
    if fault == "lens":
        return photograph(laid, vignette=0.4)
    if fault == "mixed":
        return photograph(laid, second_cct=2800 if laid.drawn["cct"] > 4200 else 6500)
    if fault == "glare":
        x, y = rng.uniform(-0.4, 0.4, 2)
        size, bright = rng.uniform(0.12, 0.25), rng.uniform(0.3, 0.6)
        return photograph(
            laid,
            glare=lambda at: (
                bright * np.exp(-((at[..., 0] - x) ** 2 + (at[..., 1] - y) ** 2) / (2 * size**2))
            ),
        )
    assert fault == "bright"
    return photograph(laid, exposure=1.1 / float(np.quantile(in_light(laid).max(axis=2), 0.9)))


def said_of(photo: np.ndarray, ppi: float) -> tuple[dict[str, object], np.ndarray]:
    """What is said of a photograph of that scale, as measuring it says it, and the evened cloth."""
    cloth_lin = srgb8_to_lin(photo)
    light = find_cloth_light(cloth_lin, ppi=ppi, repeat=find_repeat(cloth_lin, ppi=ppi))
    clipped = clipped_share(lin16_of_srgb8()[photo], ppi=ppi)
    faults = (
        *blur_faults(None, read_cloth_blur(cloth_lin, ppi=ppi)),
        *light_faults(light),
        *cloth_faults(cloth_lin, ppi=ppi, clipped=clipped),
    )
    row: dict[str, object] = {"said": [fault.name for fault in faults], "sure": light.sure}
    for key in ("alike", "uneven", "one_sided", "tinted", "shaded", "depth"):
        row[key] = round(getattr(light, key), 3)
    changed = light.uneven or light.tinted or light.shadow is not None
    return row, light.taken_off(cloth_lin) if changed else cloth_lin


def light_spread(seen_lin: np.ndarray, even_lin: np.ndarray, ppi: float) -> float:
    """Spread of L* over quarter inches against the same photograph in even light, equally bright."""
    side = max(2, round(ppi / 4))
    rows, columns = (length // side * side for length in seen_lin.shape[:2])
    seen, even = (
        light[:rows, :columns].reshape(rows // side, side, columns // side, side, 3).mean(axis=(1, 3))
        for light in (seen_lin, even_lin)
    )
    seen = seen * (even.mean() / seen.mean())
    return float((lab_from_lin(np.clip(seen, 0, 1)) - lab_from_lin(np.clip(even, 0, 1)))[..., 0].std())


def rows_of(fabric: Fabric, number: int, faults: tuple[str, ...]) -> Iterator[dict[str, object]]:
    """One row for the fabric without a fault, and one for each fault."""
    given = {"folds_mm": 0.6} if number % 3 == 0 else {}
    laid = lay(
        fabric.cloth_srgb8, fabric.cloth_ppi, 700 + number, size=fabric.size, ppi=fabric.seen_ppi, **given
    )
    even = srgb8_to_lin(photograph(laid, vignette=0.0, noisy=False))
    for fault in ("", *(("lens",) if number % 3 == 1 else ()), *faults):
        rng = np.random.default_rng((number, len(fault), *map(ord, fault)))
        row = {"name": fabric.name, "kind": fabric.kind, "number": number, "fault": fault}
        if fault == "few":
            yield {**row, **_from_afar(laid)}
            continue
        photo = photograph(laid) if not fault else faulty(laid, fault, rng)
        said, evened = said_of(photo, laid.ppi)
        if not fault or fault in _SHADED:
            said |= {"was_L": light_spread(srgb8_to_lin(photo), even, laid.ppi)}
            said |= {"left_L": light_spread(evened, even, laid.ppi)}
        yield {**row, **said}
    if fabric.kind == "print":
        for which, spreads in (("soft", _SOFT_PX), ("shaken", _SHAKEN_PX)):
            px = spreads[number % len(spreads)]
            yield {**_row(fabric, number, which), "px": px, "said": _blur_said(laid, which, px)}


def _row(fabric: Fabric, number: int, fault: str) -> dict[str, object]:
    return {"name": fabric.name, "kind": fabric.kind, "number": number, "fault": fault}


def _from_afar(laid: Laid) -> dict[str, object]:
    share = 70 / laid.ppi
    size = tuple(round(side * share) for side in laid.light.shape[1::-1])
    light, at = (cv2.resize(part, size, interpolation=cv2.INTER_AREA) for part in (laid.light, laid.at))
    return said_of(photograph(Laid(light, at, 70.0, None, laid.drawn, laid.seed)), 70.0)[0]


def _blur(which: str, px: float, number: int) -> dict[str, float]:
    return {"focus_px": px} if which == "soft" else {"smear_px": px, "smear_deg": 40.0 * number}


def _blur_said(laid: Laid, which: str, px: float) -> list[str]:
    cloth_lin = srgb8_to_lin(photograph(laid, **_blur(which, px, laid.seed)))
    return [fault.name for fault in blur_faults(None, read_cloth_blur(cloth_lin, ppi=laid.ppi))]


def card_rows(fabric: Fabric, number: int) -> Iterator[dict[str, object]]:
    """Rows for photographs with a card: one sharp at some tilt, one out of focus, one shaken."""
    tilt = _TILTS_DEG[number % len(_TILTS_DEG)]
    laid = lay(
        fabric.cloth_srgb8, fabric.cloth_ppi, 900 + number, size=fabric.size, ppi=fabric.seen_ppi, card=True,
        tilt_deg=tilt,
    )  # fmt: skip
    yield {**_row(fabric, number, "tilt"), "deg": tilt, **_card_said(laid, photograph(laid))}
    for which, spreads in (("soft", _SOFT_PX), ("shaken", _SHAKEN_PX)):
        px = spreads[number % len(spreads)]
        photo = photograph(laid, **_blur(which, px, number))
        yield {**_row(fabric, number, f"card_{which}"), "px": px, **_card_said(laid, photo)}


def _card_said(laid: Laid, photo: np.ndarray) -> dict[str, object]:
    try:
        corners = find_card(photo).corners_px
    except CardError:
        clicks = laid.corners_px + np.random.default_rng(laid.seed).normal(0, 3, (4, 2))
        corners = snap_corners(photo, [tuple(corner) for corner in clicks]).corners_px
    # Found corners may begin at any of the four.
    turned = (np.roll(np.array(corners), i, axis=0) - laid.corners_px for i in range(4))
    off = min(float(np.hypot(*apart.T).max()) for apart in turned)
    rows, columns = photo.shape[:2]
    plane = find_card_plane(corners, width_px=columns, height_px=rows)
    found = plane.tilt_deg
    outline = read_outline_blur(photo, plane)
    said = [fault.name for fault in (*tilt_faults(found), *blur_faults(outline, None))]
    level = None if outline is None else round(max(outline.level_px, outline.upright_px), 2)
    return {"said": said, "found_deg": found, "off_px": round(off, 1), "spread_px": level}


def scores(rows: list[dict[str, object]]) -> dict[str, object]:
    """The figures that are told."""
    clean = [row for row in rows if not row["fault"]]
    told: dict[str, object] = {"photos": len(rows), "clean": len(clean)}
    told["clean_pct"] = _share([not row["said"] for row in clean])
    for name in _NAMES[:-1]:
        told[f"false_{name.replace(' ', '_')}"] = _share([name in row["said"] for row in clean])
    for kind in ("print", "demo", "real"):
        told[f"clean_{kind}_pct"] = _share([not row["said"] for row in clean if row["kind"] == kind])
    for fault in _FAULTS:
        with_it = [row for row in rows if row["fault"] == fault]
        said = [
            row["uneven"] > 0 if fault == "slope20" else _SAID_AS[fault] in row["said"] for row in with_it
        ]
        told[f"hit_{fault}"] = _share(said)
    told["said_lens"] = _share([bool(row["said"]) for row in rows if row["fault"] == "lens"])
    lit = [row for row in rows if row["fault"] in (*_SHADED[1:], "mixed")]
    named = [_SAID_AS[row["fault"]] in row["said"] for row in lit]
    told["untold_light_pct"] = _share([not row["sure"] for row in lit])
    told["silent_light_pct"] = _share([row["sure"] and not one for row, one in zip(lit, named, strict=True)])
    for fault in ("", *_SHADED):
        for when in ("was", "left"):
            spreads = [row[f"{when}_L"] for row in rows if row["fault"] == fault]
            if spreads:
                told[f"{when}_{fault or 'clean'}"] = [
                    round(float(np.percentile(spreads, at)), 2) for at in (50, 95)
                ]
    return told | _lens_scores(rows)


def _lens_scores(rows: list[dict[str, object]]) -> dict[str, object]:
    told: dict[str, object] = {}
    for way in ("", "card_"):
        for which, spreads in (("soft", _SOFT_PX), ("shaken", _SHAKEN_PX)):
            for px in spreads:
                seen = [row for row in rows if row["fault"] == way + which and row["px"] == px]
                told[f"hit_{way}{which}_{px:g}"] = _share(["blurred" in row["said"] for row in seen])
    cards = [row for row in rows if row["fault"] == "tilt"]
    told["false_card_blurred"] = _share(["blurred" in row["said"] for row in cards])
    for deg in _TILTS_DEG:
        told[f"said_tilt_{deg:g}"] = _share(["tilted" in row["said"] for row in cards if row["deg"] == deg])
    off = [abs(row["found_deg"] - row["deg"]) for row in cards if row["found_deg"] is not None]
    told["tilt_off_deg"] = [round(float(np.percentile(off, at)), 1) for at in (50, 95)] if off else None
    return told


def _share(truths: list[bool]) -> float | None:
    return round(100 * sum(truths) / len(truths), 1) if truths else None


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--half", choices=("tuning", "held out"), default="held out")
    parser.add_argument("--each", type=int, default=3, help="faults that each fabric is seen with")
    parser.add_argument("--rows", type=Path, help="a file for one JSON line a photograph")
    given = parser.parse_args()
    cv2.setNumThreads(1)
    began = process_time()
    if not _REAL.is_dir():
        print(f"Real cloth is skipped: there is no folder {_REAL.parent.name}/{_REAL.name} beside this one.")
    rows = []
    for number, fabric in enumerate(fabrics(given.half)):
        turn = number * given.each
        faults = tuple(_FAULTS[(turn + i) % len(_FAULTS)] for i in range(given.each))
        rows += rows_of(fabric, number, faults)
        if fabric.kind == "print":
            rows += card_rows(fabric, number)
        if given.rows:
            given.rows.write_text("".join(json.dumps(row) + "\n" for row in rows))
    print(f"{process_time() - began:.0f} s of processor time for {len(rows)} photographs")
    print(json.dumps(scores(rows)))


if __name__ == "__main__":
    main()
