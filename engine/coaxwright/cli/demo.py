"""`coaxwright demo`: in one screen what the program does, on the example that comes with it; or a copy to try changes."""

from __future__ import annotations

from dataclasses import replace
from importlib.resources import as_file
from importlib.resources.abc import Traversable
from pathlib import Path

import click

from coaxwright.cli.check import checked
from coaxwright.cli.exits import UNCHECKED, check_status
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import colour_option
from coaxwright.cli.output import complain, deliver
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Report, SiteReport
from coaxwright.reporting.formats import Setting, render
from coaxwright.resources import data_root
from coaxwright.show.painter import ColourChoice

_FIRST = "plant-nursery"
_TRIES = 60


@click.command(
    cls=Exampled,
    examples=("coaxwright demo", "coaxwright demo --copy try", "coaxwright desk try", "coaxwright demo boatyard"),
)
@click.argument("name", default="")
@click.option("--list", "listing", is_flag=True, help="List the examples.")
@click.option(
    "--copy",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Copy the example into the new folder DIR instead, to change it and check it again.",
)
@colour_option
def demo(name: str, listing: bool, copy: Path | None, colour: ColourChoice) -> int:
    """Show in one screen what this program does: a small site with three faults, why, and a change proven for each.

    With NAME, the whole check of that example (--list tells the names).

    Exit status 0 when it could be checked, whatever was found.
    """
    examples = {each.name: each for each in data_root("examples").iterdir() if each.is_dir()}
    if listing:
        deliver("".join(f"{each}\n" for each in sorted(examples)))
        return 0
    folder = _example(name or _FIRST, examples)
    if copy is not None:
        _copy_new(folder, copy)
        complain(f"copied; next: coaxwright desk {copy}, or coaxwright check {copy}")
        return 0
    return _show(folder, colour) if name else _first(folder, colour)


def _example(name: str, examples: dict[str, Traversable]) -> Traversable:
    if name not in examples:
        right = f"there are: {', '.join(sorted(examples))}" if examples else ""
        raise Refusal([Problem(name, "is no example of the program", right)])
    return examples[name]


_NEXT = (
    "Each change was made on a copy of the site and judged again. To try it yourself:",
    "  coaxwright demo --copy nursery      puts this site into a folder of yours",
    "  coaxwright desk nursery             opens it as a page: change a cable, see what follows, undo, save",
    "  coaxwright check nursery            tells everything as text",
)


def _first(folder: Traversable, colour: ColourChoice) -> int:
    """Whether the example holds, what fails and why, and the best proven change for each fault."""
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.cli.showing import screen
    from coaxwright.fixes.advice import advise
    from coaxwright.fixes.rejudging import start
    from coaxwright.reporting.first_look import first_look

    with as_file(folder) as path:
        state = start(load_site(next(iter(sorted(path.glob("*.site.yaml"))))), rulebook=load_rulebook())
        found = [(each.finding, next(iter(each.fixes), None)) for each in advise(state, tries=_TRIES)]
        report = _relative_site(state.report(), f"{path.parent.as_posix()}/")
    deliver(first_look(report, found, screen(None, colour), _NEXT))
    return 0


def _show(folder: Traversable, colour: ColourChoice) -> int:
    with as_file(folder) as path:
        report = _relative(checked([path], ()), f"{path.parent.as_posix()}/")
    for problem in report.unread:
        complain(str(problem))
    from coaxwright.cli.showing import screen

    sees = screen(None, colour)
    deliver(render("text", report, Setting(painter=sees.painter, width=sees.width)))
    return UNCHECKED if check_status(report, "never", strict=False) == UNCHECKED else 0


def _relative(report: Report, root: str) -> Report:
    """File names without the folder where the program happens to be installed."""
    return replace(report, sites=tuple(_relative_site(site, root) for site in report.sites))


def _relative_site(site: SiteReport, root: str) -> SiteReport:
    found = tuple(replace(each, file=each.file.removeprefix(root)) for each in site.findings)
    return replace(site, file=site.file.removeprefix(root), findings=found)


def _copy_new(folder: Traversable, to: Path) -> None:
    """Copy into a folder that does not exist yet, so that nothing of the user's is ever replaced."""
    try:
        to.mkdir(parents=True)
    except FileExistsError as error:
        raise Refusal([Problem(str(to), "exists already", "name a new folder")]) from error
    _copy_into(folder, to)


def _copy_into(folder: Traversable, to: Path) -> None:
    for each in folder.iterdir():
        if each.is_dir():
            (to / each.name).mkdir()
            _copy_into(each, to / each.name)
        else:
            (to / each.name).write_bytes(each.read_bytes())
