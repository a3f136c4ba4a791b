"""Parts of the page that are made of words and figures, as HTML. Every word of the user's is escaped here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape

from blocks.lengths import inches_text
from cutting.rows import SheetRow
from cutting.rules import CuttingRules
from cutting.sheet import CAUTIONS
from preview.readings import EdgeReading, headline
from ui.bench import Worked
from ui.binding_part import binding_bought
from ui.kind_words import kind_sides, read_sentence
from ui.kinds import KindReading, kinds_headline
from ui.mistakes import Told
from ui.outlines import edge_name, kind_name
from ui.reading_words import percent

__all__ = [
    "cautions_html",
    "cutting_html",
    "downloads_html",
    "kinds_html",
    "mistake_html",
    "plain",
    "seams_html",
]

_FIRST_SHOWN = 8


def plain(text: str) -> str:
    """Text that a browser, and the page's own templates, can only take for text."""
    safe = escape(text, quote=True)
    for sign in "$`{}":
        safe = safe.replace(sign, f"&#{ord(sign)};")
    return safe


def mistake_html(told: Told | None) -> str:
    """What went wrong and how to mend it, or nothing."""
    if told is None:
        return ""
    return f'<div role="alert" class="mistake"><p>{plain(told.what)}</p><p>{plain(told.mend)}</p></div>'


def cautions_html(lines: Iterable[str]) -> str:
    """What has to stand beside readings of cloth whose colours were not measured, or nothing."""
    return "".join(f'<p class="caution">{plain(line)}</p>' for line in lines)


def seams_html(readings: Sequence[EdgeReading]) -> str:
    """The weakest edges first, each with its word, its share and its figures; the rest folded away."""
    wanted = [found for found in readings if found.wanted]
    rest = [found for found in readings if not found.wanted]
    parts = [f'<p class="headline">{plain(headline(readings))}</p>', _rows(wanted[:_FIRST_SHOWN])]
    parts.append(_folded("The other edges that should read", wanted[_FIRST_SHOWN:]))
    parts.append(_folded("Edges that need not read", rest))
    parts.append(f"<details><summary>What the words mean</summary>{_MEANING}</details>")
    return "".join(parts)


_MEANING = (
    "<p>Seamlight walks along the edge and compares the two cloths just where they lie, blurred as the eye "
    "blurs them from 6 feet. The figure is the share of the edge where light and dark alone tell them apart: "
    "<b>clear</b> from 80 %, <b>soft</b> from 40 %, <b>lost</b> below.</p>"
    "<p>L* is lightness, from 0 for black to 100 for white.</p>"
)


def _folded(title: str, rows: Sequence[EdgeReading]) -> str:
    if not rows:
        return ""
    return f"<details><summary>{title} ({len(rows)})</summary>{_rows(rows)}</details>"


def _rows(rows: Sequence[EdgeReading]) -> str:
    return '<ul class="edges">' + "".join(_row(found) for found in rows) + "</ul>"


def _row(found: EdgeReading) -> str:
    reading = found.reading
    joint = "on" if found.kind == "applique" else "beside"
    pair_words = f"{found.first} {found.first_role} {joint} {found.second} {found.second_role}"
    words = f"{pair_words}: {reading.reason} {reading.note}".strip()
    pair = (
        f"<b>{found.first}</b> {plain(found.first_role)} <i>{joint}</i> "
        f"<b>{found.second}</b> {plain(found.second_role)}"
    )
    figures = f"L* {reading.first_L:.0f} and {reading.second_L:.0f}, {reading.diff_L:.0f} apart"
    name = edge_name(found.first, found.second)
    return _button(name, reading.word, words, pair, reading.share_shows, figures)


def _button(name: str, word: str, words: str, pair: str, share: float, figures: str) -> str:
    """One line of the readings; `pair` is HTML already."""
    return (
        f'<li><button type="button" class="edge {word}" data-edge="{name}" data-words="{plain(words)}">'
        f'<span class="word">{word}</span><span class="pair">{pair}</span>'
        f'<span class="share"><span class="bar" style="--share:{share:.3f}"></span>'
        f'<b>{percent(share)}</b><span class="figures">{figures}</span></span></button></li>'
    )


def kinds_html(kinds: Sequence[KindReading]) -> str:
    """The weakest kinds of edge of a quilt first; pointing at one marks all its edges."""
    wanted = [_kind_row(found) for found in kinds if found.wanted]
    rest = [_kind_row(found) for found in kinds if not found.wanted]
    parts = [f'<p class="headline">{plain(kinds_headline(kinds))} {plain(read_sentence(kinds))}</p>']
    parts.append(f'<ul class="edges">{"".join(wanted)}</ul>')
    if rest:
        parts.append(
            f"<details><summary>Kinds of edge that need not read ({len(rest)})</summary>"
            f'<ul class="edges">{"".join(rest)}</ul></details>'
        )
    parts.append(f"<details><summary>What the words mean</summary>{_MEANING}</details>")
    return "".join(parts)


