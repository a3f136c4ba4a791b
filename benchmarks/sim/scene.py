"""What lies under the camera: the photo sheet, a card or a ruler, drawn with exact area coverage."""

from dataclasses import dataclass, field

import cv2
import numpy as np

from benchmarks.sim.fabrics import lin_to_srgb

__all__ = [
    "CARD_H", "CARD_THICK", "CARD_W", "SheetLayout", "cover", "draw_card", "draw_ruler", "draw_sheet",
    "make_layout",
]  # fmt: skip

CARD_W, CARD_H, CARD_R = 85.60, 53.98, 3.18  # ISO/IEC 7810 ID-1, corner radius 3.18 mm
CARD_THICK = 0.76  # the same standard

LETTER = (279.4, 215.9)


@dataclass
class SheetLayout:
    """What is printed where, in mm from the top left of the paper."""

    paper: tuple = LETTER
    window: tuple = (64.7, 58.0, 214.7, 158.0)  # 150 x 100 mm opening for the fabric
    tags: list = field(default_factory=list)  # (id, x, y, size) top-left mm
    patches: list = field(default_factory=list)  # (x, y, w, h, reflectance or (r,g,b) sRGB8)
    paper_reflectance: float = 0.86
    ink_reflectance: float = 0.045
    dictionary: int = cv2.aruco.DICT_APRILTAG_36h11


def make_layout(
    n_tags=8,
    tag_mm=22,
    window_mm=(150, 100),
    quiet_mm=4,
    margin_mm=8,
    paper=LETTER,
    grey=(0.70, 0.45, 0.18, 0.09),
    chart24=False,
):
    """Tags at corners, then mid-sides, then thirds; grey patches in the gaps."""
    W, H = paper
    ww, wh = window_mm
    win = ((W - ww) / 2, (H - wh) / 2, (W + ww) / 2, (H + wh) / 2)
    s = tag_mm
    lo = margin_mm
    xs0, xs1, ys0, ys1 = lo, W - lo - s, lo, H - lo - s

    def mid(a, b, f):
        return a + (b - a) * f

    spots = [(xs0, ys0), (xs1, ys0), (xs1, ys1), (xs0, ys1)]
    if n_tags == 6:
        spots += [(mid(xs0, xs1, 0.5), ys0), (mid(xs0, xs1, 0.5), ys1)]
    if n_tags in (8, 16):
        spots += [
            (mid(xs0, xs1, 0.5), ys0),
            (xs1, mid(ys0, ys1, 0.5)),
            (mid(xs0, xs1, 0.5), ys1),
            (xs0, mid(ys0, ys1, 0.5)),
        ]
    if n_tags in (12,):
        spots += [(mid(xs0, xs1, f), y) for f in (1 / 3, 2 / 3) for y in (ys0, ys1)] + [
            (x, mid(ys0, ys1, f)) for f in (1 / 3, 2 / 3) for x in (xs0, xs1)
        ]
    if n_tags == 16:
        spots += [(mid(xs0, xs1, f), y) for f in (0.25, 0.75) for y in (ys0, ys1)] + [
            (x, mid(ys0, ys1, f)) for f in (0.25, 0.75) for x in (xs0, xs1)
        ]
    if n_tags == 1:
        spots = spots[:1]
    tags = [(i, x, y, s) for i, (x, y) in enumerate(spots)]
    P = []
    gw = 11.0
    free = []
    for y in (lo + 3, H - lo - gw - 3):
        for x in np.arange(lo, W - lo - gw, 1.0):
            if all(
                not (
                    x - quiet_mm < tx + ts
                    and x + gw + quiet_mm > tx
                    and abs((y + gw / 2) - (ty + ts / 2)) < (gw + ts) / 2 + quiet_mm
                )
                for _, tx, ty, ts in tags
            ) and all(abs(x - px) >= gw or py != y for px, py in free):
                free.append((x, y))
    top = [f for f in free if f[1] == lo + 3]
    bot = [f for f in free if f[1] != lo + 3]
    for row in (top, bot):
        for i, g in enumerate(grey):
            if i < len(row):
                P.append((*row[i], gw - 1, gw - 1, g))
    if chart24:
        CH = [
            (115, 82, 68),
            (194, 150, 130),
            (98, 122, 157),
            (87, 108, 67),
            (133, 128, 177),
            (103, 189, 170),
            (214, 126, 44),
            (80, 91, 166),
            (193, 90, 99),
            (94, 60, 108),
            (157, 188, 64),
            (224, 163, 46),
            (56, 61, 150),
            (70, 148, 73),
            (175, 54, 60),
            (231, 199, 31),
            (187, 86, 149),
            (8, 133, 161),
            (243, 243, 242),
            (200, 200, 200),
            (160, 160, 160),
            (122, 122, 121),
            (85, 85, 85),
            (52, 52, 52),
        ]
        # two rows of 12 beside the window, left and right
        for k, c in enumerate(CH):
            col = k // 12
            j = k % 12
            x = (win[0] - 14) if col == 0 else (win[2] + 3)
            P.append((x, win[1] + j * (wh / 12), 10.5, wh / 12 - 1, tuple(c)))
    return SheetLayout(paper=paper, window=win, tags=tags, patches=P)


