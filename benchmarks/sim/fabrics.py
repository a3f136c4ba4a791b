"""Procedural printed cloth with exactly known repeat, colour and scale.

render(name, width_in, height_in, ppi, seed) -> (srgb uint8 (H, W, 3), info)
info["lattice"]: two vectors in inches that generate the true repeat, one for stripes, none for a solid or
where no repeat is in view; info["kind"]: "lattice", "stripe", "solid" or "norepeat".
Sub-pixel polygon vertices (1/256 px) keep repeats exact that are no whole number of pixels.
"""

import cv2
import numpy as np

S = 8  # fixed-point bits


def _poly(img, pts, col):
    p = np.round(np.asarray(pts) * (1 << S)).astype(np.int32)
    cv2.fillPoly(img, [p], col, lineType=cv2.LINE_AA, shift=S)


def circle(r, n=40):
    t = np.linspace(0, 2 * np.pi, n, endpoint=False)
    return np.c_[r * np.cos(t), r * np.sin(t)]


def flower(r, petals=5, depth=0.45, n=90, rot=0.0):
    t = np.linspace(0, 2 * np.pi, n, endpoint=False)
    rr = r * (1 - depth + depth * np.abs(np.cos(petals * t / 2)))
    return np.c_[rr * np.cos(t + rot), rr * np.sin(t + rot)]


def leaf(length, w, rot=0.0, n=24):
    t = np.linspace(0, np.pi, n)
    x = np.r_[-np.cos(t), np.cos(t)] * length / 2
    y = np.r_[np.sin(t), -np.sin(t)] * w / 2
    c, s = np.cos(rot), np.sin(rot)
    return np.c_[c * x - s * y, s * x + c * y]


def rgb(h):
    return tuple(int(h[i : i + 2], 16) for i in (1, 3, 5))


def weave_factor(h, w, ppi, tpi=(68, 64), amp=0.05, rng=None):
    """multiplicative plain-weave shading, mean 1"""
    y = np.arange(h)[:, None] / ppi
    x = np.arange(w)[None, :] / ppi
    a = np.sin(2 * np.pi * tpi[0] * x)
    b = np.sin(2 * np.pi * tpi[1] * y)
    f = 1 + amp * 0.5 * (a + b) + amp * 0.5 * np.sin(np.pi * tpi[0] * x) * np.sin(np.pi * tpi[1] * y)
    if rng is not None:  # slub: per-thread variation
        f = f * (
            1
            + 0.25
            * amp
            * cv2.resize(rng.standard_normal((h, max(2, int(w / ppi * 8)))).astype(np.float32), (w, h))
        )
    return f.astype(np.float32)


def motif_cluster(rng, cell, n, pal, rmin, rmax):
    """list of (dx,dy,poly,col) drawn per lattice cell"""
    out = []
    for _i in range(n):
        cx, cy = rng.uniform(0, cell[0]), rng.uniform(0, cell[1])
        r = rng.uniform(rmin, rmax)
        k = rng.integers(3)
        col = pal[rng.integers(len(pal))]
        if k == 0:
            out.append((cx, cy, flower(r, int(rng.integers(4, 7)), rot=rng.uniform(0, 6)), col))
            out.append((cx, cy, circle(r * 0.28), pal[rng.integers(len(pal))]))
        elif k == 1:
            out.append((cx, cy, leaf(2.2 * r, 0.8 * r, rng.uniform(0, 6)), col))
        else:
            out.append((cx, cy, circle(0.4 * r), col))
    return out


def stamp(img, ppi, v1, v2, motifs):
    h, w = img.shape[:2]
    H, W = h / ppi, w / ppi
    L = np.array([v1, v2]).T
    inv = np.linalg.inv(L)
    c = np.array([[-2, -2], [W + 2, -2], [W + 2, H + 2], [-2, H + 2]]).T
    ij = inv @ c
    lo, hi = np.floor(ij.min(1)).astype(int) - 2, np.ceil(ij.max(1)).astype(int) + 2
    for dx, dy, p, col in motifs:
        R = np.abs(p).max()
        for i in range(lo[0], hi[0] + 1):
            for j in range(lo[1], hi[1] + 1):
                x, y = L @ (i, j) + (dx, dy)
                if -R < x < W + R and -R < y < H + R:
                    _poly(img, np.add(p, (x, y)) * ppi - 0.5, col)


PALS = {
    "garden": ["#b8354b", "#e8a0a8", "#3f6b3a", "#8aa85a", "#e3c04a"],
    "blue": ["#1f3a68", "#4f7fb0", "#a8c4de", "#f2f2ea"],
    "cream": ["#e9dfc6", "#d8c9a4", "#efe7d3", "#cdbb92"],
    "bright": ["#e5481f", "#f2b01e", "#1f8fa3", "#6a2c91", "#ffffff"],
}


