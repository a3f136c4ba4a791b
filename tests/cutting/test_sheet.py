from __future__ import annotations

import csv
import json
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from blocks.values import Draft
from cutting.layout import ClothPlan, lay_out
from cutting.listing import CountMismatchError, gather
from cutting.rows import sheet_rows, write_csv, write_json
from cutting.rules import CuttingRules
from cutting.sheet import CAUTIONS, cutting_text
from tests.cutting.handmade import Shape, half_square, leaf, make_draft, rectangles, squares, stem

F = Fraction


def meadow(**settings: object) -> tuple[Draft, tuple[ClothPlan, ...]]:
    """A block with every kind of piece, on three cloths."""
    shapes: list[tuple[str, Shape]] = [
        *squares(F(7, 2), 4),
        *rectangles(F(9, 2), F(5, 2), 2),
        *[half_square(F(3))] * 3,
        leaf(),
        stem(6.0),
        stem(5.0),
        stem(5.0),
    ]
    draft = make_draft(shapes, notes=("Left petal and right petal are mirror versions.",))
    plans = lay_out(
        draft,
        cloth_of={"ground": "hay", "petal": "rose", "leaf": "moss", "stem": "moss"},
        width_of_fabric_in={"hay": F(42), "rose": F(42), "moss": F(44)},
        **settings,  # type: ignore[arg-type]
    )
    return draft, plans


def part(text: str, heading: str) -> str:
    """The lines under one heading."""
    return re.split(r"\n\n(?=[^\n]+\n-+\n)", text.split(f"{heading}\n", 1)[1], maxsplit=1)[0]


def test_each_cloth_has_its_part_by_its_own_name() -> None:
    text = cutting_text(*meadow(), names={"hay": "Hay meadow", "moss": "Moss bank"})
    assert re.findall(r"^Cloth: (.+)$", text, re.MULTILINE) == ["Hay meadow", "rose", "Moss bank"]


def test_a_table_line_gives_letter_number_cut_size_and_finished_size() -> None:
    text = cutting_text(*meadow())
    assert re.search(r"^A +4 +3 1/2 x 3 1/2 in +3 x 3 in +ground \(ground unit\)$", text, re.MULTILINE)
    assert re.search(r"^C +3 +3 7/8 x 3 7/8 in \* ", text, re.MULTILINE)
    assert re.search(r"^D +1 +template, box 1 x 2 in ", text, re.MULTILINE)
    assert re.search(r"^F +2 +bias strip 5/8 x 5 in +1/4 in wide", text, re.MULTILINE)
    assert "rounded up to the next 1/8 in" in text


def test_strips_come_first_and_then_their_sub_cuts() -> None:
    hay = part(cutting_text(*meadow()), "Cloth: hay")
    assert "1. 1 strip 3 1/2 in high; from it cut 4 A (3 1/2 x 3 1/2 in), 2 B (4 1/2 x 2 1/2 in)." in hay
    assert hay.index("Cut strips across") > hay.index("4 1/2 x 2 1/2 in")


def test_what_to_buy_is_said_in_yards_and_metres_with_the_spare() -> None:
    hay = part(cutting_text(*meadow()), "Cloth: hay")
    assert "Buy 1/8 yd (or 0.1 m). Strips take 3 1/2 in of the length and leave 1 in." in hay
    assert "Width 42 in as sold, 40 in to cut from (1 in off each selvage)" in hay


def test_bias_strips_name_their_square_and_their_first_cut() -> None:
    moss = part(cutting_text(*meadow()), "Cloth: moss")
    assert re.search(r"from it cut 1 bias square (\S+ ?\S*) x \1 in", moss)
    assert "edges on the grain: cut first" in moss
    assert moss.count("in this order:") == 2
    assert sum(int(n) for n in re.findall(r"(\d+) [EF] \(5/8", moss)) == 3


def test_turned_pieces_are_said_to_lie_turned() -> None:
    draft = make_draft(rectangles(F(5, 2), F(9, 2), 24))
    plans = lay_out(
        draft,
        cloth_of={"ground": "hay"},
        width_of_fabric_in={"hay": F(44)},
        rules=CuttingRules(may_turn=True),
    )
    assert "9 A (4 1/2 x 2 1/2 in, laid a quarter turned)" in cutting_text(draft, plans)


def test_strips_cut_alike_are_told_once() -> None:
    draft = make_draft(squares(F(7, 2), 100))
    plans = lay_out(draft, cloth_of={"ground": "hay"}, width_of_fabric_in={"hay": F(44)})
    text = cutting_text(draft, plans)
    assert "1. 8 strips 3 1/2 in high; from each cut 12 A" in text
    assert "2. 1 strip 3 1/2 in high; from it cut 4 A" in text
    assert "! Nothing of the length to buy is to spare" in text


def test_several_strips_from_one_end_are_listed_below_it() -> None:
    draft = make_draft([*squares(F(12), 1), *rectangles(F(2), F(4), 30)])
    plans = lay_out(draft, cloth_of={"ground": "hay"}, width_of_fabric_in={"hay": F(42)})
    text = cutting_text(draft, plans)
    assert (
        "   Cut the end that is left (28 in) into strips:\n   - 2 strips 4 in high; from each cut 14 B"
        in text
    )


