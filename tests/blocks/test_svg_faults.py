"""Drawings with mistakes, and drawings meant to do harm: every fault is told, with its mend, and soon."""

from __future__ import annotations

import socket
import time
from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.drafting import draft_block
from blocks.faults import Fault
from blocks.svg_in import SvgError, parse_svg, read_svg

F = Fraction
SVG = 'xmlns="http://www.w3.org/2000/svg"'
GROUND = '<rect width="12" height="12" fill="#fff"/>'


def faults_of(text: str | bytes, **more) -> tuple[Fault, ...]:
    more = {"finished_width_in": F(12)} | more
    with pytest.raises(SvgError) as caught:
        parse_svg(text, **more)
    assert caught.value.mend
    for fault in caught.value.faults:
        assert fault.where.startswith("drawing.svg, ")
        assert fault.mend.endswith(".")
        assert len(str(fault)) < 600
    return caught.value.faults


def drawn(body: str, **more) -> tuple[Fault, ...]:
    return faults_of(f'<svg {SVG} viewBox="0 0 12 12">\n{body}\n</svg>', **more)


def test_every_gap_and_overlap_is_told_with_place_and_size():
    (outside, overlap, gap) = drawn(
        '<rect id="left" width="6" height="12"/>\n'
        '<rect id="upper" x="6.25" width="5.75" height="6" fill="red"/>\n'
        '<path id="lower" d="M6 5.5H12.5V12H6z" fill="blue"/>'
    )[0:3]
    assert overlap.where == "drawing.svg, at 9.12, 5.75 in from the top left"
    assert overlap.message == (
        'upper (line 3, rect "upper") and lower (line 4, path "lower") overlap: 2.875 sq in, 0.5 in at its widest'
    )
    assert "appliqué" in overlap.mend
    assert (
        outside.message
        == 'lower (line 4, path "lower") reaches outside the block: 3.25 sq in, 0.5 in at its widest'
    )
    assert outside.where == "drawing.svg, at 12.25, 8.75 in from the top left"
    assert gap.message.startswith('there is a gap beside left (line 2, rect "left"), upper')
    assert gap.message.endswith(": 1.375 sq in, 0.25 in at its widest")
    assert gap.where == "drawing.svg, at 6.12, 2.75 in from the top left"


def test_gaps_joined_by_a_hairline_are_two_gaps():
    found = drawn(
        '<path d="M0 0H12V5.995H8V5H7V5.995H4V5H3V5.995H0z"/><rect y="6.005" width="12" height="5.995" fill="red"/>'
    )
    assert len(found) == 2
    assert all("a gap" in fault.message and "1.0" in fault.message for fault in found)


@pytest.mark.parametrize(("gap_in", "count"), [(0.0150, 0), (0.0170, 1), (-0.0150, 0), (-0.0170, 1)])
def test_the_tolerance_is_the_limit(gap_in, count):
    body = (
        f'<rect width="6" height="12"/><rect x="{6 + gap_in}" width="{6 - gap_in}" height="12" fill="red"/>'
    )
    text = f'<svg {SVG} viewBox="0 0 12 12">{body}</svg>'
    if count:
        assert len(faults_of(text)) == count
        parse_svg(text, finished_width_in=F(12), tolerance_in=F(1, 32))
    else:
        parse_svg(text, finished_width_in=F(12))
        assert len(faults_of(text, tolerance_in=F(1, 100))) == 1


