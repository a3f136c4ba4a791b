"""A phone photograph of a 24-patch chart on printed cloth, with the exact places of its patches.

chart_shot(seed, **given) -> ChartShot. Drawn from the seed unless given: share (the chart's field over the
picture's width, 0.05 to 0.4), turn_deg (0 to 360), tilt_deg (0 to 25), tilt_dir_deg, gap (between patches, of
their pitch), frame (reflectance round and between the patches), shade ("", "slope", "edge": a shadow's edge
runs over the chart), cloth, noise, blur_px, k1, exposure, tone.
`kind`: "chart"; "none", cloth alone; "mirrored", a chart seen in a mirror; "other", 24 colours that are none
of a chart, which the caller gives. Patches are drawn with 4 x 4 samples a pixel. Points count from the corner
of the first pixel.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from PIL import Image

from benchmarks.sim.camera import tone_curve
from benchmarks.sim.fabrics import NAMES, lin_to_srgb, render, srgb_to_lin

__all__ = ["ChartShot", "chart_shot"]

_SAMPLES = 4
_KINDS = ("chart", "none", "mirrored", "other")


@dataclass
class ChartShot:
    """The photograph and the truth about its chart."""

    rgb: np.ndarray
    jpeg: bytes
    corners_px: np.ndarray
    """(4, 2): outer corners of the field, round from dark skin; (0, 2) where there is no chart."""
    light: float
    """Mean share of the light that falls on the chart."""
    beside: float
    """Share of it on the better lit cloth round the chart, as far as the chart is wide."""
    params: dict


def _drawn(rng) -> dict:
    shade = rng.uniform()
    return {
        "share": float(np.exp(rng.uniform(np.log(0.05), np.log(0.4)))),
        "turn_deg": rng.uniform(0, 360),
        "tilt_deg": rng.uniform(0, 25),
        "tilt_dir_deg": rng.uniform(0, 360),
        "gap": (0.0, rng.uniform(0.04, 0.2))[int(rng.uniform() < 0.8)],
        "frame": float(rng.choice([0.03, 0.03, 0.06, 0.8])),
        "margin": rng.uniform(0.1, 0.5),
        "shade": "edge" if shade < 0.3 else "slope" if shade < 0.6 else "",
        "depth": rng.uniform(0.25, 0.5),
        "soft_px": float(np.exp(rng.uniform(np.log(2), np.log(80)))),
        "edge_at": rng.uniform(-0.35, 0.35),
        "edge_dir": rng.uniform(0, 2 * np.pi),
        "cloth": NAMES[int(rng.integers(len(NAMES)))],
        "cloth_span": rng.uniform(0.25, 1.0),
        "noise": rng.uniform(0.003, 0.015),
        "blur_px": rng.uniform(0.6, 1.3),
        "k1": rng.uniform(-0.03, 0.03),
        "exposure": rng.uniform(0.75, 1.0),
        "vignette": rng.uniform(0, 0.3),
        "place": rng.uniform(-1, 1, 2),
        "tone": True,
    }


def chart_shot(
    seed: int = 0,
    *,
    patches_lin,
    cast=(1.0, 1.0, 1.0),
    size=(2000, 1500),
    kind: str = "chart",
    jpeg_q: int = 85,
    **given,
) -> ChartShot:
    """`patches_lin` (24, 3): what the camera makes of the patches; `cast`: of a perfect white."""
    assert kind in _KINDS
    rng = np.random.default_rng(seed)
    p = _drawn(rng) | given
    to_photo, field = _seen(p, size)
    cloth = _cloth(p, size, seed) * np.asarray(cast)
    light = cloth.astype(np.float32)
    if kind != "none":
        colours = np.asarray(patches_lin, dtype=np.float64)
        if kind == "mirrored":
            colours = colours.reshape(4, 6, 3)[:, ::-1].reshape(24, 3)
        _lay_chart(light, colours, np.asarray(cast) * p["frame"], to_photo, p, size)
    shade, mean, beside = _shade(p, size, field)
    light = light * (shade * p["exposure"])[..., None]
    light = cv2.GaussianBlur(light.astype(np.float32), (0, 0), p["blur_px"])
    n = p["noise"]
    grain = np.sqrt(np.clip(light, 0, None) * n**2 + (n * 0.25) ** 2)
    light = light + rng.standard_normal(light.shape, dtype=np.float32) * grain
    light = np.clip(light, 0, 1)
    coded = tone_curve(light) if p["tone"] else lin_to_srgb(light)
    packed = io.BytesIO()
    picture = Image.fromarray(np.round(np.clip(coded, 0, 1) * 255).astype(np.uint8))
    picture.save(packed, "JPEG", quality=jpeg_q, subsampling=2)
    rgb = np.asarray(Image.open(io.BytesIO(packed.getvalue())).convert("RGB"))
    corners = field if kind == "chart" else np.empty((0, 2))
    return ChartShot(rgb, packed.getvalue(), corners, mean * p["exposure"], beside * p["exposure"], p)


def _seen(p, size):
    """The map to pixels from the chart's plane, in steps from patch to patch, and where its corners lie."""
    wide, high = size
    focal = 0.8 * wide
    turn, tilt, way = np.radians([p["turn_deg"], p["tilt_deg"], p["tilt_dir_deg"]])
    axis = np.array([np.cos(way), np.sin(way), 0.0])
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    lean = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    rotation = lean @ spin
    far = focal * 6 / (p["share"] * wide)
    half = (1 - p["gap"]) / 2
    field = np.array(
        [
            [0.5 - half, 0.5 - half],
            [5.5 + half, 0.5 - half],
            [5.5 + half, 3.5 + half],
            [0.5 - half, 3.5 + half],
        ]
    )

    def to_photo(at, middle=(0.0, 0.0)):
        flat = np.asarray(at, dtype=np.float64).reshape(-1, 2) - (3, 2)
        ray = np.c_[flat, np.zeros(len(flat))] @ rotation.T + (0, 0, far)
        u = ray[:, :2] / ray[:, 2:] + middle
        u = u * (1 + p["k1"] * (u**2).sum(1, keepdims=True))
        return u * focal + (wide / 2, high / 2)

    m = p["margin"]
    board = to_photo([[-m, -m], [6 + m, -m], [6 + m, 4 + m], [-m, 4 + m]])
    room = np.maximum(0, np.array(size) / 2 * 0.96 - np.abs(board - (wide / 2, high / 2)).max(axis=0))
    middle = np.asarray(p["place"]) * room / focal
    return (lambda at: to_photo(at, middle)), to_photo(field, middle)


