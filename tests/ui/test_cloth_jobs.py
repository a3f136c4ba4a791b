"""Photographs of cloth come in through the command; what is wrong is refused in two lines, nothing half-written."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from benchmarks.sim.fabrics import render
from swatches.by_eye import ByEye
from swatches.stash import Stash
from tests.swatches.charts import with_chart
from tests.swatches.shots import other_shot, sheet_shot
from ui.command import main
from ui.shelf import Shelf

SHARED = Path(__file__).resolve().parents[2] / ".." / "shared"


@pytest.fixture
def stash(tmp_path: Path) -> Path:
    folder = tmp_path / "own"
    folder.mkdir()
    return folder / "stash.sqlite"


@pytest.fixture
def plaid(tmp_path: Path) -> Path:
    """A small piece of one-inch checks in red and white at 60 pixels an inch, with a grey corner."""
    y, x = np.mgrid[:300, :420]
    picture = np.where((((x // 30) + (y // 30)) % 2)[..., None] == 0, (170, 40, 50), (230, 225, 210))
    picture[:40, :40] = (150, 120, 90)
    file = tmp_path / "plaid.png"
    Image.fromarray(picture.astype(np.uint8)).save(file)
    return file


def add(photo: Path, stash: Path, *words: str) -> int:
    return main(["add-cloth", str(photo), "--stash", str(stash), "-q", *words])


def test_the_photo_sheet_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "sheet.pdf"
    assert main(["photo-sheet", "--page", "Letter", "--to", str(file)]) == 0
    assert "100 %" in capsys.readouterr().out
    assert [float(side) for side in PdfReader(file).pages[0].mediabox[2:]] == pytest.approx(
        [792, 612], abs=0.1
    )
    assert main(["photo-sheet", "--page", "Letter", "--to", str(tmp_path / "sheet.png")]) == 2
    assert capsys.readouterr().err.count("\n") == 2


def test_a_folder_comes_in_with_the_sheet(
    tmp_path: Path, stash: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, report = tmp_path / "photos", tmp_path / "report.png"
    folder.mkdir()
    (folder / "bee_garden.jpg").write_bytes(sheet_shot()[0].jpeg)
    (folder / "words.jpg").write_text("no picture")
    words = ["add-cloth", str(folder), "--sheet", "--bar", "97 mm", "--fabric-width", "110 cm"]
    assert main([*words, "--stash", str(stash), "--report", str(report)]) == 0
    told = capsys.readouterr()
    assert "1 of 2: bee_garden.jpg" in told.err
    assert '"bee garden". scale ±0.3 %, colour: grey reference.' in told.out
    assert "1 of 2 photographs became cloth" in told.out
    assert "Refused, each for the reason above: words.jpg" in told.out
    swatch = Shelf(stash).find("bee garden")
    assert swatch.repeats
    assert float(swatch.width_of_fabric_in) == pytest.approx(43.3, abs=0.1)
    with Image.open(report) as picture:
        assert picture.size[0] > 1000
    assert main([*words, "--stash", str(stash)]) == 2, "all are refused now: one is there, one is no picture"
    assert "No photograph of the folder" in capsys.readouterr().err


def test_stopping_a_folder_keeps_what_is_whole(
    tmp_path: Path, stash: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from swatches import photo_folder

    folder, report = tmp_path / "photos", tmp_path / "report.png"
    folder.mkdir()
    for name in "ab":
        Image.fromarray(np.full((120, 160, 3), (40, 90, 160), np.uint8)).save(folder / f"{name}.png")
    real = photo_folder.measure_photo

    def measure(path: Path, **more: object) -> object:
        if path.name == "b.png":
            raise KeyboardInterrupt
        return real(path, **more)

    monkeypatch.setattr(photo_folder, "measure_photo", measure)
    assert add(folder, stash, "--photo-ppi", "50", "--report", str(report)) == 130
    told = capsys.readouterr()
    assert "1 of 2 photographs became cloth" in told.out
    assert "Not looked at: 1." in told.out
    assert told.err == "Stopped.\n"
    assert Stash(stash).names() == ("a",)
    assert not report.exists()


def test_a_card_is_found_and_cautions_follow_the_cloth(
    tmp_path: Path, stash: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    photo, report = tmp_path / "card.jpg", tmp_path / "found.jpg"
    photo.write_bytes(other_shot("card", "batik", 14)[0].jpeg)
    assert add(photo, stash, "--name", "river", "--card", "--report", str(report)) == 0
    told = capsys.readouterr().out
    assert "found by itself" in told
    assert "Trust: scale ±1.2 %, colour: not measured" in told
    assert "It looks like this." in told
    with Image.open(report) as picture:
        assert picture.format == "JPEG"
    assert main(["cloths", "--stash", str(stash)]) == 0
    assert "colour: not measured" in capsys.readouterr().out.splitlines()[0]
    assert main(["readings", "ohio star", "point=river", "--stash", str(stash), "-q"]) == 0
    assert "Take care: The colour of river was not measured" in capsys.readouterr().out
    for words in (["advise", "ohio star", "point=river"], ["shelf", "--as", "stem", "--on", "river"]):
        assert main([*words, "--stash", str(stash), "-q"]) == 0
        assert "Take care: The colour of river was not measured" in capsys.readouterr().out
    assert main(["readings", "ohio star", "--stash", str(stash), "-q"]) == 0
    assert "Take care" not in capsys.readouterr().out


def test_grey_and_the_makers_own_repeat(plaid: Path, stash: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--name", "checks", "--photo-ppi", "60", "--crop", "60,0", "420,300"]
    assert add(plaid, stash, *words, "--grey", "20,20", "--repeat", "1,0 0,1") == 0
    told = capsys.readouterr().out
    assert "colour: grey card" in told
    assert "as marked" in told
    swatch = Shelf(stash).find("checks")
    assert swatch.repeats
    assert (swatch.width_in, swatch.height_in) == pytest.approx((1, 1), rel=0.02)
    assert add(plaid, stash, "--name", "whole", "--photo-ppi", "96", "--repeat", "as-is", "--one-way") == 0
    assert "96 is what programs write" in capsys.readouterr().out
    whole = Shelf(stash).find("whole")
    assert not whole.repeats
    assert whole.one_way


def test_cloth_with_nothing_on_it_is_as_large_as_it_is_said_to_be(
    plaid: Path, stash: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The picture is 7 inches wide at 60 pixels an inch; 210 of its pixels are 3.5 inches."""
    assert add(plaid, stash, "--name", "whole", "--shows", "7 in", "--repeat", "as-is") == 0
    told = capsys.readouterr().out
    assert "nothing in the photograph bears it out" in told
    assert "colour: not measured" in told
    assert add(plaid, stash, "--name", "part", "--shows", "8.89 cm", "--crop", "100,0", "310,300") == 0
    whole, part = (Shelf(stash).find(name) for name in ("whole", "part"))
    assert whole.ppi == pytest.approx(60)
    assert part.repeats
    assert (part.width_in, part.height_in) == pytest.approx((1, 1), rel=0.02), "two checks of half an inch"
    assert whole.scale_off is not None
    assert part.scale_off is not None
    assert 0.04 < whole.scale_off < part.scale_off < 0.15
    for words, what in (
        (["--shows", "12 in", "--photo-ppi", "60"], "More than one scale"),
        (["--shows", "0"], "cannot show 0 inches"),
        (["--shows", "wide"], "is not a length"),
    ):
        assert add(plaid, stash, "--name", "x", *words) == 2
        assert what in capsys.readouterr().err


