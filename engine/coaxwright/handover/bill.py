"""The bill: every part with quantity, waste and price, labour, tax. What has no price is named, never taken as nothing."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from coaxwright.handover.plan import Plan
from coaxwright.handover.sheets import Head, Sheet, Value
from coaxwright.immutable import immutable
from coaxwright.model.prices import PriceFile
from coaxwright.portable import added
from coaxwright.show.figures import plain

_CENT = Decimal("0.01")


@immutable
class BillLine:
    """One line. `quantity` is in pieces, metres or hours (`unit`); `drawn` is what the plan shows; money is net, None
    where nobody priced it.
    """

    what: str
    title: str
    drawn: float
    quantity: float
    unit: str
    each: Decimal | None
    currency: str
    remark: str = ""

    @property
    def total(self) -> Decimal | None:
        """Quantity times price, to the cent."""
        return None if self.each is None else cents(self.each * Decimal(str(self.quantity)))


@immutable
class Sum:
    """What comes together in one currency: parts, labour, tax, all; `tax_rate` is None where no file states one."""

    currency: str
    parts: Decimal
    labour: Decimal
    tax: Decimal
    tax_rate: float | None

    @property
    def net(self) -> Decimal:
        """Parts and labour."""
        return self.parts + self.labour

    @property
    def whole(self) -> Decimal:
        """With tax."""
        return self.net + self.tax


@immutable
class Bill:
    """All lines, sums by currency, and what no file prices."""

    lines: tuple[BillLine, ...]
    labour: tuple[BillLine, ...]
    sums: tuple[Sum, ...]
    unpriced: tuple[str, ...]
    valid_until: str
    strange: tuple[str, ...]


def cents(amount: Decimal) -> Decimal:
    """An amount to the cent, halves away from nothing."""
    return amount.quantize(_CENT, ROUND_HALF_UP)


def bill_of(plan: Plan) -> Bill:
    """The bill of a site."""
    lines = (*_pieces(plan), *_metres(plan))
    labour = tuple(_labour(plan))
    book = plan.loaded.prices
    until = sorted(each.entries.valid_until.isoformat() for each in book.sources if each.entries.valid_until)
    unpriced = tuple(each.what for each in lines if each.each is None)
    return Bill(lines, labour, tuple(_sums(plan, lines, labour)), unpriced, until[0] if until else "", book.strange)


def _pieces(plan: Plan) -> Iterator[BillLine]:
    pieces = plan.quantities.pieces
    for part in sorted(pieces):
        entry = plan.loaded.catalogue.part(part)
        yield BillLine(part, entry.title or "", pieces[part], pieces[part], "pieces", *_price(plan, part))


def _metres(plan: Plan) -> Iterator[BillLine]:
    """Cable: each length with its waste, rounded up to whole metres, as on the cable schedule."""
    found = plan.quantities
    order = dict.fromkeys(found.metres, 0)
    for cable in plan.cables:
        if cable.hop.metres is not None and not cable.jacket:
            order[plan.loaded.catalogue.full_id(cable.hop.cable or "")] += plan.ordered(cable.hop.metres)
    for part in sorted(found.metres):
        entry = plan.loaded.catalogue.part(part)
        lacks = f"and {found.unknown[part]} of unknown length" if found.unknown[part] else ""
        yield BillLine(
            part.removeprefix("generic/"), entry.title or "", found.metres[part], order[part], "m", *_price(plan, part), lacks
        )


def _price(plan: Plan, part: str) -> tuple[Decimal | None, str]:
    """Net price of a piece or metre, not rounded, and its currency."""
    entry = plan.loaded.catalogue.part(part)
    if entry.price is None:
        return None, ""
    files = (each.entries.currency for each in plan.loaded.catalogue.sources if part in each.entries.parts)
    return Decimal(str(round(entry.price, 6))), entry.currency or next((each for each in files if each), "") or ""


_FITTED = (("camera", "cameras"), ("recorder", "recorders"), ("supply", "supplies"), ("box", "boxes"),
           ("switch", "switches"), ("monitor", "monitors"))  # fmt: skip


def _labour(plan: Plan) -> Iterator[BillLine]:
    """Hours by kind of work, of the first price file that states labour."""
    file = _labour_file(plan)
    if file is None or file.labour is None:
        return
    labour, hour = file.labour, Decimal(str(file.labour.hour))
    for word, group in _FITTED:
        each, number = getattr(labour, word), len(getattr(plan.loaded.site, group))
        if each and number:
            yield BillLine(f"fitting: {group}", f"{plain(each, 2)} h each", number, number * each, "h", hour, file.currency)
    metres = added(plan.quantities.metres.values())
    if labour.per_100_m and metres:
        hours = round(labour.per_100_m * metres / 100.0, 2)
        yield BillLine("laying cable", f"{plain(labour.per_100_m, 2)} h for 100 m", metres, hours, "h", hour, file.currency)
    if labour.fixed:
        yield BillLine("once for the site", "", 1, labour.fixed, "h", hour, file.currency)


def _labour_file(plan: Plan) -> PriceFile | None:
    return next((each.entries for each in plan.loaded.prices.sources if each.entries.labour is not None), None)


def _sums(plan: Plan, lines: tuple[BillLine, ...], labour: tuple[BillLine, ...]) -> Iterator[Sum]:
    rates = {each.entries.currency: each.entries.tax for each in plan.loaded.prices.sources if each.entries.tax is not None}
    for currency in sorted({each.currency for each in (*lines, *labour) if each.each is not None}):
        parts, work = (
            sum((each.total for each in some if each.currency == currency and each.total is not None), Decimal(0))
            for some in (lines, labour)
        )
        rate = rates.get(currency)
        yield Sum(currency, parts, work, cents((parts + work) * Decimal(str(rate or 0.0))), rate)


def bill_sheet(plan: Plan, bill: Bill) -> Sheet:
    """The bill as a sheet, its sums below it."""
    heads = (
        Head("part"), Head("what"), Head("drawn", "number", 2, loose=True), Head("to order", "number", 2, loose=True), Head("in"),
        Head("price each", "number", 4), Head("total", "number", 2), Head("currency"), Head("remark"),
    )  # fmt: skip
    rows = [_row(each) for each in (*bill.lines, *bill.labour)]
    for each in bill.sums:
        rows += [
            _sum_row("parts", each.parts, each), _sum_row("labour", each.labour, each),
            _sum_row(f"tax, {plain(each.tax_rate * 100, 2)} %", each.tax, each) if each.tax_rate is not None
            else _sum_row("tax: no price file states one", None, each),
            _sum_row("all together", each.whole, each),
        ]  # fmt: skip
    return Sheet("Bill", heads, tuple(rows), notes=tuple(_remarks(plan, bill)), empty="Nothing is to be ordered.")


def _row(line: BillLine) -> tuple[Value, ...]:
    money = [None if each is None else float(each) for each in (line.each, line.total)]
    remark = "; ".join(each for each in ("no price" if line.each is None else "", line.remark) if each)
    return (line.what, line.title, line.drawn, line.quantity, line.unit, *money, line.currency, remark)


def _sum_row(word: str, amount: Decimal | None, of: Sum) -> tuple[Value, ...]:
    return (f"Sum: {word}", "", None, None, "", None, None if amount is None else float(amount), of.currency, "")


def _remarks(plan: Plan, bill: Bill) -> Iterator[str]:
    share, stated = plan.waste
    yield f"Cable is ordered with {plain(share * 100, 1)} % waste{'' if stated else ' (assumed, common practice)'}."
    if bill.sums:
        yield f"Prices hold until {bill.valid_until}." if bill.valid_until else "Nobody said until when these prices hold."
    if bill.unpriced:
        yield f"Without a price, and so in no sum: {', '.join(bill.unpriced)}."
    if len(bill.sums) > 1:
        yield "Prices are in more than one currency: they are not added together."
    if bill.strange:
        yield f"Priced and not known here by that id: {', '.join(bill.strange)}."
