"""A believable phone photograph of flat cloth with something of known size, and the exact truth about it.

simulate(fabric_srgb, fabric_ppi, reference="sheet" | "card" | "ruler" | "none", seed=0, **options) -> Shot

`fabric_srgb` (H, W, 3) uint8: the true colour of the flat cloth; `fabric_ppi`: its pixels per inch.
Options, drawn from the seed inside the stated range unless given:
tilt_deg 0..25, tilt_dir_deg 0..360, roll_deg -8..8, k1 -0.05..0.05 (r in focal lengths), cct 2700..7500 K,
awb 0..1 (share of the cast the phone took out), gradient 0..0.4, vignette 0..0.4, wrinkle_mm 0..2 (height of
folds: shading and parallax), noise, blur_px.
Given or absent: tone (a phone's S curve), exposure, jpeg_q, subsampling, size, fov_deg (diagonal), fill,
layout (SheetLayout), paper_scale_err, curl_mm (left and right edges stand up), cover_mm (rectangles of the
sheet that something dark lies on), shadow (share of light a sharp shadow takes), glare (a bright spot),
second_cct (another light from one side), dress (draws what it likes over table and cloth, before the card is
laid down, and returns what is to be known of it), pad_mm (table round the scene), thick_mm (of the card; its
corners are told where they seem to lie on the cloth).
The plane counts in millimetres, x right, y down, from the top left of the canvas. Pixels count from the
centre of the first one. The same arguments and seed give the same bytes, for one version of the libraries.
It does not model local tone mapping, sharpening, off-axis distortion, rolling shutter or printers' faults,
and its lens is of the family that is fitted, so the figures for geometry are a best case.
"""

import io
from dataclasses import dataclass

import cv2
import numpy as np
from PIL import Image

from benchmarks.sim.camera import Camera, cast_matrix, tone_curve
from benchmarks.sim.fabrics import lin_to_srgb, srgb_to_lin
from benchmarks.sim.scene import (
    CARD_H,
    CARD_THICK,
    CARD_W,
    cover,
    draw_card,
    draw_ruler,
    draw_sheet,
    make_layout,
)

__all__ = ["Shot", "simulate"]


@dataclass
class Shot:
    """The photograph, the flat truth and the maps between them."""

    rgb: np.ndarray
    jpeg: bytes
    canvas: np.ndarray
    canvas_ppmm: float
    camera: Camera
    window_mm: tuple
    ref: dict
    params: dict
    M: np.ndarray

    def to_photo(self, mm):
        """Pixels of plane points in mm."""
        return self.camera.to_photo(mm)


def wrinkle_field(shape, ppmm, rng, n=5):
    h, w = shape
    Y, X = np.mgrid[0:h, 0:w].astype(np.float32) / ppmm
    z = np.zeros(shape, np.float32)
    for _ in range(n):
        a = rng.uniform(0, np.pi)
        d = (X - rng.uniform(0, w / ppmm)) * np.cos(a) + (Y - rng.uniform(0, h / ppmm)) * np.sin(a)
        d = d + 6 * np.sin(((-(X) * np.sin(a) + Y * np.cos(a)) / rng.uniform(25, 70)) + rng.uniform(0, 6))
        z += rng.uniform(0.4, 1) * np.exp(-((d / rng.uniform(4, 16)) ** 2))
    return z / max(z.max(), 1e-6)


