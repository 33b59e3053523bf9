"""The second simulator's laws against their limits, and that they are other laws."""

from __future__ import annotations

import ast
from collections import Counter
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from tests.accuracy.elsewhere import BUILDS, draw_elsewhere
from tests.accuracy.groups import FEWEST, marks
from tests.accuracy.judging import TEMPERATURES, Figure, Verdict, traits
from tests.generator import FUELS, Air, Setup, random_bench, random_truth, run
from tests.generator.laws import PLAIN, Laws
from tests.generator.truth import Cooler, Engine
from tests.rig import RIG
from tests.rig.breathing import gas_exchange, throttled
from tests.rig.clearance import gap_flow
from tests.rig.cooler import reach
from tests.rig.end_gas import MOST, delay, knock_by_delay, late_by_cosine

ENGINE = Engine(4, 0.086, 0.086, 9.0, 7000 / 60)
COOLER = Cooler(1.2, 0.2, 290.0, 1e9, 3e-3)


def test_no_law_knows_the_product() -> None:
    """No module of the second simulator imports specgen."""
    for path in sorted(Path(__file__).parent.glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        named = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
        named += [
            item.name
            for node in ast.walk(tree)
            if isinstance(node, ast.Import)
            for item in node.names
        ]
        assert not [name for name in named if name.split(".")[0] == "specgen"], path.name


def test_no_law_is_shared_with_the_first() -> None:
    """Breathing, leakage, cooler, knock and late spark are all other functions."""
    assert all(getattr(RIG, item.name) is not getattr(PLAIN, item.name) for item in fields(Laws))


def test_gas_exchange_fills_wholly_at_equal_pressures() -> None:
    """The ideal cycle's filling is one where exhaust and manifold agree, and rises with boost."""
    exhaust, manifold = np.array([100e3, 100e3]), np.array([100e3, 150e3])
    level, boosted = gas_exchange(ENGINE, manifold, exhaust)
    assert level == pytest.approx(1.0, abs=1e-12)
    assert 1.0 < boosted < ENGINE.compression_ratio / (ENGINE.compression_ratio - 1)


def test_valves_throttle_with_speed() -> None:
    """Next to nothing is lost at a crawl, more at speed, and less of it in hot air."""
    speed = np.array([1.0, 60.0, 116.0])
    cold, hot = (throttled(ENGINE, speed, np.full(3, t)) for t in (280.0, 380.0))
    assert cold[0] == pytest.approx(1.0, abs=1e-3)
    assert np.all(np.diff(cold) < 0)
    assert np.all(hot[1:] > cold[1:])


def test_gap_passes_with_four_sevenths() -> None:
    """Twice the difference of the squared pressures passes 2^(4/7) as much; level passes none."""
    low, hot = np.array([100e3]), np.array([350.0])
    once = gap_flow(low, np.sqrt(low**2 + 1e10), hot)
    twice = gap_flow(low, np.sqrt(low**2 + 2e10), hot)
    assert twice / once == pytest.approx(2 ** (4 / 7))
    assert gap_flow(low, low, hot) == pytest.approx(0.0)


def test_cooler_reaches_its_limit_with_much_coolant() -> None:
    """With coolant without end the reach is 1 - exp(-N) of any cooler; it falls with flow."""
    flow = np.array([0.2, 0.3])
    found = reach(COOLER, flow)
    assert found[0] == pytest.approx(1 - np.exp(-1.15 * 1.2), rel=2e-3)
    assert found[1] < found[0]


def test_end_gas_delay_is_as_printed() -> None:
    """At 100 octane, 40 atmospheres and 900 K: 17.68 ms 40^-1.7 exp(3800/900) = 2.28 ms."""
    found = delay(np.array([100.0]), np.array([40 * 101325.0]), np.array([900.0]))
    assert found == pytest.approx(2.28e-3, rel=5e-3)


def test_spark_is_taken_back_by_heat_and_not_from_methanol() -> None:
    """A hot charge on petrol knocks, a cold one on methanol does not; late spark costs work."""
    speed, pressure = np.array([60.0]), np.array([180e3])
    petrol, methanol = (Setup(FUELS[name], 0.85) for name in ("petrol-95", "methanol"))
    cool, hot = (
        knock_by_delay(ENGINE, petrol, speed, pressure, np.array([t])) for t in (320.0, 390.0)
    )
    assert cool[0] < hot[0] <= MOST
    assert knock_by_delay(ENGINE, methanol, speed, pressure, np.array([320.0])) == 0
    assert late_by_cosine(np.array([0.0, 10.0])) == pytest.approx([1.0, 0.956], abs=1e-3)


def test_sweep_is_an_engine_and_another_one() -> None:
    """By either set of laws an engine runs; boost differs, if not by more than a third."""
    rng = np.random.default_rng(1)
    truth = random_truth(rng, "lobe")
    setup = Setup(FUELS["e50"], 0.85, 0.15, 0.085)
    plain, other = (
        run(truth, setup, Air(), np.random.default_rng(2), random_bench(truth), laws)
        for laws in (PLAIN, RIG)
    )
    ratio = other.true["manifold_pressure"] / plain.true["manifold_pressure"]
    assert np.max(np.abs(ratio - 1)) > 5e-3
    assert np.max(np.abs(ratio - 1)) < 0.33


def test_groups_are_as_large_as_they_must_be() -> None:
    """Kind, air, fuel and cooler go round so that each group of the whole set has its builds."""
    drawn = [draw_elsewhere(1, number) for number in (0, 5, 18, 67)]
    known = [traits(case) for case in drawn]
    assert [item["blower"] for item in known] == ["lobe", "screw", "vane", "centrifugal"]
    assert [item["air"] for item in known] == [
        "hot and dry", "humid", "hot and dry", "hot and dry"
    ]  # fmt: skip
    assert [item["fuel family"] for item in known] == [
        "petrol", "petrol", "half ethanol", "petrol"
    ]  # fmt: skip
    assert [item["cooler"] for item in known] == ["cooled", "cooled", "cooled", "no cooler"]
    assert BUILDS >= 800
    for parts in (1, 4, 16):
        sizes = Counter(number // parts % 4 for number in range(BUILDS))
        assert min(sizes.values()) >= FEWEST


def test_marks_count_misses_against_half_the_band() -> None:
    """Misses of half the band are z of one; a speed without a prediction counts as missed."""
    width = np.full(4, 0.02)
    even = Figure(np.array([0.01, -0.01, 0.01, -0.01]), width, np.ones(4, dtype=np.bool_))
    warm = dict.fromkeys(TEMPERATURES, even)
    verdict = Verdict("three", 1, {}, even, even, 3, frozenset(), warm)
    found = marks([verdict])
    assert found["rms_z_power"] == pytest.approx(1.0)
    assert found["bias_power"] == pytest.approx(0.0)
    assert found["coverage_power"] == 1
    gone = Figure(np.full(4, np.nan), np.full(4, np.nan), np.zeros(4, dtype=np.bool_))
    half = marks([verdict, replace(verdict, power=gone)])
    assert half["coverage_power"] == pytest.approx(0.5)
    assert half["without_prediction_power"] == pytest.approx(0.5)
