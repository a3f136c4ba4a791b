"""What the maker should know besides the cuts: mirror versions, one-way prints, edges to turn under."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from blocks.drafting import draft_block
from blocks.turning import turned_edges
from blocks.upright import upright_advice
from blocks.values import Draft
from cutting.rules import CuttingRules
from swatches.swatch import Swatch
from ui.bench import Drafted, Worked
from ui.binding_part import binding_note

__all__ = ["making_notes", "noted_draft", "numbers_text"]


def noted_draft(worked: Worked, *, more: Sequence[str] = ()) -> Draft:
    """The draft with all its notes, ready for the cutting list; `more` stand first."""
    rules = worked.plans[0].rules if worked.plans else CuttingRules()
    notes = [*more, *binding_note(worked, rules=rules), *making_notes(worked.drafted, roles=worked.roles)]
    return replace(worked.drafted.draft, notes=tuple(dict.fromkeys(notes)))


def making_notes(drafted: Drafted, *, roles: Mapping[str, Swatch] | None = None) -> tuple[str, ...]:
    """One sentence each: the draft's own notes, one-way prints (in these cloths), then appliqué edges."""
    notes = [*drafted.draft.notes]
    if roles is not None:
        notes += _one_way_notes(drafted, roles)
    notes += _turning_notes(drafted)
    return tuple(dict.fromkeys(notes))


def _one_way_notes(drafted: Drafted, roles: Mapping[str, Swatch]) -> Iterator[str]:
    used = dict.fromkeys(piece.role for piece in drafted.draft.pieces)
    wearing = [role for role in used if role in roles and roles[role].one_way]
    if not wearing:
        return
    names = ", ".join(f"{role} ({roles[role].name})" for role in wearing)
    if not drafted.upright:
        yield (
            f"One-way cloth: {names}. Laid all one way, its print turns with the patches; ask for an upright "
            "print to have each piece laid so that it finishes upright."
        )
        return
    yield f"One-way cloth, laid for an upright print: {names}. These steps say how to lay it."
    setting = drafted.making.setting
    turned = setting is not None and (
        setting.on_point or any(part.quarters for row in setting.rows for part in row)
    )
    if turned:
        yield "Some blocks stand turned in the quilt: make those with the print upright as they will hang."
        return
    for block in drafted.making.blocks.values():
        own = {role for role, _ in block.roles}
        for sentence in upright_advice(
            block, roles=[role for role in wearing if role in own], seam_in=drafted.draft.seam_in
        ):
            yield sentence if setting is None else f"{block.name}, for each block: {sentence}"


def _turning_notes(drafted: Drafted) -> Iterator[str]:
    """What to do with the edges of the appliqué; of a quilt, for one of each of its blocks."""
    if drafted.quilt is None:
        yield from _turned(drafted.draft)
        return
    for block in drafted.making.blocks.values():
        if block.applique:
            sentences = _turned(draft_block(block, seam_in=drafted.draft.seam_in))
            yield f"{block.name}, numbered as a block alone: {' '.join(sentences)}"


def _turned(draft: Draft) -> Iterator[str]:
    alike: dict[str, list[int]] = {}
    for turning in turned_edges(draft):
        alike.setdefault(turning.sentence().partition(": ")[2], []).append(turning.patch)
    for what, numbers in alike.items():
        yield f"{'Patch' if len(numbers) == 1 else 'Patches'} {numbers_text(numbers)}: {what}"


def numbers_text(numbers: Sequence[int]) -> str:
    """Numbers as people list them, runs of three and more drawn together.

    Example: numbers_text([3, 4, 5, 9, 10]) -> '3 to 5, 9, 10'
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [
        text
        for run in runs
        for text in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run])
    ]
    return ", ".join(parts)
