"""What a user asks for in words, looked up: a block or a quilt, an audition, cloth for its roles."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

from blocks.setting import Setting
from blocks.settingfile import read_setting
from blocks.steps import Part
from cutting.rules import CuttingRules
from swatches.solids import solid_swatch
from swatches.swatch import Swatch
from ui.audition_file import ChosenCloth, WrittenAudition, read_audition
from ui.bench import Drafted, Worked, draft_making, roles_of, stand_upright, work_out
from ui.first_choice import first_choice
from ui.making import Making, find_making, remade, set_blocks, toml_table, widened
from ui.mistakes import Mistake, closest
from ui.shelf import Shelf

__all__ = ["Order", "Wishes", "draft_order", "fill_order", "take_order", "written_order"]

_STAND_IN = "#b4b4b4"
"""Shown where an audition names a cloth that the shelf no longer has: a plain grey, L* 73."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """How a block is to be made otherwise than it is written. None for what was not asked."""

    seam_in: Fraction | None = None
    width_in: Fraction | None = None
    methods: tuple[tuple[str, str], ...] = ()
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Order:
    """A block or quilt and the cloths asked for it by name; nothing is looked up yet but the blocks."""

    making: Making
    called: str
    """The block's built-in name, or the file it was found in."""
    seam_in: Fraction
    width_in: Fraction | None = None
    methods: tuple[tuple[str, str], ...] = ()
    upright: bool = False
    roles: dict[str, ChosenCloth] = field(default_factory=dict)
    patches: dict[int, ChosenCloth] = field(default_factory=dict)
    from_file: bool = False


def take_order(called: str, assignments: Sequence[str], *, wishes: Wishes = Wishes()) -> Order:
    """The order in the name of a block, setting or audition file and in words such as petal="clover field".

    Words and wishes given here overrule the audition file.
    Raises: what reading the files raises, ScaleError, MethodError, and Mistake for words of another form.
    """
    roles, patches = _read_assignments(assignments)
    path = Path(called)
    if called.lower().endswith(".toml") and "audition" in toml_table(path):
        return _from_audition(path, roles, patches, wishes)
    seam_in = Fraction(1, 4) if wishes.seam_in is None else wishes.seam_in
    return _as_wished(
        Order(find_making(called), called, seam_in, roles=roles, patches=patches),
        width_in=wishes.width_in,
        methods=wishes.methods,
        upright=wishes.upright,
    )


def _from_audition(
    path: Path, roles: dict[str, ChosenCloth], patches: dict[int, ChosenCloth], wishes: Wishes
) -> Order:
    written = read_audition(path)
    called = written.block
    if written.setting_file:
        name, setting = read_setting(Path(written.setting_file))
        making = set_blocks(name, setting, folder=Path(written.setting_file).parent)
        called = written.setting_file
    elif written.setting is not None:
        making = set_blocks(*written.setting, folder=path.parent)
    else:
        making = find_making(written.block)
    order = Order(
        making,
        called,
        written.seam_in if wishes.seam_in is None else wishes.seam_in,
        roles={**written.cloths, **roles},
        patches={**written.patches, **patches},
        from_file=True,
    )
    return _as_wished(
        order,
        width_in=written.width_in if wishes.width_in is None else wishes.width_in,
        methods=tuple({**dict(written.methods), **dict(wishes.methods)}.items()),
        upright=written.upright or wishes.upright,
    )


def _as_wished(
    order: Order, *, width_in: Fraction | None, methods: tuple[tuple[str, str], ...], upright: bool
) -> Order:
    making = widened(remade(order.making, methods=methods), width_in=width_in)
    return replace(order, making=making, width_in=width_in, methods=methods, upright=upright)


def _read_assignments(words: Sequence[str]) -> tuple[dict[str, ChosenCloth], dict[int, ChosenCloth]]:
    roles: dict[str, ChosenCloth] = {}
    patches: dict[int, ChosenCloth] = {}
    for word in words:
        name, sign, cloth = (part.strip() for part in word.partition("="))
        if not sign or not name or not cloth:
            raise Mistake(f'"{word}" gives no cloth to a role.', mend='Write it as petal="clover field".')
        if name.isascii() and name.isdigit():
            patches[int(name[:9])] = ChosenCloth("", cloth)
        else:
            roles[name] = ChosenCloth("", cloth)
    return roles, patches


