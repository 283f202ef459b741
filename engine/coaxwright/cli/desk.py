"""`coaxwright desk`: the page on this machine, for who would rather not type commands."""

from __future__ import annotations

from pathlib import Path

import click

from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import is_free, replace_option, rules_option
from coaxwright.cli.output import complain, deliver, deliver_folder
from coaxwright.errors import Problem, Refusal


@click.command(
    cls=Exampled,
    examples=("coaxwright desk", "coaxwright desk yard.site.yaml", "coaxwright desk sites/ --no-browser --port 8500",
              "coaxwright desk --folder public --catalogue 'parts/*.yaml'"),
)
@click.argument("place", metavar="[SITE|FOLDER]", default=".", type=click.Path(path_type=Path))
@click.option(
    "--port",
    metavar="N",
    type=click.IntRange(0, 65535),
    default=0,
    help="The port to answer on; a free one unless given.",
)
@click.option("--no-browser", is_flag=True, help="Print the address and open no browser.")
@click.option(
    "--single-file",
    metavar="FILE",
    type=click.Path(path_type=Path),
    callback=is_free("--replace"),
    help="Write the whole desk into FILE (HTML) instead.",
)
@click.option(
    "--folder",
    metavar="DIR",
    type=click.Path(path_type=Path),
    callback=is_free("--replace"),
    help="Write it into DIR instead, for any host that serves files.",
)
@replace_option(what="FILE or DIR")
@click.option(
    "--catalogue",
    metavar="GLOB",
    multiple=True,
    help="Part files (or a folder of them) for the counter, as in 'parts/*.yaml'; may be repeated.",
)
@click.option(
    "--runtime",
    metavar="DIR",
    type=click.Path(path_type=Path),
    default="runtime",
    show_default=True,
    help="With --single-file or --folder: the folder with what npm and pip brought; what is missing is told.",
)
@rules_option
def desk(
    place: Path,
    port: int,
    no_browser: bool,
    single_file: Path | None,
    folder: Path | None,
    catalogue: tuple[str, ...],
    runtime: Path,
    extra_rules: tuple[Path, ...],
) -> int:
    """Open SITE, or the sites of FOLDER, on a page of your own browser.

    It answers this machine only and sends nothing anywhere. Ctrl+C ends it. Exit status 0 when it was ended, 2 when it
    could not be opened.
    """
    if single_file is not None or folder is not None:
        _write(single_file, folder, runtime, catalogue)
        return 0
    from coaxwright.catalogues.places import catalogue_files
    from coaxwright.checking import load_rulebook
    from coaxwright.desk.serving import Desk
    from coaxwright.desk.session import Session
    from coaxwright.workspace.project import Workspace
    from coaxwright.workspace.store import FolderStore

    opened, name = _place(place)
    store = FolderStore(opened)
    work = Workspace(store, load_rulebook(extra_rules))
    name = name or _only(store.names())
    if name:
        work.open(name)
    session = Session(work)
    session.held.kept["catalogue"] = tuple(catalogue_files(catalogue)) if catalogue else ()
    running = Desk(session, port)
    deliver(f"The desk is open at {running.address}\nIt answers this machine only. Ctrl+C ends it.\n")
    if not no_browser:
        _show(running.address)
    running.run()
    complain("The desk is closed.")
    return 0


def _write(single_file: Path | None, folder: Path | None, runtime: Path, catalogue: tuple[str, ...]) -> None:
    """The desk without a server: in one file, or in a folder for any host that serves files."""
    from coaxwright.catalogues.places import catalogue_files
    from coaxwright.desk import single_file as made
    from coaxwright.desk.bytecode import lacking

    files = catalogue_files(catalogue) if catalogue else []
    if single_file is not None:
        deliver(made.page(runtime, files), single_file)
    if folder is not None:
        deliver_folder(folder, made.folder(runtime, files))
    if lacking():
        complain(lacking())


def _place(place: Path) -> tuple[Path, str]:
    """The folder to open, and the site of it where one was named."""
    if place.is_dir():
        return place, ""
    if place.is_file():
        return place.parent, place.name
    raise Refusal([Problem(str(place), "there is no such file or folder", "name a site file or a folder")])


def _only(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ""


def _show(address: str) -> None:
    """Open the browser; where there is none, the address stands in the terminal."""
    import webbrowser

    try:
        webbrowser.open(address)
    except (OSError, webbrowser.Error):
        complain("No browser could be opened: open the address yourself.")
