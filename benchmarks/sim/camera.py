"""The light, the lens and the tone curve of a phone camera over flat cloth."""

import numpy as np

from benchmarks.sim.fabrics import lin_to_srgb

__all__ = ["Camera", "cast_matrix", "tone_curve"]

M_RGB2XYZ = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)


def cct_white_xyz(cct):
    """CIE daylight locus above 4000 K, Planckian (Krystek-style cubic of Kim et al.) below; Y=1."""
    T = float(cct)
    if T >= 4000:
        x = (
            (-4.6070e9 / T**3 + 2.9678e6 / T**2 + 0.09911e3 / T + 0.244063)
            if T <= 7000
            else (-2.0064e9 / T**3 + 1.9018e6 / T**2 + 0.24748e3 / T + 0.237040)
        )
        y = -3 * x * x + 2.87 * x - 0.275
    else:
        x = -0.2661239e9 / T**3 - 0.2343589e6 / T**2 + 0.8776956e3 / T + 0.179910
        y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
    return np.array([x / y, 1.0, (1 - x - y) / y])


BRAD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])


def cast_matrix(cct, awb=0.0):
    """The linear-sRGB 3x3 that turns D65 appearance into the look under cct; awb: share taken out again."""
    wd, ws = cct_white_xyz(6504), cct_white_xyz(cct)
    g = np.diag((BRAD @ ws) / (BRAD @ wd))
    M = np.linalg.inv(M_RGB2XYZ) @ np.linalg.inv(BRAD) @ g @ BRAD @ M_RGB2XYZ
    w = M @ np.ones(3)
    gain = (w[1] / np.clip(w, 0.05, None)) ** awb
    M = np.diag(gain) @ M
    return M / (M @ np.ones(3)).max()


class Camera:
    """A pinhole with one radial term, tilted over the plane."""

    def __init__(self, size, fov_deg, target_mm, dist_mm, tilt, tilt_dir, roll, k1):
        self.size = size
        self.c = np.array([(size[0] - 1) / 2, (size[1] - 1) / 2])
        self.f = 0.5 * np.hypot(*size) / np.tan(np.radians(fov_deg) / 2)
        a, t, r = np.radians(tilt_dir), np.radians(tilt), np.radians(roll)
        ax = np.array([np.cos(a), np.sin(a), 0])
        K = np.array([[0, -ax[2], ax[1]], [ax[2], 0, -ax[0]], [-ax[1], ax[0], 0]])
        Rt = np.eye(3) + np.sin(t) * K + (1 - np.cos(t)) * K @ K
        Rz = np.array([[np.cos(r), -np.sin(r), 0], [np.sin(r), np.cos(r), 0], [0, 0, 1]])
        self.R = Rz @ Rt
        self.X0 = np.array([*target_mm, 0.0])
        self.d = dist_mm
        self.k1 = k1
        self.centre = self.X0 - self.R.T @ np.array(
            [0, 0, dist_mm]
        )  # camera centre in plane coords (z<0 is towards the camera)

    def to_photo(self, mm, z=None):
        """Pixels of plane points, or of points z mm off it."""
        p = np.asarray(mm, float).reshape(-1, 2)
        P = np.c_[p, np.zeros(len(p)) if z is None else z] - self.X0
        q = P @ self.R.T + (0, 0, self.d)
        u = q[:, :2] / q[:, 2:]
        r2 = (u**2).sum(1, keepdims=True)
        return u * (1 + self.k1 * r2) * self.f + self.c

    def undistort(self, u):
        """Pinhole coordinates without the lens."""
        v = u.copy()
        for _ in range(6):
            v = u / (1 + self.k1 * (v * v).sum(-1, keepdims=True))
        return v

    def to_plane(self, px):
        """Plane points of pixels."""
        u = (np.asarray(px, np.float64) - self.c) / self.f
        u = self.undistort(u)
        A = self.R.T
        dx = u @ A[:, :2].T + A[:, 2]  # direction in plane coords
        C = self.centre
        k = -C[2] / dx[..., 2]
        return np.stack([C[0] + k * dx[..., 0], C[1] + k * dx[..., 1]], -1)


def tone_curve(x, strength=1.0):
    """A phone-like display curve on linear values: a mild S, then sRGB encoding."""
    y = lin_to_srgb(x)
    return np.clip(
        y + strength * 0.045 * np.sin(2 * np.pi * (y - 0.5)), 0, 1
    )  # deeper darks, brighter lights
