"""`python -m tests.accuracy`: how well the product predicts what nobody has measured yet."""

from __future__ import annotations

import argparse
import json
import sys
from typing import Any

from tests.accuracy import choosing, groups, ladders, mistakes, typed
from tests.accuracy.batches import elsewhere, run_all
from tests.accuracy.elsewhere import BUILDS
from tests.accuracy.scores import summary, text

SEED = 20250514


def main(arguments: list[str] | None = None) -> int:
    """Run the test and print what came out; 0 whatever that is, 2 if asked wrongly."""
    parser = argparse.ArgumentParser(prog="python -m tests.accuracy", description=__doc__)
    parser.add_argument(
        "what", nargs="?", choices=("predictions", "mistakes", "ladders", "plan", "typed"),
        default="predictions", help="predictions against the truth, what is said first of mistakes "
        "of entry, ladders with a slipping last step, goals sought among pulleys, or engines typed "
        "without a pull"
    )  # fmt: skip
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--builds", type=int, default=200, help="how many to invent")
    parser.add_argument("--other-air", type=int, default=BUILDS, help="how many in other air")
    parser.add_argument("--seed", type=int, default=SEED, help="another archive, another number")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args(arguments)
    if min(asked.builds, asked.processes, asked.other_air) < 1 or asked.seed < 0:
        parser.error("at least one build and one process, and a seed that is not negative")
    if asked.what != "predictions":
        others: dict[str, tuple[Any, Any]] = {
            "mistakes": (mistakes.run, mistakes.text),
            "ladders": (ladders.judged, ladders.text),
            "plan": (choosing.judged, choosing.text),
            "typed": (typed.judged, typed.text),
        }
        judged, say = others[asked.what]
        told = judged(asked.seed)
        sys.stdout.write(
            (json.dumps(told, indent=2) if asked.format == "json" else say(told)) + "\n"
        )
        return 0
    found = summary(run_all(asked.builds, asked.seed, asked.processes), asked.seed)
    away = run_all(asked.other_air, asked.seed, asked.processes, elsewhere)
    found |= {"other_air": groups.other_air(away), "groups": groups.by_group(away)}
    words = "\n\n".join([text(found), groups.text(found["other_air"], found["groups"])])
    printed = json.dumps(found, indent=2) if asked.format == "json" else words
    sys.stdout.write(printed + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