@pytest.mark.parametrize(
    ("body", "where", "told"),
    [
        ("", "the drawing", "no closed shapes"),
        ('<text>corner</text><image href="photo.png"/><line x2="9" stroke="red"/>', "the drawing", "no closed shapes"),
        ('<path id="a" d="M0 0H9V9"/>', 'line 2, path "a"', "open at 9.00, 9.00"),
        ('<polyline points="0,0 12,0 12,12"/>', "line 2, polyline", "open"),
        ('<path d="M0 0H12V12H0zM3 3H9V9H3z"/>', "line 2, path", "inside another"),
        ('<path d="M0 0L12 12H0L12 0z"/>', "line 2, path", "crosses or touches itself, or is pinched, near 6.00, 6.00"),
        (GROUND + '<rect width=".01" height="9"/>', "line 2, rect", "nowhere wider than the tolerance of 1/64 in"),
        ('<path d="M0 0 L 5 X"/>', "line 2, path", "a number was expected"),
        ('<path d="M0 0 L 5 5 5"/>', "line 2, path", "a number was expected"),
        ('<polygon points="1,2 3,4 L 5,6"/>', "line 2, polygon", "cannot be read"),
        ('<polygon points="1,2 3,4 5"/>', "line 2, polygon", "cannot be read"),
        ('<rect width="12q5" height="1"/>', "line 2, rect", "is not a length"),
        ('<rect width="2em" height="1"/>', "line 2, rect", "unit"),
        ('<circle r="5%"/>', "line 2, circle", "unit"),
        ('<rect width="12" height="12" fill="meadow"/>', "line 2, rect", '"meadow" is not a colour'),
        ('<rect width="12" height="12" fill="rgb(1,2)"/>', "line 2, rect", "is not a colour"),
        ('<rect width="12" height="12" fill="rgb(nan,2,3)"/>', "line 2, rect", "is not a colour"),
        ('<rect width="12" height="12" transform="spin(3)"/>', "line 2, rect", "spin(3) is not a transform"),
        ('<rect width="12" height="12" transform="scale(3"/>', "line 2, rect", "not read as a transform"),
        ('<rect width="12" height="12" transform="scale(1 0)"/>', "line 2, rect", "flattened"),
        ('<rect width="12" height="12" style="transform: rotate(1turn)"/>', "line 2, rect", "'1turn'"),
        ('<rect width="12" height="12" clip-path="url(#c)"/>', "line 2, rect", "clipped"),
        ('<g mask="url(#c)"><rect width="12" height="12"/></g>', "line 2, g", "clipped"),
        ("<style>g > rect { fill: red }</style>" + GROUND, "line 2", '"g > rect" is not read'),
        ('<use href="other.svg#leaf"/>', "line 2, use", "not a part of this drawing"),
        ('<use href="#nothing"/>', "line 2, use", "not a part of this drawing"),
        ('<use xlink:href="http://example.org/a.svg#b" xmlns:xlink="http://www.w3.org/1999/xlink"/>', "line 2, use", "not a part"),
        (f'<rect id="{"n" * 90}" width="12" height="12"/>', "line 2, rect", "its name has 90 signs"),
        ('<svg viewBox="0 0 1 1" preserveAspectRatio="xMinYMin"><rect width="1" height="1"/></svg>', "line 2, svg", "xMidYMid"),
    ],
)  # fmt: skip
def test_shapes_that_are_no_patches(body, where, told):
    fault = drawn(body)[0]
    assert fault.where.startswith(f"drawing.svg, {where}")
    assert told in fault.message


def test_all_faults_are_told_at_once():
    found = drawn('<path d="M0"/>\n<rect fill="nocolour" width="9px" height="x"/>\n<use href="#q"/>')
    assert [fault.where.split(",")[1].strip() for fault in found] == ["line 2", "line 3", "line 3", "line 4"]
    assert [fault.field for fault in found] == ["d", "fill", "height", "href"]


def test_a_patch_of_the_ground_drawn_over_applique_is_out_of_order():
    body = '<rect id="a" width="6" height="12"/><circle id="bud" cx="6" cy="6" r="1"/><rect id="b" x="6" width="6" height="12"/>'
    (fault,) = drawn(body, over="applique")
    assert fault.where == 'drawing.svg, line 2, rect "b"'
    assert "drawn after bud" in fault.message


def test_applique_must_stay_on_the_block_and_be_sound():
    body = GROUND + '<circle id="bud" cx="12" cy="6" r="1"/>\n<path id="bow" d="M1 1L3 3V1L1 3z"/>'
    found = drawn(body, over="applique")
    assert "bow" in found[0].where or "bow" in found[1].where
    assert any("reaches outside the block" in fault.message for fault in found)
    assert any("crosses or touches itself" in fault.message for fault in found)


@pytest.mark.parametrize(
    ("attributes", "told"),
    [
        ("", "neither a viewBox nor a width and height"),
        ('width="100%" height="100%"', "neither a viewBox nor a width and height"),
        ('width="0" height="9"', "no size"),
        ('viewBox="0 0 12"', "is not a frame"),
        ('viewBox="0 0 -12 12"', "is not a frame"),
        ('viewBox="0 0 a b"', "is not a length"),
        ('viewBox="0 0 1e9 1e9"', "1,000,000 units"),
        ('viewBox="0 0 1e-30 1e-30"', "beyond all measure"),
        ('viewBox="0 0 1 1000"', "finish 12000 in in height"),
        ('viewBox="0 0 1e-99 1"', "finish"),
    ],
)
def test_frames_that_say_no_size(attributes, told):
    fault = faults_of(f"<svg {SVG} {attributes}>{GROUND}</svg>")[0]
    assert told in fault.message or "beyond all measure" in fault.message
    assert "svg" in fault.where or "the drawing" in fault.where


