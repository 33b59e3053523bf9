"""What changed in results between two editions: builds, figures, causes, comparisons."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from specgen.cli import main
from specgen.past.diff import Difference, difference
from specgen.past.editions import edition_at, edition_on_disk
from specgen.past.known import Nowhere
from tests.archive.repository import git
from tests.past.shop import BUILD, Shop, opened

pytestmark = pytest.mark.slow

SECOND = "second"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop with two builds alike but for their power, committed."""
    shop = opened(tmp_path)
    text = (shop.builds / BUILD / "build.yaml").read_text("utf-8")
    (shop.builds / SECOND).mkdir()
    (shop.builds / SECOND / "build.yaml").write_text(
        text.replace("Test build", "Second build").replace("301 kW", "320 kW"), "utf-8"
    )
    shop.commit("A second one")
    return shop


def changed(shop: Shop) -> Difference:
    """What changed since the last commit."""
    folder = shop.builds.resolve()
    return difference(edition_at(folder, "HEAD"), edition_on_disk(folder), Nowhere())


def run(shop: Shop, *arguments: str) -> Result:
    """Run the command over the shop's archive."""
    command = ["diff", *arguments, "--archive", str(shop.builds)]
    return CliRunner().invoke(main, command, catch_exceptions=False)


def plain(text: str) -> str:
    """A text with spaces of the usual width."""
    return text.replace("\N{NARROW NO-BREAK SPACE}", " ")


def test_nothing_changed(shop: Shop) -> None:
    """Files as they were committed give no difference, and the exit code says so."""
    assert changed(shop) == Difference()
    result = run(shop, "--fail-on", "moved")
    assert (result.exit_code, result.output) == (0, "No result is another one.\n")


def test_figures_that_moved_are_told_with_their_cause(shop: Shop) -> None:
    """One build's own data: that build alone, before and after, in the archive's units."""
    shop.change(f"{BUILD}/build.yaml", "301 kW", "290 kW")
    (found,) = changed(shop).changed
    assert (found.build, found.causes) == (BUILD, ("data",))
    text = plain(run(shop).output)
    assert "Test build (test-build), by the build's own data:" in text
    assert "Power, observed 301 ± 9 kW → 290 ± 9 kW" in text
    assert run(shop, "--fail-on", "moved").exit_code == 1


def test_a_comparison_that_turned_round_is_told(shop: Shop) -> None:
    """The second was ahead; once the first gains, the two lie within the margin."""
    shop.change(f"{BUILD}/build.yaml", "301 kW", "318 kW")
    (turned,) = changed(shop).turned
    assert (turned.first, turned.second) == (BUILD, SECOND)
    assert (turned.before, turned.after) == ("behind", "within the margin")


def test_builds_that_are_new_gone_and_renamed(shop: Shop) -> None:
    """A rename is no new build; one that is gone had figures, which is a result too."""
    git(shop.root, "mv", f"builds/{BUILD}", "builds/first")
    git(shop.root, "rm", "-rq", f"builds/{SECOND}")
    (shop.builds / "third").mkdir()
    text = (shop.builds / "first" / "build.yaml").read_text("utf-8")
    (shop.builds / "third" / "build.yaml").write_text(text.replace("Test build", "Third"), "utf-8")
    found = changed(shop)
    assert found.added == (("third", "Third"),)
    assert found.gone == ((SECOND, "Second build"),)
    assert found.renamed == ((BUILD, "first"),)
    assert found.changed == ()
    assert found.moves


def test_a_shared_file_moves_every_build(shop: Shop) -> None:
    """Another standard air in the settings is the cause, not the builds."""
    shop.change("archive.yaml", "iso-1585", "sae-j607")
    assert {(it.build, it.causes) for it in changed(shop).changed} == {
        (BUILD, ("shared",)), (SECOND, ("shared",)),
    }  # fmt: skip


def test_words_alone_are_named_and_move_nothing(shop: Shop) -> None:
    """A note changes no result."""
    shop.change(f"{BUILD}/build.yaml", "fuel: petrol-98}", "fuel: petrol-98, note: loud}")
    found = changed(shop)
    assert found.words_only == (BUILD,)
    assert not found.moves


def test_a_build_that_cannot_be_read_any_more_is_told(shop: Shop) -> None:
    """An error in the file takes the figures away: that is a change too."""
    shop.change(f"{BUILD}/build.yaml", "bore: 84 mm", "bore: wide")
    assert "cannot be read any more" in run(shop).output
    assert run(shop, "--fail-on", "moved").exit_code == 1


def test_two_revisions_are_set_side_by_side(shop: Shop) -> None:
    """The disk plays no part where both are named."""
    shop.change(f"{BUILD}/build.yaml", "301 kW", "290 kW", "Read again")
    shop.change(f"{BUILD}/build.yaml", "290 kW", "280 kW")
    text = plain(run(shop, "HEAD~1", "HEAD").output)
    assert "301 ± 9 kW → 290 ± 9 kW" in text
    assert "280" not in text


def test_data_and_markdown_say_the_same(shop: Shop) -> None:
    """JSON has SI values; the review comment a table whose cells mean nothing to Markdown."""
    shop.change(f"{BUILD}/build.yaml", "title: Test build", "title: Test | build *")
    shop.change(f"{BUILD}/build.yaml", "301 kW", "290 kW")
    data = json.loads(run(shop, "--format", "json").output)
    (figure,) = [it for it in data["moved"][0]["figures"] if it["key"] == "observed_power"]
    assert figure["before"]["value"] == pytest.approx(301e3, rel=1e-6)
    assert figure["after"]["value"] == pytest.approx(290e3, rel=1e-6)
    text = plain(run(shop, "--format", "markdown").output)
    assert r"| Test \| build \* | Power, observed | 301 ± 9 kW | 290 ± 9 kW |" in text


def test_no_such_revision_is_wrong_usage(shop: Shop) -> None:
    """What git does not know is told, with exit code 2 and no traceback."""
    result = run(shop, "nowhere")
    assert result.exit_code == 2
    assert "Git could not tell" in result.output


def test_a_method_is_set_beside_the_one_kept(shop: Shop) -> None:
    """Nothing kept is wrong usage; what was kept by this very method moves nothing."""
    assert run(shop, "--method").exit_code == 2
    keep = ["keep", "--archive", str(shop.builds)]
    assert "the figures of 2 builds" in CliRunner().invoke(main, keep).output
    assert run(shop, "--method", "--fail-on", "moved").exit_code == 0
    file = shop.builds / "kept-figures.json"
    data = json.loads(file.read_text("utf-8"))
    data["kept"][0]["method"] = 0
    figures = data["kept"][0]["builds"][BUILD]["figures"]
    next(it for it in figures if it["key"] == "observed_power")["value"] *= 1.05
    file.write_text(json.dumps(data), "utf-8")
    result = run(shop, "--method", "--fail-on", "moved")
    assert result.exit_code == 1
    assert "by the method" in result.output


FOREIGN = [
    "",
    "{}",
    '{"format": 1, "kept": 3}',
    '{"format": 2, "kept": []}',
    '{"format": 1, "kept": [{"method": 1, "builds": {"a": {}}}]}',
]


@pytest.mark.parametrize("text", FOREIGN)
def test_a_file_that_is_not_ours_keeps_nothing(shop: Shop, text: str) -> None:
    """Whatever lies there under that name breaks nothing, and is begun anew."""
    (shop.builds / "kept-figures.json").write_text(text, "utf-8")
    assert run(shop, "--method").exit_code == 2
    assert CliRunner().invoke(main, ["keep", "--archive", str(shop.builds)]).exit_code == 0