def simulate(
    fabric_srgb,
    fabric_ppi,
    reference="sheet",
    seed=0,
    size=(4000, 3000),
    fov_deg=72.0,
    fill=0.94,
    layout=None,
    jpeg_q=85,
    subsampling=2,
    paper_scale_err=0.0,
    table=(92, 74, 58),
    canvas_ppmm=13.0,
    tone=False,
    exposure=None,
    keep_canvas=True,
    dress=None,
    pad_mm=60.0,
    **opt,
):
    rng = np.random.default_rng(seed)
    P = {
        "tilt_deg": rng.uniform(0, 25),
        "tilt_dir_deg": rng.uniform(0, 360),
        "roll_deg": rng.uniform(-8, 8),
        "k1": rng.uniform(-0.05, 0.05),
        "cct": rng.uniform(2700, 7500),
        "awb": rng.uniform(0.4, 1),
        "gradient": rng.uniform(0, 0.4),
        "vignette": rng.uniform(0, 0.4),
        "wrinkle_mm": rng.uniform(0, 2),
        "noise": rng.uniform(0.003, 0.015),
        "blur_px": rng.uniform(0.6, 1.3),
        "grad_dir": rng.uniform(0, 360),
        "offx": rng.uniform(-0.03, 0.03),
        "offy": rng.uniform(-0.03, 0.03),
        "card_ang": rng.uniform(-20, 20),
        "card_x": rng.uniform(-0.12, 0.12),
        "card_y": rng.uniform(-0.12, 0.12),
    }
    P.update({k: v for k, v in opt.items() if v is not None})
    ppmm = canvas_ppmm
    lay = layout or make_layout()
    scene = (
        (lay.paper[0] * (1 + paper_scale_err), lay.paper[1] * (1 + paper_scale_err))
        if reference == "sheet"
        else (240.0, 180.0)
    )
    pad = pad_mm
    CW, CH = scene[0] + 2 * pad, scene[1] + 2 * pad
    canvas = np.empty((int(CH * ppmm), int(CW * ppmm), 3), np.uint8)
    canvas[:] = table
    # fabric resampled to the canvas
    fs = ppmm * 25.4 / fabric_ppi
    need = (
        (scene[0], scene[1])
        if reference != "sheet"
        else (lay.window[2] - lay.window[0] + 6, lay.window[3] - lay.window[1] + 6)
    )
    fh, fw = (
        min(int(need[1] * ppmm / fs), fabric_srgb.shape[0]),
        min(int(need[0] * ppmm / fs), fabric_srgb.shape[1]),
    )
    nh, nw = round(fh * fs), round(fw * fs)
    A = np.array([[1 / fs, 0, 0.5 / fs - 0.5], [0, 1 / fs, 0.5 / fs - 0.5]])
    fab = cv2.warpAffine(
        fabric_srgb[:fh, :fw],
        A,
        (nw, nh),
        flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REFLECT,
    )
    ref = {}
    if reference == "sheet":
        wx, wy = pad + lay.window[0] * (1 + paper_scale_err), pad + lay.window[1] * (1 + paper_scale_err)
        x, y = int((wx - 3) * ppmm), int((wy - 3) * ppmm)
    else:
        x, y = int(pad * ppmm), int(pad * ppmm)
    canvas[y : y + nh, x : x + nw] = fab[: canvas.shape[0] - y, : canvas.shape[1] - x]
    ref["fabric_origin_mm"] = (x / ppmm, y / ppmm)
    if dress is not None:
        ref |= dress(canvas, ppmm) or {}
    ctr = np.array([pad + scene[0] / 2, pad + scene[1] / 2])
    win = (pad + 8, pad + 8, pad + scene[0] - 8, pad + scene[1] - 8)
    if reference == "sheet":
        ref["tags"], ref["patches"], win = draw_sheet(canvas, ppmm, lay, pad, pad, 1 + paper_scale_err)
        cover(canvas, ppmm, pad, pad, P.get("cover_mm", ()))
        ref["layout"] = lay
        ref["sheet_origin_mm"] = (pad, pad)
    elif reference == "ruler":
        ref["ruler"] = draw_ruler(canvas, ppmm, pad + 10, ctr[1] + 55, 203.2, "inch16")
    # camera
    f = 0.5 * np.hypot(*size) / np.tan(np.radians(fov_deg) / 2)
    dist = f * scene[0] / (size[0] * fill)
    aim = ctr + np.array([P["offx"] * scene[0], P["offy"] * scene[1]])

    def mk():
        return Camera(size, fov_deg, aim, dist, P["tilt_deg"], P["tilt_dir_deg"], P["roll_deg"], P["k1"])

    cam = mk()
    if reference == "card":
        at = ctr + np.array([P["card_x"] * scene[0], P["card_y"] * scene[1]])
        eye = (cam.centre[0], cam.centre[1], -cam.centre[2])
        thick = P.get("thick_mm", CARD_THICK)
        ref["card"] = draw_card(canvas, ppmm, *at, P["card_ang"], rng, eye_mm=eye, thick_mm=thick)
    if (
        reference == "sheet"
    ):  # a person frames the whole sheet: back off / recentre until it fits with a margin
        box = np.array(
            [[pad, pad], [pad + scene[0], pad], [pad + scene[0], pad + scene[1]], [pad, pad + scene[1]]]
        )
        for _ in range(12):
            q = cam.to_photo(box)
            lo, hi = q.min(0), q.max(0)
            sp = ((hi - lo) / np.array(size)).max() / fill
            dist *= sp
            cam = mk()
            q = cam.to_photo(box)
            mid = (q.min(0) + q.max(0)) / 2
            aim = aim + (cam.to_plane(mid) - cam.to_plane(cam.c))
            cam = mk()
    P["dist_mm"] = float(dist)
    # wrinkles: height (only on fabric inside the window for the sheet)
    zf = None
    if P["wrinkle_mm"] > 0 or P.get("curl_mm", 0) > 0:
        k = 2.0
        zf = wrinkle_field((int(CH * k), int(CW * k)), k, rng) * P["wrinkle_mm"]
        mask = np.zeros_like(zf)
        mask[int(win[1] * k) + 6 : int(win[3] * k) - 6, int(win[0] * k) + 6 : int(win[2] * k) - 6] = 1
        if reference == "card":
            cv2.fillConvexPoly(
                mask,
                (
                    cv2.boxPoints(
                        (
                            (
                                float(ctr[0] + P["card_x"] * scene[0]) * k,
                                float(ctr[1] + P["card_y"] * scene[1]) * k,
                            ),
                            (CARD_W * k + 14, CARD_H * k + 14),
                            P["card_ang"],
                        )
                    )
                ).astype(np.int32),
                0,
            )
        if reference == "ruler":
            mask[int((ctr[1] + 48) * k) : int((ctr[1] + 88) * k)] = 0
        zf *= cv2.GaussianBlur(mask, (0, 0), 6)
        if P.get("curl_mm", 0) > 0:  # the whole scene bows up like a half-flattened roll
            u = (np.arange(zf.shape[1]) / k - ctr[0]) / (scene[0] / 2)
            zf += (P["curl_mm"] * np.clip(u, -1, 1) ** 2).astype(np.float32)[None]
        gy, gx = np.gradient(zf, 1 / k)
        ga = np.radians(P["grad_dir"])
        nz = 1 / np.sqrt(1 + gx**2 + gy**2)
        Ld = np.array([0.55 * np.cos(ga), 0.55 * np.sin(ga), 0.835])
        shade = np.clip((-gx * Ld[0] - gy * Ld[1] + Ld[2]) * nz / Ld[2], 0.3, 1.7)
        shade = 0.5 + 0.5 * shade  # half the light is diffuse
    out = np.empty((size[1], size[0], 3), np.uint8)
    M = cast_matrix(P["cct"], P["awb"])
    pre = (
        cv2.GaussianBlur(canvas, (0, 0), 0.45 * ppmm / (size[0] * fill / scene[0]))
        if ppmm > 1.1 * size[0] * fill / scene[0]
        else canvas
    )
    ex = exposure if exposure else rng.uniform(0.8, 1.0)
    P["exposure"] = float(ex)
    band = 500
    nrng = np.random.default_rng(seed + 10_000)
    half = 0.5 * np.hypot(*size)
    gd = np.radians(P["grad_dir"])
    for y0 in range(0, size[1], band):
        y1 = min(size[1], y0 + band)
        m = 8
        ya, yb = max(0, y0 - m), min(size[1], y1 + m)
        Y, X = np.mgrid[ya:yb, 0 : size[0]].astype(np.float64)
        mm = cam.to_plane(np.stack([X, Y], -1))
        sx = mm[..., 0].copy()
        sy = mm[..., 1].copy()
        if zf is not None:  # parallax: the surface stands z nearer the camera
            z = cv2.remap(
                zf, (mm[..., 0] * k).astype(np.float32), (mm[..., 1] * k).astype(np.float32), cv2.INTER_LINEAR
            )
            t = z / -cam.centre[2]
            sx = mm[..., 0] + (cam.centre[0] - mm[..., 0]) * t
            sy = mm[..., 1] + (cam.centre[1] - mm[..., 1]) * t
        im = cv2.remap(
            pre,
            (sx * ppmm - 0.5).astype(np.float32),
            (sy * ppmm - 0.5).astype(np.float32),
            cv2.INTER_CUBIC,
            borderMode=cv2.BORDER_CONSTANT,
            borderValue=table,
        )
        lin = srgb_to_lin(im) @ M.T.astype(np.float32)
        r = np.hypot(X - cam.c[0], Y - cam.c[1]) / half
        ill = (1 - P["vignette"] * r**2) * (
            1 - P["gradient"] * 0.5 * (1 + ((X - cam.c[0]) * np.cos(gd) + (Y - cam.c[1]) * np.sin(gd)) / half)
        )
        if P.get("shadow"):
            # A soft-edged shadow over the upper left part of the scene, in plane coordinates.
            depth = (mm[..., 0] - ctr[0]) * 0.8 + (mm[..., 1] - ctr[1]) + P.get("shadow_at_mm", 60.0)
            ill = ill * (1 - P["shadow"] / (1 + np.exp(np.clip(depth / 2.0, -30, 30))))
        if zf is not None:
            ill = ill * cv2.remap(
                shade.astype(np.float32),
                (sx * k).astype(np.float32),
                (sy * k).astype(np.float32),
                cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_REPLICATE,
            )
        lin = lin * (ill * ex)[..., None].astype(np.float32)
        if P.get("second_cct"):
            share = (1 / (1 + np.exp(-(mm[..., 0] - ctr[0]) / 40)))[..., None].astype(np.float32)
            other = cast_matrix(P["second_cct"], P["awb"]) @ np.linalg.inv(M)
            lin = lin * (1 - share) + (lin @ other.T.astype(np.float32)) * share
        if P.get("glare"):
            spot = np.exp(-((mm[..., 0] - ctr[0] - 20) ** 2 + (mm[..., 1] - ctr[1]) ** 2) / (2 * 14.0**2))
            lin = lin + (P["glare"] * spot)[..., None].astype(np.float32)
        lin = cv2.GaussianBlur(lin, (0, 0), P["blur_px"])
        n = P["noise"]
        lin = lin + nrng.standard_normal(lin.shape, dtype=np.float32) * np.sqrt(
            np.clip(lin, 0, None) * n**2 + (n * 0.25) ** 2
        )
        v = tone_curve(lin) if tone else lin_to_srgb(lin)
        out[y0:y1] = np.round(np.clip(v, 0, 1) * 255).astype(np.uint8)[y0 - ya : y0 - ya + (y1 - y0)]
    b = io.BytesIO()
    Image.fromarray(out).save(b, "JPEG", quality=jpeg_q, subsampling=subsampling)
    rgb = np.asarray(Image.open(io.BytesIO(b.getvalue())).convert("RGB"))
    return Shot(rgb, b.getvalue(), canvas if keep_canvas else None, ppmm, cam, win, ref, P, M)