@pytest.mark.parametrize("named", ["a4", "A4"])
def test_paper_is_named_with_capitals_or_without(
    plaid: Path, stash: Path, capsys: pytest.CaptureFixture[str], named: str
) -> None:
    file = stash.parent / "sheet.pdf"
    assert main(["photo-sheet", "--page", named, "--to", str(file)]) == 0
    assert "for A4 paper" in capsys.readouterr().out
    corners = ["--corners", "150,20", "400,20", "400,196.8", "150,196.8", "--exact", "--repeat", "as-is"]
    assert add(plaid, stash, "--name", "x", "--paper", named, *corners) == 0
    # ISO 216: A4 is 297 mm long. The swatch keeps whole pixels per inch.
    assert Shelf(stash).find("x").ppi == int(250 / (297 / 25.4))


def test_a_correction_is_kept_and_not_baked_in(
    plaid: Path, stash: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert add(plaid, stash, "--name", "checks", "--photo-ppi", "60") == 0
    before = Shelf(stash).find("checks").tile_srgb8
    correct = ["correct", "checks", "--stash", str(stash)]
    assert main([*correct, "--light", "-40", "--warm", "10"]) == 0
    assert main([*correct, "--warm", "20", "--way", "one-way", "--kind", "large print"]) == 0
    told = capsys.readouterr().out
    assert "light -40, warm +20" in told
    assert "Large print" in told
    kept = Shelf(stash).stored("checks")
    assert kept.by_eye == ByEye(light=-40, warm=20)
    assert np.array_equal(kept.tile_srgb8, before)
    seen = Shelf(stash).find("checks")
    assert seen.tile_srgb8.mean() < 0.92 * before.mean(), "what is drawn and read is the corrected cloth"
    assert seen.one_way
    assert main([*correct, "--as-photographed"]) == 0
    assert np.array_equal(Shelf(stash).find("checks").tile_srgb8, before)
    assert main([*correct, "--kind", "plain"]) == 0
    assert Shelf(stash).find("checks").kind == "solid"


def test_a_chart_is_found_in_a_photograph_and_in_a_folder(
    tmp_path: Path, stash: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cloth, _ = render("gingham", 6.0, 4.5, 120, 2)
    folder = tmp_path / "scans"
    folder.mkdir()
    laid = with_chart(cloth, ppi=120, at_in=(0.5, 0.5), step_in=0.3)
    Image.fromarray(laid).save(folder / "gingham.png")
    words = ("--photo-ppi", "120", "--chart", "--edition", "before-2014")
    assert add(folder / "gingham.png", stash, "--name", "one", *words) == 0
    told = capsys.readouterr().out
    assert "colour: 24-patch chart" in told
    assert "found by itself" in told
    assert "made before November 2014" in told
    assert add(folder, stash, *words) == 0
    assert "1 of 1 photographs became cloth" in capsys.readouterr().out
    assert add(folder, stash, "--photo-ppi", "120", "--chart", *["1,2"] * 4) == 2
    assert "--chart with corners cannot be said" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "what"),
    [
        ([], "No scale is given"),
        (["--photo-ppi", "60", "--card"], "More than one scale"),
        (["--photo-ppi", "60", "--name", " "], "name"),
        (["--points", "1,2", "3,4"], "--apart is missing"),
        (["--card", "1,2", "3,4"], "2 corners of the card"),
        (["--card", "--exact"], "--exact says nothing"),
        (["--paper", "A4"], "No sheet of A4 was found"),
        (["--photo-ppi", "60", "--tick", "1 mm"], "--tick says nothing"),
        (["--ruler-ticks", "5,5", "300,200", "--tick", "0"], "no length"),
        (["--ruler-ticks", "5,5", "300,900"], "outside the picture"),
        (["--sheet"], "No photo sheet is seen"),
        (["--sheet", "--bar", "9 mm"], "not the photo sheet's 100 mm bar"),
        (["--photo-ppi", "60", "--bar", "97 mm"], "--bar says nothing"),
        (["--photo-ppi", "60", "--grey", "here"], "not a place"),
        (["--photo-ppi", "60", "--grey", "1,2", "--white", "3,4"], "More than one thing of known colour"),
        (["--photo-ppi", "60", "--chart", "1,2", "9,2", "9,9", "1,9"], "do not lie as a 24-patch chart's"),
        (["--photo-ppi", "60", "--chart", "1,2", "9,2"], "2 corners of the chart"),
        (["--photo-ppi", "60", "--chart"], "No 24-patch chart was found"),
        (["--photo-ppi", "60", "--edition", "before-2014"], "--edition says nothing"),
        (["--photo-ppi", "60", "--repeat", "often"], "no repeat"),
        (["--photo-ppi", "60", "--repeat", "1,0 2,0"], "one line"),
        (["--photo-ppi", "60", "--report", "found.doc"], "ends in none of"),
    ],
)
def test_mistakes_are_told_in_two_lines(
    plaid: Path, stash: Path, capsys: pytest.CaptureFixture[str], words: list[str], what: str
) -> None:
    named = [] if "--name" in words else ["--name", "x"]
    assert add(plaid, stash, *named, *words) == 2
    told = capsys.readouterr().err
    assert what in told
    assert told.count("\n") == 2
    assert "\nMend: " in told
    assert not list(stash.parent.iterdir())