def _rect(img, ppmm, x, y, w, h, col):
    """A rectangle with exact area coverage; OpenCV's anti-aliased fill grows by about 0.7 px a side."""
    x0, x1, y0, y1 = x * ppmm, (x + w) * ppmm, y * ppmm, (y + h) * ppmm
    i0, i1, j0, j1 = (
        max(0, int(np.floor(x0))),
        min(img.shape[1], int(np.ceil(x1))),
        max(0, int(np.floor(y0))),
        min(img.shape[0], int(np.ceil(y1))),
    )
    if i1 <= i0 or j1 <= j0:
        return
    i, j = np.arange(i0, i1), np.arange(j0, j1)
    c = (
        np.clip(np.minimum(j + 1, y1) - np.maximum(j, y0), 0, 1)[:, None]
        * np.clip(np.minimum(i + 1, x1) - np.maximum(i, x0), 0, 1)[None]
    )[..., None]
    roi = img[j0:j1, i0:i1]
    roi[:] = np.round(roi * (1 - c) + np.array(col) * c).astype(np.uint8)


def _rrect_cov(shape, ppmm, cx, cy, w, h, r, ang, off=(0.0, 0.0)):
    """Area coverage of a rounded rectangle turned about (cx, cy) mm; off: its centre in its own frame."""
    j, i = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    x, y = (i + 0.5) / ppmm - cx, (j + 0.5) / ppmm - cy
    c, s = np.cos(np.radians(ang)), np.sin(np.radians(ang))
    u, v = c * x + s * y - off[0], -s * x + c * y - off[1]
    qx, qy = np.abs(u) - (w / 2 - r), np.abs(v) - (h / 2 - r)
    d = np.hypot(np.maximum(qx, 0), np.maximum(qy, 0)) + np.minimum(np.maximum(qx, qy), 0) - r
    return np.clip(0.5 - d * ppmm, 0, 1).astype(np.float32)


def lin8(r):
    v = round(float(lin_to_srgb(np.array(r))) * 255)
    return (v, v, v)


def draw_sheet(canvas, ppmm, lay, x0, y0, scale=1.0):
    """Paper, tags and patches at (x0, y0) mm round the window; tag corners, patches and window in mm."""
    img = canvas
    W, H = lay.paper
    s = scale
    win = [v * s for v in lay.window]
    keep = img[
        round((y0 + win[1]) * ppmm) : round((y0 + win[3]) * ppmm),
        round((x0 + win[0]) * ppmm) : round((x0 + win[2]) * ppmm),
    ].copy()
    _rect(img, ppmm, x0, y0, W * s, H * s, lin8(lay.paper_reflectance))
    d = cv2.aruco.getPredefinedDictionary(lay.dictionary)
    n = d.markerSize + 2
    corners = {}
    for tid, tx, ty, ts in lay.tags:
        bits = cv2.aruco.generateImageMarker(d, tid, n, borderBits=1)
        ink = lin8(lay.ink_reflectance)
        m = ts * s / n
        _rect(img, ppmm, x0 + tx * s, y0 + ty * s, ts * s, ts * s, ink)
        for r in range(n):
            for c in range(n):
                if bits[r, c]:
                    _rect(
                        img, ppmm, x0 + tx * s + c * m, y0 + ty * s + r * m, m, m, lin8(lay.paper_reflectance)
                    )
        a, b = x0 + tx * s, y0 + ty * s
        q = ts * s
        corners[tid] = np.array([[a, b], [a + q, b], [a + q, b + q], [a, b + q]])
    patches = []
    for x, y, w, h, g in lay.patches:
        col = tuple(int(v) for v in g) if isinstance(g, tuple) else lin8(g)
        _rect(img, ppmm, x0 + x * s, y0 + y * s, w * s, h * s, col)
        patches.append((x0 + x * s, y0 + y * s, w * s, h * s, col))
    a, b = round((y0 + win[1]) * ppmm), round((x0 + win[0]) * ppmm)
    img[a : a + keep.shape[0], b : b + keep.shape[1]] = keep
    return corners, patches, (x0 + win[0], y0 + win[1], x0 + win[2], y0 + win[3])


