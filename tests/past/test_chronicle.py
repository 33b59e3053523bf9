"""What moved a build's figures, when, by which cause and why: over a repository of its own."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from specgen.analysis import method as methods
from specgen.analysis.sheet import analyse
from specgen.past.editions import edition_on_disk
from specgen.past.kept import write_kept
from specgen.past.known import known_of
from specgen.past.past import Past
from specgen.publish.store.store import Store
from tests.archive.repository import git
from tests.past.shop import BUILD, Shop, opened, told

pytestmark = pytest.mark.slow


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with one build, one planned setup more, and one commit."""
    return opened(tmp_path)


def test_a_corrected_humidity_moves_the_power(shop: Shop) -> None:
    """Wetter air holds less oxygen: the corrected power rises, by the build's own data."""
    shop.change(f"{BUILD}/build.yaml", "humidity: 41 %", "humidity: 95 %",
                "The hygrometer read too low", "2025-06-02")  # fmt: skip
    first, second = shop.events()
    assert first.first
    assert first.why == "Take in the test build"
    assert second.date == datetime.date(2025, 6, 2)
    assert second.causes == ("data",)
    assert second.why == "The hygrometer read too low"
    before, after = told(second)["Power, corrected"]
    assert float(before.split()[0]) < float(after.split()[0])
    sheet = analyse(shop.archive())[BUILD]
    assert (
        after
        == sheet.headline[0]
        .quantity.printed(sheet.headline[0].scalar, "metric", sheet.headline[0].expanded)
        .text
    ), "the last figure told is the one that stands on the sheet"


def test_a_correction_gives_its_own_reason(shop: Shop) -> None:
    """What the build says of a correction wins over what was said of the commit."""
    shop.change(f"{BUILD}/build.yaml", "humidity: 41 %", "humidity: 95 %")
    shop.change(f"{BUILD}/build.yaml", "engine:\n",
                "corrections:\n  - {on: 2025-06-02, because: the hygrometer was dry}\nengine:\n",
                "wip", "2025-06-03")  # fmt: skip
    event = shop.events()[-1]
    assert event.corrected
    assert event.why == "the hygrometer was dry"
    assert event.moved


def test_a_changed_blower_moves_what_is_planned(shop: Shop) -> None:
    """A larger blower makes more boost in a planned setup; the cause is a shared file."""
    shop.change(f"{BUILD}/build.yaml", "fuel: petrol-98}\n",
                "fuel: petrol-98}\n  - {id: p85, blower_pulley: 85 mm, fuel: petrol-98}\n",
                "Plan a larger pulley", "2025-06-01")  # fmt: skip
    shop.change("blowers/test-blower.yaml", "0.9 L", "0.8 L", "The maker's new figure",
                "2025-06-02")  # fmt: skip
    planned, event = shop.events()[1:]
    assert planned.causes == ("data",)
    assert event.causes == ("shared",)
    assert event.why == "The maker's new figure"
    assert any("p85" in title for title in told(event))
    assert not any(title.startswith("Power, corrected") for title in told(event))


def test_another_standard_moves_the_power_by_a_shared_file(shop: Shop) -> None:
    """The archive's standard air is in its settings."""
    shop.change("archive.yaml", "iso-1585", "sae-j607", "Show it as in the old days", "2025-06-02")
    event = shop.events()[-1]
    assert event.causes == ("shared",)
    assert "Power, corrected" in told(event)


def test_words_alone_move_nothing(shop: Shop) -> None:
    """A note is a change of words only; another shared file's words are not told at all."""
    shop.change(f"{BUILD}/build.yaml", "title: Test build", "title: A test build", "Name it")
    shop.change("archive.yaml", "name: Test archive", "name: The test archive", "Rename us")
    shop.change("blowers/test-blower.yaml", "title: Test", "title: A test", "Rename it")
    assert [(it.causes, it.moved) for it in shop.events()[1:]] == [(("words",), ())]


def test_a_change_of_looks_in_the_settings_costs_no_build_a_state(shop: Shop) -> None:
    """Name, mark, units and remarks move no figure; what moves them gives each build one state."""
    before = Past(shop.archive()).states[BUILD]
    text = (shop.builds / "archive.yaml").read_text("utf-8")
    looks = "summary: >\n  Sheets\n\n  of ours.\naccent: '#104060'\nauthors:\n- A\n- B\n"
    (shop.builds / "archive.yaml").write_text(
        "# ours\n" + text.replace("units: metric", "units: imperial") + looks, "utf-8"
    )
    shop.commit("Look better")
    assert Past(shop.archive()).states[BUILD] == before
    edition = edition_on_disk(shop.builds.resolve())
    assert edition.key(BUILD) == before[-1].key
    shop.change("archive.yaml", "correction: iso-1585", "correction: din-70020", "Another air")
    assert len(Past(shop.archive()).states[BUILD]) == len(before) + 1
    shop.change(f"{BUILD}/build.yaml", "301 kW", "290 kW")
    shop.change("archive.yaml", "A\n", "C\n", "Read again, and an author")
    assert shop.events()[-1].causes == ("data",)


