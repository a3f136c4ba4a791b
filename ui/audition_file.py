"""Auditions as text: which block or quilt, sewn with which seam allowance, in which cloth.

The file is TOML that a person can read and write. Cloth is named twice, by its lasting key and by its name,
so that a stash that has lost a cloth can still say which one it was.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

from blocks.setting import Setting
from blocks.settingfile import setting_faults
from ui.mistakes import Mistake, closest
from ui.setting_text import exact_length, quoted, setting_lines
from ui.settings import SEAM, WIDTH

__all__ = [
    "AuditionFileError",
    "ChosenCloth",
    "WrittenAudition",
    "audition_text",
    "is_audition",
    "read_audition",
]

_VERSION = 1
_MOST_BYTES = 1_000_000
_FIELDS = ("audition", "block", "setting", "seam", "width", "upright", "method", "cloth", "patches")


class AuditionFileError(ValueError):
    """An audition file that cannot be read: every fault in it, each with its place."""

    def __init__(self, source: str, faults: list[str], *, mend: str) -> None:
        self.faults = tuple(faults)
        self.mend = mend
        super().__init__(f"{source}: " + "; ".join(faults) + ".")


@dataclass(frozen=True, slots=True)
class ChosenCloth:
    """A cloth by its lasting key (which may be empty when a person wrote the file) and by its name."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class WrittenAudition:
    """An audition as written: nothing is looked up yet."""

    block: str
    """The name of a built-in block, or the path of a block file; "" where a setting names the blocks."""
    seam_in: Fraction = SEAM.default
    cloths: Mapping[str, ChosenCloth] = field(default_factory=dict)
    """Role to cloth."""
    patches: Mapping[int, ChosenCloth] = field(default_factory=dict)
    """Single patches that overrule their role, by number."""
    setting: tuple[str, Setting] | None = None
    """The quilt's name and its setting, where the audition holds one."""
    setting_file: str = ""
    """The path of a setting file, where the audition names one."""
    width_in: Fraction | None = None
    """The finished width that the block is drawn at; None for its own."""
    methods: tuple[tuple[str, str], ...] = ()
    """Steps made by another method than the block file's."""
    upright: bool = False


def is_audition(text: str) -> bool:
    """Whether a TOML text is an audition rather than a block; text that is no TOML is neither."""
    try:
        return "audition" in tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False


