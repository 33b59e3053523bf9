"""The test-day card: what is on it is what a new session takes, and the text checks at once."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from specgen.analysis.planning.card import DAY, PULL, card_of
from specgen.archive.archive import read_archive
from specgen.cli import main
from specgen.cli.files.new import session
from specgen.publish.plan.card import card_page
from specgen.publish.planned.card_text import card_text
from tests.analysis.small import BUILD, SESSION, sheet, write
from tests.publish.pages import text_of

LADDER = BUILD + "".join(
    f"  - {{id: p{size}, blower_pulley: {size} mm, fuel: petrol-98}}\n" for size in (85, 78, 76, 74)
)


def test_every_field_of_the_card_is_an_option_of_a_new_session() -> None:
    """No field is written for nothing, and no option of a session is missing on the card."""
    options = {name for option in session.params for name in option.opts if name.startswith("--")}
    assert {name for name, _ in DAY} == options - {"--archive", "--pull"}


def test_planned_setups_stand_in_order_with_what_is_expected(tmp_path: Path) -> None:
    """Rising ratio, three speeds each, and the very rows of the setup at the highest speed."""
    made = sheet(tmp_path, LADDER + SESSION)
    card = card_of(made, made.plan)
    assert [step.setup.id for step in card.steps] == ["p85", "p78", "p76", "p74"]
    for step in card.steps:
        assert len(step.readings) == 3
        top = step.setup.rows["boost_at_top"]
        assert step.readings[-1].figures[0].scalar == top.scalar
    text = card_text(card, "metric").replace("\u202f", " ")
    assert "1. p85, 205 mm to 85 mm" in text
    assert "Stop at: blower speed 18 000 rpm" in text
    page = text_of(card_page(card, "metric", folders=True))
    for whole in (text, page):
        assert whole.count("stop at once at any knock") == 1
    for _, title in (*DAY, *PULL):
        assert title in page


def test_a_fifth_setup_finds_no_room_and_is_told(tmp_path: Path) -> None:
    """Four stand on one sheet of paper; the card says that there is one more."""
    made = sheet(tmp_path, LADDER + "  - {id: p72, blower_pulley: 72 mm}\n" + SESSION)
    card = card_of(made, made.plan)
    assert (len(card.steps), card.left) == (4, 1)
    assert "1 more setup found no room" in card_text(card, "metric")
    assert "1 more setup found no room" in text_of(card_page(card, "metric", folders=True))


def test_what_was_written_makes_a_session_that_checks(tmp_path: Path) -> None:
    """The command at the foot of the card, filled in, gives an archive without an error."""
    folder = write(tmp_path, LADDER + SESSION)
    filled = [
        "new", "session", "test-build", "--archive", str(folder), "--date", "2026-05-02",
        "--dyno", "hub", "--measured-at", "hub", "--figures", "observed", "--pressure", "98.2 kPa",
        "--barometer", "station", "--temperature", "18 degC", "--humidity", "60 %",
        "--note", "first warm day",
        "--pull", "p85: power 250 kW at 6300 rpm; torque 420 N m at 4200 rpm; boost 60 kPa",
    ]  # fmt: skip
    result = CliRunner().invoke(main, filled)
    assert result.exit_code == 0, result.output
    archive = read_archive(folder)
    assert [item for item in archive.findings if item.severity == "error"] == []
    added = archive.builds["test-build"].sessions[-1]
    assert added.air.temperature is not None
    assert added.pulls[0].peaks is not None
    assert added.pulls[0].peaks.power is not None
    wrong = CliRunner().invoke(main, [*filled[:-1], "p85: hours 3"])
    assert (wrong.exit_code, "is no peak" in wrong.output) == (2, True)
