"""Auditions as text: which block, sewn with which seam allowance, in which cloth.

The file is TOML that a person can read and write. Cloth is named twice, by its lasting key and by its name,
so that a stash that has lost a cloth can still say which one it was.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from blocks.lengths import inches_text, parse_inches
from ui.mistakes import Mistake, closest
from ui.settings import SEAM

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
_FIELDS = ("audition", "block", "seam", "cloth", "patches")


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
    """The name of a built-in block, or the path of a block file."""
    seam_in: Fraction = SEAM.default
    cloths: Mapping[str, ChosenCloth] = field(default_factory=dict)
    """Role to cloth."""
    patches: Mapping[int, ChosenCloth] = field(default_factory=dict)
    """Single patches that overrule their role, by number."""


def is_audition(text: str) -> bool:
    """Whether a TOML text is an audition rather than a block; text that is no TOML is neither."""
    try:
        return "audition" in tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return False


def read_audition(path: Path) -> WrittenAudition:
    """The audition in a file. A block file named in it is found beside the audition.

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


def _from_table(table: dict[str, object], path: Path) -> WrittenAudition:
    faults: list[str] = []
    faults += [
        f'"{name}" is not known here ({closest(name, _FIELDS)})' for name in table if name not in _FIELDS
    ]
    if table.get("audition") != _VERSION:
        faults.append(f"audition is {table.get('audition')!r}, and only {_VERSION} is known")
    block = table.get("block")
    if not isinstance(block, str) or not block.strip():
        faults.append("block is missing or no text")
    seam_in = SEAM.default
    try:
        seam_in = SEAM.read(_text_or_whole(table.get("seam")))
    except ValueError as error:
        faults.append("seam: " + str(error).rstrip("."))
    cloths = _chosen(table.get("cloth", {}), "cloth", faults)
    patches = {
        int(name): cloth
        for name, cloth in _chosen(table.get("patches", {}), "patches", faults).items()
        if _is_number(name, faults)
    }
    if faults:
        raise AuditionFileError(str(path), faults, mend='Write it as "seamlight draw --keep FILE" writes it.')
    return WrittenAudition(_beside(str(block), path), seam_in, cloths, patches)


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
        "# An audition: a block, and the cloth chosen for each of its roles.",
        f"audition = {_VERSION}",
        f"block = {_quoted(audition.block)}",
        f"seam = {_quoted(_exact(audition.seam_in))}",
        "",
        "[cloth]",
        *(f"{_quoted(role)} = {_cloth(cloth)}" for role, cloth in audition.cloths.items()),
    ]
    if audition.patches:
        lines += [
            "",
            "[patches]",
            *(f"{number} = {_cloth(cloth)}" for number, cloth in audition.patches.items()),
        ]
    return "\n".join(lines) + "\n"


def _exact(length_in: Fraction) -> str:
    """A length in a form that reads back exactly; off the ruler that is the bare fraction."""
    text = inches_text(length_in)
    return text if parse_inches(text) == length_in else f"{length_in.numerator}/{length_in.denominator}"


def _cloth(cloth: ChosenCloth) -> str:
    return f"{{ key = {_quoted(cloth.key)}, name = {_quoted(cloth.name)} }}"


def _quoted(text: str) -> str:
    """A TOML basic string. JSON escapes the same signs, but for the delete sign, which TOML forbids bare."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
