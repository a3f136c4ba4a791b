"""How an element of an SVG drawing is painted: fills and what hides it, from attributes and style rules.

Source: W3C SVG 2 (2018), chapter 6; W3C Selectors Level 4, section 17 (which rule wins); CSS Color Level 4.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from PIL.ImageColor import colormap, getrgb

from blocks.faults import Fault
from blocks.svg_tree import Node

__all__ = ["PLAIN", "Look", "Rule", "look_of", "read_rules"]

_USED = (
    *("fill", "fill-opacity", "stroke", "color", "visibility", "display"),
    *("opacity", "transform", "clip-path", "mask"),
)
_MOST_RULES = 1_000
_LONGEST_VALUE = 2_000
_PLAIN = "Save the drawing again as plain SVG, with each shape's paint at the shape."
_COLOURS = 'Write colours as "#rrggbb", as rgb(0, 0, 0) or by their CSS names.'
_SELECTOR = re.compile(r"(\*|[A-Za-z][\w-]*)?((?:[.#][\w-]+)*)")


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a style sheet with a simple selector: `path`, `.leaf`, `#bud`, `path.leaf` or `*`."""

    tag: str
    marks: tuple[str, ...]
    """Classes and ids that an element must have, as written: ".leaf", "#bud"."""
    declared: tuple[tuple[str, str], ...]

    def fits(self, node: Node) -> bool:
        """Whether the rule is about this element."""
        classes = node.attributes.get("class", "").split()
        has = {*(f".{name}" for name in classes), f"#{node.attributes.get('id', '')}"}
        return self.tag in ("", "*", node.tag) and has.issuperset(self.marks)

    def weight(self) -> tuple[int, int, int]:
        """Ids before classes before element names."""
        ids = sum(mark.startswith("#") for mark in self.marks)
        return ids, len(self.marks) - ids, int(self.tag not in ("", "*"))


@dataclass(frozen=True, slots=True)
class Look:
    """What an element hands down to what it holds, and what it keeps for itself."""

    fill: str = "#000000"
    """A colour as #rrggbb, "none", or the name of a gradient or pattern as "paint name"."""
    stroke: str = "none"
    colour: str = "#000000"
    visible: bool = True
    """Not hidden by `visibility`."""
    see_through: bool = False
    """Filled, but with an opacity of nothing."""
    drawn: bool = True
    """False where the element with all it holds is left out."""
    transform: str = ""
    clipped: bool = False


PLAIN = Look()
"""Before anything is said, shapes are filled black."""


def read_rules(nodes: Iterable[Node]) -> tuple[tuple[Rule, ...], list[Fault]]:
    """The rules of all style sheets, the strongest last, and a fault for each that cannot be read."""
    rules: list[Rule] = []
    faults: list[Fault] = []
    for node in nodes:
        if node.tag == "style":
            for selectors, body in _blocks(_without_comments(node.text)):
                declared = _declarations(body)
                for selector in selectors.split(",") if declared else ():
                    _read_rule(selector.strip(), declared, node.line, rules, faults)
                if len(rules) + len(faults) > _MOST_RULES:
                    message = f"there are more than {_MOST_RULES} style rules"
                    faults.append(Fault(f"line {node.line}", "style", message, _PLAIN))
                    return (), faults
    return tuple(sorted(rules, key=Rule.weight)), faults


def _without_comments(sheet: str) -> str:
    first, *rest = sheet.split("/*")
    return " ".join([first, *(part.partition("*/")[2] for part in rest)])


def _blocks(sheet: str) -> Iterable[tuple[str, str]]:
    """Selectors and bodies; at-rules (@media, @font-face) are passed over with all they hold."""
    at = 0
    while (opening := sheet.find("{", at)) >= 0:
        head = sheet[at:opening].rpartition(";")[2].strip()
        depth, end = 1, opening + 1
        while end < len(sheet) and depth:
            depth += {"{": 1, "}": -1}.get(sheet[end], 0)
            end += 1
        if not head.startswith("@"):
            yield head, sheet[opening + 1 : end - 1 if not depth else end]
        at = end


def _read_rule(
    selector: str, declared: dict[str, str], line: int, rules: list[Rule], faults: list[Fault]
) -> None:
    match = _SELECTOR.fullmatch(selector)
    if match is None or not selector:
        message = f'the style rule "{selector[:60]}" is not read'
        mend = "Give the shapes their fill themselves, or by a class."
        faults.append(Fault(f"line {line}", "style", message, mend))
        return
    rules.append(Rule(match[1] or "", tuple(re.findall(r"[.#][\w-]+", match[2])), tuple(declared.items())))


