"""The commands. Thin: each reads its options, calls one room, prints, and exits 0, 1 or 2.

Heavy imports stand inside the commands, so that `specgen --help` and `specgen air` are quick.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from specgen import findings as layouts
from specgen.units import UnitError, parse

if TYPE_CHECKING:
    from specgen.archive.model.build import Archive

#: Exit codes: all is well; the data has findings; the command was used wrongly.
CLEAN, FINDINGS, USAGE = 0, 1, 2

#: From as many builds on, reading or drawing them may take longer than a second.
_WORTH_A_BAR = 5

_ARCHIVE = click.Path(exists=True, file_okay=False, path_type=Path)


class Quantity(click.ParamType):
    """An option that is a number with its unit."""

    def __init__(self, kind: str) -> None:
        self.kind = kind
        self.name = kind

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read the text; what is wrong becomes a usage error with what to write."""
        try:
            return parse(str(value), self.kind)
        except UnitError as problem:
            self.fail(f"{problem}; expected {problem.expected}; {problem.hint}", param, ctx)


class Examples(click.Command):
    """A command whose help ends with examples, printed as they are typed."""

    def __init__(self, *args: object, examples: tuple[str, ...] = (), **more: object) -> None:
        super().__init__(*args, **more)  # type: ignore[arg-type]
        self.examples = examples

    def format_epilog(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's signature
        formatter: click.HelpFormatter,
    ) -> None:
        """Print the examples, each on a line of its own."""
        with formatter.section("Examples"):
            for example in self.examples:  # not wrapped, so that they can be copied
                formatter.write(f"  {example}\n")


