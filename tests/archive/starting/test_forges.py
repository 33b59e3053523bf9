"""What a started archive brings for editors, git and forges: valid, and only what there is."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from importlib.metadata import Distribution
from pathlib import Path

import click
import pytest
import yaml
from click.testing import CliRunner

from specgen.archive.format.schema import SCHEMA_NAMES
from specgen.archive.starting import begin as starting
from specgen.archive.starting.begin import FILES, begin, source
from specgen.cli import main
from tests.archive.repository import begun, commit_all

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parent.parent.parent.parent
#: Each forge's file, with the schema that the validator carries for it.
FORGES = {
    ".github/workflows/site.yml": "vendor.github-workflows",
    ".gitlab-ci.yml": "vendor.gitlab-ci",
}
_COMMAND = re.compile(r"(?:^|[`>]|- run: |- |exec )\s*(specgen [a-z][^`\n#]*)", re.MULTILINE)


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A started archive."""
    folder = tmp_path_factory.mktemp("forges") / "shop"
    begin(folder, "Shop", "metric", "iso-1585", "https://shop.example/")
    return folder


@pytest.mark.parametrize("file", FORGES)
def test_workflows_are_valid_for_their_forges(file: str, started: Path) -> None:
    """`check-jsonschema` finds nothing, by the schema that it carries for that forge."""
    command = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", FORGES[file]]
    checked = subprocess.run(
        [*command, str(started / file)], capture_output=True, text=True, check=False
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr
    broken = started / "broken.yml"
    broken.write_text((started / file).read_text("utf-8").replace("script:", "scrpit:").replace(
        "runs-on: ubuntu-latest", "runs-on: [1]"), "utf-8")  # fmt: skip
    refused = subprocess.run([*command, str(broken)], capture_output=True, check=False)
    assert refused.returncode == 1


@pytest.mark.parametrize("file", FORGES)
def test_workflows_fetch_the_whole_history(file: str, started: Path) -> None:
    """Sheets show it; a forge fetches the last commits only unless it is told otherwise."""
    text = (started / file).read_text("utf-8")
    assert re.search(r'(fetch-depth: 0|GIT_DEPTH: "0")', text)
    assert yaml.safe_load(text)


@pytest.fixture
def reviewed(started: Path, tmp_path: Path) -> Path:
    """A started archive in git, with one change of a figure upon its first commit."""
    shop = tmp_path / "shop"
    shutil.copytree(started, shop)
    begun(shop)
    commit_all(shop, "Start the archive")
    build = shop / "builds/first-build/build.yaml"
    text = build.read_text("utf-8")
    assert "humidity: 41 %" in text
    build.write_text(text.replace("humidity: 41 %", "humidity: 95 %"), "utf-8")
    commit_all(shop, "The hygrometer read too low")
    return shop


def _run(script: str, shop: Path, **more: str) -> None:
    """Run a forge's step as its shell does, with our command and a `curl` that notes its words."""
    tools = shop.parent / "tools"
    tools.mkdir(exist_ok=True)
    for name, does in {
        "specgen": f'exec {sys.executable} -c "from specgen.cli import main; main()" "$@"',
        "curl": f'printf "%s\\n" "$@" > {shop.parent}/posted',
    }.items():
        (tools / name).write_text(f"#!/bin/sh\n{does}\n", "utf-8")
        (tools / name).chmod(0o755)
    around = {"PATH": f"{tools}:{os.environ['PATH']}", "PYTHONPATH": str(ROOT)}
    command = ["bash", "-e", "-o", "pipefail", "-c", script]
    subprocess.run(command, cwd=shop, env=os.environ | around | more, check=True)


@pytest.mark.parametrize("before", ["HEAD^1", "0" * 40])
def test_what_changes_in_results_is_posted_on_github(before: str, reviewed: Path) -> None:
    """The step writes it for the summary and for the job that comments; a lost base is no fault."""
    jobs = yaml.safe_load((reviewed / ".github/workflows/site.yml").read_text("utf-8"))["jobs"]
    (step,) = [it for it in jobs["check"]["steps"] if "specgen diff" in it.get("run", "")]
    assert "HEAD^1" in step["env"]["BEFORE"]
    summary = reviewed.parent / "summary"
    _run(step["run"], reviewed, BEFORE=before, GITHUB_STEP_SUMMARY=str(summary))
    told = (reviewed / "results.md").read_text("utf-8")
    assert summary.read_text("utf-8") == told
    assert ("| Power, corrected |" in told) == (before == "HEAD^1")
    handed = {it["with"]["path"] for it in jobs["check"]["steps"]
              if it.get("uses", "").startswith("actions/upload-artifact")}  # fmt: skip
    assert handed == {"results.md"}
    assert "--body-file results.md" in jobs["comment"]["steps"][-1]["run"]
    assert jobs["comment"]["permissions"] == {"pull-requests": "write"}
    assert not any("specgen" in it.get("run", "") for it in jobs["comment"]["steps"])


@pytest.mark.parametrize("token", ["", "secret"])
def test_what_changes_in_results_is_posted_on_gitlab(token: str, reviewed: Path) -> None:
    """In the log and as a file always; as a comment where the project has a token for it."""
    script = yaml.safe_load((reviewed / ".gitlab-ci.yml").read_text("utf-8"))["check"]["script"]
    at = next(i for i, it in enumerate(script) if "specgen diff" in it)
    _run("\n".join(script[at:]), reviewed, REVIEW_TOKEN=token, CI_MERGE_REQUEST_IID="7",
         CI_PROJECT_ID="3", CI_API_V4_URL="https://forge.example/api/v4",
         CI_MERGE_REQUEST_DIFF_BASE_SHA="HEAD~1")  # fmt: skip
    assert "| Power, corrected |" in (reviewed / "results.md").read_text("utf-8")
    posted = reviewed.parent / "posted"
    assert posted.exists() == bool(token)
    if token:
        words = posted.read_text("utf-8").split("\n")
        assert "https://forge.example/api/v4/projects/3/merge_requests/7/notes" in words
        assert "body@results.md" in words


def commands(text: str) -> Iterator[list[str]]:
    """Every command of ours in a text, as words."""
    for found in _COMMAND.findall(text):
        words = re.findall(r'"[^"]*"|\S+', found.strip())
        yield [word.strip('"') for word in re.split(r"\s{2,}", found.strip())[0].split()] or words


def test_only_commands_that_there_are_are_called(started: Path) -> None:
    """Workflows, hook, README and guides: each command exists, and each of its options."""
    called = 0
    for file in FILES:
        for words in commands((started / file).read_text("utf-8")):
            command: click.Command | None = main
            names = iter(words[1:])
            while isinstance(command, click.Group):
                name = next(names)
                command = command.get_command(click.Context(command), name)
                assert command is not None, f"{file}: {' '.join(words)}"
            assert command is not None
            known = {name for it in command.params for name in it.opts} | {"--help"}
            asked = {word for word in names if word.startswith("--")}
            assert asked <= known, f"{file}: {' '.join(words)}"
            called += 1
    assert called > 20


def test_hook_checks_and_can_be_run(started: Path) -> None:
    """Git runs it, if it may be run; it is the check, by the name that git asks for."""
    hook = started / ".githooks/pre-commit"
    assert os.access(hook, os.X_OK)
    assert "specgen check --fail-on error" in hook.read_text("utf-8")
    assert "core.hooksPath .githooks" in (started / "README.md").read_text("utf-8")


def test_editor_knows_the_schema_of_every_file(started: Path) -> None:
    """Each schema is named with the files it is for; they are there and match."""
    settings = json.loads((started / ".vscode/settings.json").read_text("utf-8"))
    schemas = settings["yaml.schemas"]
    assert len(schemas) == len(SCHEMA_NAMES)
    for schema, files in schemas.items():
        assert (started / schema).is_file()
        assert list(started.glob(files)), files


def test_address_is_written_where_it_is_told(started: Path, tmp_path: Path) -> None:
    """Told, it stands in the settings; else a comment says what to write."""
    told = yaml.safe_load((started / "mkdocs.yml").read_text("utf-8"))
    assert told["site_url"] == "https://shop.example/"
    begin(tmp_path / "other", "Shop", "metric", "none")
    settings = yaml.safe_load((tmp_path / "other/mkdocs.yml").read_text("utf-8"))
    assert "site_url" not in settings
    result = CliRunner().invoke(main, ["init", str(tmp_path / "third"), "--yes"])
    assert "site_url" in result.output
    wrong = CliRunner().invoke(main, ["init", str(tmp_path / "x"), "--yes", "--site-url", "shop"])
    assert (wrong.exit_code, "https://workshop.example/" in wrong.output) == (2, True)


@pytest.mark.parametrize(
    ("origin", "line"),
    [
        (None, "specgen==9.9"),
        ('{"url": "file:///home/a/specgen.whl", "archive_info": {}}', "specgen==9.9"),
        (
            '{"url": "https://forge.example/a/specgen.git", "vcs_info": {"vcs": "git", '
            '"commit_id": "abc123"}}',
            "specgen @ git+https://forge.example/a/specgen.git@abc123",
        ),
        (
            '{"url": "https://files.example/specgen-9.9.whl", "archive_info": {}}',
            "specgen @ https://files.example/specgen-9.9.whl",
        ),
    ],
)
def test_forges_install_what_is_installed_here(
    origin: str | None, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By PEP 610: the same commit or file where others can reach it, else the same release."""

    class Installed(Distribution):
        def read_text(self, filename: str) -> str | None:
            return origin if filename == "direct_url.json" else "Name: specgen\nVersion: 9.9\n"

        def locate_file(self, path: object) -> Path:
            return Path(str(path))

    monkeypatch.setattr(starting, "distribution", lambda _name: Installed())
    assert source() == line


def test_guides_of_the_site_are_those_of_a_started_archive(started: Path) -> None:
    """Their text stands once: the site's folder of guides is the very one that init copies."""
    guides = ROOT / "site_src/pages/guides"
    named = {Path(name).name for name in FILES if name.startswith("pages/guides/")}
    assert {path.name for path in guides.iterdir()} == named
    for name in named:
        written = (started / "pages/guides" / name).read_text("utf-8")
        assert written == (guides / name).read_text("utf-8")