def _declarations(body: str) -> dict[str, str]:
    """The declarations we use, the important ones marked by "!" in front."""
    found: dict[str, str] = {}
    for declaration in body.split(";"):
        name, colon, value = declaration.partition(":")
        name, value = name.strip().lower(), " ".join(value[:_LONGEST_VALUE].split())
        if colon and name in _USED and value:
            plain = re.sub(r"\s*!\s*important$", "", value, flags=re.IGNORECASE)
            if plain != value:
                found[name] = f"!{plain}"
            elif not found.get(name, "").startswith("!"):
                found[name] = value
    return found


def look_of(node: Node, parent: Look, rules: Sequence[Rule], *, where: str, faults: list[Fault]) -> Look:
    """How an element is painted within its parent; faults for colours that cannot be read."""
    told = _cascade(node, rules)
    handed = {name: value for name, value in told.items() if value.lower() not in ("inherit", "unset")}
    look = replace(parent, transform=handed.get("transform", ""), clipped=False)
    if "color" in handed:
        look = replace(look, colour=_paint(handed["color"], look, "color", where, faults))
    if "fill" in handed:
        look = replace(look, fill=_paint(handed["fill"], look, "fill", where, faults))
    if "stroke" in handed:
        look = replace(look, stroke=_paint(handed["stroke"], look, "stroke", where, faults))
    if "visibility" in handed:
        look = replace(look, visible=handed["visibility"].lower() == "visible")
    if "fill-opacity" in handed:
        look = replace(look, see_through=_is_nothing(handed["fill-opacity"]))
    hidden = handed.get("display", "").lower() == "none" or _is_nothing(handed.get("opacity", "1"))
    clips = any(handed.get(name, "none").lower() != "none" for name in ("clip-path", "mask"))
    return replace(look, drawn=parent.drawn and not hidden, clipped=clips)


def _cascade(node: Node, rules: Sequence[Rule]) -> dict[str, str]:
    """Every property told of an element: attributes, then rules, then its own style; important ones last."""
    layers: list[Mapping[str, str]] = [
        {name: node.attributes[name] for name in _USED if name in node.attributes},
        *(dict(rule.declared) for rule in rules if rule.fits(node)),
        _declarations(node.attributes.get("style", "")),
    ]
    told: dict[str, str] = {}
    for layer in layers:
        for name, value in layer.items():
            if value.startswith("!") or not told.get(name, "").startswith("!"):
                told[name] = value
    return {name: value.removeprefix("!") for name, value in told.items() if value}


def _is_nothing(opacity: str) -> bool:
    try:
        return float(opacity.rstrip("%")) <= 0
    except ValueError:
        return False


def _paint(value: str, look: Look, field: str, where: str, faults: list[Fault]) -> str:
    """A paint as `Look.fill` tells it; black, with a fault, if it cannot be read."""
    value = " ".join(value[:_LONGEST_VALUE].split())
    word = value.lower()
    if word in ("none", "transparent"):
        return "none"
    if word == "currentcolor":
        return look.colour
    if match := re.match(r"url\(\s*[\"']?#([^\"')]+)[\"']?\s*\)", value):
        return f"paint {match[1].strip()}"
    colour = _colour(word)
    if colour is None:
        faults.append(Fault(where, field, f'"{value[:60]}" is not a colour', _COLOURS))
    return colour or "#000000"


def _colour(word: str) -> str | None:
    """#rrggbb of a colour, "none" of one that cannot be seen at all; None of anything else."""
    if word in colormap:
        return "#" + "".join(f"{level:02x}" for level in getrgb(word)[:3])
    if match := re.fullmatch(r"#([0-9a-f]{3,8})", word):
        digits = match[1]
        if len(digits) in (3, 4):
            digits = "".join(digit * 2 for digit in digits)
        if len(digits) not in (6, 8):
            return None
        return "none" if digits[6:] == "00" else f"#{digits[:6]}"
    match = re.fullmatch(r"rgba?\(([^()]*)\)", word)
    parts = re.split(r"[\s,/]+", match[1].strip()) if match else []
    if len(parts) not in (3, 4):
        return None
    try:
        levels = [_level(part) for part in parts[:3]]
    except ValueError:
        return None
    if len(parts) == 4 and _is_nothing(parts[3]):
        return "none"
    return "#" + "".join(f"{level:02x}" for level in levels)


def _level(part: str) -> int:
    """A level of red, green or blue, 0 to 255, from a number or a percentage."""
    number = float(part.removesuffix("%")) * (255 if part.endswith("%") else 100) / 100
    if not abs(number) < 1e6:
        raise ValueError(part)
    return round(min(max(number, 0), 255))
