"""Demo cloth: prints and solids drawn by formulas of our own, so that everything can be tried at once.

They come from a small valley of beekeepers and gardeners. Every one is a seamless repeat of known inches.
"""

from __future__ import annotations

from swatches.demo.recipe import DemoCloth
from swatches.demo.shelf import UnknownCloth, demo_about, demo_names, demo_swatch

__all__ = ["DemoCloth", "UnknownCloth", "demo_about", "demo_names", "demo_swatch"]
