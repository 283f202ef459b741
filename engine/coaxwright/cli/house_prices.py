"""Prices that the project of a call names: for a site that names none of its own, and for a catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from coaxwright.cli.handed import Catalogue, LoadedSite
from coaxwright.cli.projects import settings_of


def project_prices() -> tuple[Path, ...]:
    """The price files of the project of this call; none where there is no project or it names none. Raises Refusal."""
    context = click.get_current_context(silent=True)
    return () if context is None else settings_of(context).get("prices", ())


def priced_site(path: Path | str, parts: Sequence[str] = ()) -> LoadedSite:
    """The site of a file, with these part files besides, and the prices of the project where it names none. Raises Refusal."""
    from coaxwright.reading.site_reader import read_site

    return read_site(path, extra_parts=parts, prices=project_prices())


def with_project_prices(catalogue: Catalogue) -> Catalogue:
    """The catalogue at the prices of the project. Raises Refusal."""
    files = project_prices()
    if not files:
        return catalogue
    from coaxwright.reading.price_files import house_prices, priced

    return priced(catalogue, house_prices(files, catalogue))
