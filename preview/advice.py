"""What may be done about a weak edge, in the order in which makers try it: each before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion, shift, turn
from blocks.values import Edge
from palettes.pair_table import pair_shares
from palettes.reading import Word, value_shares, word_for
from palettes.threads import Thread, own_threads
from palettes.thresholds import THRESHOLDS
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import Audition, make_audition
from preview.beside import patch_rows, places_beside, rows_of_places
from preview.fitting import fit_on_photo
from preview.keeping import PaintCache
from preview.outline import best_outline
from preview.readings import EdgeReading, read_edges
from preview.seen_cloth import cloth_look
from preview.survey import Survey, survey_edges
from swatches.swatch import Swatch

__all__ = ["Remedy", "Way", "remedies"]

Way = Literal["another cloth", "turned cut", "re-placed cut", "another ground", "outline stitch"]

_TRIED = 4
"""Cloths of the stash that are laid into the block, after all were ranked by their looks (ours)."""

_PLACES = 24
"""Places on the cloth that are tried for a cut."""

_Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Remedy:
    """One thing to do, and what it does."""

    way: Way
    words: str
    """What to do, one sentence in the imperative."""
    before: float
    after: float
    """The share of the edge that shows by value, before and after."""
    before_word: Word
    after_word: Word
    weakest_after: float
    """The share of the weakest edge that should read among all that the remedy touches."""
    role: str = ""
    """For a cloth: the role that changes to it."""
    cloth: Swatch | None = None
    piece: int = -1
    """For a cut: the number of the piece that lies elsewhere, and where."""
    place: Motion | None = None
    thread: Thread | None = None


def remedies(
    audition: Audition,
    edges: Sequence[Edge],
    weak: EdgeReading,
    *,
    stash: Sequence[Swatch] = (),
    threads: Sequence[Thread] | None = None,
    viewing: Viewing = ACROSS_TABLE,
    cache: PaintCache | None = None,
) -> tuple[Remedy, ...]:
    """What would help this edge, at most one of each way, in the usual order.

    Another cloth or another ground from the stash changes a whole role, and is the one whose weakest edge
    is the strongest; a turned or re-placed cut changes one piece of cloth. All are read as they would lie.
    Raises: ValueError for an edge that is not of this block.
    """
    kept = cache if cache is not None else PaintCache()
    survey = survey_edges(audition.draft, edges, cache=kept)
    at = [i for i, edge in enumerate(survey.edges) if (edge.first, edge.second) == (weak.first, weak.second)]
    if not at:
        raise ValueError(f"patches {weak.first} and {weak.second} have no edge among those given")
    case = _Case(audition, survey, at[0], weak, viewing, kept)
    found = [
        _other_cloth(case, weak.first_role, "another cloth", stash),
        *_other_cut(case),
        _other_cloth(case, weak.second_role, "another ground", stash),
        _outlined(case, threads),
    ]
    return tuple(
        each for each in found if each is not None and each.after > each.before + THRESHOLDS.worth_share
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Case:
    audition: Audition
    survey: Survey
    at: int
    """Which edge of the survey is weak."""
    weak: EdgeReading
    viewing: Viewing
    cache: PaintCache

    def remedy(self, way: Way, words: str, after: float, weakest: float) -> Remedy:
        before = self.weak.reading.share_shows
        return Remedy(way, words, before, after, word_for(before), word_for(after), weakest)


def _other_cloth(case: _Case, role: str, way: Way, stash: Sequence[Swatch]) -> Remedy | None:
    """The cloth of the stash that makes the weakest edge of the role the strongest."""
    patches = case.audition.draft.patches
    own = {case.audition.cloth_of(patch).key for patch in patches if patch.role == role}
    # A cloth that is in the block already would make two roles one.
    used = {cloth.key for cloth in case.audition.cloths.values()}
    others = [cloth for cloth in stash if cloth.key not in used | own]
    role_of = {patch.number: patch.role for patch in patches}
    touched = [
        edge
        for edge in case.survey.edges
        if role in (role_of[edge.first], role_of[edge.second])
        and (edge.wanted or edge is case.survey.edges[case.at])
    ]
    beside = {
        number: case.audition.cloths[number]
        for edge in touched
        for number in (edge.first, edge.second)
        if role_of[number] != role
    }
    if not others or not beside:
        return None
    neighbours = list({cloth.key: cloth for cloth in beside.values()}.values())
    shares = pair_shares(
        [cloth_look(cloth, cache=case.cache) for cloth in others],
        [cloth_look(cloth, cache=case.cache) for cloth in neighbours],
    ).min(axis=1)
    best: Remedy | None = None
    for index in np.argsort(-shares, kind="stable")[:_TRIED]:
        cloth = others[int(index)]
        changed = _with_cloth(case.audition, role, cloth)
        read = read_edges(changed, touched, viewing=case.viewing, cache=case.cache)
        weakest = min((each.reading.share_shows for each in read if each.wanted), default=1.0)
        pair = (case.weak.first, case.weak.second)
        after = next(each for each in read if (each.first, each.second) == pair).reading.share_shows
        if best is None or (weakest, after) > (best.weakest_after, best.after):
            words = f"Cut the {role} from {cloth.name} instead."
            found = case.remedy(way, words, after, weakest)
            best = replace(found, role=role, cloth=cloth)
    return best


def _other_cut(case: _Case) -> list[Remedy | None]:
    """The best turned cut and the best cut from elsewhere, of the piece on either side of the edge."""
    turned: list[Remedy] = []
    moved: list[Remedy] = []
    for owners in case.survey.owners:
        owner = int(owners[case.at])
        patch = case.audition.draft.patches[owner]
        cloth = case.audition.cloth_of(patch)
        if cloth.kind == "solid":
            continue
        here = case.audition.place_of(patch)
        spots = np.random.default_rng(0).random((_PLACES, 2)) * (cloth.width_in, cloth.height_in)
        # A one-way print may not lie on its side or on its head.
        turns = [] if cloth.one_way else [turn(deg).after(here) for deg in (90, 180, 270)]
        for found, ways, places in (
            (turned, "turned cut", turns),
            (moved, "re-placed cut", [shift(float(dx), float(dy)).after(here) for dx, dy in spots]),
        ):
            piece = case.audition.draft.pieces[patch.piece]
            fitted = [fit_on_photo(place, cloth=cloth, piece=piece, patch=patch) for place in places]
            good = [place for place, fits in fitted if fits]
            if good:
                found.append(_best_place(case, owner, good, ways))  # type: ignore[arg-type]
    return [max(each, key=lambda remedy: remedy.after, default=None) for each in (turned, moved)]


def _best_place(case: _Case, owner: int, places: Sequence[Motion], way: Way) -> Remedy:
    patch = case.audition.draft.patches[owner]
    beside = (case.survey.owners[0] == owner) | (case.survey.owners[1] == owner)
    wanted = np.array([edge.wanted for edge in case.survey.edges])
    only = np.flatnonzero(beside & (wanted | (np.arange(len(wanted)) == case.at)))
    rows = patch_rows(case.audition)
    mates = [i for i, other in enumerate(case.audition.draft.patches) if other.piece == patch.piece]
    tried = []
    for row in rows_of_places(places):
        there = rows.copy()
        there[mates] = row
        light = places_beside(
            case.survey, case.audition, viewing=case.viewing, cache=case.cache, only=only, rows=there
        )
        shares = value_shares(light, viewing=case.viewing)
        tried.append((float(shares[wanted[only]].min(initial=1.0)), float(shares[only == case.at][0])))
    best = max(range(len(tried)), key=lambda i: tried[i])
    weakest, after = tried[best]
    name = case.audition.cloth_of(patch).name
    how = "Turn" if way == "turned cut" else "Move"
    words = f"{how} the piece for patch {patch.number} on {name} before cutting it."
    found = case.remedy(way, words, after, weakest)
    return replace(found, piece=patch.piece, place=places[best])


def _outlined(case: _Case, threads: Sequence[Thread] | None) -> Remedy:
    light = places_beside(
        case.survey,
        case.audition,
        viewing=case.viewing,
        cache=case.cache,
        only=np.array([case.at], np.intp),
    )
    thread, after = best_outline(light, threads or own_threads(), viewing=case.viewing)
    words = f"Stitch round the edge in {thread.name} thread, a sixteenth of an inch wide."
    found = case.remedy("outline stitch", words, after, after)
    return replace(found, thread=thread)


def _with_cloth(audition: Audition, role: str, cloth: Swatch) -> Audition:
    """The same block with a role in another cloth; single patches that had their own keep it."""
    patches = audition.draft.patches
    roles: dict[str, Swatch] = {}
    for patch in patches:
        roles.setdefault(patch.role, audition.cloth_of(patch))
    singles = {patch.number: audition.cloth_of(patch) for patch in patches if patch.role != role}
    return make_audition(
        audition.draft,
        roles={**roles, role: cloth},
        places=dict(enumerate(audition.places)),
        overrides=singles,
    )
