"""What the charge cooler has to take up, and how well a pull says that it does."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from specgen.analysis.rows.scope import Scope
from specgen.analysis.sheet import Sheet
from tests.analysis.small import BUILD, SESSION, sheet

COOLER = "charge_cooler: {kind: air-to-water, effectiveness: 70 %, coolant_temperature: 30 degC"
PULL = SESSION[: SESSION.index("      - ")] + "      - {setup: p80, curve: pulls/1.csv}\n"


def cooled(more: str = "}") -> str:
    """The small build with a cooler; `more` ends its mapping."""
    return BUILD.replace("{blower: test-blower,", f"{{blower: test-blower, {COOLER}{more},")


def planned(folder: Path, build: str) -> Scope:
    """The rows of the one setup."""
    return sheet(folder, build).setups[0].rows


def with_pull(folder: Path, columns: str, rows: list[str], build: str = "") -> Sheet:
    """The small build with one pull on its curve."""
    (folder / "test-build" / "pulls").mkdir(parents=True)
    text = "\n".join([f"engine speed [rpm],torque [N m],{columns}", *rows]) + "\n"
    (folder / "test-build" / "pulls" / "1.csv").write_text(text, encoding="utf-8")
    return sheet(folder, (build or cooled()) + PULL)


READINGS = ["2000,300,100,50", "4000,340,130,58", "6000,320,150,66"]
COLUMNS = "discharge temperature [degC],charge temperature [degC]"


def test_heat_follows_from_flow_and_temperatures(tmp_path: Path) -> None:
    """Q = m c_p (T_2 - T_3) at the highest speed, an estimate with its band and formula."""
    rows = planned(tmp_path, cooled())
    heat = rows["heat_to_reject_at_top"]
    drop = rows["discharge_temperature_at_top"].scalar - rows["charge_temperature_at_top"].scalar
    assert heat.scalar == pytest.approx(rows["air_flow_at_top"].scalar * 1005.0 * drop)
    assert heat.basis == "estimated"
    assert heat.expanded
    assert heat.formula is not None
    assert heat.formula.name == "charge.heat_to_reject"


def test_flow_and_temperature_move_together_in_the_heats_band(tmp_path: Path) -> None:
    """The heat's band is that of one calculation, not of three independent figures."""
    rows = planned(tmp_path, cooled())
    heat = rows["heat_to_reject_at_top"]
    parts = [rows[key] for key in ("air_flow_at_top", "discharge_temperature_at_top",
                                   "charge_temperature_at_top")]  # fmt: skip
    drop = parts[1].scalar - parts[2].scalar
    slopes = (1005.0 * drop, parts[0].scalar * 1005.0, -parts[0].scalar * 1005.0)
    roots = {root for part in parts for root in part.spread}
    due = np.sqrt(
        sum(
            sum(slope * float(part.spread.get(root, 0.0))
                for slope, part in zip(slopes, parts, strict=True)) ** 2
            for root in roots
        )
    )  # fmt: skip
    assert heat.uncertainty == pytest.approx(due, rel=0.01)


def test_water_warms_by_heat_over_flow(tmp_path: Path) -> None:
    """22 L/min of water take 1.53 kW for each kelvin (997 kg/m3, 4.18 kJ/(kg K), from memory)."""
    rows = planned(tmp_path, cooled(", coolant_flow: 22 L/min}"))
    rise = rows["coolant_rise_at_top"]
    assert rise.scalar == pytest.approx(rows["heat_to_reject_at_top"].scalar / 1528.1, rel=1e-3)
    assert rise.expanded
    assert rows["coolant_mass_flow"].scalar == pytest.approx(22 * 0.997 / 60)


def test_air_warms_more(tmp_path: Path) -> None:
    """The same flow of air as of water takes far less: 1.18 kg/m3 and 1.005 kJ/(kg K)."""
    build = cooled(", coolant_flow: 22 L/min}").replace("air-to-water", "air-to-air")
    rows = planned(tmp_path, build)
    ratio = rows["heat_to_reject_at_top"].scalar / rows["coolant_rise_at_top"].scalar
    assert ratio == pytest.approx(22e-3 / 60 * 1.18 * 1005.0)


