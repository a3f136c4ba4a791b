"""Stripes: whether the cloth changes in one direction only, and after how far it is the same again."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["find_stripe_step", "mean_along", "stripe_direction"]

_COHERENT = 0.9
_LEAST_SCORE = 0.70
_LEAST_OVERLAP = 0.30
_SHORTEST_IN = 0.06
_NEAR_BEST = 0.93
_ALONG = 0.8


def stripe_direction(even: NDArray[np.float32]) -> tuple[float, float] | None:
    """The unit vector across the stripes of a picture (H, W, channels), or None where it is not striped.

    Source: the structure tensor (Bigun and Granlund 1987); coherence is its eigenvalues' difference over
    their sum, near 1 only where everything changes one way.
    """
    soft = cv2.GaussianBlur(even, (0, 0), 1.0)
    dx = cv2.Sobel(soft, cv2.CV_32F, 1, 0)
    dy = cv2.Sobel(soft, cv2.CV_32F, 0, 1)
    xx, xy, yy = float((dx * dx).mean()), float((dx * dy).mean()), float((dy * dy).mean())
    values, vectors = np.linalg.eigh(np.array([[xx, xy], [xy, yy]]))
    if values[1] <= 0 or (values[1] - values[0]) / (values[1] + values[0]) < _COHERENT:
        return None
    x, y = vectors[:, 1]
    sign = 1 if (x if abs(x) > abs(y) else y) > 0 else -1
    found = float(x * sign), float(y * sign)
    return found if _even_along(even, found) else None


def _even_along(even: NDArray[np.float32], across: tuple[float, float]) -> bool:
    """Whether most of what changes is the same all along the stripes: rows of motifs are not stripes."""
    profile, places = mean_along(even, across)
    rebuilt = profile[np.clip(places, 0, len(profile) - 1)]
    left = even.reshape(-1, even.shape[2]) - rebuilt
    return float((left**2).sum()) < (1 - _ALONG) * float((even.astype(np.float64) ** 2).sum())


def find_stripe_step(
    even: NDArray[np.float32], across: tuple[float, float], *, ppi: float
) -> tuple[tuple[float, float], float] | None:
    """The step (x, y) in inches after which stripes are the same again, and how alike; None if not seen."""
    profile, _ = mean_along(even, across)
    n = len(profile)
    scores = np.full(n, np.nan)
    for lag in range(max(3, round(_SHORTEST_IN * ppi)), int(n * (1 - _LEAST_OVERLAP))):
        first, second = profile[lag:], profile[: n - lag]
        first, second = first - first.mean(axis=0), second - second.mean(axis=0)
        scale = np.sqrt((first**2).sum() * (second**2).sum())
        scores[lag] = (first * second).sum() / scale if scale > 0 else np.nan
    tops = [
        i
        for i in range(2, n - 1)
        if np.isfinite(scores[i - 1 : i + 2]).all()
        and scores[i] >= scores[i - 1]
        and scores[i] > scores[i + 1]
    ]
    tops = [i for i in tops if np.nanmin(scores[: i + 1]) < 0.9 * scores[i]]
    if not tops or max(scores[tops]) < _LEAST_SCORE:
        return None
    best = max(scores[tops])
    step = next(i for i in tops if scores[i] >= _NEAR_BEST * best)
    at = _refined(scores, step)
    return (across[0] * at / ppi, across[1] * at / ppi), float(scores[step])


def _refined(scores: NDArray[np.float64], step: int) -> float:
    """The mean step over all its multiples that are peaks, between pixels."""
    at = step + _top(scores, step)
    for times in range(2, 40):
        near = round(at * times)
        if near + 2 >= len(scores):
            break
        part = scores[near - 1 : near + 2]
        if not np.isfinite(part).all():
            break
        peak = near - 1 + int(np.argmax(part))
        if not np.isfinite(scores[peak - 1 : peak + 2]).all():
            break
        at = (peak + _top(scores, peak)) / times
    return at


def _top(scores: NDArray[np.float64], at: int) -> float:
    before, here, after = scores[at - 1 : at + 2]
    bend = before - 2 * here + after
    return float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if bend < 0 else 0.0


def mean_along(
    even: NDArray[np.float32], across: tuple[float, float]
) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Means (n, channels) along the stripes, one for each pixel across, and each pixel's place in it."""
    rows, columns, channels = even.shape
    y, x = np.mgrid[0:rows, 0:columns]
    places = np.rint(x * across[0] + y * across[1]).astype(int).ravel()
    places -= places.min()
    count = np.bincount(places)
    means = (
        np.stack(
            [np.bincount(places, even[..., c].ravel().astype(np.float64)) for c in range(channels)], axis=1
        )
        / np.maximum(count, 1)[:, None]
    )
    # The corners of the picture hold too few pixels to be means of anything.
    full = np.nonzero(count >= 0.25 * np.median(count))[0]
    first, last = int(full.min()), int(full.max())
    return means[first : last + 1], places - first
