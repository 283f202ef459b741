"""Price files of a site: read, and laid over its catalogue, so that all that asks for a price gets theirs."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.prices import Price, PriceFile
from coaxwright.model.quantities import quoted
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.validation import refusal, validated
from coaxwright.reading.yaml_source import Document, read_document


@immutable
class PriceSource:
    """One price file: its name as shown, its document, what it says."""

    file: str
    document: Document
    entries: PriceFile


@immutable
class PriceBook:
    """All price files of a site. `known` are prices by whole part id, with their file; `strange` names no part here."""

    sources: tuple[PriceSource, ...]
    known: dict[str, tuple[Price, PriceSource]]
    strange: tuple[str, ...]

    def price(self, part: str) -> tuple[Price, PriceFile] | None:
        """Price and file of a part by its whole id; None where no file prices it."""
        found = self.known.get(part)
        return None if found is None else (found[0], found[1].entries)


NO_PRICES: PriceBook = PriceBook((), {}, ())


def read_prices(files: Sequence[tuple[Path, str]], catalogue: Catalogue) -> PriceBook:
    """The price files (path, shown name). Raises Refusal with all problems; a part priced twice is one."""
    problems: list[Problem] = []
    sources: list[PriceSource] = []
    for path, name in files:
        try:
            document = read_document(os.fspath(path), name)
            sources.append(PriceSource(name, document, validated(PriceFile, document)))
        except Refusal as refused:
            problems.extend(refused.problems)
    known: dict[str, tuple[Price, PriceSource]] = {}
    strange: list[str] = []
    for source in sources:
        for written, price in source.entries.prices.items():
            part = catalogue.full_id(written) if catalogue.has(written) else None
            if part is None:
                strange.append(written)
            elif part in known:
                problems.append(_twice(written, source, known[part][1]))
            else:
                known[part] = (price, source)
    if problems:
        raise refusal(problems)
    return PriceBook(tuple(sources), known, tuple(strange))


def house_prices(files: Sequence[str | os.PathLike[str]], catalogue: Catalogue) -> PriceBook:
    """A price list that many sites share. What it prices and this catalogue does not know is nothing strange. Raises Refusal."""
    book = read_prices([(Path(each), os.fspath(each)) for each in files], catalogue)
    return PriceBook(book.sources, book.known, ())


def _twice(written: str, source: PriceSource, first: PriceSource) -> Problem:
    path = ("prices", written)
    where = "another name in this file" if first is source else first.file
    what = f"{quoted(written)} has a price in {where} too"
    return Problem(source.file, what, "keep one of the two", source.document.key_span(path), path)


def priced(catalogue: Catalogue, book: PriceBook) -> Catalogue:
    """The catalogue with the prices of the book, net of discount; the same one where the book is empty."""
    changes = {
        part: {"price": net_price(price, source.entries), "currency": source.entries.currency}
        for part, (price, source) in book.known.items()
    }
    return catalogue.with_changes(changes) if changes else catalogue


def net_price(price: Price, file: PriceFile) -> float:
    """What one piece or metre costs after its discount, before tax."""
    off = file.discount if price.discount is None else price.discount
    return price.price * (1.0 - (off or 0.0))