def _format_option(*names: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    return click.option(
        "--format",
        "layout",
        type=click.Choice(names),
        default=names[0],
        show_default=True,
        help="How the answer is laid out.",
    )


_archive_option = click.option(
    "--archive", type=_ARCHIVE, default="builds", show_default=True, help="Folder of the archive."
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="specgen")
def main() -> None:
    """Build sheets for supercharged engines: YAML in git, checked, calculated, published."""


@main.command(
    cls=Examples,
    examples=(
        "specgen check",
        "specgen check my-archive --format json",
        "specgen check --format annotations",
    ),
)
@click.argument("archive", type=_ARCHIVE, default="builds")
@_format_option("text", "json", "annotations")
@click.pass_context
def check(context: click.Context, archive: Path, layout: str) -> None:
    """Check an archive and report everything that is wrong or doubtful.

    Exit code 0 if nothing was found, 1 if something was, 2 if the command was used wrongly.
    """
    read = _read(archive)
    show = {"text": layouts.as_text, "json": layouts.as_json, "annotations": layouts.as_annotations}
    click.echo(show[layout](read.findings))
    context.exit(FINDINGS if read.findings else CLEAN)


@main.command(
    cls=Examples,
    examples=(
        "specgen show lark-hydroplane",
        "specgen show lark-hydroplane --units imperial",
        "specgen show lark-hydroplane --format json",
    ),
)
@click.argument("build")
@_archive_option
@click.option(
    "--units",
    type=click.Choice(["metric", "imperial"]),
    help="Units to print; the archive's own unless given.",
)
@click.option("--all", "everything", is_flag=True, help="Also print what is not there, and why.")
@_format_option("text", "json")
@click.pass_context
def show(
    context: click.Context,
    build: str,
    archive: Path,
    units: str | None,
    everything: bool,
    layout: str,
) -> None:
    """Print the sheet of one BUILD, named by its folder."""
    from specgen.analysis.sheet import sheet_of
    from specgen.publish.sheet.data import sheet_json
    from specgen.publish.terminal import sheet_text

    read = _read(archive)
    _refuse_errors(context, read, about=build)
    if build not in read.builds:
        raise click.UsageError(_unknown_build(read, build))
    sheet = sheet_of(read, read.builds[build])
    if layout == "json":
        click.echo(sheet_json(read, sheet).rstrip("\n"))
    else:
        click.echo(sheet_text(sheet, units or read.settings.units.value, everything=everything))


@main.command(
    cls=Examples,
    examples=(
        "specgen site",
        "specgen site --serve",
        "specgen site --config docs/mkdocs.yml --strict",
    ),
)
@click.option(
    "--config",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    default="site_src/mkdocs.yml",
    show_default=True,
    help="The site's mkdocs.yml.",
)
@click.option("--serve", is_flag=True, help="Preview; rebuild when YAML, CSV or a page changes.")
@click.option("--address", default="127.0.0.1:8000", show_default=True, help="Where to preview.")
@click.option("--strict", is_flag=True, help="Stop on warnings too.")
@click.pass_context
def site(context: click.Context, config: Path, serve: bool, address: str, strict: bool) -> None:
    """Build the site, or preview it with --serve."""
    from specgen.publish import plugin

    try:
        if serve:
            plugin.serve_site(config, strict=strict, progress=click.echo, address=address)
            return
        with _bar("Building the site", plugin.archive_of(config), "/index.md") as tell:
            folder = plugin.build_site(config, strict=strict, progress=_quiet, pages=tell)
    except plugin.SiteError as problem:
        click.echo(str(problem), err=True)
        context.exit(FINDINGS)
    click.echo(f"The site is built. Open {(folder / 'index.html').absolute().as_uri()}")
    click.echo("To look at it as it will be served, with search: specgen site --serve")


@main.command(cls=Examples, examples=("specgen export /tmp/pages",))
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@_archive_option
@click.pass_context
def export(context: click.Context, folder: Path, archive: Path) -> None:
    """Write the pages as Markdown with their assets to FOLDER, for any other site engine."""
    from specgen.publish import export as exporting
    from specgen.publish.delivery.lock import Busy
    from specgen.publish.delivery.targets import Refused

    read = _read(archive)
    _refuse_errors(context, read)
    try:
        with _bar("Writing pages", archive, "/index.md") as tell:
            count = exporting.export(read, folder, tell)
    except OSError as problem:
        raise click.UsageError(f"{folder} cannot be written: {problem.strerror}") from problem
    except (Refused, Busy) as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(f"{count} files in {folder}. Build them with: mkdocs build -f {folder}/mkdocs.yml")


@main.command(
    cls=Examples,
    examples=(
        'specgen air --pressure "101.325 kPa" --temperature "20 degC" --humidity "50 %"',
        'specgen air --pressure "30.1 inHg" --temperature "71 degF" --humidity "40 %" \\',
        '    --barometer sea-level --elevation "600 m" --format json',
    ),
)
@click.option("--pressure", required=True, type=Quantity("absolute pressure"), help="Barometer.")
@click.option("--temperature", required=True, type=Quantity("temperature"), help="Inlet air.")
@click.option("--humidity", required=True, type=Quantity("fraction"), help="Relative humidity.")
@click.option("--elevation", type=Quantity("length"), help="Elevation of the station.")
@click.option(
    "--barometer",
    type=click.Choice(["station", "sea-level"]),
    default="station",
    show_default=True,
    help="Whether the pressure is the station's, or reduced to sea level.",
)
@_format_option("text", "json")
def air(
    pressure: float,
    temperature: float,
    humidity: float,
    elevation: float | None,
    barometer: str,
    layout: str,
) -> None:
    """Density, dry pressure and every standard's correction factor for the air of a test."""
    from specgen.publish.terminal import air_figures, air_text

    if barometer == "sea-level" and elevation is None:
        raise click.UsageError(
            'a barometer reduced to sea level needs the elevation; add --elevation "600 m"'
        )
    try:
        figures = air_figures(
            pressure, temperature, humidity, elevation if barometer == "sea-level" else None
        )
    except ValueError as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(json.dumps(figures, indent=2) if layout == "json" else air_text(figures))


def _read(folder: Path) -> Archive:
    """Read an archive, with a progress bar if it is large enough to take a moment."""
    from specgen.archive.archive import read_archive

    if not (folder / "archive.yaml").is_file():
        raise click.UsageError(
            f"{folder} holds no archive.yaml; name the folder that holds it, or make one"
        )
    with _bar("Reading", folder, "build.yaml") as tell:
        return read_archive(folder, tell)


def _refuse_errors(context: click.Context, read: Archive, about: str = "") -> None:
    """Print findings and stop if there are errors; for one build, only if its own files have."""
    errors = [item for item in read.findings if item.severity == "error"]
    if about:
        general = ("archive.yaml", "blowers/")
        errors = [item for item in errors if item.place.file.startswith((f"{about}/", *general))]
    if errors:
        click.echo(layouts.as_text(errors), err=True)
        context.exit(FINDINGS)


def _unknown_build(read: Archive, build: str) -> str:
    import difflib

    former = {old.value: new.id for new in read.builds.values() for old in new.formerly}
    if build in former:
        return f'"{build}" is called "{former[build]}" now'
    near = difflib.get_close_matches(build, read.builds, n=1)
    hint = f'did you mean "{near[0]}"?' if near else f"there are: {', '.join(read.builds)}"
    return f'no build "{build}"; {hint}'


def _quiet(message: str) -> None:
    """Pass on warnings and errors of the site engine, nothing else."""
    if message.startswith(("warning: ", "error: ")):
        click.echo(message, err=True)


@contextmanager
def _bar(label: str, folder: Path, counts: str) -> Iterator[Callable[[str], None]]:
    """Show a bar that grows with each build, on a terminal only.

    A step that ends in `counts` stands for one build of `folder`.
    """
    import sys

    total = len(list(folder.glob("*/build.yaml")))
    hidden = not sys.stderr.isatty() or total < _WORTH_A_BAR
    with click.progressbar(length=total, label=label, file=sys.stderr, hidden=hidden) as bar:
        yield lambda step: bar.update(int(step.endswith(counts) and step.count("/") >= 1))
