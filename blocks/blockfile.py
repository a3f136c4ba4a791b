"""Block files: TOML that reads like a pattern's instructions, turned into a block as written.

A reader that meets five faults reports five, each with its line and its mend.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from blocks.applique import Applique, applique_faults
from blocks.faults import Fault, FaultsError
from blocks.fields import Fields, closest
from blocks.sourcelines import with_line
from blocks.stepfile import read_step
from blocks.steps import FlippedCorners, LogCabin, Outlined, Rectangle, Step, StripSet, Triangles

__all__ = ["Block", "BlockFileError", "parse_block", "read_block"]

_MOST_BYTES = 1_000_000
_TOP = ("name", "finished", "about", "difficulty", "also", "roles", "step", "applique", "reading")
_DIFFICULTIES = ("beginner", "confident beginner", "intermediate", "advanced")


@dataclass(frozen=True, slots=True)
class Block:
    """A block as it is written down, not yet worked out."""

    name: str
    finished_width_in: Fraction
    finished_height_in: Fraction
    roles: tuple[tuple[str, str], ...]
    """Each role with what it is for, in the order written."""
    steps: tuple[Step, ...]
    applique: tuple[Applique, ...] = ()
    wanted: tuple[tuple[str, str, bool], ...] = ()
    """Pairs of roles whose edges should, or need not, read against the usual rule."""
    about: str = ""
    difficulty: str = "beginner"
    also: tuple[str, ...] = ()
    """Other traditional names."""


class BlockFileError(FaultsError):
    """A block file with faults; `source` names the file."""

    def __init__(self, source: str, faults: Iterable[Fault]) -> None:
        self.source = source
        super().__init__([replace(fault, where=f"{source}, {fault.where}") for fault in faults])


def read_block(path: Path | str) -> Block:
    """The block in a file.

    Raises: BlockFileError for a missing or unreadable file, for text that is not TOML, and for every
    fault in what it says.
    """
    path = Path(path)
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise BlockFileError(path.name, [_whole("is far too long for a block file", "Check the file.")])
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        fault = _whole("is not plain text", "Save the file as UTF-8 text.")
        raise BlockFileError(path.name, [fault]) from error
    except OSError as error:
        fault = _whole(f"cannot be read ({error.strerror})", "Check the file's name and place.")
        raise BlockFileError(str(path), [fault]) from error
    return parse_block(text, source=path.name)


def parse_block(text: str, *, source: str = "block") -> Block:
    """The block that a text describes.

    Raises: BlockFileError with every fault, each with its line where it can be told.
    """
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        fault = _whole(f"is not TOML: {error}", "Mend the line named; texts stand in quotes.")
        raise BlockFileError(source, [fault]) from error
    faults: list[Fault] = []
    block = _read_top(table, faults)
    if faults:
        raise BlockFileError(source, [with_line(fault, text) for fault in faults])
    return block


def _whole(message: str, mend: str) -> Fault:
    return Fault("the file", "", message, mend)


def _read_top(table: Mapping[str, Any], faults: list[Fault]) -> Block:
    top = Fields(table, where="the block", faults=faults)
    name = top.text("name", mend='Name the block: name = "Garden Gate".')
    width_in, height_in = top.size("finished", mend='Write the finished size: finished = "12".')
    about = top.text("about", mend="Write one line about the block.", default="")
    difficulty = top.word("difficulty", _DIFFICULTIES, default="beginner")
    also = tuple(top.texts("also", mend="List other names as texts.")) if top.has("also") else ()
    roles = _read_roles(top)
    steps = _read_steps(top, faults)
    applique = _read_applique(top, faults)
    wanted = _read_wanted(top, faults)
    top.finish(_TOP)
    used = tuple(dict.fromkeys((*_step_roles(steps), *(item.cloth for item in applique))))
    _check_roles(roles, used, wanted, faults)
    return Block(
        name=name,
        finished_width_in=width_in,
        finished_height_in=height_in,
        roles=roles or tuple((role, "") for role in used),
        steps=steps,
        applique=applique,
        wanted=wanted,
        about=about,
        difficulty=difficulty,
        also=also,
    )


def _read_roles(top: Fields) -> tuple[tuple[str, str], ...]:
    mend = 'Write each role with what it is for: background = "behind everything".'
    written = top.take("roles", dict, mend=mend, default={})
    for role, purpose in written.items():
        if not isinstance(purpose, str):
            top.fault("roles", f'what "{role}" is for is not a text', mend)
    return tuple((role, str(purpose)) for role, purpose in written.items())


def _read_steps(top: Fields, faults: list[Fault]) -> tuple[Step, ...]:
    mend = "Write at least one [[step]]; the last one is the whole block."
    tables = top.tables("step", mend=mend) if top.has("step") else []
    if not tables:
        top.fault("step", "is missing", mend)
    steps: list[Step] = []
    names: list[str] = []
    for number, table in enumerate(tables, start=1):
        step = read_step(table, number=number, earlier=names, faults=faults)
        names.append(str(table.get("name", "")).strip())
        if step is not None:
            steps.append(step)
    return tuple(steps)


def _read_applique(top: Fields, faults: list[Fault]) -> tuple[Applique, ...]:
    if not top.has("applique"):
        return ()
    shapes = []
    for number, table in enumerate(top.tables("applique", mend="Write each shape as [[applique]]."), start=1):
        name = str(table.get("name", "")).strip()
        where = f"applique {number}" + (f" ({name})" if name else "")
        found, shape = applique_faults(dict(table), where=where)
        faults.extend(found)
        if shape is not None:
            shapes.append(shape)
    return tuple(shapes)


def _read_wanted(top: Fields, faults: list[Fault]) -> tuple[tuple[str, str, bool], ...]:
    if not top.has("reading"):
        return ()
    mend = 'Write roles = ["leaf", "stem"] and wanted = false.'
    wanted = []
    for number, table in enumerate(top.tables("reading", mend=mend), start=1):
        fields = Fields(table, where=f"reading {number}", faults=faults)
        roles = fields.texts("roles", mend=mend)
        if len(roles) != 2:
            fields.fault("roles", f"lists {len(roles)} roles", "List two roles, or one role twice.")
        flag = fields.take("wanted", bool, mend="Write wanted = true or wanted = false.")
        fields.finish(("roles", "wanted"))
        if len(roles) == 2:
            wanted.append((roles[0], roles[1], bool(flag)))
    return tuple(wanted)


def _step_roles(steps: Iterable[Step]) -> list[str]:
    roles: list[str] = []
    for step in steps:
        if isinstance(step, Rectangle | LogCabin | FlippedCorners):
            roles += [step.centre, *step.logs] if isinstance(step, LogCabin) else [step.cloth]
        if isinstance(step, FlippedCorners):
            roles += [corner.cloth for corner in step.corners]
        elif isinstance(step, Triangles):
            roles += step.cloths
        elif isinstance(step, StripSet):
            roles += [cloth for cloth, _ in step.strips]
        elif isinstance(step, Outlined):
            roles += [shape.cloth for shape in step.shapes]
    return [role for role in roles if role]


def _check_roles(
    roles: tuple[tuple[str, str], ...],
    used: tuple[str, ...],
    wanted: tuple[tuple[str, str, bool], ...],
    faults: list[Fault],
) -> None:
    known = [role for role, _ in roles]
    if known:
        for role in used:
            if role not in known:
                faults.append(
                    Fault("the block", "roles", f'no role "{role}" is written', closest(role, known))
                )
        for role in known:
            if role not in used:
                mend = "Use the role in a step, or leave it out."
                faults.append(Fault("the block", "roles", f'the role "{role}" is never used', mend))
    for role in dict.fromkeys(role for pair in wanted for role in pair[:2]):
        if role not in used:
            faults.append(Fault("reading", "roles", f'no patch has the role "{role}"', closest(role, used)))