def _cloth(p, size, seed):
    wide, high = size
    picture, _ = render(p["cloth"], 8.0, 6.0, 125, seed)
    share = p["cloth_span"] * wide / picture.shape[1]
    if share < 1:
        picture = cv2.resize(picture, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
        share = 1.0
    turn = np.radians(p["turn_deg"] * 0.37)
    c, s = np.cos(turn) * share, np.sin(turn) * share
    to_view = np.array([[c, -s, wide / 3], [s, c, high / 3]])
    view = cv2.warpAffine(picture, to_view, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
    return srgb_to_lin(view)


def _lay_chart(light, colours, frame, to_photo, p, size):
    """Over the cloth, 4 x 4 samples a pixel: each sample is a patch, the frame, or cloth."""
    m = p["margin"]
    board = to_photo([[-m, -m], [6 + m, -m], [6 + m, 4 + m], [-m, 4 + m]])
    low = np.maximum(np.floor(board.min(axis=0)).astype(int) - 8, 0)
    top = np.minimum(np.ceil(board.max(axis=0)).astype(int) + 8, size)
    # The lens bends the map, so it is turned round on a grid of the plane, finely enough to be exact.
    back = _turned_round(to_photo, board, m)
    x, y = np.meshgrid(np.arange(low[0], top[0] + 1), np.arange(low[1], top[1] + 1))
    grid = back(np.stack([x, y], axis=-1).reshape(-1, 2)).reshape(*x.shape, 2)
    part = light[low[1] : top[1], low[0] : top[0]].copy()
    total = np.zeros_like(part)
    half = (1 - p["gap"]) / 2
    offsets = (np.arange(_SAMPLES) + 0.5) / _SAMPLES
    for dx in offsets:
        across = grid[:, :-1] * (1 - dx) + grid[:, 1:] * dx
        for dy in offsets:
            at = across[:-1] * (1 - dy) + across[1:] * dy
            cell = np.floor(at).astype(np.int32)
            inside = (cell >= 0).all(-1) & (cell[..., 0] < 6) & (cell[..., 1] < 4)
            patch = inside & (np.abs(at - cell - 0.5) <= half).all(-1)
            on_board = (at >= -m).all(-1) & (at[..., 0] <= 6 + m) & (at[..., 1] <= 4 + m)
            seen = np.where(on_board[..., None], frame.astype(np.float32), part)
            number = np.clip(cell[..., 1], 0, 3) * 6 + np.clip(cell[..., 0], 0, 5)
            total += np.where(patch[..., None], colours.astype(np.float32)[number], seen)
    light[low[1] : top[1], low[0] : top[0]] = total / _SAMPLES**2


def _turned_round(to_photo, board, margin):
    """From pixels to the plane: a homography through the corners, then Newton's steps with it."""
    plane = np.array(
        [[-margin, -margin], [6 + margin, -margin], [6 + margin, 4 + margin], [-margin, 4 + margin]]
    )
    straight = cv2.getPerspectiveTransform(board.astype(np.float32), plane.astype(np.float32)).astype(float)

    def flat(px):
        out = np.c_[px, np.ones(len(px))] @ straight.T
        return out[:, :2] / out[:, 2:]

    def back(px):
        at = flat(px)
        for _ in range(3):
            at = at + flat(px) - flat(to_photo(at))
        return at

    return back


def _shade(p, size, field):
    """The share of light at every pixel, its mean over the chart, and on the better lit cloth round it."""
    wide, high = size
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    radius = ((x - wide / 2) ** 2 + (y - high / 2) ** 2) / (wide**2 + high**2) * 4
    share = 1 - p["vignette"] * radius
    middle = field.mean(axis=0)
    along = np.array([np.cos(p["edge_dir"]), np.sin(p["edge_dir"])])
    reach = float(np.abs((field - middle) @ along).max())
    away = (x - middle[0]) * along[0] + (y - middle[1]) * along[1]
    if p["shade"] == "slope":
        share = share * np.clip(1 - p["depth"] * (0.5 + away / (1.4 * max(reach * 2, 300))), 0.15, 1)
    elif p["shade"] == "edge":
        dark = 1 / (1 + np.exp(-np.clip((away - p["edge_at"] * 2 * reach) / p["soft_px"] * 4, -30, 30)))
        share = share * (1 - p["depth"] * dark)
    mask = np.zeros((high, wide), np.uint8)
    cv2.fillConvexPoly(mask, (2 * field - middle).astype(np.int32), 2)
    cv2.fillConvexPoly(mask, field.astype(np.int32), 1)
    beside = float(np.quantile(share[mask == 2], 0.9))
    return share.astype(np.float32), float(share[mask == 1].mean()), beside
