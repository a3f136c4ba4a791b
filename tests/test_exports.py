"""Every module says what it offers: `__all__` exists, is short, and every name in it resolves."""

from __future__ import annotations

import ast
import importlib
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = ("blocks", "cutting", "palettes", "preview", "swatches", "ui")
MOST_NAMES = 8


def modules() -> list[str]:
    """Every module of ours that holds any code (a bare package file has nothing to offer)."""
    paths = [path for folder in FOLDERS for path in sorted((ROOT / folder).rglob("*.py"))]
    return [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for path in paths
        if any(not is_docstring(node) for node in ast.parse(path.read_text("utf-8")).body)
    ]


def is_docstring(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


@pytest.mark.parametrize("name", modules())
def test_public_names(name: str) -> None:
    module = importlib.import_module(name)
    names = getattr(module, "__all__", None)
    assert names is not None, f"{name} has no __all__"
    assert 0 < len(names) <= MOST_NAMES
    assert len(set(names)) == len(names)
    missing = [public for public in names if not hasattr(module, public)]
    assert not missing


def test_every_folder_is_covered() -> None:
    found = {name.split(".")[0] for name in modules()}
    assert found == set(FOLDERS)


def test_modules_stay_small() -> None:
    long = {
        str(path.relative_to(ROOT)): lines
        for folder in FOLDERS
        for path in (ROOT / folder).rglob("*.py")
        if (lines := len(path.read_text("utf-8").splitlines())) > 400
    }
    assert not long


def test_every_file_of_ours_is_packed() -> None:
    told = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
    packed = set()
    for package in told["packages"]:
        folder = ROOT / package.replace(".", "/")
        patterns = ["*.py", *told["package-data"].get(package, [])]
        packed |= {path for pattern in patterns for path in folder.glob(pattern)}
    ours = {
        path
        for folder in FOLDERS
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and not any(part.startswith((".", "__pycache__")) for part in path.parts[-4:])
    }
    assert len(ours) > 100
    assert ours - packed == set()
