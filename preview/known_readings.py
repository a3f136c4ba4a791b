"""Readings that are known already: after one cloth changes only the edges that it touches are read again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np
from numpy.typing import NDArray

from palettes.looks import shared_colour
from palettes.meeting import Meeting
from palettes.reading import Reading, judge_edges
from palettes.thresholds import THRESHOLDS
from palettes.trust import doubt_between, trust_of
from palettes.viewing import Viewing
from preview.audition import Audition
from preview.beside import means_lin, patch_rows, places_beside
from preview.keeping import PaintCache
from preview.seen_cloth import cloth_look
from preview.survey import Survey
from preview.wear import identity_of
from swatches.swatch import Swatch
from swatches.trust import of_one_photo

__all__ = ["KnownReadings", "known_readings"]

_MOST_KNOWN = 8192
"""Readings that are remembered for one block; then all are forgotten (ours): some 20 MB."""

_Floats = NDArray[np.float64]
_Lie = tuple[object, ...]
"""What a patch is made of and how it lies: all that its light depends on."""


@dataclass(slots=True, eq=False)
class KnownReadings:
    """What was read of one survey. Belongs to a cache, and is used under its lock."""

    survey: Survey
    _readings: dict[tuple[int, Viewing, _Lie, _Lie], Reading] = field(default_factory=dict)
    _means: dict[tuple[int, _Lie], _Floats] = field(default_factory=dict)

    def read(self, audition: Audition, *, viewing: Viewing, cache: PaintCache) -> list[Reading]:
        """The reading of every edge, in the order of the survey."""
        lies = _lies(audition)
        keys = [
            (edge, viewing, lies[one], lies[other])
            for edge, (one, other) in enumerate(zip(*self.survey.owners, strict=True))
        ]
        missing = [edge for edge, key in enumerate(keys) if key not in self._readings]
        if missing:
            if len(self._readings) + len(missing) > _MOST_KNOWN:
                self._readings.clear()
                self._means.clear()
                missing = list(range(len(keys)))
            found = self._read(np.array(missing, np.intp), audition, lies, viewing=viewing, cache=cache)
            self._readings.update((keys[edge], each) for edge, each in zip(missing, found, strict=True))
        return [self._readings[key] for key in keys]

    def _read(
        self,
        only: NDArray[np.intp],
        audition: Audition,
        lies: list[_Lie],
        *,
        viewing: Viewing,
        cache: PaintCache,
    ) -> tuple[Reading, ...]:
        places = places_beside(self.survey, audition, viewing=viewing, cache=cache, only=only)
        owners = [each[only] for each in self.survey.owners]
        means = self._means_of(np.unique(np.concatenate(owners)), audition, lies, cache=cache)
        pairs = np.stack([means[each] for each in owners], axis=1)
        # Of a patch too small to have a pixel of its own, the light along its edge stands for it.
        hidden = np.isnan(pairs)
        if hidden.any():
            along = [_means_along(light, places.starts) for light in (places.first_lin, places.second_lin)]
            pairs = np.where(hidden, np.stack(along, axis=1), pairs)
        meetings = _meetings(audition, owners, viewing=viewing, cache=cache)
        return judge_edges(places, means_lin=pairs, viewing=viewing, meetings=meetings)

    def _means_of(
        self, owners: NDArray[np.intp], audition: Audition, lies: list[_Lie], *, cache: PaintCache
    ) -> _Floats:
        missing = np.array([each for each in owners if (int(each), lies[each]) not in self._means], np.intp)
        fresh = means_lin(self.survey, audition, cache=cache, only=missing)
        self._means.update(((int(each), lies[each]), mean) for each, mean in zip(missing, fresh, strict=True))
        means = np.full((len(lies), 3), np.nan)
        for each in owners:
            means[each] = self._means[int(each), lies[each]]
        return means


def known_readings(survey: Survey, *, cache: PaintCache) -> KnownReadings:
    """What the cache knows of a survey; an empty book for a new one."""
    return cache.get(("readings", survey), lambda: KnownReadings(survey), weigh=lambda _: 20 << 20)


def _lies(audition: Audition) -> list[_Lie]:
    rows = patch_rows(audition).tolist()
    names = _names(audition)
    return [
        (names[id(audition.cloth_of(patch))], *row)
        for patch, row in zip(audition.draft.patches, rows, strict=True)
    ]


def _names(audition: Audition) -> dict[int, tuple[object, ...]]:
    """By the id of a cloth all that its light, and the trust in it, depend on."""
    cloths = {id(cloth): cloth for cloth in audition.cloths.values()}
    return {
        key: (*identity_of(cloth), cloth.colour_from, cloth.colour_note, cloth.photo)
        for key, cloth in cloths.items()
    }


def _means_along(light: _Floats, starts: NDArray[np.intp]) -> _Floats:
    counts = np.diff(np.append(starts, len(light)))
    return np.asarray(np.add.reduceat(light, starts, axis=0) / counts[:, None])


def _meetings(
    audition: Audition, owners: Sequence[NDArray[np.intp]], *, viewing: Viewing, cache: PaintCache
) -> list[Meeting]:
    """What the two cloths of each edge have to do with each other, kept for each pair of roles and cloths."""
    patches, names = audition.draft.patches, _names(audition)
    # Distance does not change which colours are alike, but lamps and eyes do.
    look = None if viewing.is_usual else viewing
    found: list[Meeting] = []
    for one, other in zip(*owners, strict=True):
        roles = patches[one].role, patches[other].role
        cloths = audition.cloth_of(patches[one]), audition.cloth_of(patches[other])
        key = ("meeting", *roles, *(names[id(cloth)] for cloth in cloths), look)
        meet = partial(_meet, roles, cloths, viewing=viewing, cache=cache)
        found.append(cache.get(key, meet, weigh=lambda _: 512))
    return found


def _meet(roles: Sequence[str], cloths: Sequence[Swatch], *, viewing: Viewing, cache: PaintCache) -> Meeting:
    first, second = (cloth_look(cloth, cache=cache) for cloth in cloths)
    merges, colour = shared_colour(first, second, viewing=viewing)
    trusts = [trust_of(cloth.colour_from, note=cloth.colour_note) for cloth in cloths]
    doubt_L, doubt = doubt_between(
        trusts[0],
        trusts[1],
        one_cloth=cloths[0].key == cloths[1].key,
        one_photo=of_one_photo(*cloths),
    )
    scales = sorted((first.scale_in, second.scale_in))
    return Meeting(
        first_name=f"the {roles[0]}",
        second_name=f"the {roles[1]}",
        merges=merges,
        shared_colour=colour,
        like_motifs=first.is_print and second.is_print and scales[1] <= THRESHOLDS.like_scale * scales[0],
        doubt_L=doubt_L,
        doubt=doubt,
    )
