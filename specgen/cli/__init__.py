"""The commands. Thin: each reads its options, calls one room, prints, and exits 0, 1 or 2.

A command's module is imported when the command is called, and heavy rooms inside the command, so
that `specgen --help` and `specgen air` are quick.
"""

from __future__ import annotations

import importlib

import click

#: Each command's module in this room has the command under the same name, but for a word that
#: Python needs itself; what the list of commands says of it stands here, so that the list imports
#: none of them.
COMMANDS = {
    "air": "What the air of a test means: density and every standard's factor.",
    "chart": "One chart of a build as a picture file.",
    "check": "Everything that is wrong or doubtful in an archive.",
    "export": "The pages as Markdown with assets, for any other site engine.",
    "import": "A dyno's exports into a build, any text with delimiters.",
    "fits": "What a blower bolts to: the archive's engines, or one that you describe.",
    "init": "A new archive with its site, ready to check and build.",
    "new": "A new build or blower, or a session of a build.",
    "rename": "Another id for a build; its old links keep working.",
    "schema": "The schemas, for an editor that completes YAML.",
    "show": "The sheet of one build.",
    "site": "Build the site, or preview it with --serve.",
}


#: Modules that cannot have their command's name.
MODULES = {"import": "importing"}


class _Lazy(click.Group):
    """A group that imports a command when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Names in the order of the table."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import the module of that name; None if there is no such command."""
        if cmd_name not in COMMANDS:
            return None
        name = MODULES.get(cmd_name, cmd_name)
        command = getattr(importlib.import_module(f"specgen.cli.{name}"), name)
        assert isinstance(command, click.Command)
        return command

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - click's signature
        formatter: click.HelpFormatter,
    ) -> None:
        """List the commands with what the table says of each."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="specgen")
def main() -> None:
    """Build sheets for supercharged engines: YAML in git, checked, calculated, published."""
