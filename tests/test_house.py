"""The house itself: floors, doors, sizes of rooms, lint and types."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "specgen"

#: Each room's floor; a room may import from its own floor and from those below.
FLOORS = {
    "physics": 0,
    "vocabulary": 0,
    "units": 0,
    "findings": 0,
    "failure": 0,
    "rounding": 0,
    "archive": 1,
    "analysis": 2,
    "results": 3,
    "past": 3,
    "publish": 4,
    "cli": 5,
}

#: The floor plan inside a room, lowest first; what stands together does not know of each other.
PLANS: dict[str, tuple[tuple[str, ...], ...]] = {
    "archive": (
        ("model",),
        ("phrases", "delimited"),
        ("reading",),
        ("format",),
        ("pictures", "past", "editing", "belts", "fitment"),
        ("starting", "importing"),
        ("checks",),
        ("archive", "published"),
    ),
    "analysis": (
        ("rows", "method"),
        ("words", "validation"),
        ("shapes",),
        ("burning",),
        ("estimate",),
        ("tables",),
        ("fit",),
        ("workings",),
        ("control_seen",),
        ("assembly",),
        ("judging", "record"),
        ("planning",),
        ("sheet", "accuracy_groups"),
        ("accuracy",),
    ),
    "publish": (
        ("addresses",),
        ("web", "typesetting", "delivery", "charts", "store"),
        ("share", "drawings", "terminal"),
        ("planned", "logged", "cards"),
        ("takeaway",),
        (
            *("blowers", "browse", "compare", "estimate", "find", "plan", "readings"),
            *("reference", "search", "sheet", "years"),
        ),
        ("making",),
        ("assets",),
        ("site",),
        ("engine",),
        ("export", "plugin", "bug_report"),
    ),
}

#: Libraries with one door: who may import them.
DOORS = {
    "yaml": ("archive/",),
    "jsonschema": ("archive/",),
    "PIL": ("archive/pictures.py", "publish/share/picture.py"),
    "matplotlib": ("publish/charts/papers/picture.py",),
    "mkdocs": ("publish/plugin.py", "publish/engine/"),
    "markdown": ("publish/engine/",),
    "scipy": ("physics/", "analysis/"),
    "jinja2": ("publish/",),
    "pandas": ("results.py",),
    "filelock": ("publish/delivery/lock.py",),
    "segno": ("publish/share/sharing.py",),
    "rjsmin": ("publish/web/bundles.py",),
    "rcssmin": ("publish/web/bundles.py",),
    "click": ("cli/",),
}

#: Rooms whose name says nothing.
NAMELESS = {"utils", "util", "helpers", "helper", "common", "core", "models", "manager", "misc"}

LONGEST_FILE = 400
#: Modules that a folder of code holds at most; physics is a plain list of rooms of formulas.
FULLEST, LISTS = {"specgen": 16, "tests": 18}, {"physics"}

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "pyproject.toml",
    "specgen",
    "builds",
    "site_src",
    "tests",
}


def sources() -> list[Path]:
    """Every Python file of the product."""
    return sorted(PACKAGE.rglob("*.py"))


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Line and full name of every module that a file imports, inside functions too."""
    for node in nodes(path):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.lineno, f"{node.module}.{alias.name}") for alias in node.names)


@cache
def nodes(path: Path) -> tuple[ast.AST, ...]:
    """All of a file's syntax, its module first; read and walked once for all tests."""
    return tuple(ast.walk(ast.parse(path.read_text("utf-8"))))


def proofs() -> list[Path]:
    """Every Python file of the tests."""
    return sorted((ROOT / "tests").rglob("*.py"))


def floor_of(parts: tuple[str, ...]) -> int | None:
    """The floor of a module, by the room it lies in; None for what has no floor."""
    return FLOORS.get(parts[1].removesuffix(".py")) if len(parts) > 1 else None


def broken_floors(path: Path) -> list[str]:
    """Imports of a file that lead upwards."""
    here = floor_of(("specgen", *path.relative_to(PACKAGE).parts))
    if here is None:
        return []
    broken = []
    for line, name in imports(path):
        there = floor_of(tuple(name.split("."))) if name.startswith("specgen.") else None
        if there is not None and there > here:
            broken.append(f"{path.relative_to(ROOT)}:{line} imports {name}, a floor above")
        in_physics = path.is_relative_to(PACKAGE / "physics")
        if in_physics and name.startswith("specgen.") and not name.startswith("specgen.physics"):
            broken.append(f"{path.relative_to(ROOT)}:{line}: physics imports {name}")
    return broken


def broken_doors(path: Path, package: Path = PACKAGE) -> list[str]:
    """Imports of a file of a library whose door is elsewhere."""
    inside = path.relative_to(package).as_posix()
    return [
        f"{inside}:{line} imports {name}; its door is {DOORS[library]}"
        for line, name in imports(path)
        if (library := name.split(".")[0]) in DOORS and not inside.startswith(DOORS[library])
    ]


