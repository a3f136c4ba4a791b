"""Who may import whom, read from the source, and what a fresh Python really loads."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

MAY_IMPORT = {
    "palettes": set(),
    "blocks": set(),
    "swatches": {"palettes"},
    "cutting": {"blocks"},
    "preview": {"palettes", "blocks", "swatches"},
    "ui": {"palettes", "blocks", "swatches", "cutting", "preview"},
}
"""The layers: a folder, and the folders of ours whose names it may import."""

WEB = {"gradio", "gradio_client", "fastapi", "starlette", "uvicorn"}
SLOW = {"colour", "skimage", "scipy"}


def modules_of(folder: str) -> list[Path]:
    return sorted((ROOT / folder).rglob("*.py"))


def imports_of(tree: ast.AST) -> set[str]:
    """The first part of every imported name, however deep in the code the import stands."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: relative import; write the folder's name out"
            found.add((node.module or "").split(".")[0])
    return found


def breaches(folder: str, source: str) -> set[str]:
    """Names that a module of this folder imports and may not."""
    found = imports_of(ast.parse(source))
    ours = (found & MAY_IMPORT.keys()) - MAY_IMPORT[folder] - {folder}
    return ours | (found & WEB if folder != "ui" else set()) | (found & {"tests", "benchmarks"})


@pytest.mark.parametrize("folder", MAY_IMPORT)
def test_imports_keep_to_the_layers(folder: str) -> None:
    modules = modules_of(folder)
    assert len(modules) > 1
    wrong = {
        str(path.relative_to(ROOT)): names
        for path in modules
        if (names := breaches(folder, path.read_text("utf-8")))
    }
    assert not wrong


def test_a_breach_is_seen_at_any_depth() -> None:
    assert breaches("blocks", "def draw():\n    from preview.render import paint\n") == {"preview"}
    assert breaches("preview", "import gradio as gr\nimport cutting.layout\n") == {"gradio", "cutting"}
    assert breaches("swatches", "from palettes.encodings import srgb8_to_lin\nimport numpy\n") == set()


def slow_imports_at_the_top(source: str) -> set[str]:
    """Slow libraries imported when the module loads, outside functions and type-checking guards."""
    return {
        name
        for node in ast.parse(source).body
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in imports_of(node)
        if name in SLOW | {"gradio"}
    }


def test_slow_libraries_are_imported_inside_functions() -> None:
    wrong = {
        str(path.relative_to(ROOT)): names
        for folder in MAY_IMPORT
        for path in modules_of(folder)
        if (names := slow_imports_at_the_top(path.read_text("utf-8")))
    }
    assert not wrong
    assert slow_imports_at_the_top("from scipy import ndimage\n") == {"scipy"}


def loaded_after(code: str) -> set[str]:
    """The top-level modules that a fresh Python holds after running some code."""
    tail = "\nimport sys\nprint('\\n'.join({name.split('.')[0] for name in sys.modules}))"
    run = subprocess.run(
        [sys.executable, "-c", code + tail], capture_output=True, text=True, cwd=ROOT, timeout=120, check=True
    )
    return set(run.stdout.split())


def test_nothing_below_ui_loads_the_web_or_the_slow_libraries() -> None:
    names = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for folder in MAY_IMPORT
        if folder != "ui"
        for path in modules_of(folder)
    ]
    loaded = loaded_after("\n".join(f"import {name}" for name in names))
    assert {"blocks", "palettes", "preview", "numpy"} <= loaded
    assert not loaded & (WEB | SLOW)
