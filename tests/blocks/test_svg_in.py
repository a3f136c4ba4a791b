"""Drawings as several kinds of drawing program write them, and what is read from them."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from blocks.blockfile import parse_block
from blocks.blocktext import block_text
from blocks.drafting import draft_block
from blocks.edges import find_edges
from blocks.library import open_block
from blocks.polygons import area
from blocks.shapes import Outline
from blocks.svg_in import SvgError, parse_svg, read_svg

F = Fraction
SVG = 'xmlns="http://www.w3.org/2000/svg"'

LAYERED = """<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!-- Layers are groups with labels; the size is in millimetres; a shape's paint is in its style. -->
<svg width="152.4mm" height="152.4mm" viewBox="0 0 152.4 152.4" version="1.1" id="svg5"
   xmlns:own="http://example.org/drawing" xmlns="http://www.w3.org/2000/svg">
  <own:namedview id="namedview7" pagecolor="#ffffff" own:zoom="2"><own:grid id="grid9"/></own:namedview>
  <metadata id="m1"><own:about>nothing</own:about></metadata>
  <defs id="defs2"/>
  <g own:label="Layer 1" own:groupmode="layer" id="layer1" transform="translate(10,20)">
    <g transform="translate(-10,-20)">
      <path style="fill:#8b0000;stroke:#000000;stroke-width:0.26" d="m 0,0 76.2,0 0,76.2 z" id="path868"/>
      <path style="fill:#fff8dc;stroke:none" d="M 0,0 76.2,76.2 H 0 Z" id="path870" own:label="sky"/>
    </g>
    <rect style="fill:#006400" id="rect1021" width="76.2" height="76.2" x="66.2" y="-20"/>
    <rect style="fill:#006400" id="rect1023-3" width="76.2" height="76.2" x="-10" y="56.2"/>
    <g id="g99" transform="matrix(-1,0,0,-1,142.4,132.4)">
      <path style="fill:#8b0000" d="m 0,0 v 0 l 76.2,0 0,76.2 z" id="path872"/>
      <path style="fill:#fff8dc" d="M 0,0 76.2,76.2 H -1.4e-14 Z" id="path874" own:label="sky"/>
    </g>
  </g>
</svg>
"""

WITH_CLASSES = """<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg version="1.1" id="Layer_1" xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"
 x="0px" y="0px" viewBox="0 0 432 432" style="enable-background:new 0 0 432 432;" xml:space="preserve">
