"""A large quilt is read at some of its edges: every kind is there, and says what all its edges would."""

from __future__ import annotations

from fractions import Fraction

import pytest

from preview.readings import read_edges
from ui.bench import Worked, draft_making, work_out
from ui.kinds import KindReading, read_kinds
from ui.quilt_choice import QuiltChoice, make_making
from ui.shelf import Shelf


@pytest.fixture(scope="module")
def worked() -> Worked:
    quilt = QuiltChoice(False, 4, 4, sashing_in=Fraction(1), cornerstones=True)
    drafted = draft_making(
        make_making("churn dash", width_in=Fraction(6), quilt=quilt), seam_in=Fraction(1, 4)
    )
    cloths = {"background": "cream", "dash": "night hedge", "sash": "frost fern", "cornerstone": "honey"}
    return work_out(drafted, roles={role: Shelf(None).find(name) for role, name in cloths.items()})


def by_roles(kinds: tuple[KindReading, ...]) -> dict[tuple[str, str], KindReading]:
    return {(found.first_role, found.second_role): found for found in kinds}


def test_some_edges_speak_for_all(worked: Worked, monkeypatch: pytest.MonkeyPatch) -> None:
    full = by_roles(read_kinds(worked))
    monkeypatch.setattr("ui.samples.READ_AT_ONCE", 50)
    some = by_roles(read_kinds(worked))
    assert some.keys() == full.keys()
    assert sum(len(found.read) for found in some.values()) < len(worked.drafted.edges) / 2
    for roles, found in some.items():
        assert found.edges == full[roles].edges == len(full[roles].read)
        assert found.share_shows == pytest.approx(full[roles].share_shows, abs=0.12)
    assert len(some["background", "sash"].read) >= 6


def test_a_kind_reads_as_its_edges_do_one_by_one(worked: Worked) -> None:
    found = by_roles(read_kinds(worked))["background", "sash"]
    assert found.count("clear") + found.count("soft") + found.count("lost") == len(found.read)
    shares = [each.reading.share_shows for each in found.read]
    assert shares == sorted(shares)
    assert min(shares) <= found.share_shows <= max(shares)
    assert found.mean("first_L") == pytest.approx(found.mean("second_L"), abs=12)


def test_a_window_reads_as_the_whole_block_does() -> None:
    alone = draft_making(make_making("churn dash", width_in=None, quilt=None), seam_in=Fraction(1, 4))
    one = draft_making(
        make_making("churn dash", width_in=None, quilt=QuiltChoice(False, 1, 1)), seam_in=Fraction(1, 4)
    )
    roles = {"background": Shelf(None).find("cream"), "dash": Shelf(None).find("night hedge")}
    block, quilt = work_out(alone, roles=roles), work_out(one, roles=roles)
    expected = {
        (found.first, found.second): found.reading.share_shows
        for found in read_edges(block.audition, alone.edges)  # type: ignore[arg-type]
    }
    for kind in read_kinds(quilt):
        for found in kind.read:
            assert found.reading.share_shows == pytest.approx(expected[found.first, found.second], abs=1e-6)
