"""The commands. Thin: each reads its options, calls one room, prints, and exits 0, 1, 2 or 3.

A command's module is imported when the command is called, and heavy rooms inside the command, so
that `specgen --help` and `specgen air` are quick.
"""

from __future__ import annotations

import errno
import importlib
import shlex
from typing import Any

import click

from specgen import failure
from specgen.cli.letters import speak_plainly

#: Each command's module, which has it under its module's name, and what the list of commands says
#: of it: that stands here, so that the list imports none of them.
COMMANDS = {
    "air": ("results.air", "What the air of a test means: density and every standard's factor."),
    "card": ("results.card", "What to run at the dyno, where to stop, what to write down."),
    "chart": ("results.chart", "One chart of a build as a picture file."),
    "check": ("files.check", "Everything that is wrong or doubtful in an archive."),
    "diff": ("results.diff", "What changed in results between two revisions, or two methods."),
    "export": ("publishing.export", "The pages as Markdown with assets, for other site engines."),
    "fits": ("results.fits", "What a blower bolts to: the archive's engines, or one described."),
    "import": ("files.importing", "A dyno's exports into a build, any text with delimiters."),
    "init": ("files.init", "A new archive with its site, ready to check and build."),
    "keep": ("files.keep", "The figures of all builds, for a later version to be compared with."),
    "migrate": ("files.migrate", "Files of an older format in the newest one."),
    "new": ("files.new", "A new build or blower, or a session of a build."),
    "plan": ("results.plan", "The drive of a build: every pulley pair, and the one for a goal."),
    "rename": ("files.rename", "Another id for a build; its old links keep working."),
    "report": ("files.report", "One build with its findings, packed for a bug report."),
    "schema": ("files.schema", "The schemas, for an editor that completes YAML."),
    "show": ("results.show", "The sheet of one build."),
    "site": ("publishing.site", "Build the site, or preview it with --serve."),
}

#: The exit code of an error that nobody expected; see `options` for the others.
FAILED = 3
_TRACEBACK = "--traceback"


class _Lazy(click.Group):
    """A group that imports a command when it is asked for, and tells what nobody expected."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Take `--traceback` wherever it stands, and remember what was asked for."""
        before, mark, after = _parted(args)
        ctx.meta[_TRACEBACK] = _TRACEBACK in before
        kept = [word for word in before if word != _TRACEBACK]
        ctx.meta["asked"] = [*kept, *mark, *after]
        return super().parse_args(ctx, ctx.meta["asked"])

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; an unexpected error is told in a sentence, with exit code 3."""
        speak_plainly()
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except Exception as problem:
            if isinstance(problem, OSError) and problem.errno == errno.EPIPE:
                raise  # whoever read the output has gone
            _tell(ctx, problem)
            ctx.exit(FAILED)

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Names in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import the module of that name; None if there is no such command."""
        if cmd_name not in COMMANDS:
            return None
        path, _ = COMMANDS[cmd_name]
        room = importlib.import_module(f"specgen.cli.{path}")
        command = getattr(room, path.rpartition(".")[2])
        assert isinstance(command, click.Command)
        return command

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's signature
        formatter: click.HelpFormatter,
    ) -> None:
        """List the commands with what the table says of each."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, words) for name, (_, words) in COMMANDS.items()])


def _parted(args: list[str]) -> tuple[list[str], list[str], list[str]]:
    """Part arguments at "--", behind which nothing is an option."""
    at = args.index("--") if "--" in args else len(args)
    return args[:at], args[at : at + 1], args[at + 1 :]


def _tell(ctx: click.Context, problem: Exception) -> None:
    """Say what failed, with what, and how to see or report more."""
    from specgen.cli.options import ABOUT

    subject = failure.subject_of(problem) or ctx.meta.get(ABOUT, "")
    if ctx.meta[_TRACEBACK]:
        click.echo(failure.whole(problem), err=True)
    click.echo(failure.sentence(problem, subject), err=True)
    if not ctx.meta[_TRACEBACK]:
        again = shlex.join(["specgen", *ctx.meta["asked"], _TRACEBACK])
        click.echo(f"Where in the program: {again}", err=True)
    if not isinstance(problem, OSError):
        build = subject.partition("/")[0] or "BUILD"
        click.echo(f"For a bug report: specgen report {build}", err=True)


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="specgen")
@click.option(
    _TRACEBACK,
    is_flag=True,
    expose_value=False,
    help="After any command: tell where in the program an unexpected error came about.",
)
def main() -> None:
    """Build sheets for supercharged engines: YAML in git, checked, calculated, published."""