<style type="text/css">
	.st0{fill:#8B0000;stroke:#231F20;stroke-miterlimit:10;}
	/* the sky .st9{fill:#000000;} */
	.st1, polygon.none {fill:rgb(255, 248, 220)}
	rect{fill:#123456} rect.st2{fill:DarkGreen}
	@media print { .st0 { fill: #ffffff } }
</style>
<polygon class="st0" points="0,0 216,0 216,216 "/>
<polygon class="st1" points="0,0 216,216 0,216 "/>
<g>
	<rect x="216" class="st2" width="216" height="216"/>
	<rect y="216" class="st2" width="216" height="216"/>
</g>
<polygon class="st0" points="432,432 216,432 216,216 "/>
<polygon class="st1" points="432,432 216,216 432,216 "/>
<text x="10" y="10">corner</text><image width="20" height="20" xlink:href="nowhere.png"/>
<line x1="0" y1="0" x2="432" y2="432" stroke="#000"/>
<polyline fill="none" stroke="#000" points="3,3 9,9"/>
</svg>
"""

REUSED = f"""<svg {SVG} width="576px" height="576px">
<title>  Half and
 half </title>
<defs><g id="pair"><path id="dark" d="M0 0H288V288Z" fill="#8b0000"/><path id="sky" d="M0 0L288 288H0Z" fill="cornsilk"/></g>
<symbol id="plain" viewBox="0 0 1 1"><rect width="100%" height="100%"/></symbol></defs>
<use href="#pair"/>
<use href="#pair" transform="rotate(180 288 288)"/>
<use href="#plain" x="288" width="288" height="288" fill="#006400"/>
<use href="#plain" y="50%" width="50%" height="50%" fill="#006400"/>
</svg>"""


@pytest.mark.parametrize(
    ("text", "roles"),
    [
        (LAYERED, ("fill #8b0000", "sky", "fill #006400", "fill #006400", "fill #8b0000", "sky")),
        (
            WITH_CLASSES,
            ("fill #8b0000", "fill #fff8dc", *["fill #006400"] * 2, "fill #8b0000", "fill #fff8dc"),
        ),
        (REUSED, ("dark", "sky", "dark", "sky", "fill #006400", "fill #006400")),
    ],
)
def test_programs_of_every_kind_say_the_same_block(text, roles):
    block = parse_svg(text, finished_width_in=F(12))
    assert (block.finished_width_in, block.finished_height_in) == (12, 12)
    draft = draft_block(block)
    assert tuple(patch.role for patch in draft.patches) == roles
    outlines = {frozenset(patch.outline) for patch in draft.patches}
    corners = [(0, 0), (6, 0), (12, 0), (0, 6), (6, 6), (12, 6), (0, 12), (6, 12), (12, 12)]
    places = ["014", "034", "1254", "3476", "874", "854"]
    assert outlines == {frozenset(corners[int(i)] for i in place) for place in places}
    assert parse_block(block_text(block)) == block


def test_the_width_on_paper_counts_where_none_is_given():
    assert parse_svg(LAYERED).finished_width_in == 6
    assert parse_svg(LAYERED.replace("152.4mm", "15.24cm")).finished_width_in == 6
    assert parse_svg(LAYERED.replace('"152.4mm"', '"432pt"')).finished_width_in == 6
    with pytest.raises(SvgError, match="no width on paper") as caught:
        parse_svg(WITH_CLASSES)
    assert caught.value.mend == "Give the finished width of the block."


def test_names_come_from_the_call_the_title_or_the_file(tmp_path):
    path = tmp_path / "two_colours.svg"
    path.write_text(WITH_CLASSES, encoding="utf-8")
    assert read_svg(path, finished_width_in=F(6)).name == "two colours"
    assert parse_svg(REUSED, finished_width_in=F(6)).name == "Half and half"
    assert parse_svg(REUSED, finished_width_in=F(6), name="Mine").name == "Mine"


@pytest.mark.parametrize("encoding", ["utf-16", "latin-1", "utf-8-sig"])
def test_files_are_read_in_the_encoding_they_state(tmp_path, encoding):
    stated = "utf-8" if encoding == "utf-8-sig" else encoding
    path = tmp_path / "rose.svg"
    text = f'<?xml version="1.0" encoding="{stated}"?>' + ONE.replace("ground", "prés")
    path.write_bytes(text.encode(encoding))
    assert read_svg(path, finished_width_in=F(6)).roles == (("prés", ""),)


ONE = f'<svg {SVG} viewBox="0 0 4 4"><path id="ground" d="M0 0H4V4H0z"/></svg>'


def read(body: str, **more):
    more = {"finished_width_in": F(4)} | more
    return parse_svg(f'<svg {SVG} viewBox="0 0 4 4">{body}</svg>', **more)


@pytest.mark.parametrize(
    ("attributes", "role"),
    [
        ('id="ground"', "ground"),
        ('id="dark_petal-3"', "dark petal"),
        ('id="dark_x20_petal_2_"', "dark petal"),
        ('id="path3"', "fill #000000"),
        ('id="Rectangle 7 copy 2" fill="#abc"', "fill #aabbcc"),
        ('id="x7" data-role="path 7"', "path 7"),
        ('id="petal" aria-label="leaf"', "leaf"),
        ('id="petal" data-name="Path 12"', "petal"),
        ('fill="RED"', "fill #ff0000"),
        ('fill="#FF000080"', "fill #ff0000"),
        ('fill="rgb(100%, 50%, 0%)"', "fill #ff8000"),
        ('fill="rgba(1 2 3 / 50%)"', "fill #010203"),
        ('fill="url(#meadow) #fff"', "fill meadow"),
        ('color="blue" fill="currentColor"', "fill #0000ff"),
        ('fill="red" style="fill:lime"', "fill #00ff00"),
        ('style="fill: teal !important; fill: red"', "fill #008080"),
        ('fill="inherit"', "fill #000000"),
    ],
)
def test_roles(attributes, role):
    block = read(f'<path {attributes} d="M0 0H4V4H0z"/>')
    assert block.roles == ((role, ""),)


def test_roles_from_fills_and_from_groups():
    body = '<g id="sky"><path id="a-petal" fill="#fff" d="M0 0H4V2H0z"/><path id="b-petal" fill="#fff" d="M0 2H4V4H0z"/></g>'
    assert [role for role, _ in read(body).roles] == ["a petal", "b petal"]
    assert [role for role, _ in read(body, roles_from="fills").roles] == ["fill #ffffff"]
    lines = body.replace('fill="#fff"', "").replace("a-petal", "p1").replace("b-petal", "p2")
    assert [role for role, _ in read(lines.replace("<g ", '<g fill="none" stroke="red" ')).roles] == ["p"]
    bare = lines.replace("p1", "path1").replace("p2", "path2")
    assert read(bare.replace("<g ", '<g fill="none" stroke="red" ')).roles == (("sky", ""),)
    assert read(bare.replace('<g id="sky">', '<g fill="none" stroke="red">')).roles == (("fill none", ""),)


def test_style_sheets_obey_weight_and_order():
    sheet = (
        "<style>#p{fill:#111111} .a{fill:#222222} path{fill:#333333} .b{fill:#444444} *{fill:#555555}</style>"
    )
    shape = '<path {} d="M0 0H4V4H0z"/>'
    for attributes, role in [
        ('id="p" class="a"', "fill #111111"),
        ('class="a b"', "fill #444444"),
        ('class="c" fill="red"', "fill #333333"),
        ('class="a" style="fill:#666666"', "fill #666666"),
    ]:
        assert read(sheet + shape.format(attributes), roles_from="fills").roles == ((role, ""),)


def test_what_is_not_seen_is_left_out():
    hidden = '<path d="M0 0H2V2H0z" {}/>'
    bare = hidden.format("")
    ground = '<path fill="#fff" d="M0 0H4V4H0z"/>'
    for attribute in (
        'display="none"',
        'style="display:none"',
        'visibility="hidden"',
        'opacity="0"',
        'fill-opacity="0"',
        'fill="none" stroke="#000"',
        'fill="transparent"',
        'fill="#12345600"',
    ):
        assert len(draft_block(read(ground + hidden.format(attribute))).patches) == 1
    assert len(draft_block(read(f'{ground}<g display="none">{bare}</g>')).patches) == 1
    shown = '<g visibility="hidden"><path visibility="visible" fill="#fff" d="M0 0H4V4H0z"/></g>'
    assert len(draft_block(read(shown)).patches) == 1
    assert len(draft_block(read(f"<symbol>{bare}</symbol><clipPath>{bare}</clipPath>{ground}")).patches) == 1


def test_line_drawings_are_read_by_their_closed_lines():
    body = '<g fill="none" stroke="black"><path d="M0 0H4V2H0z"/><rect y="2" width="4" height="2"/></g><rect fill="none" width="4" height="4"/>'
    assert len(draft_block(read(body)).patches) == 2


def test_compound_paths_side_by_side_are_patches_of_one_role():
    block = read(
        '<path id="dark" d="M0 0H2V2H0zM2 2h2v2h-2z"/><path id="light" d="M2 0h2v2H2zm-2 2h2v2h-2z"/>'
    )
    assert [patch.role for patch in draft_block(block).patches] == ["dark", "dark", "light", "light"]


@pytest.mark.parametrize(
    ("shape", "in2"),
    [
        ('<circle cx="2" cy="2" r="1"/>', 3.14159),
        ('<ellipse cx="2" cy="2" rx="1.5" ry=".5"/>', 3.14159 * 0.75),
        ('<ellipse cx="2" cy="2" rx="1"/>', 3.14159),
        ('<rect x="1" y="1" width="2" height="2" rx=".5"/>', 4 - 0.25 * (4 - 3.14159)),
        ('<rect x="1" y="1" width="2" height="2" ry="9"/>', 3.14159),
        ('<rect x="25%" y="25%" width="50%" height="50%"/>', 4),
        (
            '<ellipse cx="0" cy="0" rx="1" ry=".5" transform="translate(2 2) rotate(30) skewX(20) scale(-1.2 1)"/>',
            1.88496,
        ),
    ],
)
def test_basic_shapes_lie_on_the_ground_as_applique(shape, in2):
    block = read('<rect width="4" height="4" fill="#fff"/>' + shape, over="applique")
    (item,) = block.applique
    assert isinstance(item.shape, Outline)
    assert float(area(item.shape.points)) == pytest.approx(in2, rel=2e-3)
    draft = draft_block(block)
    assert [patch.layer for patch in draft.patches] == [0, 1]
    assert parse_block(block_text(block)) == block


def test_shapes_on_top_keep_the_order_of_painting():
    body = (
        '<rect width="2" height="4" fill="#fff"/><rect x="2" width="2" height="4" fill="#eee"/>'
        '<path id="stem-1" d="M1.9 4V1H2.1V4z"/><circle id="heart" cx="2" cy="1" r=".5"/><path id="stem-2" d="M1 3H3V3.2H1z"/>'
    )
    block = read(body, over="applique")
    assert [item.name for item in block.applique] == ["stem 1", "heart 1", "stem 2"]
    assert [item.cloth for item in block.applique] == ["stem", "heart", "stem"]
    assert len(block.steps[0].shapes) == 2
    assert not [note for note in draft_block(block).notes if "hidden" in note]


def test_curved_seams_are_shared_whichever_way_they_are_drawn():
    body = (
        '<path id="pie" d="M0 0H3A3 3 0 0 1 0 3z"/>'
        '<path id="ground" d="M4 0V4H0V3C1.656854 3 3 1.656854 3 0z"/>'  # the same quarter circle as a cubic
    )
    draft = draft_block(read(body))
    assert float(area(draft.patches[0].outline)) == pytest.approx(3.14159 * 9 / 4, abs=0.005)
    assert sum(area(patch.outline) for patch in draft.patches) == 16


def test_metric_blocks_come_out_at_their_exact_size():
    block = parse_svg(LAYERED, finished_width_in=F(1500, 127))
    assert block.finished_width_in == block.finished_height_in == F(1500, 127)
    text = block_text(block)
    assert 'finished = "300 mm"' in text
    assert 'unit = "1 mm"' in text
    assert '"M 0 0 L 150 0 L 150 150 Z"' in text
    assert parse_block(text) == block
    assert len(draft_block(block).patches) == 6


def test_the_frame_may_begin_anywhere_and_be_oblong():
    text = f'<svg {SVG} viewBox="-10,-20 30 20.01"><rect x="-10" y="-20" width="30" height="20.01"/></svg>'
    block = parse_svg(text, finished_width_in=F(12))
    assert (block.finished_width_in, block.finished_height_in) == (12, 8)
    odd = parse_svg(text.replace("20.01", "18.7"), finished_width_in=F(12))
    assert odd.finished_height_in == F(748, 100)


def test_a_stretched_page_stretches_the_block():
    text = f'<svg {SVG} width="200" height="100" viewBox="0 0 4 4" preserveAspectRatio="none"><rect width="4" height="4"/></svg>'
    block = parse_svg(text, finished_width_in=F(12))
    assert (block.finished_width_in, block.finished_height_in) == (12, 6)


def test_nested_drawings_keep_their_proportions():
    nested = (
        '<svg x="0" y="0" width="4" height="4" viewBox="0 0 8 4"><rect width="8" height="4" y="0"/></svg>'
    )
    body = f'<rect width="4" height="1"/><rect width="4" height="1" y="3"/>{nested}'
    outlines = [patch.outline for patch in draft_block(read(body)).patches]
    assert ((0, 1), (4, 1), (4, 3), (0, 3)) in outlines


@pytest.mark.parametrize(
    ("name", "px_per_in"), [("jacobs ladder", "37.795"), ("spider web", "96"), ("drunkards path", "25.4")]
)
def test_drawings_in_an_unsteady_hand_draft(name, px_per_in):
    """Every patch drawn on its own, in another program's units, corners off by up to 1/190 in."""
    meant = draft_block(open_block(name))
    hand, k = random.Random(name), float(px_per_in)
    paths = []
    for patch in meant.patches:
        points = [[k * (float(n) + hand.uniform(-1, 1) / 190) for n in point] for point in patch.outline]
        turn = hand.randrange(len(points))
        points = (points[turn:] + points[:turn])[:: hand.choice([1, -1])]
        data = " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
        paths.append(f'<path data-role="{patch.role}" d="M {data} z"/>')
    w, h = (k * float(side) for side in (meant.finished_width_in, meant.finished_height_in))
    text = f'<svg {SVG} viewBox="0 0 {w:.3f} {h:.3f}">{"".join(paths)}</svg>'
    draft = draft_block(parse_svg(text, finished_width_in=meant.finished_width_in))
    assert draft.finished_height_in == meant.finished_height_in
    assert [patch.role for patch in draft.patches] == [patch.role for patch in meant.patches]
    for patch, wanted in zip(draft.patches, meant.patches, strict=True):
        assert float(area(patch.outline)) == pytest.approx(float(area(wanted.outline)), abs=0.12)
    assert len(find_edges(draft)) >= len(find_edges(meant)) * 0.9