@pytest.mark.parametrize("width_in", [F(0), F(-3), F(1000), F(1, 10)])
def test_absurd_finished_widths_are_refused(width_in):
    (fault,) = faults_of(f'<svg {SVG} viewBox="0 0 12 12">{GROUND}</svg>', finished_width_in=width_in)
    assert "finished width" in fault.field


@pytest.mark.parametrize("tolerance_in", [F(0), F(-1), F(1)])
def test_absurd_tolerances_are_refused(tolerance_in):
    (fault,) = drawn(GROUND, tolerance_in=tolerance_in)
    assert "the tolerance" in fault.where


BOMB = "".join(f'<!ENTITY l{i + 1} "{f"&l{i};" * 10}">' for i in range(12))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "well-formed"),
        ("just words", "well-formed"),
        ("<svg", "well-formed"),
        ("<html><body/></html>", "not an SVG drawing"),
        ('<svg xmlns="http://example.org/other"/>', "not an SVG drawing"),
        (f'<!DOCTYPE svg [<!ENTITY l0 "lol">{BOMB}]><svg {SVG}>&l12;</svg>', "declares things"),
        (f'<!DOCTYPE svg [<!ENTITY own SYSTEM "file:///etc/passwd">]><svg {SVG}><title>&own;</title></svg>', "declares things"),
        ('<!DOCTYPE svg [<!ENTITY % far SYSTEM "http://localhost/x.dtd"> %far;]><svg/>', "declares things"),
        ('<!DOCTYPE svg SYSTEM "http://localhost/x.dtd"><svg><title>&far;</title></svg>', "entities are not read"),
        (f"<svg {SVG}><title>&far;</title></svg>", "well-formed"),
        (f"<svg {SVG}>" + "<g>" * 100 + "</g>" * 100 + "</svg>", "nested more than 64 deep"),
        (f'<svg {SVG} xmlns:o="http://example.org/o">' + "<o:g>" * 100 + "</o:g>" * 100 + "</svg>", "nested more than 64"),
        (f"<svg {SVG}>" + "<g/>" * 20_001 + "</svg>", "more than 20,000 elements"),
        (f"<svg {SVG}><!--{'x' * 4_000_000}--></svg>", "more than 4,000,000 signs"),
        (b"\x1f\x8b\x08\x00\x00", "compressed"),
        (b"\x00\x01\x02", "well-formed"),
        (b"\xff\xfe<\x00s\x00", "well-formed"),
        (b'<?xml version="1.0" encoding="no-such"?><svg/>', "encoding"),
        (b'<?xml version="1.0" encoding="shift_jis"?><svg/>', "encoding"),
        (f'<svg {SVG}><title>\ud800</title></svg>', "encoding"),
        (f'<svg {SVG}><own:g/></svg>', "unbound prefix"),
    ],
    ids=range(21),
)  # fmt: skip
def test_files_that_are_no_drawings(text, told):
    start = time.perf_counter()
    (fault,) = faults_of(text)
    assert told in fault.message
    assert time.perf_counter() - start < 20


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ('<use id="a" href="#a"/>', "reuses parts without end"),
        ('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>', "reuses parts without end"),
        (
            '<defs><path id="p0" d="M0 0h1v1z"/>'
            + "".join(f'<g id="p{i + 1}">{f"""<use href="#p{i}"/>""" * 10}</g>' for i in range(9))
            + '</defs><use href="#p9"/>',
            "reuses parts without end",
        ),
        ('<rect width="1e999" height="1"/>', "is not a length"),
        ('<rect width="1e30" height="1"/>', "1,000,000 units"),
        (f'<rect width="{"9" * 100_000}" height="1"/>', "is not a length"),
        ('<path d="M0 0L1e999999 0 5 5z"/>', "too long"),
        ('<path d="M0 0L9e9 0 5 5z"/>', "1,000,000 units"),
        (f'<path d="M0 0L{"9" * 10_000} 0 5 5z"/>', "too long"),
        (f'<path d="M0 0{"L1 1L0 0" * 10_000}z"/>', "20,000 signs"),
        ('<path d="M0 0H999999V999999z"/>', "off the page"),
        ('<rect width="9" height="9" transform="scale(1e9)"/>', "beyond all measure"),
        (
            "".join('<g transform="scale(999999999)">' for _ in range(40)) + GROUND + "</g>" * 40,
            "beyond all measure",
        ),
        (f'<rect width="9" height="9" transform="{"rotate(1)" * 100_000}"/>', "is not read"),
        (f'<rect width="9" height="9" transform="rotate(1){" " * 1_000_000}x"/>', "is not read"),
        (f'<rect width="9" height="9" fill="url(#{" " * 1_000_000}"/>', "is not a colour"),
        (f'<rect aria-label="x{"-" * 1_000_000}x" width="12" height="12"/>', "200 signs"),
        (f'<style>{"/*" * 1_000_000}</style>', "no closed shapes"),
        (f'<style>{"{" * 1_000_000}</style>', "no closed shapes"),
        (f'<style>{".a,.b{fill:red}" * 10_000}</style>', "more than 1000 style rules"),
        (f'<path style="fill:red{" " * 1_000_000}x" d="M0 0H1"/>', "no closed shapes"),
        (GROUND * 2_001, "more than 2,000 shapes"),
        ("".join(f'<circle cx="6" cy="6" r="{6 - i / 1000}"/>' for i in range(1500)), "more than 2,000 patches or 60,000 points"),
    ],
    ids=range(23),
)  # fmt: skip
def test_drawings_that_would_never_end(body, told):
    start = time.perf_counter()
    assert any(told in fault.message for fault in drawn(body))
    assert time.perf_counter() - start < 20


