"""What an archive keeps private is in no byte of what is published: the whole site is searched."""

from __future__ import annotations

import gzip
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from specgen.archive.archive import read_archive
from specgen.archive.editing.redacting import INSTEAD
from specgen.archive.published import published
from specgen.archive.starting.begin import begin
from specgen.cli import main
from specgen.findings import as_text
from specgen.publish.export import export
from specgen.publish.plugin import build_editions, build_site
from specgen.publish.site import Site

pytestmark = pytest.mark.slow

PICTURE = Path(__file__).parent.parent / "archive/good/everything/heron/pictures/front.png"

#: Every word that must not come out, as it stands in the files, in git or in a name.
SECRETS = ("quayside-ghost", "Ghost of the quay", "ghost-old", "SN-77q8", "ask the admiral",
           "hush", "2019-09-19", "777 kW", "behind closed", "777.25", "rear-axle", "the yard's own",
           "ghost.csv", "too loud", "77q8", "2018-08-08", "midnight sprint", "nobody saw",
           "dawn patrol")  # fmt: skip

GHOST = """format: 1
title: Ghost of the quay
publish: no
formerly: [ghost-old]
engine: {cylinders: 6, bore: 84 mm, stroke: 90 mm, max_speed: 6500 rpm}
induction: {blower: small-lobe}
drive: {crank_pulley: 160 mm, blower_pulley: 86.6 mm}
setups: [{id: p87, fuel: e10}]
sessions:
  - date: 2019-09-19
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    pulls: [{setup: p87, curve: pulls/ghost.csv}]
"""
CURVE = "engine speed [rpm],torque [N m]\n3000,400\n4000,450\n5000,777.25\n"