def render(name, width_in=4.0, height_in=3.0, ppi=300, seed=0, weave=0.05, jitter=True):
    rng = np.random.default_rng(
        abs(hash((name, seed))) % (2**32) if False else seed * 7919 + sum(map(ord, name))
    )
    h, w = round(height_in * ppi), round(width_in * ppi)

    def draw(a, b):
        return rng.uniform(a, b) if jitter else (a + b) / 2

    def pal(k):
        return [rgb(c) for c in PALS[k]]

    lat, kind = [], "lattice"
    if name == "dots":  # square grid of dots
        p = draw(0.22, 0.6)
        img = np.full((h, w, 3), rgb("#2e5a8c"), np.uint8)
        lat = [(p, 0), (0, p)]
        stamp(img, ppi, *lat, [(p / 2, p / 2, circle(p * 0.2), rgb("#f4f1e6"))])
    elif name == "dots_half":  # half-drop pin dots
        p = draw(0.18, 0.45)
        img = np.full((h, w, 3), rgb("#f1ece0"), np.uint8)
        lat = [(p, p / 2), (0, p)]
        stamp(img, ppi, *lat, [(0, 0, circle(p * 0.14), rgb("#9c2b3a"))])
    elif name == "gingham":
        p = draw(0.25, 1.0)
        x = (np.arange(w) + 0.5) / ppi
        y = (np.arange(h) + 0.5) / ppi
        e = 40.0
        sx = 1 / (1 + np.exp(-e * ppi / 40 * np.sin(2 * np.pi * x / p)))
        sy = 1 / (1 + np.exp(-e * ppi / 40 * np.sin(2 * np.pi * y / p)))
        m = (sx[None] + sy[:, None]) / 2
        c0, c1 = np.array(rgb("#f7f5ef")), np.array(rgb("#b02a3c"))
        img = (c0 * (1 - m[..., None]) + c1 * m[..., None]).astype(np.uint8)
        lat = [(p, 0), (0, p)]
    elif name == "stripe":
        p = draw(0.3, 1.2)
        x = (np.arange(w) + 0.5) / ppi
        m = (x / p) % 1
        c = np.zeros((w, 3))
        P = pal("blue")
        e = [0, 0.35, 0.5, 0.62, 1.0]
        for k in range(4):
            c[(m >= e[k]) & (m < e[k + 1])] = P[k]
        c = cv2.GaussianBlur(c[None].astype(np.float32), (0, 0), 0.6)[0]
        img = np.repeat(c[None], h, 0).astype(np.uint8)
        lat = [(p, 0)]
        kind = "stripe"
    elif name == "plaid":
        px, py = draw(0.8, 1.4), draw(0.8, 1.4)
        x = (np.arange(w) + 0.5) / ppi
        y = (np.arange(h) + 0.5) / ppi

        def band(u, p):
            m = (u / p) % 1
            v = np.zeros_like(u)
            for a, b, s in ((0.05, 0.3, 1), (0.36, 0.4, 0.6), (0.55, 0.62, -0.7), (0.7, 0.72, 1)):
                v[(m > a) & (m < b)] = s
            return cv2.GaussianBlur(v[None].astype(np.float32), (0, 0), 0.6)[0]

        m = band(x, px)[None] * 0.5 + band(y, py)[:, None] * 0.5
        base = np.array(rgb("#5d7a4a"))
        img = np.clip(base + m[..., None] * np.array([60, 50, 70]), 0, 255).astype(np.uint8)
        lat = [(px, 0), (0, py)]
    elif name in ("floral_grid", "floral_half", "floral_brick", "floral_tonal", "floral_white"):
        a, b = draw(0.6, 1.4), draw(0.6, 1.4)
        if name == "floral_half":
            lat = [(a, b / 2), (0, b)]
        elif name == "floral_brick":
            lat = [(a, 0), (a / 2, b)]
        else:
            lat = [(a, 0), (0, b)]
        gr, pk, bg = {"floral_tonal": ("cream", 12, "#e2d6b8"), "floral_white": ("cream", 10, "#f7f4ec")}.get(
            name, ("garden", 12, "#26324f")
        )
        img = np.full((h, w, 3), rgb(bg), np.uint8)
        stamp(img, ppi, *lat, motif_cluster(rng, (a, b), pk, pal(gr), 0.06, 0.2))
    elif name == "ditsy":  # small toss, repeat 1.5-2 in: repeat inside the view
        a, b = draw(1.3, 1.8), draw(1.0, 1.35)
        lat = [(a, 0), (0, b)]
        img = np.full((h, w, 3), rgb("#f3efe2"), np.uint8)
        stamp(img, ppi, *lat, motif_cluster(rng, (a, b), 45, pal("garden"), 0.04, 0.11))
    elif (
        name == "ditsy_sub"
    ):  # same motif on a fine regular grid but colours/rotation cycle over a 3x2 super-cell
        p = draw(0.33, 0.5)
        lat = [(3 * p, 0), (0, 2 * p)]
        img = np.full((h, w, 3), rgb("#ece5d4"), np.uint8)
        P = pal("garden")
        ms = []
        for i in range(3):
            for j in range(2):
                ms.append(
                    (
                        (i + 0.5) * p,
                        (j + 0.5) * p,
                        flower(p * 0.32, 5, rot=rng.uniform(0, 6)),
                        P[(i + 3 * j) % 5],
                    )
                )
        stamp(img, ppi, *lat, ms)
    elif name == "toss_norepeat":  # tossed print whose repeat is larger than the view
        img = np.full((h, w, 3), rgb("#2c2f45"), np.uint8)
        kind = "norepeat"
        n = int(width_in * height_in * 22)
        ms = motif_cluster(rng, (width_in + 0.4, height_in + 0.4), n, pal("bright"), 0.05, 0.16)
        stamp(img, ppi, (1e3, 0), (0, 1e3), [(x - 0.2, y - 0.2, p, c) for x, y, p, c in ms])
    elif name == "large_floral":  # big blooms, repeat larger than the view
        img = np.full((h, w, 3), rgb("#efe9da"), np.uint8)
        kind = "norepeat"
        ms = motif_cluster(
            rng, (width_in + 1, height_in + 1), int(width_in * height_in * 2.2), pal("garden"), 0.35, 0.9
        )
        stamp(img, ppi, (1e3, 0), (0, 1e3), [(x - 0.5, y - 0.5, p, c) for x, y, p, c in ms])
    elif name == "batik":  # band-limited noise, no repeat
        g = rng.standard_normal((h, w)).astype(np.float32)
        kind = "norepeat"
        n = sum(cv2.GaussianBlur(g, (0, 0), ppi * s) * s for s in (0.03, 0.08, 0.2, 0.5))
        n = (n - n.min()) / np.ptp(n)
        c0, c1 = np.array(rgb("#123a4a")), np.array(rgb("#6fb4a8"))
        img = (c0 + (c1 - c0) * n[..., None]).astype(np.uint8)
    elif name == "solid":
        c = [rgb(q) for q in ("#7a1f2b", "#d9c7a0", "#2d5f4c", "#f4f2ec", "#1c1c20", "#e0a030")][
            int(rng.integers(6))
        ]
        img = np.full((h, w, 3), c, np.uint8)
        kind = "solid"
    elif name == "grunge":  # mottled tone-on-tone
        g = rng.standard_normal((h, w)).astype(np.float32)
        kind = "norepeat"
        n = sum(cv2.GaussianBlur(g, (0, 0), ppi * s) * s for s in (0.01, 0.03, 0.1))
        n /= n.std()
        img = np.clip(np.array(rgb("#8a6f9c")) + 9 * n[..., None], 0, 255).astype(np.uint8)
    else:
        raise KeyError(name)
    if weave:
        f = weave_factor(h, w, ppi, amp=weave, rng=rng)
        lin = srgb_to_lin(img) * f[..., None]
        img = lin_to_srgb8(lin)
    return img, {"name": name, "ppi": ppi, "lattice": lat, "kind": kind, "seed": seed}


_T = None


def srgb_to_lin(u8):
    global _T
    if _T is None:
        v = np.arange(256) / 255.0
        _T = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4).astype(np.float32)
    return _T[u8]


def lin_to_srgb(x):
    x = np.clip(x, 0, 1)
    return np.where(x <= 0.0031308, 12.92 * x, 1.055 * np.power(x, 1 / 2.4) - 0.055)


def lin_to_srgb8(x):
    return np.round(lin_to_srgb(x) * 255).astype(np.uint8)


NAMES = [
    "dots",
    "dots_half",
    "gingham",
    "stripe",
    "plaid",
    "floral_grid",
    "floral_half",
    "floral_brick",
    "floral_tonal",
    "floral_white",
    "ditsy",
    "ditsy_sub",
    "toss_norepeat",
    "large_floral",
    "batik",
    "solid",
    "grunge",
]