@pytest.mark.parametrize(
    ("build", "heat", "rise"),
    [
        (BUILD, "no charge cooler", "no charge cooler"),
        (cooled(), "", "the coolant's flow is not recorded"),
        (
            cooled(", coolant_flow: 22 L/min}").replace("kind: air-to-water, ", ""),
            "",
            "what takes up the charge's heat, water or air, is not recorded",
        ),
    ],
    ids=["no cooler", "no flow", "no kind"],
)
def test_what_is_not_known_is_said(tmp_path: Path, build: str, heat: str, rise: str) -> None:
    """No cooler, no heat; no flow or no medium, no rise; each with its reason."""
    rows = planned(tmp_path, build)
    assert rows["heat_to_reject_at_top"].reason == heat
    assert rows["coolant_rise_at_top"].reason == rise


def test_effectiveness_is_measured_from_three_temperatures(tmp_path: Path) -> None:
    """(T_2 - T_3) / (T_2 - T_c) at each speed, and at peak power, with the coolant as stated."""
    rows = with_pull(tmp_path, COLUMNS, READINGS).pulls[0].rows
    curve = rows["effectiveness_curve"]
    assert curve.curve == pytest.approx([50 / 70, 72 / 100, 84 / 120])
    at_power = rows["measured_effectiveness"]
    assert at_power.scalar == pytest.approx(84 / 120)
    assert at_power.at is not None
    assert at_power.at.scalar == pytest.approx(100.0)
    # 2 K on each reading, 3 K on the coolant as stated: root of sums by hand, at 6000 rpm
    slopes = np.array([(66 - 30) / 120**2, -1 / 120, (150 - 66) / 120**2])
    due = float(np.hypot.reduce(slopes * [2, 2, 3]))
    assert at_power.uncertainty == pytest.approx(due, rel=1e-3)  # slopes by steps of 2 and 3 K


def test_a_coolant_that_was_read_stands_before_the_stated_one(tmp_path: Path) -> None:
    """A column of coolant temperature is what was there; the file's figure is what was meant."""
    rows = [f"{line},{coolant}" for line, coolant in zip(READINGS, (30, 40, 50), strict=True)]
    found = with_pull(tmp_path, f"{COLUMNS},coolant temperature [degC]", rows).pulls[0].rows
    assert found["effectiveness_curve"].curve == pytest.approx([50 / 70, 72 / 90, 84 / 100])
    assert found["measured_effectiveness"].scalar == pytest.approx(0.84)


@pytest.mark.parametrize(
    ("columns", "rows", "words"),
    [
        ("charge temperature [degC]", ["2000,300,50", "4000,340,58", "6000,320,66"],
         "blower discharge temperature was not recorded over speed"),
        (COLUMNS, ["2000,300,100,50", "4000,340,130,20", "6000,320,150,25"], "deny one another"),
        (COLUMNS, ["2000,300,25,50", "4000,340,130,58", "6000,320,150,66"], "above zero"),
    ],
    ids=["not read", "colder than the coolant", "colder before it"],
)  # fmt: skip
def test_what_cannot_be_is_said(tmp_path: Path, columns: str, rows: list[str], words: str) -> None:
    """No effectiveness without readings, or from readings that deny one another."""
    row = with_pull(tmp_path, columns, rows).pulls[0].rows["measured_effectiveness"]
    assert not row.present
    assert words in row.reason


def test_without_a_cooler_there_is_nothing_to_measure(tmp_path: Path) -> None:
    """Two temperatures alone are no effectiveness."""
    rows = with_pull(tmp_path, COLUMNS, READINGS, BUILD).pulls[0].rows
    assert rows["measured_effectiveness"].reason == "no charge cooler"
