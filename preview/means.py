"""The mean light of what shows of each patch."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.frame import Frame
from preview.keeping import PaintCache
from preview.sampling import group_by_cloth, prepare_group, sample_light
from preview.wear import Dressed

__all__ = ["patch_means_lin"]


def patch_means_lin(
    frame: Frame, audition: Dressed, *, cache: PaintCache | None = None
) -> NDArray[np.float64]:
    """Mean linear light (patches, 3), in the order of the patches, weighted by visible area.

    Nothing of a neighbour is mixed in, and nothing of the hatch that marks cloth beyond a photograph.
    A patch of which nothing shows has nan.
    """
    kept = cache if cache is not None else PaintCache()
    sums = np.zeros((len(frame.scene), 4))
    index_of = np.zeros(int(frame.scene.numbers.max()) + 1, np.int64)
    index_of[frame.scene.numbers] = np.arange(len(sums))
    # A pixel that one patch fills is labelled with it.
    owner_of_place = index_of[frame.labels.ravel()]
    owner_of_slot = np.empty(len(frame.part_slot), np.int64)
    owner_of_slot[frame.part_slot] = np.repeat(np.arange(len(sums)), np.diff(frame.part_first))
    for group in group_by_cloth(frame, audition.wear):
        laid, tile = prepare_group(frame, group, cache=kept)
        for stretch in sample_light(laid, tile):
            owner = np.concatenate([owner_of_place[stretch.whole_place], owner_of_slot[stretch.slot]])
            weight = np.concatenate([np.ones(len(stretch.whole_place)), frame.slot_weight[stretch.slot]])
            low, high = np.searchsorted(laid.beyond, (stretch.first, stretch.first + len(owner)))
            weight[laid.beyond[low:high] - stretch.first] = 0
            for channel in range(3):
                light = weight * stretch.lin16[:, channel]
                sums[:, channel] += np.bincount(owner, weights=light, minlength=len(sums))
            sums[:, 3] += np.bincount(owner, weights=weight, minlength=len(sums))
    with np.errstate(invalid="ignore"):
        return np.where(sums[:, 3:] > 0, sums[:, :3] / sums[:, 3:] / 65535, np.nan)
