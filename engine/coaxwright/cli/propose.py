"""`coaxwright propose`: a whole system from wants, distances and a priced catalogue, proven."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import (
    format_option,
    may_replace,
    new_output_option,
    parts_option,
    rules_option,
    time_limit_option,
)
from coaxwright.cli.output import deliver
from coaxwright.pace import TimeLimit, within


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright propose shop.wants.site.yaml --output shop.site.yaml",
        "coaxwright propose shop.wants.site.yaml --parts 'parts/*.yaml' --output shop.site.yaml --prefer fewest",
    ),
)
@click.argument("wants", metavar="WANTS", type=click.Path(path_type=Path))
@parts_option
@new_output_option("--output", "-o", metavar="FILE", required=True, help="Write the site file there.")
@click.option("--prefer", type=click.Choice(["cheapest", "fewest"]), default="cheapest", show_default=True,
              help="The least cost, or the fewest recorders and supplies.")
@click.option("--budget", metavar="N", type=click.IntRange(1, 10_000_000), help="Small systems to judge at most.")
@time_limit_option
@format_option("text", "json", "md", "html")
@rules_option
def propose(
    wants: Path, globs: tuple[str, ...], output: Path, prefer: Literal["cheapest", "fewest"], budget: int | None,
    time_limit: float | None, form: str, extra_rules: tuple[Path, ...],
) -> int:  # fmt: skip
    """Make a whole system for WANTS: cameras known by what they are there for, and how far they are from each position.

    The result is a site file whose check holds, with comments that say why. Exit status: 0 when one was written, 1
    when none was found, 2 when WANTS could not be read or FILE not written.
    """
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.catalogues import part_files
    from coaxwright.cli.house_prices import priced_site
    from coaxwright.proposals.searching import Search
    from coaxwright.proposals.writing import write_system

    with within(TimeLimit(time_limit)):
        loaded = priced_site(wants, part_files(globs))
        found = Search(loaded, load_rulebook(extra_rules), prefer, budget).run()
    if found.best is not None:
        write_system(found, found.best, output, may_replace())
    if form == "json":
        from coaxwright.proposals.telling import proposal_data
        from coaxwright.show.json_text import to_json

        deliver(to_json(proposal_data(found, str(output))))
    else:
        from coaxwright.cli.showing import show
        from coaxwright.proposals.telling import proposal_document

        show(proposal_document(found, str(output)), form)
    return CLEAN if found.best is not None else FINDINGS
