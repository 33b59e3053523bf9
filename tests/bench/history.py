"""What an archive's past costs: git's part, a revision beside a sheet, a warm store, a difference.

The commits are written straight into git's own store, so that thousands take seconds.
"""

from __future__ import annotations

import re
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from specgen.archive.archive import read_archive
from specgen.past.diff import difference
from specgen.past.editions import edition_at
from specgen.past.past import Past
from specgen.publish.store.store import Store
from tests.archive.repository import begun, commit_all, git
from tests.bench import archives
from tests.bench.sheets import all_figures

#: Commits for each build of the archive.
EACH = 3
#: Builds that the last commits change, for the difference of two revisions.
_TEN = 10
_HUMIDITY = re.compile(r"humidity: [0-9.]+ %")


def measure(builds: int, folder: Path) -> dict[str, Any]:
    """Write an archive of so many builds and thrice the commits; time what asks for its past."""
    root = _written(folder / "shop", builds)
    archive = read_archive(root)
    store = Store(folder / "store")
    past = Past(archive, store)
    git_seconds = _seconds(lambda: past.states)
    states = sum(map(len, past.states.values()))
    found = list(archive.builds.values())
    cold = _seconds(lambda: [past.events(it) for it in found])
    warm_past = Past(archive, store)
    warm = _seconds(lambda: [warm_past.events(it) for it in found])
    sheet = _seconds(lambda: [all_figures(archive, it) for it in found[:_TEN]]) / _TEN
    changed = _seconds(
        lambda: difference(edition_at(root, "HEAD~1"), edition_at(root, "HEAD"), store)
    )
    return {
        "builds": builds,
        "commits": len(past.log),
        "states": states,
        "git_seconds": git_seconds,
        "seconds_a_revision": cold / max(states, 1),
        "seconds_a_sheet": sheet,
        "warm_seconds": warm,
        "diff_seconds": changed,
        "settings_change_states": builds,
    }


def _seconds(function: Any) -> float:
    start = time.perf_counter()
    function()
    return time.perf_counter() - start


def _written(shop: Path, builds: int) -> Path:
    """An archive in a repository: each build's humidity is read anew, and a blower once."""
    begun(shop)
    root = shop / "builds"
    archives.write(root, builds)
    commit_all(shop, "Take in all builds", "2020-01-01")
    names = sorted(it.parent.name for it in root.glob("*/build.yaml"))
    texts = {name: (root / name / "build.yaml").read_text("utf-8") for name in names}
    stream = "".join(_commits(names, texts, EACH * builds - 2))
    command = ["git", "-C", str(shop), "fast-import", "--quiet", "--force"]
    subprocess.run(command, input=stream.encode("utf-8"), check=True, capture_output=True)
    git(shop, "reset", "-q", "--hard", "main")
    for name in names[:_TEN]:
        file = root / name / "build.yaml"
        file.write_text(_HUMIDITY.sub("humidity: 91 %", file.read_text("utf-8")), "utf-8")
    commit_all(shop, "Read ten hygrometers again", "2026-01-01")
    return root


def _commits(names: list[str], texts: dict[str, str], count: int) -> Iterator[str]:
    """So many commits, one build after the other, as git's own importer reads them."""
    for number in range(count):
        name = names[number % len(names)]
        text = _HUMIDITY.sub(f"humidity: {20 + number % 61} %", texts[name])
        said = f"Read the hygrometer of {name} again"
        before = "from refs/heads/main^0\n" if number == 0 else ""
        yield (
            f"commit refs/heads/main\nmark :{number + 1}\n"
            f"author nobody <nobody@example.org> {1600000000 + number * 3600} +0000\n"
            f"committer nobody <nobody@example.org> {1600000000 + number * 3600} +0000\n"
            f"data {len(said.encode())}\n{said}\n{before}"
            f"M 100644 inline builds/{name}/build.yaml\n"
            f"data {len(text.encode())}\n{text}\n"
        )


def text(found: dict[str, Any]) -> str:
    """The measurements for a terminal."""
    return "\n".join([
        f"{found['builds']} builds, {found['commits']} commits, {found['states']} states of builds",
        f"  git's part of all histories {found['git_seconds']:.1f} s",
        f"  a revision {1000 * found['seconds_a_revision']:.0f} ms, all figures of a sheet "
        f"{1000 * found['seconds_a_sheet']:.0f} ms",
        f"  all histories again, warm {found['warm_seconds']:.1f} s",
        f"  difference of two revisions with {_TEN} builds changed {found['diff_seconds']:.1f} s",
        f"  a change of the settings gives every build one state more: "
        f"{found['settings_change_states']}",
    ])  # fmt: skip
