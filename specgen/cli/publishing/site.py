"""`specgen site`: the built site, or a preview of it."""

from __future__ import annotations

from pathlib import Path

import click

from specgen.cli.options import CLEAN, FINDINGS, Examples, bar_of
from specgen.findings import Finding, summary

#: Where a site's settings usually lie, from the folder a command is run in.
USUAL = ("mkdocs.yml", "site_src/mkdocs.yml", "docs/mkdocs.yml")


@click.command(
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
    help=f"The site's mkdocs.yml; looked for as {' or '.join(USUAL)} unless given.",
)
@click.option("--serve", is_flag=True, help="Preview; rebuild when YAML, CSV or a page changes.")
@click.option(
    "--address",
    default="127.0.0.1:8000",
    show_default=True,
    callback=lambda _context, _option, value: _checked(value),
    help="Where to preview.",
)
@click.option(
    "--verify", is_flag=True, help="Build again, elsewhere, and say what of the site differs."
)
@click.option("--edition", help="Build the site as of this tag of git, into a folder beside it.")
@click.option("--editions", is_flag=True, help="Build every tag's edition into the site too.")
@click.option("--strict", is_flag=True, help="Stop on warnings too.")
@click.option(
    "--workers", type=click.IntRange(min=1),
    help="Processes that make sheets; as many as there are cores unless given.",
)  # fmt: skip
@click.pass_context
def site(
    context: click.Context,
    config: Path | None,
    serve: bool,
    address: str,
    verify: bool,
    edition: str | None,
    editions: bool,
    strict: bool,
    workers: int | None,
) -> None:
    """Build the site, or preview it with --serve."""
    from specgen.archive.past.git import NoHistory
    from specgen.publish import plugin

    config = config or _usual()
    faults: list[Finding] = []
    try:
        if serve:
            plugin.serve_site(config, strict=strict, progress=click.echo, address=address)
            return
        if verify:
            context.exit(_verified(config))
        with bar_of("Building the site", plugin.archive_of(config), "/index.md") as tell:
            if edition:
                folder = plugin.build_edition(config, edition, progress=_quiet, pages=tell)
            elif editions:
                folder = plugin.build_editions(
                    config, progress=_quiet, pages=tell, faults=faults.extend, workers=workers or 0
                )
            else:
                folder = plugin.build_site(
                    config, strict=strict, progress=_quiet, pages=tell, faults=faults.extend,
                    workers=workers or 0,
                )  # fmt: skip
    except (plugin.SiteError, NoHistory) as problem:
        click.echo(str(problem), err=True)
        context.exit(FINDINGS)
    click.echo(f"The site is built. Open {(folder / 'index.html').absolute().as_uri()}")
    click.echo("To look at it as it will be served, with search: specgen site --serve")
    if faults:
        click.echo(f"Not all of it could be published: {summary(faults)}", err=True)
        context.exit(FINDINGS)


#: So many files that differ are named.
_NAMED = 20


def _verified(config: Path) -> int:
    """Compare the site with what its sources make, and say what differs; give the exit code."""
    from specgen.publish import plugin

    found = plugin.verify_site(config, progress=_quiet)
    for line in found.differences[:_NAMED]:
        click.echo(line)
    if len(found.differences) > _NAMED:
        click.echo(f"and {len(found.differences) - _NAMED} more")
    if found.note:
        click.echo(found.note)
    same = f"The site is what its sources make: all {found.files} files, to the byte."
    click.echo(f"{len(found.differences)} differences" if found.differences else same)
    return FINDINGS if found.differences else CLEAN


def _checked(address: str) -> str:
    """Refuse an address that no machine has."""
    host, _, port = address.rpartition(":")
    if not host or not port.isdecimal() or not 0 < int(port[:6]) < 65536:
        raise click.BadParameter(
            f'"{address}" is no address; write a host and a port from 1 to 65535, such as '
            "127.0.0.1:8000"
        )
    return address


def _usual() -> Path:
    """Give the mkdocs.yml that lies where it usually does."""
    for name in USUAL:
        if Path(name).is_file():
            return Path(name)
    raise click.UsageError(
        f"there is no {' and no '.join(USUAL)} here; go to the folder that holds it, name it with "
        "--config, or start an archive with: specgen init DIR"
    )


def _quiet(message: str) -> None:
    """Pass on warnings and errors of the site engine, and what takes long; nothing else."""
    from specgen.publish.engine.surroundings import HISTORY

    if message.startswith(("warning: ", "error: ", f"specgen: {HISTORY}: ")):
        click.echo(message, err=True)
