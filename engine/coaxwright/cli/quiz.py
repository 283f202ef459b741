"""`coaxwright quiz`: makes question papers with keys apart; marks answers; runs the cases of question patterns."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.groups import Exampled, write_examples
from coaxwright.cli.handed import Bank, Plan, Wanted
from coaxwright.cli.options import (
    format_option,
    new_output_option,
    output_option,
    patterns_option,
    rules_option,
    seed_option,
)
from coaxwright.cli.output import complain, deliver, deliver_folder
from coaxwright.errors import Problem, Refusal


class _Words(click.Group):
    """`quiz mark`, `quiz patterns` and `quiz test` by name; anything else is a call of `quiz make`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        if not args or args[0] not in (*self.commands, "--help", "-h"):
            args = ["make", *args]
        return super().parse_args(ctx, args)

    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        write_examples(_EXAMPLES, formatter)
        super().format_help(ctx, formatter)


_EXAMPLES = (
    "coaxwright quiz --topic power --count 10 --seed 7 --format html --output papers",
    'coaxwright quiz --blueprint "4 power, 3 signal, 3 storage" --papers 3 --output papers',
    "coaxwright quiz boatyard.site.yaml --count 6",
    "coaxwright quiz mark papers/key-A.json answers.csv",
)


@click.group(cls=_Words, context_settings={"help_option_names": ["-h", "--help"]})
def quiz() -> None:
    """Make question papers whose answers are computed; mark what comes back.

    `coaxwright quiz make --help` shows the options of making, and `make` may be left out.
    """


@quiz.command(cls=Exampled, examples=_EXAMPLES[:3])
@click.argument("site", required=False, type=click.Path(path_type=Path))
@click.option("--topic", "topics", multiple=True, metavar="TOPIC", help="Ask about this topic; may be repeated.")
@click.option(
    "--level", "levels", multiple=True, type=click.Choice(["recall", "apply", "analyse"]), help="May be repeated."
)
@click.option("--count", type=click.IntRange(1, 400), default=10, show_default=True, help="Questions on a paper.")
@click.option("--blueprint", metavar="TEXT", help='Questions by topic, as in "4 power, 3 signal".')
@seed_option
@click.option("--papers", type=click.IntRange(1, 26), default=1, show_default=True, help="Parallel papers A, B, C ...")
@click.option("--size", type=click.Choice(["small", "medium", "large"]), default="medium", show_default=True,
              help="Size of generated plans.")  # fmt: skip
@patterns_option
@click.option("--key", "show_key", is_flag=True, help="Print the key instead of the paper.")
@click.option("--minutes", type=click.IntRange(0, 600), default=0, help="Time to be printed on the paper, in minutes.")
@format_option("md", "html", "json", "qti", "qti3", "gift", "csv")
@rules_option
@new_output_option("--output", metavar="DIR", help="Write papers and keys as files into DIR.")
def make(site: Path | None, form: str, output: Path | None, show_key: bool, **ordered: Any) -> int:
    """Make papers from generated plans, or from SITE, which has to be sound.

    Without --output one paper goes to standard output, without its key; JSON holds both.
    """
    from coaxwright.quiz.papers import make_papers

    bank = _bank(ordered["extra_rules"], ordered["folders"])
    papers = make_papers(bank, _wanted(bank, site, ordered))
    for paper in papers:
        for complaint in paper.complaints:
            complain(f"paper {paper.letter}: {complaint}")
    if output is not None:
        from coaxwright.quiz.writing import files_of

        deliver_folder(output, files_of(bank, papers, form))
    else:
        _print(bank, papers, form, show_key)
    return 0


def _bank(extra_rules: tuple[Path, ...], folders: tuple[Path, ...] = ()) -> Bank:
    from coaxwright.checking import load_rulebook
    from coaxwright.quiz.bank import load_bank

    return load_bank(load_rulebook(extra_rules), folders)


def _wanted(bank: Bank, site: Path | None, ordered: dict[str, Any]) -> Wanted:
    from coaxwright.quiz.papers import Wanted, paper_letters

    return Wanted(
        count=ordered["count"], seed=ordered["seed"], topics=tuple(dict.fromkeys(ordered["topics"])),
        levels=ordered["levels"], blueprint=_blueprint(ordered["blueprint"]),
        letters=paper_letters(ordered["papers"]), size=ordered["size"], plan=_plan(bank, site),
        minutes=ordered["minutes"],
    )  # fmt: skip


def _blueprint(text: str | None) -> tuple[tuple[str, int], ...]:
    """`4 power, 3 signal` as pairs."""
    pairs = []
    for piece in text.split(",") if text else ():
        found = re.fullmatch(r"\s*([1-9][0-9]{0,2})\s+([a-z-]+)\s*", piece)
        if found is None:
            raise click.UsageError(
                f"`{piece.strip()}` is no part of a blueprint: write a number and a topic, as in 4 power"
            )
        pairs.append((found[2], int(found[1])))
    return tuple(pairs)