def _kind_row(found: KindReading) -> str:
    counts = f"{found.count('clear')} clear, {found.count('soft')} soft, {found.count('lost')} lost"
    weakest = found.read[0].reading
    words = (
        f"{kind_sides(found)}, {found.edges} edges. At the weakest: {weakest.reason} {weakest.note}".strip()
    )
    joint = "on" if found.kind == "applique" else "beside"
    pair = f"{plain(found.first_role)} <i>{joint}</i> {plain(found.second_role)}"
    return _button(kind_name(found.number), found.word, words, pair, found.share_shows, counts)


def cutting_html(
    worked: Worked, rows: Sequence[SheetRow], *, notes: Sequence[str], stamps: Mapping[str, str]
) -> str:
    """The cutting list as one table for each cloth, with what to buy; the printed list says more.

    stamps: by a cloth's key what tells that it was changed; nothing for demo cloth.
    """
    bought = {
        plan.cloth: f"buy {inches_text(plan.yards)} yd, {inches_text(plan.width_of_fabric_in)} in wide"
        for plan in worked.plans
    }
    binding = binding_bought(worked, rules=CuttingRules())
    if binding is not None:
        cloth, amount = binding
        own = bought.get(cloth.key)
        wide = f"{inches_text(cloth.width_of_fabric_in)} in wide"
        bought[cloth.key] = (
            f"{own}, and {amount} for the binding" if own else f"buy {amount} for the binding, {wide}"
        )
    warned = {plan.cloth: plan.warnings for plan in worked.plans}
    tables = "".join(
        _cloth_table(
            f'<img src="/cloth/{plain(key)}.png?seen={stamps.get(key, "")}" alt="" width=40 height=40>'
            f"{plain(worked.cloths[key].name)} <small>{words}</small>",
            [row for row in rows if row.cloth == key],
            warnings=warned.get(key, ()),
        )
        for key, words in bought.items()
    )
    return f'<div class="tables">{tables}</div>{_notes(notes)}'


def _cloth_table(title: str, rows: Sequence[SheetRow], *, warnings: Sequence[str]) -> str:
    """The rows of one cloth; `title` is HTML already."""
    body = "".join(
        f"<tr><th scope=row>{row.letter}</th><td>{row.quantity}</td>"
        f'<td class="cut">{row.cut_width} x {row.cut_height} {row.unit}{"*" if row.rounded_up else ""}</td>'
        f"<td class=finished>{plain(row.finished)}</td><td>{plain(row.role)}: {plain(row.kind)}</td></tr>"
        for row in rows
    )
    listed = "".join(f"<li>{plain(warning)}</li>" for warning in warnings)
    return (
        f'<section class="cloth-list"><h3>{title}</h3>'
        "<table><thead><tr><td></td><th scope=col>Cut</th><th scope=col>Size</th>"
        f"<th scope=col>Finished</th><th scope=col>For</th></tr></thead><tbody>{body}</tbody></table>"
        + (f'<ul class="warnings">{listed}</ul>' if listed else "")
        + "</section>"
    )


def _notes(notes: Sequence[str]) -> str:
    listed = "".join(f"<li>{plain(note)}</li>" for note in notes)
    cautions = "".join(f"<li>{plain(caution)}</li>" for caution in CAUTIONS)
    return (
        '<p class="small">Cut sizes are width x height with seam allowances; the height lies along the '
        "grain. * is rounded up to the next 1/8 in. The list that you take away also has the order of cuts "
        "and the bias strips.</p>"
        + (f'<ul class="notes">{listed}</ul>' if listed else "")
        + f"<h3>Take care</h3><ul class=notes>{cautions}</ul>"
    )


def downloads_html(query: str, *, ppi: float = 300.0) -> str:
    """Links that hand over the picture (at this resolution), the lists and the choice itself."""
    files = (
        ("picture.png", f"Picture, {ppi:.0f} ppi"),
        ("cutting.txt", "Cutting list"),
        ("cutting.csv", "Cutting list (CSV)"),
        ("readings.csv", "Readings (CSV)"),
        ("audition.toml", "Choice of cloth"),
    )
    links = "".join(f'<a href="/take/{name}?{escape(query)}" download>{label}</a>' for name, label in files)
    return f'<nav class="take" aria-label="Take away">{links}</nav>'
