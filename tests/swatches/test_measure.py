"""From a photograph's file to a trusted swatch, with each of the things of known size."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from swatches.by_eye import ByEye
from swatches.card_find import find_card
from swatches.card_plane import CardError, find_card_plane
from swatches.crop import Crop
from swatches.density import question_ppi
from swatches.faults import cloth_faults
from swatches.known_sizes import A4_PAPER, CARD, LETTER_PAPER
from swatches.line_snap import snap_corners
from swatches.measure import measure_photo
from swatches.measured_scale import ScaleError
from swatches.photo_folder import FolderError, contact_sheet, measure_folder, photo_files
from swatches.references import Card, GreyCard, PhotoSheet, WhitePaper
from swatches.ruler_scale import RulerTicks, scale_from_ticks
from swatches.scale import TypedPpi
from swatches.sheet_find import SheetError
from swatches.solids import solid_swatch
from swatches.stash import Stash
from swatches.trust import colour_is_measured, colour_words, reading_caution, seen_swatch, trust_words
from tests.swatches.pictures import saved, smooth, speckled
from tests.swatches.shots import other_shot, sheet_shot


def written(path: Path, shot) -> Path:
    path.write_bytes(shot.jpeg)
    return path


def test_sheet_to_swatch_and_stash(tmp_path: Path) -> None:
    shot, info = sheet_shot()
    measured = measure_photo(written(tmp_path / "a.jpg", shot), name="bee garden", reference=PhotoSheet())
    swatch = measured.swatch
    assert swatch.repeats
    assert swatch.colour_from == "grey steps"
    assert trust_words(swatch) in {f"scale ±0.{i:02d} %, colour: grey reference" for i in range(10)}
    assert measured.faults == ()
    assert len(measured.marks_px) == 8
    # Two steps of the half-drop make the tile: a cell of exactly two, true to a few hundredths of a per cent.
    truth = abs(np.linalg.det(np.array(info["lattice"])))
    assert swatch.width_in * swatch.height_in == pytest.approx(2 * truth, rel=0.003)
    assert abs(np.linalg.det(np.array(swatch.repeat_in))) == pytest.approx(truth, rel=0.003)
    stash = Stash(tmp_path / "stash.sqlite")
    stash.add(replace(swatch, by_eye=ByEye(warm=10)))
    kept = stash.get("bee garden")
    assert (kept.scale_off, kept.colour_from, kept.about, kept.repeat_in) == (
        swatch.scale_off, swatch.colour_from, swatch.about, swatch.repeat_in,
    )  # fmt: skip
    assert kept.by_eye == ByEye(warm=10)
    assert "corrected by eye" in trust_words(kept)
    assert not np.array_equal(seen_swatch(kept).tile_srgb8, kept.tile_srgb8)
    assert np.array_equal(kept.tile_srgb8, swatch.tile_srgb8)


def test_what_the_print_is() -> None:
    from swatches.print_kind import about_print
    from swatches.repeat import find_repeat
    from tests.swatches.test_repeat import PPI, cloth

    words = {}
    for name in ("dots", "plaid", "stripe", "floral_tonal", "large_floral"):
        light, _ = cloth(name, turn_deg=0)
        words[name] = about_print(light, ppi=PPI, repeat=find_repeat(light, ppi=PPI))
    assert words["dots"].word == "small print"
    assert words["stripe"].word == "stripe"
    assert words["floral_tonal"].word == "tone-on-tone"
    assert words["large_floral"].word == "large print"
    # Dots of radius p/5 on a square grid cover 4 % pi of it.
    assert words["dots"].coverage == pytest.approx(np.pi * 0.04, abs=0.05)
    assert words["dots"].way == "all-way"
    for about in words.values():
        assert sum(colour.share for colour in about.colours) <= 1.001
        assert about.colours[0].share == max(colour.share for colour in about.colours)
        assert about.words.endswith(".")


def test_without_reference_is_marked(tmp_path: Path) -> None:
    shot, _ = other_shot("none")
    measured = measure_photo(written(tmp_path / "a.jpg", shot), name="plaid", reference=TypedPpi(200))
    assert measured.swatch.colour_from == "not measured"
    assert not colour_is_measured(measured.swatch)
    assert "not measured" in trust_words(measured.swatch)
    caution = reading_caution(measured.swatch, solid_swatch("teal"))
    assert caution is not None
    assert "plaid" in caution
    assert "teal" not in caution
    assert reading_caution(solid_swatch("teal")) is None
    assert colour_words(solid_swatch("teal")) == "exact"


def test_sheet_missing_is_said(tmp_path: Path) -> None:
    with pytest.raises(SheetError) as fault:
        measure_photo(saved(tmp_path / "a.png", speckled(200, 300)), name="x", reference=PhotoSheet())
    assert "No photo sheet" in str(fault.value)


def test_grey_card_and_white_paper(tmp_path: Path) -> None:
    picture = smooth(200, 300)
    picture[:40, :40] = (150, 120, 90)
    path = saved(tmp_path / "a.png", picture)
    measured = measure_photo(
        path, name="x", reference=TypedPpi(60), colour=GreyCard((20, 20)), repeat="as it is"
    )
    corner = measured.swatch.tile_srgb8[20, 20].astype(int)
    assert np.ptp(corner) <= 1
    assert corner[0] == pytest.approx(118, abs=1)  # 18 % is code 118
    assert measured.swatch.colour_from == "grey card"
    white = measure_photo(
        path, name="x", reference=TypedPpi(60), colour=WhitePaper((20, 20)), repeat="as it is"
    )
    assert white.swatch.colour_from == "white paper"
    assert "white paper" in trust_words(white.swatch)


# Source: ISO/IEC 7810 (ID-1), ISO 216, ANSI/ASME Y14.1.
def test_sizes_of_the_standards() -> None:
    def sizes(thing) -> tuple[float, float]:
        return float(thing.long_in) * 25.4, float(thing.short_in) * 25.4

    assert sizes(CARD) == pytest.approx((85.60, 53.98))
    assert sizes(A4_PAPER) == pytest.approx((297, 210))
    assert sizes(LETTER_PAPER) == pytest.approx((279.4, 215.9))


def card_error(corners, shot) -> float:
    """How far the way round the cloth that a raised card hides is off; the simulator knows it in mm."""
    plane = find_card_plane([tuple(corner) for corner in corners], width_px=1600, height_px=1200)
    from swatches.resampling import map_points

    def around(of) -> float:
        return float(np.hypot(*(np.roll(of, -1, axis=0) - of).T).sum())

    seen = map_points(np.linalg.inv(plane.to_photo), shot.to_photo(shot.ref["card"]) + 0.5)
    return abs(around(seen) * 25.4 / around(shot.ref["card"]) - 1)


@pytest.mark.parametrize(("cloth", "seed"), [("batik", 14)])
def test_card_is_found_by_itself_and_from_rough_clicks(cloth: str, seed: int, tmp_path: Path) -> None:
    shot, _ = other_shot("card", cloth, seed)
    truth = shot.to_photo(shot.ref["card"]) + 0.5
    assert card_error(find_card(shot.rgb).corners_px, shot) < 0.003
    clicks = truth + np.random.default_rng(seed).normal(0, 4, truth.shape)
    snapped = snap_corners(shot.rgb, [tuple(corner) for corner in clicks])
    assert snapped.plain
    assert card_error(snapped.corners_px, shot) < 0.003
    assert np.hypot(*(np.array(snapped.corners_px) - truth).T).max() < 3
    if cloth == "batik":
        measured = measure_photo(written(tmp_path / "a.jpg", shot), name="river", reference=Card())
        assert "found by itself" in measured.swatch.scale_note
        assert measured.swatch.scale_off is not None
        # At 2 megapixels; it holds for cloth a card's length around, not for the card alone.
        assert measured.swatch.scale_off < 0.013


def test_no_card_is_said() -> None:
    shot, _ = other_shot("none", "floral_grid")
    with pytest.raises(CardError, match="No card was found"):
        find_card(shot.rgb)


def test_ruler_ticks_are_followed_through_a_tilt() -> None:
    shot, _ = other_shot("ruler", "plaid", 4, (("tilt_deg", 12.0),))
    ruler = shot.ref["ruler"]
    (x0, y0), (x1, _) = ruler["p0"], ruler["p1"]
    ends = shot.to_photo([(x0, ruler["y"]), (x1, ruler["y"])]) + 0.5
    found = scale_from_ticks(shot.rgb, RulerTicks(tuple(ends[0]), tuple(ends[1])))
    middle = (x0 + x1) / 2
    inch = shot.to_photo([(middle - 12.7, y0), (middle + 12.7, y0)])
    assert found.ppi == pytest.approx(float(np.hypot(*(inch[1] - inch[0]))), rel=0.004)
    assert found.off is not None
    with pytest.raises(ScaleError, match="No even row"):
        scale_from_ticks(shot.rgb, RulerTicks((100, 100), (900, 300), Fraction(10, 254)))


def test_usual_densities_are_questioned() -> None:
    assert all("set to" in question_ppi(ppi) for ppi in (72, 96, 300))
    assert question_ppi(287) == ""


def test_faults_are_named() -> None:
    def names(**more: float) -> set[str]:
        size = (("size", (1200, 900)), ("canvas_ppmm", 5)) if more else ()
        shot, _ = sheet_shot("floral_half", "A4", 1, (*size, *more.items()))
        from swatches.faults import sheet_faults
        from swatches.sheet_view import view_sheet

        view = view_sheet(shot.rgb)
        found = sheet_faults(shot.rgb, view.sheet, view.light)
        found += cloth_faults(view.cloth_lin, ppi=view.ppi, clipped=view.stored_clipped)
        assert all(fault.mend.endswith(".") and fault.words for fault in found)
        return {fault.name for fault in found}

    assert names() == set()
    assert {"mixed light", "blurred"} <= names(second_cct=2800.0, cct=6500.0, awb=0.4, blur_px=3.0)
    assert "glare" in names(glare=0.5)
    assert {"too bright", "tilted"} <= names(exposure=1.7, tilt_deg=36.0)
    few = cloth_faults(np.full((90, 90, 3), 0.5, np.float32), ppi=60, clipped=0)
    assert [fault.name for fault in few] == ["few pixels"]


def test_light_is_named_and_evened_out_without_the_sheet(tmp_path: Path) -> None:
    def measured(**more: float):
        options = (("fill", 1.25), ("tilt_deg", 1.0), ("vignette", 0.1), ("gradient", 0.1), *more.items())
        shot, _ = other_shot("none", "large_floral", 6, tuple(dict(options).items()))
        return measure_photo(written(tmp_path / "a.jpg", shot), name="rose", reference=TypedPpi(210))

    def names(found) -> set[str]:
        return {fault.name for fault in found.faults}

    assert names(measured()) == set()
    dim = measured(gradient=0.5, vignette=0.2)
    assert names(dim) == {"uneven light"}
    assert any("evened out by a smooth fit" in note for note in dim.notes)
    shaded = measured(shadow=0.35, shadow_at_mm=20.0)
    assert names(shaded) == {"shadow"}
    assert "straight edge" in shaded.faults[0].words
    assert "mixed light" in names(measured(second_cct=2800.0, cct=6000.0, awb=0.5))


def test_crop_of_the_window_and_folders(tmp_path: Path) -> None:
    shot, _ = sheet_shot()
    path = written(tmp_path / "meadow_gate.jpg", shot)
    measured = measure_photo(
        path, name="x", reference=PhotoSheet(), crop=Crop(1, 1, 4, 3, "in"), repeat="as it is"
    )
    assert (measured.swatch.width_in, measured.swatch.height_in) == pytest.approx((3, 2), abs=0.05)
    saved(tmp_path / "nothing.png", speckled(200, 300))
    (tmp_path / "notes.txt").write_text("not a photograph")
    paths = photo_files(tmp_path)
    assert [each.name for each in paths] == ["meadow_gate.jpg", "nothing.png"]
    seen: list[tuple[int, int, str]] = []
    outcomes = list(
        measure_folder(paths, progress=lambda done, all_, each: seen.append((done, all_, each.name)))
    )
    assert seen == [(0, 2, "meadow_gate.jpg"), (1, 2, "nothing.png")]
    assert [outcome.good for outcome in outcomes] == [True, False]
    assert outcomes[0].swatch is not None
    assert outcomes[0].swatch.name == "meadow gate"
    assert "No photo sheet" in outcomes[1].words
    sheet = contact_sheet(outcomes)
    assert sheet.ndim == 3
    assert (sheet == (230, 40, 60)).all(axis=2).sum() > 100
    with pytest.raises(FolderError, match="holds no photographs"):
        photo_files(_empty(tmp_path))


def _empty(tmp_path: Path) -> Path:
    (tmp_path / "bare").mkdir()
    return tmp_path / "bare"


def test_a_stash_of_the_first_version_is_brought_up(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite"
    old = solid_swatch("teal")
    Stash(path).add(old)
    with sqlite3.connect(path) as connection:
        for column in ("scale_off", "colour_from", "by_eye", "about", "repeat_in", "photo"):
            connection.execute(f"ALTER TABLE swatches DROP COLUMN {column}")
        connection.execute(
            "UPDATE swatches SET colour_note = 'Colours as the camera gave them, not measured.' WHERE key = ?",
            (old.key,),
        )
        connection.execute("DROP TABLE aside")
        connection.execute("PRAGMA user_version = 1")
    connection.close()
    kept = Stash(path).get("teal")
    assert kept.colour_from == "not measured"
    assert kept.scale_off is None
    assert kept.repeat_in == ()
    assert kept.photo == ""


def test_sixteen_bits_are_kept_through_linear_light(tmp_path: Path) -> None:
    import cv2

    from swatches.decode import read_photo

    ramp = np.linspace(20000, 20500, 300).round().astype(np.uint16)
    deep = np.repeat(np.repeat(ramp[None, :, None], 200, axis=0), 3, axis=2)
    cv2.imwrite(str(tmp_path / "deep.png"), deep)
    photo = read_photo(tmp_path / "deep.png")
    assert photo.light16 is not None
    # Two steps of 8 bits, yet hundreds of steps of light.
    assert len(np.unique(photo.srgb8)) <= 4
    assert len(np.unique(photo.light16)) > 150
    measured = measure_photo(
        tmp_path / "deep.png",
        name="x",
        reference=TypedPpi(100),
        colour=GreyCard((150, 100)),
        repeat="as it is",
    )
    assert measured.swatch.tile_srgb8[100, 150].tolist() == pytest.approx([118, 118, 118], abs=1)


def test_a_very_large_piece_is_kept_at_fewer_pixels_per_inch(tmp_path: Path) -> None:
    y, x = np.mgrid[0:3000, 0:4000]
    cloth = np.stack([x // 40 % 2 * 60 + 90, y // 40 % 2 * 60 + 90, (x + y) // 80 % 2 * 60 + 90], -1)
    saved(tmp_path / "large.jpg", cloth.astype(np.uint8))
    whole = measure_photo(tmp_path / "large.jpg", name="x", reference=TypedPpi(200), repeat="as it is").swatch
    rows, columns = whole.tile_srgb8.shape[:2]
    assert rows * columns <= 10_000_000
    assert columns / whole.ppi == pytest.approx(20, abs=0.01)
    assert "crop it" in whole.scale_note
    part = measure_photo(
        tmp_path / "large.jpg",
        name="x",
        reference=TypedPpi(200),
        repeat="as it is",
        crop=Crop(1, 1, 5, 5, "in"),
    ).swatch
    assert part.ppi == 200
    assert "crop it" not in part.scale_note


def test_colours_beyond_srgb_are_counted(tmp_path: Path) -> None:
    from tests.swatches.pictures import shared

    path = shared("photos") / "icc_p3_primaries.png"
    if not path.is_file():
        pytest.skip("the wide-gamut picture is not on this machine")
    from swatches.decode import read_photo

    assert any("more vivid than sRGB" in note for note in read_photo(path).notes)