def test_states_that_are_still_to_be_worked_out_are_counted(shop: Shop, tmp_path: Path) -> None:
    """As many as the history has before it was told once; none after."""
    shop.change("archive.yaml", "iso-1585", "din-70020", "Another air")
    archive, store = shop.archive(), Store(tmp_path / "store")
    assert Past(archive, store).unknown(store) == 2
    Past(archive, store).events(archive.builds[BUILD])
    assert Past(archive, store).unknown(store) == 0


def test_a_rename_loses_nothing(shop: Shop) -> None:
    """The history goes on under the new id, by git's word and by `formerly`."""
    shop.change(f"{BUILD}/build.yaml", "humidity: 41 %", "humidity: 95 %", "Wet", "2025-06-01")
    git(shop.root, "mv", f"builds/{BUILD}", "builds/new-name")
    shop.commit("Another name", "2025-06-02")
    text = (shop.builds / "new-name" / "build.yaml").read_text("utf-8")
    (shop.builds / "new-name" / "build.yaml").write_text(
        text.replace("engine:\n", f"formerly: [{BUILD}]\nengine:\n", 1), "utf-8"
    )
    shop.commit("Keep its links", "2025-06-03")
    shop.change("new-name/build.yaml", "humidity: 95 %", "humidity: 41 %", "Dry", "2025-06-04")
    found = shop.events("new-name")
    assert [it.why for it in found if it.first or it.moved] == [
        "Take in the test build", "Wet", "Dry",
    ]  # fmt: skip


def test_a_state_that_cannot_be_read_is_passed_over(shop: Shop) -> None:
    """A commit with an error in the file has no figures; the next one is set beside the last."""
    shop.change(f"{BUILD}/build.yaml", "bore: 84 mm", "bore: wide", "A slip", "2025-06-01")
    shop.change(f"{BUILD}/build.yaml", "bore: wide", "bore: 85 mm", "Mend it", "2025-06-02")
    found = shop.events()
    assert [it.why for it in found] == ["Take in the test build", "Mend it"]
    assert "Power per litre" in told(found[1])


def test_a_private_session_takes_the_figures_out(shop: Shop) -> None:
    """Where something is private now, no earlier figure tells it, and no word of a commit does."""
    shop.change(f"{BUILD}/build.yaml", "humidity: 41 %", "humidity: 95 %", "For the old duke")
    shop.change(f"{BUILD}/build.yaml", "    figures: observed",
                "    publish: no\n    title: For the old duke\n    figures: observed",
                "Say nothing")  # fmt: skip
    found = shop.events()
    assert all(it.moved == () and it.causes == () for it in found)
    assert not any("duke" in it.why for it in found)


def test_without_git_there_is_a_reason_and_no_change(tmp_path: Path) -> None:
    """An archive outside any repository."""
    shop = Shop(tmp_path)
    (tmp_path / "builds").mkdir()
    opened_elsewhere = opened(tmp_path / "other")
    (opened_elsewhere.builds / "archive.yaml").rename(tmp_path / "builds" / "archive.yaml")
    past = Past(shop.archive())
    assert past.log == ()
    assert past.missing == "The archive is in no git repository."


def test_a_changed_method_is_told_with_its_words(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Figures kept under an earlier method are set beside those of this one, for the same files."""
    sheet = analyse(shop.archive())[BUILD]
    known = known_of(sheet)
    assert known.figures is not None
    edition = edition_on_disk(shop.builds.resolve())
    write_kept(shop.builds, {BUILD: (edition.key(BUILD), known)})
    shop.commit("Keep the figures")
    assert not any("method" in it.causes for it in shop.events())
    later = methods.Method(2, datetime.date(2027, 1, 1), "The air is taken wetter.")
    monkeypatch.setattr(methods, "METHODS", (*methods.METHODS, later))
    power = next(it for it in known.figures if it.key == "corrected_power")
    _less(shop.builds / "kept-figures.json", power.value)
    event = shop.events()[-1]
    assert event.causes == ("method",)
    assert event.why == "The air is taken wetter."
    assert event.date == datetime.date(2027, 1, 1)
    assert list(told(event)) == ["Power, corrected"]


def _less(file: Path, value: float) -> None:
    """Let the earlier method have given 3 % less for one figure."""
    text = file.read_text("utf-8")
    assert f"{value!r}" in text
    file.write_text(text.replace(f"{value!r}", f"{value * 0.97!r}", 1), "utf-8")
