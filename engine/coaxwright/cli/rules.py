"""`coaxwright rules`: list the rules, run their cases, write their pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled, LazyGroup
from coaxwright.cli.handed import LoadedRule, OwnFact, Rulebook
from coaxwright.cli.options import format_option, output_option, rules_option
from coaxwright.cli.output import deliver
from coaxwright.cli.showing import give, lines, show_lines
from coaxwright.errors import Problem, Refusal
from coaxwright.show.figures import count
from coaxwright.show.tree import Column, Document, Paragraph, Table

_TABLE = {
    "list": ("coaxwright.cli.rules:list_rules", "List all rules."),
    "test": ("coaxwright.cli.rules:test_rules", "Run the cases of the rules."),
    "docs": (
        "coaxwright.cli.rules:write_pages",
        "Write the pages of the rules, or check that they are fresh.",
    ),
    "sources": (
        "coaxwright.cli.rules:list_sources",
        "Where every figure comes from and how that is known.",
    ),
    "cache": ("coaxwright.cli.rules:show_cache", "Where checked rules are kept between runs; remove them."),
}


@click.group(cls=LazyGroup, table=_TABLE, examples=("coaxwright rules list", "coaxwright rules test"))
def rules() -> None:
    """List the rules, run their cases, write their pages."""


@click.command("list", cls=Exampled, examples=("coaxwright rules list", "coaxwright rules list --format json"))
@format_option("text", "json")
@rules_option
@output_option
def list_rules(form: str, extra_rules: tuple[Path, ...], output: Path | None) -> int:
    """List all rules with topic, level, title and number of cases, and the facts that --rules adds."""
    from coaxwright.checking import load_rulebook

    rulebook = load_rulebook(extra_rules)
    rows = [_row(loaded) for loaded in rulebook.rules]
    facts = [_fact_row(each) for each in rulebook.own.facts if not each.step]
    give(form, output, lambda: [*rows, *facts], lambda: Document("", (lines(_listed(rows, facts)),)))
    return 0


@click.command(
    "sources",
    cls=Exampled,
    examples=("coaxwright rules sources", "coaxwright rules sources --known memory --format csv --output sources.csv"),
)
@click.option("--known", metavar="HOW", help="Only figures known in that way, such as `memory`, or `superseded`.")
@format_option("text", "json", "md", "html", "csv")
@rules_option
@output_option
def list_sources(known: str | None, form: str, extra_rules: tuple[Path, ...], output: Path | None) -> int:
    """List the sources of all rules, limits, facts, tables and constants: superseded editions and figures from memory first."""
    from coaxwright.checking import load_rulebook
    from coaxwright.rulebook.sources import KNOWN, register

    if known not in (None, "superseded", *KNOWN):
        raise click.UsageError(f"--known is one of: superseded, {', '.join(KNOWN)}")
    entries = register(load_rulebook(extra_rules))
    chosen = [each for each in entries if known in (None, each.known) or (known == "superseded" and each.superseded_by)]
    give(form, output, lambda: [each._asdict() for each in chosen], lambda: _register_document(chosen))
    return CLEAN


def _register_document(entries: Sequence[Any]) -> Document:
    from coaxwright.rulebook.sources import KNOWN
    columns = tuple(map(Column, ("figure", "known", "superseded by", "source", "publications", "date")))
    rows = [
        (each.figure, each.known, each.superseded_by, each.source, ", ".join(each.publications), each.date)
        for each in entries
    ]
    counts = ", ".join(f"{sum(each.known == how for each in entries)} {how}" for how in KNOWN)
    superseded = sum(bool(each.superseded_by) for each in entries)
    closing = f"{len(entries)} figures: {superseded} from superseded editions; {counts}."
    return Document("Sources", (Table(columns, rows, caption="Where figures come from"), Paragraph(closing)), closing)


def _row(loaded: LoadedRule) -> dict[str, Any]:
    return {
        "id": loaded.id,
        "topic": loaded.topic,
        "level": loaded.level,
        "title": loaded.title,
        "cases": loaded.cases_count,
    }


def _fact_row(own: OwnFact) -> dict[str, Any]:
    """A fact of the user's as a row among the rules: its level says that it is none."""
    return {
        "id": own.id, "topic": "facts", "level": "fact", "title": own.says, "cases": own.cases,
        "unit": own.declared.unit, "file": own.file, "line": own.line,
    }  # fmt: skip


def _listed(rows: list[dict[str, Any]], facts: list[dict[str, Any]]) -> Iterator[str]:
    width = max(len(row["id"]) for row in [*rows, *facts])
    yield from (f"{row['id']:<{width}}  {row['level']:<7}  {row['title']}" for row in [*rows, *facts])
    yield f"{len(rows)} rules with {sum(row['cases'] for row in rows)} cases."
    if facts:
        yield f"{len(facts)} facts of your own with {sum(row['cases'] for row in facts)} cases."


