"""The report for a customer, two to four pages: what works, what does not, what is asked of him, what it costs, what was
assumed. No rule, no file, no part id stands in it; the words are data (table `customer-words`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property

from coaxwright.findings import Finding
from coaxwright.handover.bill import BillLine, bill_of
from coaxwright.handover.customer_changes import cameras_named, changes
from coaxwright.handover.customer_picture import Tile, picture
from coaxwright.handover.plan import Plan
from coaxwright.immutable import immutable
from coaxwright.reading.tables import load_table
from coaxwright.reporting import ordering
from coaxwright.show.figures import count, named_apart, plain
from coaxwright.show.tree import (
    Block,
    Caution,
    Column,
    Document,
    Listing,
    Paragraph,
    Section,
    Sign,
    Strong,
    Table,
    Words,
)  # fmt: skip

WORKS, UNKNOWN = "works", "not known"
_KINDS = (
    ("camera", "Cameras"), ("recorder", "Recorders"), ("disk", "Disks"), ("supply", "Power supplies"), ("cable", "Cable"),
    ("switch", "Network switches"), ("monitor", "Screens"), ("box", "Boxes in cables"), ("pickup", "Microphones"),
)  # fmt: skip
_QUESTIONS = (
    ("length", "How long is the way of the cable, as it runs"), ("setting", "Does it stand indoors, under cover or in the open"),
    ("ambient_max", "How warm does it get there"), ("ambient_min", "How cold does it get there"),
    ("reach", "Can people reach it, by hand or with a ladder"), ("building", "In which building does it stand"),
    ("height", "How high is it mounted"), ("at", "At which distance must it see"),
    ("retention", "How many days are recordings kept"),
)  # fmt: skip
_LIMITS = (
    "This page says what follows from the plan and the data sheets. It does not replace a survey on site, the makers' "
    "instructions, or the review that local codes ask of licensed people."
)


@immutable
class State:
    """How a camera stands: `word` in two or three words, what one would notice, what is changed; `level` marks it."""

    word: str
    notice: str
    change: str
    level: str


class Customer:
    """One plan as a customer sees it."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.site = plan.loaded.site

    @cached_property
    def states(self) -> dict[str, State]:
        """Every camera by subject."""
        errors, opens = self._by_camera("fail"), self._by_camera("open")
        return {
            subject: self._state(errors.get(subject, []), opens.get(subject, []))
            for subject in (f"cameras/{name}" for name in self.site.cameras)
        }

    def _by_camera(self, kind: str) -> dict[str, list[Finding]]:
        """Errors, or open questions of that level, by each camera that they are about or lead to."""
        found: dict[str, list[Finding]] = {}
        for each in self.plan.report.findings:
            if each.kind == kind and each.level == "error" and each.waived is None:
                for subject in ordering.cameras_of([each]):
                    found.setdefault(subject, []).append(each)
        return found

    def _state(self, errors: Sequence[Finding], opens: Sequence[Finding]) -> State:
        if errors:
            worst = min(errors, key=lambda each: ordering.CONSEQUENCES.index(each.consequence))
            return State(*_words(worst), "error")
        if opens:
            return State(UNKNOWN, "We do not guess. See the questions.", "Waits for your answer.", "open")
        return State(WORKS, "Picture by day and by night, recorded as asked.", "Nothing.", "pass")

    def name(self, subject: str) -> str:
        """What a camera is called: its label, else its id in plain words."""
        name = subject.partition("/")[2]
        return self.site.cameras[name].label or _plain(name)

    @cached_property
    def storage(self) -> list[tuple[str, int, int | None]]:
        """Recorders with the whole days that they keep, and those wanted."""
        found = []
        for name, entry in self.site.recorders.items():
            days, wanted = (self.plan.known(f"recorders/{name}/disks", "disk_group", each) for each in ("days", "days_wanted"))
            if days is not None:
                found.append((entry.label or name, int(days), None if wanted is None else int(-(-wanted // 1))))
        return found

    @property
    def short(self) -> list[tuple[str, int, int]]:
        """Recorders that keep fewer days than wanted."""
        return [(name, days, wanted) for name, days, wanted in self.storage if wanted is not None and days < wanted]

    def counted(self, level: str) -> int:
        """How many cameras stand so."""
        return sum(each.level == level for each in self.states.values())


def _plain(name: str | None) -> str:
    """An id as a person says it."""
    return (name or "").replace("-", " ").replace("_", " ")


def _words(finding: Finding) -> tuple[str, str, str]:
    table, topic = load_table("customer-words"), finding.rule.partition("/")[0]
    row = table.get(finding.consequence, topic) or table.get(finding.consequence, None)
    assert row is not None, "the table has words for every consequence"
    return row["verdict"], row["notice"], row["change"]


def customer_document(plan: Plan, today: str, version: str = "") -> Document:
    """The whole report."""
    told = Customer(plan)
    site = told.site.site
    agreed = Section("Agreed", (Paragraph(_LIMITS), Sign(("agreed, name and signature", "date", "changes no."))), kept=True)
    blocks: list[Block] = [
        Paragraph(_lead(told)), _tally(told), _works(told), *_asked(told), *_cost(plan), *_changes(told), _picture(told),
        *_assumed(plan), _care(told), _next(told), agreed,
    ]  # fmt: skip
    marks = ", ".join(each for each in (version, today) if each)
    return Document(f"{site}: camera system, checked before anything is bought", tuple(blocks), _verdict(told),
                    paper="reader", foot=f"{site} · {marks} · for the customer")  # fmt: skip


def _verdict(told: Customer) -> Words:
    bad, unknown, whole = told.counted("error"), told.counted("open"), len(told.states)
    days = [f"Recordings are kept {days} days, not {wanted}." for _, days, wanted in told.short[:1]]
    cameras = [f"{bad} of {count(whole, 'camera')} {'falls' if bad == 1 else 'fall'} short."] if bad else []
    other = [] if bad else _other_errors(told)
    if cameras or days or other:
        return Strong(" ".join(["Not ready to order.", *cameras, *days, *other]))
    if unknown:
        return Strong(f"Cannot be judged yet: {unknown} of {count(whole, 'camera')} wait for an answer.")
    return Strong(f"Can be ordered: all {count(whole, 'camera')} do what was asked.")


def _other_errors(told: Customer) -> list[str]:
    """Errors that are about no camera, in a sentence; nothing where there are none."""
    others = [
        each for each in told.plan.report.findings
        if each.kind == "fail" and each.level == "error" and not each.waived and not ordering.cameras_of([each])
    ]  # fmt: skip
    number = count(len(others), "point")
    return [f"{number} of the system itself {'is' if len(others) == 1 else 'are'} wrong."] if others else []


def _lead(told: Customer) -> str:
    warnings = told.plan.report.summary.warning
    more = f" The engineer's report has {count(warnings, 'remark')} besides that stop nothing." if warnings else ""
    return f"This plan was worked through before anything is bought: picture, power, cable, recording.{more}"


def _tally(told: Customer) -> Table:
    good, bad, unknown = (told.counted(each) for each in ("pass", "error", "open"))
    rows: list[tuple[str, str]] = [
        (f"{count(good, 'camera')} {'works' if good == 1 else 'work'}", "all that was asked of them"),
        (f"{count(bad, 'camera')} {'falls' if bad == 1 else 'fall'} short", "as planned now"),
        (f"{count(unknown, 'camera')} not known", "a fact is missing" if unknown else ""),
    ]
    for name, days, wanted in told.storage:
        rows.append((f"{name}: {days} days kept", "" if wanted is None else f"{wanted} days are wanted"))
    return Table(("in short", "that is"), rows)


def _works(told: Customer) -> Section:
    """Cameras that stand alike in one row, what falls short first."""
    groups: dict[State, list[str]] = {}
    for subject, state in told.states.items():
        groups.setdefault(state, []).append(told.name(subject))
    order = {"error": 0, "open": 1, "pass": 2}
    rows = [
        (named_apart(names), state.word, state.notice, state.change)
        for state, names in sorted(groups.items(), key=lambda pair: order[pair[0].level])
    ]
    for name, days, wanted in told.short:
        rows.insert(0, (name, "too short", f"The oldest day is lost after {days} days.", f"More room, for {wanted} days."))
    table = Table(("camera or recorder", Column("as planned", wraps=False), "what you would notice", "what we change"), rows)
    return Section("What works, and what does not", (table,))


def _asked(told: Customer) -> Iterator[Section]:
    """Decisions and missing facts, each with room for an answer."""
    rows = [(f"{name}: keep recordings for {wanted} days?", f"{days} days as planned; more costs disks", "□\u00a0yes   □\u00a0no")
            for name, days, wanted in told.short]  # fmt: skip
    rows += [(question, f"it decides about {names}", "") for question, names in _questions(told)]
    numbered = [(f"{place}. {row[0]}", *row[1:]) for place, row in enumerate(rows, 1)]
    if numbered:
        table = Table(("please decide or tell us", "why", Column("your answer", "box")), numbered, fold="scroll")
        yield Section("What we need from you", (table,), kept=True)


def _questions(told: Customer) -> list[tuple[str, str]]:
    """One line for each kind of missing fact, with the cameras that wait for it."""
    waiting: dict[str, dict[str, None]] = {}
    for each in told.plan.report.findings:
        if each.kind == "open" and each.waived is None and each.level == "error":
            names = [told.name(subject) for subject in sorted(ordering.cameras_of([each]))] or ["the system"]
            for path in each.missing[:1]:
                waiting.setdefault(_question(path), {}).update(dict.fromkeys(names))
    return [(question, _some(list(names))) for question, names in waiting.items()]


def _question(path: str) -> str:
    last = path.rpartition("/")[2]
    if path.startswith("parts/"):
        return "A value from a maker's data sheet: we ask for it"
    return next((f"{words}?" for key, words in _QUESTIONS if key == last), "A detail of the plan: the engineer's report names it")


def _some(names: Sequence[str], most: int = 5) -> str:
    left = len(names) - most
    return named_apart(names[:most]) + (f" and {left} more" if left > 0 else "")


def _cost(plan: Plan) -> Iterator[Section]:
    bill = bill_of(plan)
    if not bill.sums:
        yield Section("What it costs", (Paragraph("Nobody gave prices, so nothing is said of costs here."),))
        return
    blocks: list[Block] = []
    for each in bill.sums:
        rows = [(words, f"{amount:.2f}") for words, amount in _by_kind(plan, bill.lines, each.currency)]
        rows += [("Labour", f"{each.labour:.2f}")] if each.labour else []
        rows += [(f"Tax, {plain(each.tax_rate * 100, 2)} %", f"{each.tax:.2f}")] if each.tax_rate is not None else []
        rows.append(("All together", f"{each.whole:.2f}"))
        until = f"; prices valid until {bill.valid_until}" if bill.valid_until else ""
        blocks.append(Table(("what", Column(f"in {each.currency or 'the currency of the list'}", "number")), rows,
                            f"The plan as it is{until}", fold="scroll"))  # fmt: skip
    if bill.unpriced:
        blocks.append(Paragraph(f"Not in these sums, since nobody gave a price: {_titles(plan, bill.unpriced)}."))
    if any(each.tax_rate is None for each in bill.sums):
        blocks.append(Paragraph("Before tax: no rate was given."))
    waste = f"Cable includes {plain(plan.waste[0] * 100, 1)} % waste."
    blocks.append(Paragraph(f"{waste} Changes that follow from this report are priced anew."))
    yield Section("What it costs", tuple(blocks), kept=True)


def _by_kind(plan: Plan, lines: Iterable[BillLine], currency: str) -> Iterator[tuple[str, object]]:
    """Sums by kind of part."""
    part = plan.loaded.catalogue.part
    for kind, words in _KINDS:
        here = [each for each in lines if each.currency == currency and part(each.what).kind == kind]
        amounts = [each.total for each in here if each.total is not None]
        if amounts:
            yield words, sum(amounts)


def _titles(plan: Plan, parts: Sequence[str]) -> str:
    part = plan.loaded.catalogue.part
    return _some(list(dict.fromkeys(part(each).title or f"a {part(each).kind}" for each in parts)))


def _changes(told: Customer) -> Iterator[Section]:
    """What was tried, where somebody asked for that."""
    yield from changes(told.plan.report.findings, lambda each: cameras_named(each, told.name), lambda each: _words(each)[2])


def _picture(told: Customer) -> Section:
    tiles = [
        Tile(told.name(subject), state.word, state.level, _plain(told.plan.known(subject, "camera", "building")))
        for subject, state in told.states.items()
    ]
    return Section("The system in one picture", (picture(tiles),), kept=True)


def _assumed(plan: Plan) -> Iterator[Section]:
    table = load_table("customer-assumptions")
    used = {each.assumption.name: each.assumption for each in plan.facts.assumed}
    rows = [(row["what"], used[row["name"]].written, row["otherwise"]) for row in table.rows if row["name"] in used]
    if not used:
        return
    left = len(used) - len(rows)
    says = "Nobody gave us these values, so we took common ones. If one is wrong for you, tell us before you order."
    blocks: list[Block] = [Paragraph(says)]
    blocks += [Table(("what", "we took", "if it is otherwise"), rows)] if rows else []
    blocks += [Paragraph(f"{left} more, and where each comes from, stand in the engineer's report.")] if left else []
    yield Section("What we assumed", tuple(blocks), kept=True)


def _care(told: Customer) -> Section:
    cautions = [
        "Mains and supplies are for a competent person under local wiring rules. Disconnect first.",
        "Work at height needs proper access equipment.",
        "Recording people or voices is regulated in many places and often needs notice or consent: refer to local law before "
        "you switch on sound.",
    ]
    if any(told.plan.known(subject, "link", "other_earth") for subject in told.states):
        cautions.insert(1, "A cable between two buildings can carry a dangerous voltage. Have a licensed electrician review it.")
    return Section("Take care", tuple(map(Caution, cautions)), kept=True)


def _next(told: Customer) -> Section:
    first = "You answer the questions of this report." if told.counted("open") or told.short else "You read this report."
    again = "We check the plan again. The price may change; you see it first."
    steps = (first, again, "You agree below. Only then is anything ordered.")
    return Section("What happens next", (Listing(steps, "number"),), kept=True)