def _plan(bank: Bank, site: Path | None) -> Plan | None:
    """The plan of a site that was given; Refusal unless it is sound."""
    if site is None:
        return None
    from coaxwright.checking import load_site
    from coaxwright.quiz import scenes

    plan = scenes.given(load_site(site))
    if not scenes.is_sound(bank, plan):
        right = f"`coaxwright check {site}` shows what; questions start from a plan that holds"
        raise Refusal([Problem(str(site), "something is wrong with this site, or stays open", right)])
    return plan


def _print(bank: Bank, papers: Sequence[Any], form: str, show_key: bool) -> None:
    from coaxwright.quiz import writing

    if form in writing.PACKAGES or (len(papers) > 1 and form != "json"):
        raise click.UsageError("several papers, or a package, need --output DIR")
    if form == "gift" and not show_key:
        raise click.UsageError("this format holds answers: add --key, or --output DIR for paper and key apart")
    if form == "json":
        deliver(writing.both(bank, papers))
    elif show_key:
        deliver(writing.key_text(bank, papers[0], form))
    else:
        deliver(writing.paper_text(papers[0], form))


@quiz.command(cls=Exampled, examples=_EXAMPLES[3:])
@click.argument("key", type=click.Path(path_type=Path))
@click.argument("answers", type=click.Path(path_type=Path))
@format_option("text", "json")
@output_option
def mark(key: Path, answers: Path, form: str, output: Path | None) -> int:
    """Mark the table ANSWERS (CSV by item id) against KEY (the key-*.json beside a paper)."""
    from coaxwright.quiz import marked_text, marking
    from coaxwright.show.json_text import to_json

    held = marking.read_key(key)
    result = marking.mark(held, marking.read_answers(answers, held))
    deliver(to_json(marked_text.as_data(result)) if form == "json" else marked_text.as_text(result), output)
    return 0


@quiz.command()
@click.option(
    "--patterns", "folders", multiple=True, metavar="DIR", type=click.Path(path_type=Path), help="Your own patterns."
)
@click.option("--try", "tried_id", metavar="ID", help="Show ten draws of this pattern side by side, and why others fail.")
@seed_option
@format_option("text", "json", "md", "html", "csv")
@rules_option
@output_option
def patterns(
    folders: tuple[Path, ...], tried_id: str | None, seed: int, form: str, extra_rules: tuple[Path, ...],
    output: Path | None,
) -> int:  # fmt: skip
    """List the question patterns, or try one."""
    from coaxwright.show.json_text import to_json

    bank = _bank(extra_rules, folders)
    if tried_id is not None:
        return _try(bank, tried_id, seed, form, output)
    if form not in ("text", "json"):
        raise click.UsageError(f"the list of patterns is text or json; {form} goes with --try ID")
    rows = [
        {"id": each.id, "kind": each.form.kind, "level": each.form.level, "title": each.form.title,
         "cases": len(bank.cases[each.id][1].cases) if each.id in bank.cases else 0}
        for each in bank.patterns
    ]  # fmt: skip
    lines = [f"{row['id']:28} {row['kind']:13} {row['level']:8} {row['title']}\n" for row in rows]
    deliver(to_json(rows) if form == "json" else "".join(lines), output)
    return 0


def _try(bank: Bank, identifier: str, seed: int, form: str, output: Path | None) -> int:
    """Ten draws of a pattern; exit status 1 where one of them comes to no question."""
    from coaxwright.cli.showing import give
    from coaxwright.quiz.trying import tried, tried_data, tried_document
    from coaxwright.reading.suggest import did_you_mean

    known = {pattern.id: pattern for pattern in bank.patterns}
    if identifier not in known:
        right = did_you_mean(identifier, known) or "`coaxwright quiz patterns` lists them"
        raise Refusal([Problem("--try", f"there is no pattern `{identifier}`", right)])
    found = tried(bank, known[identifier], seed)
    give(form, output, lambda: tried_data(known[identifier], found), lambda: tried_document(known[identifier], found))
    return int(any(each.item is None for each in found))


@quiz.command()
@click.option(
    "--patterns", "folders", multiple=True, metavar="DIR", type=click.Path(path_type=Path), help="Your own patterns."
)
@rules_option
def test(folders: tuple[Path, ...], extra_rules: tuple[Path, ...]) -> int:
    """Run the cases of the question patterns, and make one question of each."""
    from coaxwright.quiz.cases import run_cases
    from coaxwright.quiz.making import Order, make_item

    bank = _bank(extra_rules, folders)
    results = list(run_cases(bank))
    failed = [str(result) for result in results if result.problems]
    for pattern in bank.patterns:
        try:
            make_item(bank, Order(pattern, "test", 1))
        except Refusal as refusal:
            failed += [str(problem) for problem in refusal.problems]
    deliver(
        "".join(f"{line}\n" for line in failed)
        + f"{len(results)} cases, {len(bank.patterns)} patterns: {len(failed)} failed\n"
    )
    return 1 if failed else 0