def draft_order(order: Order) -> Drafted:
    """The order drafted, without its cloth.

    Raises: what `draft_making` raises for a block that does not fit or a setting that cannot be sewn.
    """
    return draft_making(order.making, seam_in=order.seam_in)


def fill_order(
    order: Order, shelf: Shelf, *, say: Callable[[str], None], rules: CuttingRules | None = None
) -> Worked:
    """The order worked out in cloth from the shelf. Roles without a cloth get our own choice, and it is said.

    A cloth that an audition file names and the shelf has lost is reported and stands as plain grey; a name
    typed wrong is a mistake.
    """
    drafted = draft_order(order)
    known = roles_of(drafted)
    for role in order.roles:
        if role not in known:
            raise Mistake(f'{drafted.draft.name} has no role "{role}".', mend=closest(role, known))
    ours = {
        role: shelf.find(name)
        for role, name in first_choice(order.making.block().name, known).items()
        if role not in order.roles
    }
    theirs = {
        role: _find(shelf, cloth, where=role, order=order, say=say) for role, cloth in order.roles.items()
    }
    patches = {
        number: _find(shelf, cloth, where=f"patch {number}", order=order, say=say)
        for number, cloth in order.patches.items()
    }
    roles = ours | theirs
    if order.upright:
        drafted = stand_upright(drafted, roles=[role for role in known if roles[role].one_way])
    worked = work_out(drafted, roles=roles, patches=patches, rules=rules)
    if ours:
        listed = ", ".join(f"{role} = {swatch.name}" for role, swatch in ours.items())
        say(f"Our choice of cloth, unless you give another: {listed}.")
    for note in worked.audition.notes:
        say(f"Note: {note}")
    return worked


def _find(
    shelf: Shelf, cloth: ChosenCloth, *, where: str, order: Order, say: Callable[[str], None]
) -> Swatch:
    found = shelf.find_chosen(cloth)
    if found is not None:
        return found
    called = cloth.name or cloth.key
    if not order.from_file:
        return shelf.find(called)
    back = shelf.how_back(called)
    say(
        f'Missing: the cloth "{called}" for {where} is not on the shelf; plain grey stands in for it.'
        + (f" {back}" if back else "")
    )
    grey = solid_swatch(_STAND_IN, name=f"{called[:100]} (missing)")
    # What is said of it rests on nothing, and so has to stand beside every reading of it.
    return replace(grey, colour_from="not measured", colour_note="Colour: of a stand-in, not measured.")


def written_order(order: Order, worked: Worked, *, beside: Path) -> WrittenAudition:
    """The order as an audition to be written into a folder, every cloth by its key and name."""
    of_patch = worked.cloth_of_patches() if order.patches else {}
    return WrittenAudition(
        block="" if order.making.setting is not None else _from(order.called, beside),
        seam_in=order.seam_in,
        cloths={role: _chosen(worked.roles[role]) for role in roles_of(worked.drafted)},
        patches={number: _chosen(of_patch[number]) for number in order.patches},
        setting=_setting_from(order.making, beside),
        width_in=order.width_in,
        methods=order.methods,
        upright=order.upright,
    )


def _from(called: str, beside: Path) -> str:
    return os.path.relpath(called, beside) if called.lower().endswith(".toml") else called


def _setting_from(making: Making, beside: Path) -> tuple[str, Setting] | None:
    """The setting with its block files named as they are found from a folder."""
    if making.setting is None:
        return None

    def moved(rows: tuple[tuple[Part, ...], ...]) -> tuple[tuple[Part, ...], ...]:
        return tuple(
            tuple(
                replace(part, of=os.path.relpath(making.files[part.of], beside))
                if part.of in making.files
                else part
                for part in row
            )
            for row in rows
        )

    setting = making.setting
    return making.name, replace(setting, rows=moved(setting.rows), between=moved(setting.between))


def _chosen(swatch: Swatch) -> ChosenCloth:
    return ChosenCloth(swatch.key, swatch.name)