def test_stacks_of_shapes_end_too():
    start = time.perf_counter()
    found = drawn(f"{GROUND}\n" * 400)
    assert len(found) >= 500
    assert time.perf_counter() - start < 20


def test_nothing_is_fetched_and_nothing_is_run(monkeypatch, tmp_path):
    def refuse(*args, **more):
        raise AssertionError("a drawing opened a connection")

    monkeypatch.setattr(socket, "socket", refuse)
    marked = tmp_path / "marked"
    text = f"""<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
    <?xml-stylesheet href="http://example.org/a.css"?>
    <svg {SVG} viewBox="0 0 12 12" onload="open('{marked}')">
    <style>@import url("http://example.org/b.css"); .a {{ fill: url("http://example.org/c.svg#d") red }}</style>
    <script href="http://example.org/e.js">open("{marked}", "w")</script>
    <image href="file:///etc/passwd" width="12" height="12"/>
    <foreignObject width="12" height="12"><iframe xmlns="http://www.w3.org/1999/xhtml" src="http://example.org"/></foreignObject>
    {GROUND}<animate attributeName="x" to="9"/></svg>"""
    assert parse_svg(text, finished_width_in=F(12)).roles == (("fill #ffffff", ""),)
    assert not marked.exists()


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(SvgError, match=r"missing\.svg, the file: cannot be read"):
        read_svg(tmp_path / "missing.svg")
    with pytest.raises(SvgError, match="cannot be read"):
        read_svg(tmp_path)
    large = tmp_path / "large.svg"
    large.write_bytes(b" " * 4_000_001)
    with pytest.raises(SvgError, match=r"large\.svg, the file: has more than 4,000,000 bytes"):
        read_svg(large)


WHOLE = f"""<svg {SVG} viewBox="0 0 12 12"><style>.a{{fill:#123}} rect.b {{ fill : rgb(1, 2, 3) }}</style>
<defs><path id="p" d="m0 0h6v6h-6z"/></defs><g transform="translate(6 0) scale(1 1)" style="fill:red;stroke:none">
<use href="#p"/><use href="#p" transform="rotate(90) translate(0 0)"/></g><rect class="b" y="6" width="50%" height="6"/>
<path class="a" d="M6 6 L 12 6 12 12 A 9 9 0 0 1 6 6z"/><polygon points="6,6 6,12 12,12"/></svg>"""


@given(
    st.integers(0, len(WHOLE)), st.integers(0, 8), st.text('<>"=/#%;:{}()0123456789eE.,-+ azMZ', max_size=6)
)
def test_any_slip_of_the_pen_is_told_or_harmless(at, left_out, put_in):
    text = WHOLE[:at] + put_in + WHOLE[at + left_out :]
    with suppress(SvgError):
        assert draft_block(parse_svg(text, finished_width_in=F(12))).patches