def test_more_mistakes(plaid: Path, stash: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert add(plaid, stash, "--photo-ppi", "60") == 2
    assert "has no name" in capsys.readouterr().err
    assert add(plaid.parent, stash, "--photo-ppi", "60", "--name", "x") == 2
    assert "--name cannot be said of a whole folder" in capsys.readouterr().err
    assert add(plaid.parent, stash, "--photo-ppi", "60", "--grey", "2,2") == 2
    assert "--grey cannot be said of a whole folder" in capsys.readouterr().err
    assert add(stash.parent, stash, "--sheet") == 2
    assert "holds no photographs" in capsys.readouterr().err
    for words, what in (
        (["nothing", "--light", "1"], 'no cloth called "nothing" in your stash'),
        (["nothing"], "Nothing is said"),
        (["nothing", "--warm", "much"], "is not a number"),
    ):
        assert main(["correct", *words, "--stash", str(stash)]) == 2
        assert what in capsys.readouterr().err
    assert not stash.exists()
    assert add(plaid, stash, "--name", "checks", "--photo-ppi", "60") == 0
    assert add(plaid, stash, "--name", "Checks", "--photo-ppi", "60") == 2
    assert "already holds a cloth" in capsys.readouterr().err
    assert main(["correct", "checks", "--pink", "101", "--stash", str(stash)]) == 2
    assert "outside -100 to 100" in capsys.readouterr().err
    assert add(plaid, stash, "--name", "checks", "--photo-ppi", "60", "--replace") == 0


def test_real_cloth_comes_in(stash: Path, capsys: pytest.CaptureFixture[str]) -> None:
    photo = SHARED / "cloth" / "gingham_acg_fabric055_red.jpg"
    if not photo.is_file():
        pytest.skip("the folder of real cloth is not here")
    assert add(photo, stash, "--name", "red gingham", "--photo-ppi", "150") == 0
    assert "as typed" in capsys.readouterr().out
    swatch = Shelf(stash).find("red gingham")
    assert swatch.ppi == pytest.approx(150, rel=0.005), "a tile ends at whole pixels"
    assert swatch.repeats


def test_two_cloths_of_one_photograph_are_told_apart_more_surely(
    tmp_path: Path, stash: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    speckle = np.random.default_rng(1).normal(0, 6, (240, 500, 3))
    halves = np.repeat(np.uint8([[[150, 130, 90]] * 250 + [[185, 165, 120]] * 250]), 240, axis=0)
    for name, picture in (("one", halves + speckle), ("again", halves + speckle[:, ::-1])):
        Image.fromarray(picture.clip(0, 255).astype(np.uint8)).save(tmp_path / f"{name}.png")
    left, right = ["--crop", "0,0", "240,240"], ["--crop", "260,0", "500,240"]
    for photo, name, part in (("one", "straw", left), ("one", "linen", right), ("again", "chaff", right)):
        assert add(tmp_path / f"{photo}.png", stash, "--name", name, "--photo-ppi", "60", *part) == 0
    capsys.readouterr()
    told = []
    for other in ("linen", "chaff"):
        words = ["readings", "churn dash", "dash=straw", f"background={other}"]
        assert main([*words, "--stash", str(stash), "-q"]) == 0
        told.append(" ".join(capsys.readouterr().out.split()))
    together, apart = ([int(end) for end in re.findall(r"Take (\d+) to (\d+) %", each)[0]] for each in told)
    assert apart[0] + 10 < together[0] <= together[1] <= apart[1]
    assert told[0].count("the two come from one photograph") == 1, "once for the two, however often they meet"
    assert "and may not match" in told[1]
    assert "off by 7 L* or more, though both are from one photograph" in told[0]
    assert "off by 10 L* or more" in told[1]