def test_notes_and_cautions_close_the_sheet() -> None:
    text = cutting_text(*meadow())
    assert "- Left petal and right petal are mirror versions." in text
    flat = " ".join(text.split())
    assert all(caution in flat for caution in CAUTIONS)
    words = " ".join(CAUTIONS).lower()
    assert all(
        word in words
        for word in ("rotary cutter", "iron", "pins", "makers' instructions", "rules of the place")
    )


def test_no_line_is_wider_than_a_page_and_no_length_is_broken() -> None:
    text = cutting_text(*meadow(blocks=40))
    assert max(map(len, text.splitlines())) <= 96
    assert not re.search(r"\d\n +(in|mm|cm|yd|\d+/\d+)\b", text)
    assert "\u00a0" not in text


def test_a_metric_ruler_gives_a_metric_sheet() -> None:
    text = cutting_text(*meadow(rules=CuttingRules.on_ruler("1 mm")))
    assert re.search(r"^A +4 +8.9 x 8.9 cm \* ", text, re.MULTILINE)
    assert "rounded up to the next 1 mm" in text
    assert "Buy 0.1 m (or 1/8 yd)" in text
    assert not re.search(r"\d in\b", text)


# One list: the plan, the sheet, the rows and the files


def test_forty_kits_say_the_same_number_everywhere() -> None:
    draft, plans = meadow(blocks=40)
    rows = sheet_rows(draft, plans)
    laid = sum(len(plan.laid) for plan in plans)
    table = re.findall(r"^[A-Z]+ +(\d+)  ", cutting_text(draft, plans), re.MULTILINE)
    assert sum(row.quantity for row in rows) == laid == 40 * len(draft.pieces) == sum(map(int, table))
    assert "40 blocks, each" in cutting_text(draft, plans)


def test_one_piece_more_or_less_fails_the_check() -> None:
    draft, plans = meadow(blocks=40)
    short = replace(plans[0], laid=plans[0].laid[1:])
    with pytest.raises(CountMismatchError, match="Line A asks for 160 pieces; 159"):
        gather(draft, [short, *plans[1:]])
    with pytest.raises(CountMismatchError, match="Line A asks for 40 pieces; 160"):
        cutting_text(draft, [replace(plans[0], blocks=10), *plans[1:]])
    with pytest.raises(CountMismatchError, match="petal"):
        sheet_rows(draft, [plans[0], plans[2]])


def test_letters_go_on_after_z() -> None:
    shapes = [shape for i in range(30) for shape in squares(F(i + 8, 8), 1)]
    draft = make_draft(shapes)
    plans = lay_out(draft, cloth_of={"ground": "hay"}, width_of_fabric_in={})
    letters = [row.letter for row in sheet_rows(draft, plans)]
    assert letters[:2] + letters[25:28] == ["A", "B", "Z", "AA", "AB"]


def test_rows_hold_exact_and_rounded_sizes() -> None:
    draft, plans = meadow()
    row = next(row for row in sheet_rows(draft, plans) if row.role == "petal")
    assert (row.cut_width, row.unit, row.rounded_up) == ("3 7/8", "in", True)
    assert row.exact_width_in == pytest.approx(3.853553)
    metric = next(
        row for row in sheet_rows(*meadow(rules=CuttingRules.on_ruler("5 mm"))) if row.role == "petal"
    )
    assert (metric.cut_width, metric.unit) == ("100", "mm")


def test_csv_reads_back_as_the_rows(tmp_path: Path) -> None:
    rows = sheet_rows(*meadow(), names={"hay": "=HYPERLINK(1)"})
    write_csv(rows, tmp_path / "cutting.csv")
    with (tmp_path / "cutting.csv").open(encoding="utf-8", newline="") as file:
        read = list(csv.DictReader(file))
    assert [(row["letter"], row["quantity"], row["cut_width"]) for row in read] == [
        (row.letter, str(row.quantity), row.cut_width) for row in rows
    ]
    # A spreadsheet must not take a cloth's name for a formula.
    assert read[0]["cloth_name"] == "'=HYPERLINK(1)"
    assert [path.name for path in tmp_path.iterdir()] == ["cutting.csv"]


def test_json_holds_what_to_buy_and_the_rows(tmp_path: Path) -> None:
    draft, plans = meadow()
    write_json(draft, plans, tmp_path / "cutting.json", names={"hay": "Hay meadow"})
    read = json.loads((tmp_path / "cutting.json").read_text("utf-8"))
    assert (read["block"], read["blocks"], read["seam_allowance_in"]) == ("Hay meadow", 1, "1/4")
    hay, _, moss = read["cloths"]
    assert (hay["cloth_name"], hay["buy_yards"], hay["buy_metres"]) == ("Hay meadow", "1/8", 0.1)
    assert hay["rows"][0]["quantity"] == 4
    assert moss["bias_squares_in"] == [str(plans[2].squares[0].square.side_in)]


def test_a_file_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    target = tmp_path / "taken"
    target.mkdir()
    (target / "kept.txt").write_text("kept")
    with pytest.raises(OSError, match="taken"):
        write_csv(sheet_rows(*meadow()), target)
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]