@click.command(
    "test",
    cls=Exampled,
    examples=(
        "coaxwright rules test",
        "coaxwright rules test power/undervoltage",
        "coaxwright rules test --rules mine",
        "coaxwright rules test power/undervoltage --show 'long thin run'",
    ),
)
@click.argument("rule_ids", metavar="[RULE_ID]...", nargs=-1)
@click.option("--show", metavar="CASE", help="Print the whole site of that case of the one rule named, as YAML.")
@click.option("--parts", "parts_too", is_flag=True, help="With --show: its parts, `case-parts.yaml`.")
@rules_option
@output_option
def test_rules(
    rule_ids: tuple[str, ...], show: str | None, parts_too: bool, extra_rules: tuple[Path, ...], output: Path | None
) -> int:
    """Run the cases of all rules and facts, or of the rules named. Exit status 1 when one does not hold."""
    if parts_too and show is None:
        raise click.UsageError("--parts goes with --show CASE")
    if show is not None and len(rule_ids) != 1:
        raise click.UsageError("--show takes one rule: `coaxwright rules test RULE_ID --show CASE`")
    from coaxwright.checking import load_rulebook
    from coaxwright.fixes.case_proofs import claim_problems
    from coaxwright.rulebook.cases import run_cases

    rulebook = load_rulebook(extra_rules)
    for name in rule_ids:
        if name not in rulebook.by_id:
            from coaxwright.reading.suggest import did_you_mean

            raise Refusal([Problem(name, "is no rule", did_you_mean(name, rulebook.by_id))])
    if show is not None:
        from coaxwright.rulebook.examples import shown_site

        deliver(shown_site(rulebook, rulebook.rule(rule_ids[0]), show)[parts_too], output)
        return CLEAN
    results = run_cases(rulebook, rule_ids or None, prover=claim_problems)
    broken, told = ([], []) if rule_ids else _fact_cases(rulebook)
    show_lines([*told, *_told(results)], output)
    return FINDINGS if broken or any(each.status == "failed" for each in results) else CLEAN


def _fact_cases(rulebook: Rulebook) -> tuple[Sequence[Problem], list[str]]:
    """Cases of declared facts, the program's and the user's, that do not hold, a line each; then the counts."""
    from coaxwright.facts.declared.cases import count as cases_of
    from coaxwright.facts.declared.cases import failing
    from coaxwright.facts.declared.writing import read_files
    from coaxwright.rulebook import own_cases

    reads, own = read_files(), rulebook.own.facts
    broken = [*(problem for each in reads for problem in failing(each)), *own_cases.failing(rulebook)]
    facts = sum(len(each.model.steps) + len(each.model.facts) for each in reads) + len(own)
    verdict = f"{len(broken)} do not hold" if broken else "all hold"
    closing = f"{sum(map(cases_of, reads)) + sum(each.cases for each in own)} cases of {facts} declared facts: {verdict}."
    return broken, [*map(str, broken), closing]


def _told(results: Sequence[Any]) -> list[str]:
    """What does not hold or cannot be run yet, a line each; then the counts."""
    lines = [str(each) for each in results if each.status != "ok"]
    named = [each for each in results if each.case]
    counts = {word: sum(each.status == word for each in named) for word in ("ok", "failed", "todo")}
    rules = {each.rule for each in results}
    short = {each.rule for each in results if not each.case and each.status == "failed"}
    closing = f"{count(len(named), 'case')} of {count(len(rules), 'rule')}: {counts['ok']} hold, {counts['failed']} do not"
    closing += f", {counts['todo']} hold so far but wait for proven fixes" if counts["todo"] else ""
    lack = f"{count(len(short), 'rule')} {'lacks' if len(short) == 1 else 'lack'}"
    closing += f"; {lack} a case that every rule must have" if short else ""
    return [*lines, f"{closing}."]


@click.command(
    "docs",
    cls=Exampled,
    examples=("coaxwright rules docs --check docs/rules", "coaxwright rules docs --write mine"),
)
@click.option("--write", "target", metavar="DIR", type=click.Path(path_type=Path), help="Write the pages into DIR.")
@click.option(
    "--check",
    "existing",
    metavar="DIR",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="Name the pages in DIR that are not what the rules say; exit status 1 when there are any.",
)
@rules_option
def write_pages(target: Path | None, existing: Path | None, extra_rules: tuple[Path, ...]) -> int:
    """Write a page for every rule, or check that those in a folder are fresh."""
    folder = target or existing
    if folder is None or (target and existing):
        raise click.UsageError("give either --write DIR or --check DIR")
    from coaxwright.checking import load_rulebook
    from coaxwright.rulebook import fact_pages, pages

    wanted = fact_pages.book_pages(load_rulebook(extra_rules))
    names = pages.write_pages(wanted, folder) if target else pages.stale_pages(wanted, folder)
    show_lines(names)
    return FINDINGS if existing and names else CLEAN


@click.command("cache", cls=Exampled, examples=("coaxwright rules cache", "coaxwright rules cache --clear"))
@click.option("--clear", is_flag=True, help="Remove everything that is kept; the next run makes it anew.")
def show_cache(clear: bool) -> int:
    """Tell where checked rules and tables are kept between runs, and what lies there; or remove it.

    Nothing in it is believed unless it is whole and of this program's making. Exit status 2 when something could not be
    removed.
    """
    from coaxwright.reading.kept import cache_folder, forget_all, kept_files

    folder, files = cache_folder(), kept_files()
    if folder is None:
        show_lines(["nothing is kept: neither XDG_CACHE_HOME nor HOME names a folder"])
        return CLEAN
    if not clear:
        size = sum(path.lstat().st_size for path in files)
        show_lines([str(folder), f"{len(files)} files, {size / 1e6:.1f} MB"])
        return CLEAN
    left = forget_all()
    if left:
        raise Refusal([Problem(str(path), "could not be removed") for path in left])
    show_lines([str(folder), f"{len(files)} files removed"])
    return CLEAN