#: What is private in a build that is published, in the ways that somebody may write it.
OPEN = """# hush: for the owner's eyes
format: 1
title: Open six
summary: It says "# not a comment" and keeps that.
engine: {cylinders: 6, bore: 84 mm, stroke: 90 mm, max_speed: 6500 rpm}
induction: {blower: small-lobe}
drive: {crank_pulley: 160 mm, blower_pulley: 86.6 mm}
parts:
  - {item: crankshaft, serial: {text: SN-77q8, publish: no}, group: engine}  # hush
  - item: blower
    # hush hush
    serial:  # hush
      text: SN-77q8-B
      publish: no   # hush
    note: {publish: no, text: "the yard's own"}
  - {item: belt}
pictures:
  - {file: pictures/front.png, alt: Its front.}
  - {file: pictures/rear-axle.png, alt: The rear-axle., publish: no}
setups:
  - {id: p87, fuel: e10, note: {text: ask the admiral, publish: no}}
sessions:
  - date: 2025-05-14
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    air: {pressure: 99.1 kPa, barometer: station, temperature: 27 degC, humidity: 41 %}
    pulls:
      - {setup: p87, peaks: {power: 262 kW at 6400 rpm, boost: 71 kPa}}
      - {setup: p87, publish: no, peaks: {power: 777 kW at 6400 rpm}, note: too loud}
  # hush, the night shift
  - date: 2019-09-19
    publish: no
    dyno: {kind: engine, measured_at: flywheel}
    figures: observed
    note: behind closed doors
    pulls:
      - setup: p87
        peaks:
          power: 777 kW at 6400 rpm
outings:
  - {date: 2025-06-01, what: Measured mile, distance: 1609 m, time: 62.5 s, mass: 2100 kg,
     note: {text: dawn patrol, publish: no}}
  - date: 2018-08-08
    publish: no
    what: midnight sprint
    distance: 402.3 m
    time: 11.85 s
    mass: 1180 kg
    note: nobody saw
"""


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A started archive with a private build and an open one that keeps some things back."""
    folder = tmp_path_factory.mktemp("private") / "shop"
    begin(folder, "Shop", "metric", "iso-1585")
    ghost, open_six = (folder / "builds" / name for name in ("quayside-ghost", "open-six"))
    (ghost / "pulls").mkdir(parents=True)
    (ghost / "build.yaml").write_text(GHOST, encoding="utf-8")
    (ghost / "pulls" / "ghost.csv").write_text(CURVE, encoding="utf-8")
    (open_six / "pictures").mkdir(parents=True)
    (open_six / "build.yaml").write_text(OPEN, encoding="utf-8")
    for name in ("front", "rear-axle"):
        shutil.copy(PICTURE, open_six / "pictures" / f"{name}.png")
    for subject in ("Add quayside-ghost and open-six", "Note SN-77q8 of the crankshaft", "Tidy up"):
        with (open_six / "build.yaml").open("a", encoding="utf-8") as stream:
            stream.write(f"# hush: {subject}\n")
        git = ["git", "-c", "user.name=A", "-c", "user.email=a@example.org", "-C", str(folder)]
        subprocess.run([*git[:-2], "init", "-q", str(folder)], check=True)
        subprocess.run([*git, "add", "-A"], check=True)
        subprocess.run([*git, "commit", "-qm", subject], check=True)
    return folder


def leaks(folder: Path) -> Iterator[str]:
    """Each secret with the file whose name or bytes have it; packed files are unpacked."""
    for path in sorted(it for it in folder.rglob("*") if it.is_file()):
        data = path.read_bytes()
        data = gzip.decompress(data) if path.suffix == ".gz" else data
        for secret in SECRETS:
            if secret.encode() in data or secret in path.relative_to(folder).as_posix():
                yield f"{secret}: {path.relative_to(folder)}"


def test_archive_is_sound_and_its_secrets_are_there(workshop: Path) -> None:
    """The check reads private things like all others, and the search would find each of them."""
    archive = read_archive(workshop / "builds")
    assert archive.findings == (), as_text(archive.findings)
    texts = "".join([*archive.sources.values(), *archive.sources])
    assert [secret for secret in SECRETS if secret not in texts] == []


def test_no_published_byte_has_anything_private(workshop: Path) -> None:
    """Pages, search, data, scripts, pictures and the history are searched, every byte."""
    site = build_site(workshop / "mkdocs.yml")
    assert (site / "builds/open-six/index.html").is_file()
    assert (site / "search").is_dir()
    assert not (site / "builds/quayside-ghost").exists()
    assert list(leaks(site)) == []
    page = (site / "builds/open-six/index.html").read_text("utf-8")
    assert "Tidy up" in page
    assert page.count("A change whose description is not published") == 2
    pictures = {path.name for path in site.rglob("*.*") if "front" in path.name}
    assert pictures


def test_an_open_run_is_told_beside_a_private_one(workshop: Path) -> None:
    """What is published of the runs is the one that may be seen, without its note."""
    (open_six,) = [it for it in published(read_archive(workshop / "builds")).builds.values()
                   if it.id == "open-six"]  # fmt: skip
    assert [(it.what.value, it.note) for it in open_six.outings] == [("Measured mile", None)]


def test_no_exported_byte_has_anything_private(workshop: Path, tmp_path: Path) -> None:
    """The same pages for another site engine."""
    export(read_archive(workshop / "builds"), tmp_path / "pages")
    assert list(leaks(tmp_path)) == []


def test_no_earlier_edition_tells_what_is_private_now(workshop: Path, tmp_path: Path) -> None:
    """A tag of a day when nothing was private yet: what is private now is in none of its bytes."""
    shop = tmp_path / "shop"
    begin(shop, "Shop", "metric", "iso-1585")
    for name in ("quayside-ghost", "open-six"):
        shutil.copytree(workshop / "builds" / name, shop / "builds" / name)
        file = shop / "builds" / name / "build.yaml"
        bare = re.sub(r"(, )?publish: no(, )?", "", file.read_text("utf-8"))
        bare = re.sub(r"\{text: ([^{}]*)\}|\{text: ([^{}]*)\}", r"\1", bare)
        bare = bare.replace("    serial:  # hush\n      text: SN-77q8-B\n        # hush\n", "")
        file.write_text(re.sub(r"\n +#.*|\n\s*\n", "\n", bare), encoding="utf-8")
    git = ["git", "-c", "user.name=A", "-c", "user.email=a@example.org", "-C", str(shop)]
    subprocess.run([*git[:-2], "init", "-q", str(shop)], check=True)
    for tagged in (True, False):
        subprocess.run([*git, "add", "-A"], check=True)
        subprocess.run([*git, "commit", "-qm", "Go on"], check=True)
        if tagged:
            subprocess.run([*git, "tag", "2025/first"], check=True)
        for name in ("quayside-ghost", "open-six"):
            text = (workshop / "builds" / name / "build.yaml").read_text("utf-8")
            (shop / "builds" / name / "build.yaml").write_text(text, encoding="utf-8")
    site = build_editions(shop / "mkdocs.yml")
    (edition,) = (site / "editions").iterdir()
    assert (edition / "builds/first-build/index.html").is_file()
    assert list(leaks(site)) == []


def test_figures_are_those_of_an_archive_without_it(workshop: Path, tmp_path: Path) -> None:
    """Nothing is fitted to a private pull: scripts and shared pictures are those without it."""
    bare = OPEN.partition("      - {setup: p87, publish: no")[0]
    shutil.copytree(workshop / "builds", tmp_path / "builds")
    shutil.rmtree(tmp_path / "builds/quayside-ghost")
    (tmp_path / "builds/open-six/build.yaml").write_text(bare, encoding="utf-8")
    made = [
        {item.address: item.content for item in Site(read_archive(root / "builds")).items()}
        for root in (workshop, tmp_path)
    ]
    same = ("find/combos.js", "compare/builds.js", "builds/open-six/compare.js",
            "builds/open-six/share.png", "accuracy/index.md")  # fmt: skip
    for address in same:
        assert made[0][address] == made[1][address], address
    assert made[0].keys() == made[1].keys()


def test_lines_of_a_published_file_stay_in_their_places(workshop: Path) -> None:
    """The build's file is offered with its lines where they were, and reads as YAML."""
    archive = published(read_archive(workshop / "builds"))
    told = archive.sources["open-six/build.yaml"].split("\n")
    written = OPEN.split("\n")
    for number, line in enumerate(told[: len(written)]):
        assert INSTEAD in line or written[number].startswith(line.rstrip()), number + 1
    assert 'It says "# not a comment" and keeps that.' in "\n".join(told)


def test_a_build_that_cannot_be_read_stays_private(workshop: Path, tmp_path: Path) -> None:
    """A fault in a private build's file does not bring its errors, or its name, on a page."""
    shutil.copytree(workshop / "builds", tmp_path / "builds")
    file = tmp_path / "builds/quayside-ghost/build.yaml"
    for fault in (GHOST.replace("fuel: e10", "fuel: ["), GHOST.replace("84 mm", "84 mmm")):
        file.write_text(fault, encoding="utf-8")
        items = list(Site(read_archive(tmp_path / "builds")).items())
        assert not [it.address for it in items if "quayside" in f"{it.address} {it.content!r}"]


def test_private_build_is_shown_to_who_has_the_files(workshop: Path) -> None:
    """In the terminal its owner reads it like any other."""
    shown = CliRunner().invoke(
        main, ["show", "quayside-ghost", "--archive", str(workshop / "builds")]
    )
    assert "Ghost of the quay" in shown.output