def read_audition(path: Path) -> WrittenAudition:
    """The audition in a file. A block or setting file named in it is found beside the audition.

    Raises: AuditionFileError with every fault; OSError where the file cannot be opened.
    """
    source = str(path)
    raw = path.read_bytes()
    if len(raw) > _MOST_BYTES:
        raise AuditionFileError(source, ["it is over a megabyte"], mend="Name an audition file.")
    try:
        table = tomllib.loads(raw.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise AuditionFileError(source, ["it is no UTF-8 text"], mend="Save it as UTF-8 text.") from error
    except tomllib.TOMLDecodeError as error:
        raise AuditionFileError(
            source, [str(error).rstrip(".")], mend="Mend that line of the TOML."
        ) from error
    return _from_table(table, path)


def _from_table(table: dict[str, Any], path: Path) -> WrittenAudition:
    faults: list[str] = []
    faults += [
        f'"{name}" is not known here ({closest(name, _FIELDS)})' for name in table if name not in _FIELDS
    ]
    if table.get("audition") != _VERSION:
        faults.append(f"audition is {table.get('audition')!r}, and only {_VERSION} is known")
    block, setting_file, setting = _what(table, faults)
    seam_in, width_in = SEAM.default, None
    try:
        seam_in = SEAM.read(_text_or_whole(table.get("seam")))
    except ValueError as error:
        faults.append("seam: " + str(error.__cause__ or error).rstrip("."))
    try:
        width_in = WIDTH.read(_text_or_whole(table["width"])) if "width" in table else None
    except ValueError as error:
        faults.append("width: " + str(error.__cause__ or error).rstrip("."))
    cloths = _chosen(table.get("cloth", {}), "cloth", faults)
    patches = {
        int(name): cloth
        for name, cloth in _chosen(table.get("patches", {}), "patches", faults).items()
        if _is_number(name, faults)
    }
    methods = table.get("method", {})
    if not isinstance(methods, dict) or not all(isinstance(method, str) for method in methods.values()):
        faults.append("method is not a table of a step and its method each")
        methods = {}
    if not isinstance(table.get("upright", False), bool):
        faults.append("upright is neither true nor false")
    if faults:
        raise AuditionFileError(str(path), faults, mend='Write it as "seamlight draw --keep FILE" writes it.')
    return WrittenAudition(
        block=_beside(block, path),
        seam_in=seam_in,
        cloths=cloths,
        patches=patches,
        setting=setting,
        setting_file=_beside(setting_file, path),
        width_in=width_in,
        methods=tuple(methods.items()),
        upright=bool(table.get("upright", False)),
    )


def _what(table: dict[str, Any], faults: list[str]) -> tuple[str, str, tuple[str, Setting] | None]:
    """The block, the setting file and the setting that are written."""
    block, written = table.get("block", ""), table.get("setting", "")
    if not isinstance(block, str) or not (block.strip() or "setting" in table):
        faults.append("block is missing or no text")
        block = ""
    if isinstance(written, str):
        if "setting" in table and not written.lower().endswith(".toml"):
            faults.append("setting is neither a table nor the name of a .toml file")
        return block, written, None
    if not isinstance(written, dict):
        faults.append("setting is neither a table nor the name of a .toml file")
        return block, "", None
    if block and not {"rows", "blocks"} & written.keys():
        written = {**written, "blocks": [block]}
    found, name, setting = setting_faults(written)
    faults += [str(fault).rstrip(".") for fault in found]
    return block, "", None if setting is None else (name, setting)


def _text_or_whole(value: object) -> str | int | None:
    if value is None or (isinstance(value, str | int) and not isinstance(value, bool)):
        return value
    raise Mistake(f"{value!r} is not a length", mend='Put it in quotes: "1/4".')


def _is_number(name: str, faults: list[str]) -> bool:
    fine = name.isascii() and name.isdigit() and len(name) <= 6
    if not fine:
        faults.append(f'patches: "{name}" is no patch number')
    return fine


def _chosen(part: object, place: str, faults: list[str]) -> dict[str, ChosenCloth]:
    if not isinstance(part, dict):
        faults.append(f"{place} is not a table")
        return {}
    found = {}
    for name, value in part.items():
        if isinstance(value, str):
            found[str(name)] = ChosenCloth("", value)
        elif isinstance(value, dict) and all(isinstance(value.get(at, ""), str) for at in ("key", "name")):
            found[str(name)] = ChosenCloth(value.get("key", ""), value.get("name", ""))
        else:
            faults.append(f"{place}.{name} is neither a name nor a key with a name")
    return found


def _beside(block: str, path: Path) -> str:
    """A block file that lies beside the audition, as a path that can be opened from here."""
    near = path.parent / block
    return str(near) if block.lower().endswith(".toml") and not Path(block).is_absolute() else block


def audition_text(audition: WrittenAudition) -> str:
    """The audition as a text that `read_audition` reads back unchanged."""
    lines = [
        "# An audition: a block or a quilt, and the cloth chosen for each of its roles.",
        f"audition = {_VERSION}",
    ]
    if audition.block:
        lines += [f"block = {quoted(audition.block)}"]
    if audition.setting_file:
        lines += [f"setting = {quoted(audition.setting_file)}"]
    lines += [f"seam = {quoted(exact_length(audition.seam_in))}"]
    if audition.width_in is not None:
        lines += [f"width = {quoted(exact_length(audition.width_in))}"]
    lines += ["upright = true"] if audition.upright else []
    if audition.setting is not None:
        lines += ["", *setting_lines(*audition.setting, under="setting")]
    if audition.methods:
        lines += ["", "[method]", *(f"{quoted(step)} = {quoted(how)}" for step, how in audition.methods)]
    lines += ["", "[cloth]"]
    lines += [f"{quoted(role)} = {_cloth(cloth)}" for role, cloth in audition.cloths.items()]
    if audition.patches:
        lines += ["", "[patches]"]
        lines += [f"{number} = {_cloth(cloth)}" for number, cloth in audition.patches.items()]
    return "\n".join(lines) + "\n"


def _cloth(cloth: ChosenCloth) -> str:
    return f"{{ key = {quoted(cloth.key)}, name = {quoted(cloth.name)} }}"