def draw_card(canvas, ppmm, cx, cy, ang_deg, rng, eye_mm=None, thick_mm=CARD_THICK):
    """An ID-1 card with marks and a contact shadow; where its 4 sharp (virtual) corners seem to lie, in mm.

    With `eye_mm`, where the camera is, (x, y) and above the cloth, the card's face lies raised: seen on the
    cloth it is larger and has moved away from the place beneath the camera, and its side is seen.
    """
    base = [(38, 60, 110), (225, 225, 222), (150, 30, 40), (30, 30, 34)][int(rng.integers(4))]
    m = 60
    i0, j0 = max(0, int((cx - m) * ppmm)), max(0, int((cy - m) * ppmm))
    i1, j1 = min(canvas.shape[1], int((cx + m) * ppmm)), min(canvas.shape[0], int((cy + m) * ppmm))
    roi = canvas[j0:j1, i0:i1].astype(np.float32)
    X, Y = cx - i0 / ppmm, cy - j0 / ppmm
    sh = cv2.GaussianBlur(
        _rrect_cov(roi.shape, ppmm, X + 0.5, Y + 0.5, CARD_W, CARD_H, CARD_R, ang_deg), (0, 0), 0.7 * ppmm
    )
    roi *= 1 - 0.35 * sh[..., None]

    def put(cov, col):
        roi[:] = roi * (1 - cov[..., None]) + np.array(col, np.float32) * cov[..., None]

    wide, high, grown = CARD_W, CARD_H, 1.0
    if eye_mm is not None:
        put(_rrect_cov(roi.shape, ppmm, X, Y, CARD_W, CARD_H, CARD_R, ang_deg), np.array(base) * 0.75)
        grown = eye_mm[2] / (eye_mm[2] - thick_mm)
        moved = (cx - eye_mm[0]) * (grown - 1), (cy - eye_mm[1]) * (grown - 1)
        cx, cy, X, Y = cx + moved[0], cy + moved[1], X + moved[0], Y + moved[1]
        wide, high = CARD_W * grown, CARD_H * grown
    put(_rrect_cov(roi.shape, ppmm, X, Y, wide, high, CARD_R, ang_deg), base)
    for _ in range(5):
        x, y, w, h = rng.uniform(-38, 20), rng.uniform(-22, 14), rng.uniform(5, 18), rng.uniform(2, 8)
        col = np.clip(np.array(base) + rng.integers(-60, 60), 0, 255)
        put(_rrect_cov(roi.shape, ppmm, X, Y, w, h, 0.5, ang_deg, (x + w / 2, y + h / 2)), col)
    canvas[j0:j1, i0:i1] = np.round(roi).astype(np.uint8)
    a, b = wide / 2, high / 2
    c, s = np.cos(np.radians(ang_deg)), np.sin(np.radians(ang_deg))
    return np.array([[-a, -b], [a, -b], [a, b], [-a, b]]) @ np.array([[c, s], [-s, c]]) + (cx, cy)


def draw_ruler(canvas, ppmm, x0, y0, length_mm=254.0, unit="inch16"):
    """A white ruler with ticks; tick pitch and baseline ends in mm."""
    _rect(canvas, ppmm, x0 - 4, y0, length_mm + 8, 25, (236, 236, 230))
    pitch = 25.4 / 16 if unit == "inch16" else 1.0
    n = int(length_mm / pitch)
    for i in range(n + 1):
        L = (
            {0: 12, 8: 9, 4: 7, 12: 7}.get(i % 16, 5 if i % 2 == 0 else 3.5)
            if unit == "inch16"
            else (12 if i % 10 == 0 else 8 if i % 5 == 0 else 5)
        )
        _rect(canvas, ppmm, x0 + i * pitch - 0.1, y0, 0.2, L, (25, 25, 25))
    return {"pitch": pitch, "n": n, "p0": (x0, y0), "p1": (x0 + n * pitch, y0), "y": y0 + 1.7}


def cover(canvas, ppmm, x0, y0, rects_mm, colour=(70, 52, 46)):
    """Lays something dark, a sleeve or a phone cord, over rectangles (x, y, width, height) of the sheet."""
    for x, y, w, h in rects_mm:
        _rect(canvas, ppmm, x0 + x, y0 + y, w, h, colour)
