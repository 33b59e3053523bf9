"""What several commands share: options, exit codes, reading an archive, a bar that grows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from specgen import findings as layouts
from specgen import read
from specgen.units import UnitError, parse

if TYPE_CHECKING:
    from specgen.archive.model.build import Archive
    from specgen.results import BuildResults, Results

#: Exit codes: all is well; the data has findings; the command was used wrongly. 3 is an error that
#: nobody expected, which the group of all commands tells.
CLEAN, FINDINGS, USAGE = 0, 1, 2

#: Under this word a command's context remembers which build it is about.
ABOUT = "specgen.about"

#: From as many builds on, reading or drawing them may take longer than a second.
_WORTH_A_BAR = 5

ARCHIVE = click.Path(exists=True, file_okay=False, path_type=Path)


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


def format_option(*names: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Make the option that chooses a layout; the first one is the default."""
    return click.option(
        "--format",
        "layout",
        type=click.Choice(names),
        default=names[0],
        show_default=True,
        help="How the answer is laid out.",
    )


archive_option = click.option(
    "--archive", type=ARCHIVE, default="builds", show_default=True, help="Folder of the archive."
)


def opened(folder: Path) -> Results:
    """Read an archive, with a progress bar if it is large enough to take a moment."""
    with bar_of("Reading", kept(folder), "build.yaml") as tell:
        return read(folder, tell)


def kept(folder: Path) -> Path:
    """Give the folder of an archive; a usage error if it is none."""
    if not (folder / "archive.yaml").is_file():
        raise click.UsageError(
            f"{folder} holds no archive.yaml; name the folder that holds it, or make one: "
            "specgen init DIR"
        )
    return folder


def started(write: Callable[[], Path]) -> None:
    """Write or move something of an archive and say where it is; what is in the way is told."""
    from specgen.archive.starting.begin import StartError

    try:
        place = write()
    except StartError as problem:
        raise click.UsageError(str(problem)) from problem
    click.echo(f"{place}\nNext: specgen check")


def refuse_errors(context: click.Context, archive: Archive, about: str = "") -> None:
    """Print findings and stop if the settings have errors, or the files of one build."""
    concerned = ("archive.yaml", f"{about}/", "blowers/") if about else ("archive.yaml",)
    errors = [
        item
        for item in archive.findings
        if item.severity == "error" and item.place.file.startswith(concerned)
    ]
    if errors:
        click.echo(layouts.as_text(layouts.from_here(errors, Path(archive.root))), err=True)
        context.exit(FINDINGS)


def told(context: click.Context, faults: Sequence[layouts.Finding], folder: Path) -> None:
    """Print what keeps a build, or figures of it, from being there; the exit code says so too."""
    if faults:
        click.echo(layouts.as_text(layouts.from_here(faults, folder)), err=True)
        context.exit(FINDINGS)


def build_of(results: Results, name: str) -> BuildResults:
    """Find a build of an archive; a usage error with what to write where there is none."""
    if name not in results.builds:
        raise click.UsageError(_unknown_build(results.archive, name))
    click.get_current_context().meta[ABOUT] = name
    return results.builds[name]


def _unknown_build(archive: Archive, build: str) -> str:
    import difflib

    former = {old.value: new.id for new in archive.builds.values() for old in new.formerly}
    if build in former:
        return f'"{build}" is called "{former[build]}" now'
    near = difflib.get_close_matches(build, archive.builds, n=1)
    hint = f'did you mean "{near[0]}"?' if near else f"there are: {', '.join(archive.builds)}"
    return f'no build "{build}"; {hint}'


@contextmanager
def bar_of(label: str, folder: Path, counts: str) -> Iterator[Callable[[str], None]]:
    """Show a bar that grows with each build, on a terminal only.

    A step that ends in `counts` stands for one build of `folder`.
    """
    import sys

    total = len(list(folder.glob("*/build.yaml")))
    hidden = not sys.stderr.isatty() or total < _WORTH_A_BAR
    with click.progressbar(length=total, label=label, file=sys.stderr, hidden=hidden) as bar:
        yield lambda step: bar.update(int(step.endswith(counts) and step.count("/") >= 1))
