"""`coaxwright fix`: proven changes for what fails, the set that clears a whole site, and writing them."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal

import click

from coaxwright.cli.contradictions import tell_of_site
from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import Advice, SiteState
from coaxwright.cli.options import format_option, output_option, rules_option, time_limit_option, today_option
from coaxwright.cli.output import complain, deliver
from coaxwright.pace import TimeLimit, within


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright fix boatyard.site.yaml",
        "coaxwright fix boatyard.site.yaml --on cameras/slipway --diff",
        "coaxwright fix boatyard.site.yaml --all --write",
        "coaxwright fix boatyard.site.yaml --undo",
    ),
)
@click.argument("site", metavar="SITE", type=click.Path(path_type=Path))
@click.option("--on", metavar="SUBJECT|RULE", default="", help="Only findings on this subject, or of this rule.")
@click.option("--all", "whole", is_flag=True, help="The smallest set of changes found that clears the whole site.")
@click.option("--level", type=click.Choice(["error", "warning", "note"]), default="error", show_default=True,
              help="The least level of finding to be cleared.")
@click.option("--prefer", type=click.Choice(["fewest", "cheapest"]), default="fewest", show_default=True,
              help="With --all: the fewest changes, or the least cost.")
@click.option("--budget", metavar="N", type=click.IntRange(1, 1_000_000),
              help="Changes to try at most: for each finding (400), or with --all altogether (2000).")
@time_limit_option
@click.option("--certificate", metavar="FILE", type=click.Path(path_type=Path),
              help="With --all: write into FILE what the answer rests on; it must not exist.")
@click.option("--replay", metavar="FILE", type=click.Path(path_type=Path),
              help="Check such a file by full checks of edited copies of SITE, and nothing else.")
@click.option("--diff", is_flag=True, help="Show what would change in the file, and nothing else.")
@click.option("--write", is_flag=True, help="Write the changes into the file: the best of each finding, or with --all the set.")
@click.option("--undo", is_flag=True, help="Take back the last --write, byte for byte.")
@format_option("text", "json", "md", "html")
@today_option
@rules_option
@output_option
def fix(site: Path, on: str, whole: bool, diff: bool, write: bool, undo: bool, form: str,
        today: datetime.date | None, time_limit: float | None, extra_rules: tuple[Path, ...], output: Path | None,
        **how: Any) -> int:  # fmt: skip
    """Show changes to SITE that were tried on a copy and clear what fails there.

    Each tells what it clears, what it newly breaks, what it costs and how much room is left then. Exit
    status: 0 when every finding has a change that clears it, 1 when one has none, 2 when it cannot be checked.
    """
    if undo:
        from coaxwright.fixes.writing import undo as take_back

        deliver(take_back(site), output)
        return CLEAN
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.house_prices import priced_site
    from coaxwright.fixes.rejudging import start

    with within(TimeLimit(time_limit)):
        state = start(priced_site(site), rulebook=load_rulebook(extra_rules), today=today)
        tell_of_site(state.basis.loaded)
        replay, certificate = how.pop("replay"), how.pop("certificate")
        if replay is not None:
            return _replayed(state, replay, output)
        if whole:
            return _whole(state, site, form, output, diff, write, certificate, **how)
        if diff or write:
            return _best(state, site, output, write, on, **how)
        return _each(state, form, output, on, **how)


def _each(state: SiteState, form: str, output: Path | None, on: str, level: str, budget: int | None, prefer: str) -> int:
    """Fixes of every finding."""
    from coaxwright.fixes.advice import advise
    from coaxwright.fixes.proving import TRIES
    from coaxwright.fixes.telling import advice_data, advice_document

    found = list(advise(state, level=level, on=on, tries=budget or TRIES))
    _give(lambda: advice_data(state, found), lambda: advice_document(state, found), form, output)
    return CLEAN if all(each.fixes for each in found) else FINDINGS


def _best(
    state: SiteState, site: Path, output: Path | None, write: bool, on: str, level: str, budget: int | None, prefer: str
) -> int:
    """The best fix of every finding in turn, as a diff or written."""
    from coaxwright.fixes.advice import best_of_each
    from coaxwright.fixes.proving import TRIES

    taken, left = best_of_each(state, level=level, on=on, tries=budget or TRIES)
    patch = [operation for proof in taken for operation in proof.candidate.patch]
    for proof in taken:
        complain(f"{site}: {proof.candidate.title}")
    for advice in left:
        complain(f"{site}: left as it is: {advice.finding.rule} on {advice.finding.subject}: {_why(advice)}")
    deliver(_changed(state, site, patch, write), output)
    return FINDINGS if left else CLEAN


def _give(data: Callable[[], str], document: Callable[[], Any], form: str, output: Path | None) -> None:
    """JSON as the contract has it, any other form from the document."""
    if form == "json":
        deliver(data(), output)
    else:
        from coaxwright.cli.showing import show

        show(document(), form, output)


def _why(advice: Advice) -> str:
    return advice.why or "what would clear it breaks something else or gives up a need; see `coaxwright fix`"


def _changed(state: SiteState, site: Path, patch: list[Any], write: bool) -> str:
    from coaxwright.fixes.writing import diff_of, write_patch

    document = state.basis.loaded.document
    if not patch:
        return ""
    return write_patch(site, document, patch) if write else diff_of(document, patch)


def _whole(
    state: SiteState, site: Path, form: str, output: Path | None, diff: bool, write: bool, certificate: Path | None,
    level: str, budget: int | None, prefer: Literal["fewest", "cheapest"],
) -> int:  # fmt: skip
    """A set of changes for the whole site."""
    from coaxwright.errors import Problem, Refusal
    from coaxwright.fixes.certificates import certificate_of
    from coaxwright.fixes.repair import Search
    from coaxwright.fixes.stepping import BUDGET
    from coaxwright.fixes.telling import plan_data, plan_document
    from coaxwright.show.json_text import to_json

    if certificate is not None and certificate.exists():
        raise Refusal([Problem(str(certificate), "exists", "name a file that does not")])
    plan = Search(state, level=level, prefer=prefer, budget=budget or BUDGET).run()
    if certificate is not None and plan.search is not None:
        deliver(to_json(certificate_of(plan.search, level, plan.bound)), certificate)
    if diff or write:
        for key, why in plan.in_the_way:
            complain(f"{site}: left as it is: {' on '.join(key)}: {why}")
        deliver(_changed(state, site, list(plan.patch), write), output)
    else:
        _give(lambda: plan_data(state, plan, level), lambda: plan_document(state, plan, level), form, output)
    return FINDINGS if plan.in_the_way else CLEAN


def _replayed(state: SiteState, file: Path, output: Path | None) -> int:
    """A certificate checked against the site."""
    from coaxwright.fixes.replaying import Replay, read_certificate

    certificate, basis = read_certificate(file), state.basis
    found = Replay(basis.loaded, certificate, basis.rulebook, basis.today).run()
    lines = [*found.wrong, f"{len(certificate.cuts)} cuts over {len(certificate.changes)} changes, {found.checks} full checks."]
    if certificate.bound is not None:
        lines.append(f"Bound {certificate.bound:g}: {'shown again' if found.bound_shown else 'not shown again, too many sets'}.")
    deliver("".join(f"{line}\n" for line in lines), output)
    return FINDINGS if found.wrong else CLEAN
