"""`python -m tests.accuracy`: how well the product predicts what nobody has measured yet."""

from __future__ import annotations

import argparse
import json
import sys

from tests.accuracy.batches import run_all
from tests.accuracy.scores import summary, text

SEED = 20250514


def main(arguments: list[str] | None = None) -> int:
    """Run the test and print what came out; 0 whatever that is, 2 if asked wrongly."""
    parser = argparse.ArgumentParser(prog="python -m tests.accuracy", description=__doc__)
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--builds", type=int, default=200, help="how many to invent")
    parser.add_argument("--seed", type=int, default=SEED, help="another archive, another number")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args(arguments)
    if asked.builds < 1 or asked.processes < 1 or asked.seed < 0:
        parser.error("at least one build and one process, and a seed that is not negative")
    found = summary(run_all(asked.builds, asked.seed, asked.processes), asked.seed)
    printed = json.dumps(found, indent=2) if asked.format == "json" else text(found)
    sys.stdout.write(printed + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