def module(path: Path, package: Path = PACKAGE) -> str:
    """A file's full name as it is imported."""
    parts = ("specgen", *path.relative_to(package).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def arrows(paths: list[Path], package: Path = PACKAGE) -> dict[str, set[str]]:
    """Which modules each module imports, for types and inside functions too."""
    names = {module(path, package) for path in paths}
    found: dict[str, set[str]] = {}
    for path in paths:
        here = module(path, package)
        parts = [name.split(".") for _, name in imports(path) if name.startswith("specgen.")]
        wanted = {
            next((name for n in range(len(it), 1, -1) if (name := ".".join(it[:n])) in names), "")
            for it in parts
        }
        found[here] = wanted - {here, ""}
    return found


def circles(graph: dict[str, set[str]]) -> list[str]:
    """Modules that reach themselves by their imports, in the order of their names."""

    def reached(start: str) -> set[str]:
        seen: set[str] = set()
        todo = [*graph[start]]
        while todo:
            name = todo.pop()
            if name not in seen:
                seen.add(name)
                todo += graph.get(name, ())
        return seen

    return sorted(name for name in graph if name in reached(name))


def rooms_of(graph: dict[str, set[str]]) -> dict[str, dict[str, set[str]]]:
    """Each room with what lies directly in it, files and rooms, and what these need of the rest."""
    rooms = {name[: at.start()] for name in graph for at in re.finditer(r"\.", name)}
    found: dict[str, dict[str, set[str]]] = {}
    for room in sorted(rooms):
        depth = room.count(".") + 2
        parts: dict[str, set[str]] = {}
        for name, wanted in graph.items():
            if name.startswith(f"{room}."):
                own = ".".join(name.split(".")[:depth])
                beside = {
                    ".".join(it.split(".")[:depth]) for it in wanted if it.startswith(f"{room}.")
                }
                parts.setdefault(own, set()).update(beside - {own})
        found[room] = {part: {it for it in wanted if it in parts} for part, wanted in parts.items()}
    return found


def rank(name: str) -> tuple[str, str, int] | None:
    """Room, part of it and rank of a module of a room with a plan; None for any other."""
    parts = name.split(".")
    plan = PLANS.get(parts[1]) if len(parts) > 2 else None
    if plan is None:
        return None
    ranks = {part: number for number, row in enumerate(plan) for part in row}
    assert parts[2] in ranks, f"{name} stands on no floor of its room's plan"
    return parts[1], parts[2], ranks[parts[2]]


def upward(graph: dict[str, set[str]]) -> list[str]:
    """Imports inside a room that lead upwards, or across to what stands beside."""
    broken = []
    for name, wanted in graph.items():
        here = rank(name)
        for other in sorted(wanted) if here else ():
            there = rank(other)
            if here and there and here[0] == there[0] and here[1] != there[1]:
                broken += [f"{name} imports {other}"] if there[2] >= here[2] else []
    return broken


def test_no_circle_of_files() -> None:
    """No file needs itself to be read, by however long a way; imports for types count."""
    assert circles(arrows(sources())) == []


def test_no_circle_of_rooms() -> None:
    """What lies in a room, files and rooms alike, leads one way at every depth."""
    found = rooms_of(arrows(sources()))
    assert {room: circles(parts) for room, parts in found.items() if circles(parts)} == {}


def test_a_circle_of_rooms_without_one_of_files_is_seen() -> None:
    """Two rooms need each other although no two files do."""
    graph = {
        "specgen.publish.sheet.record.cam": {"specgen.publish.sheet.lead.words"},
        "specgen.publish.sheet.record.marks": set[str](),
        "specgen.publish.sheet.lead.page": {"specgen.publish.sheet.record.marks"},
        "specgen.publish.sheet.lead.words": set[str](),
    }
    assert circles(graph) == []
    assert circles(rooms_of(graph)["specgen.publish.sheet"]) == [
        "specgen.publish.sheet.lead",
        "specgen.publish.sheet.record",
    ]


def test_each_library_has_a_door() -> None:
    """Nothing comes in from outside beside what is listed, Python's own and the arrays."""
    known = {*DOORS, *sys.stdlib_module_names, "specgen", "numpy", "markupsafe"}
    strangers = {name.split(".")[0] for path in sources() for _, name in imports(path)} - known
    assert strangers == set()


def test_no_import_upwards_inside_a_room() -> None:
    """The floor plan inside archive, analysis and publish; so there is no circle of rooms."""
    assert upward(arrows(sources())) == []


def test_no_folder_is_crowded() -> None:
    """Past about sixteen modules a folder of code wants rooms within it."""
    counts: dict[str, int] = {}
    for path in [*sources(), *proofs()]:
        room = path.parent.relative_to(ROOT).as_posix()
        counts[room] = counts.get(room, 0) + (path.name != "__init__.py")
    assert {
        room: count
        for room, count in counts.items()
        if count > FULLEST[room.split("/")[0]] and room.split("/")[-1] not in LISTS
    } == {}


def test_a_circle_and_an_upward_import_are_seen(tmp_path: Path) -> None:
    """Put in by hand, for types only and inside a function: each is told."""
    files = {
        "analysis/rows/row.py": "def f():\n    from specgen.analysis.sheet import Sheet\n",
        "analysis/sheet.py": "from specgen.analysis.judging import ladder\n",
        "analysis/judging/ladder.py": (
            "from typing import TYPE_CHECKING\n"
            "if TYPE_CHECKING:\n    from specgen.analysis.sheet import Sheet\n"
        ),
        "publish/web/policy.py": "from specgen.publish.typesetting.page import trail\n",
        "publish/typesetting/page.py": "",
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    graph = arrows(sorted(tmp_path.rglob("*.py")), tmp_path)
    assert circles(graph) == ["specgen.analysis.judging.ladder", "specgen.analysis.sheet"]
    assert upward(graph) == [
        "specgen.analysis.judging.ladder imports specgen.analysis.sheet",
        "specgen.analysis.rows.row imports specgen.analysis.sheet",
        "specgen.publish.web.policy imports specgen.publish.typesetting.page",
    ]


def test_a_second_door_is_seen(tmp_path: Path) -> None:
    """A library imported beside its door is told, inside a function too."""
    probe = tmp_path / "analysis" / "fit" / "probe.py"
    probe.parent.mkdir(parents=True)
    probe.write_text("import scipy\ndef f():\n    import matplotlib.figure\n")
    assert ["matplotlib" in fault for fault in broken_doors(probe, tmp_path)] == [True]


def test_no_room_imports_from_a_floor_above() -> None:
    """Data goes one way: nothing imports upwards, physics imports nothing of the house."""
    assert [fault for path in sources() for fault in broken_floors(path)] == []


def test_each_library_has_one_door() -> None:
    """Only the room that owns a library imports it."""
    assert [fault for path in sources() for fault in broken_doors(path)] == []


def test_git_is_asked_in_one_room_only() -> None:
    """Only the archive's history starts git."""
    users = [
        path.relative_to(PACKAGE).as_posix()
        for path in sources()
        if any(name.split(".")[0] == "subprocess" for _, name in imports(path))
    ]
    assert users == ["archive/past/git.py"]


def test_floors_and_doors_are_really_watched(tmp_path: Path) -> None:
    """The readers above see an import in a function and know an upward one."""
    probe = tmp_path / "probe.py"
    probe.write_text("def f():\n    import yaml\n    from specgen.publish import site\n")
    assert [name for _, name in imports(probe)] == ["yaml", "specgen.publish.site"]
    assert floor_of(("specgen", "publish", "site")) == FLOORS["publish"]
    assert floor_of(("specgen", "units.py")) == 0


def test_no_file_outgrows_its_room() -> None:
    """A file past four hundred lines wants a second room."""
    long = {
        str(path.relative_to(ROOT)): count
        for path in sources()
        if (count := len(path.read_text("utf-8").splitlines())) > LONGEST_FILE
    }
    assert long == {}


def test_every_room_has_a_name_that_says_something() -> None:
    """No utils, helpers, common, core, models or manager."""
    assert [
        path for path in sources() if path.stem in NAMELESS or path.parent.name in NAMELESS
    ] == []


def test_every_module_and_test_says_what_it_is_for() -> None:
    """Each module of the product has a docstring; so has each test."""
    silent = [
        str(path.relative_to(ROOT)) for path in sources() if not ast.get_docstring(_tree(path))
    ]
    for path in proofs():
        silent += [
            f"{path.relative_to(ROOT)}:{node.lineno} {node.name}"
            for node in nodes(path)
            if isinstance(node, ast.FunctionDef)
            and node.name.startswith("test_")
            and not ast.get_docstring(node)
        ]
    assert silent == []


def _tree(path: Path) -> ast.Module:
    module = nodes(path)[0]
    assert isinstance(module, ast.Module)
    return module


def test_no_test_file_lends_to_another() -> None:
    """What two test files need lies in a room that both import, not in one of them."""
    lent = [
        f"{path.relative_to(ROOT)}:{line} imports {name}"
        for path in proofs()
        for line, name in imports(path)
        if name.startswith("tests.") and any(it.startswith("test_") for it in name.split("."))
    ]
    assert lent == []


def test_top_level_holds_what_the_house_lists() -> None:
    """Nothing but the listed files and folders, and hidden ones, is kept at the top."""
    listed = _run("git", "ls-files")
    if listed.returncode:
        pytest.skip("not a git checkout: the list of kept files is git's")
    names = {line.split("/")[0] for line in listed.stdout.splitlines()}
    assert {name for name in names if not name.startswith(".")} - TOP_LEVEL == set()


@pytest.mark.parametrize(
    "command",
    [
        ("ruff", "check", "--no-cache", "."),
        ("ruff", "format", "--check", "--no-cache", "."),
        pytest.param(("mypy",), marks=pytest.mark.slow),
    ],
    ids=["lint", "format", "types"],
)
def test_lint_and_types(command: tuple[str, ...]) -> None:
    """Ruff and mypy in their strict settings have nothing to say."""
    result = _run(sys.executable, "-m", *command)
    assert result.returncode == 0, result.stdout + result.stderr


def _run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
