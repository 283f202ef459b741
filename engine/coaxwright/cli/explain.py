"""`coaxwright explain`: why a rule exists, or every fact of a subject with its working."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from coaxwright.cli import depends, failing, where
from coaxwright.cli.contradictions import tell_of_site
from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import FactShown
from coaxwright.cli.options import format_option, output_option, rules_option
from coaxwright.cli.output import deliver
from coaxwright.cli.showing import give, lines
from coaxwright.errors import Problem, Refusal
from coaxwright.show.json_text import to_json
from coaxwright.show.painter import visible
from coaxwright.show.tree import Document, Item, Listing


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright explain power/undervoltage",
        "coaxwright explain boatyard.site.yaml cameras/slipway --provenance",
        "coaxwright explain boatyard.site.yaml",
        "coaxwright explain boatyard.site.yaml --failures",
        "coaxwright explain boatyard.site.yaml cameras/slipway feed.volts_night --used-by",
    ),
)
@click.argument("words", metavar="RULE_ID | SITE [SUBJECT [FACT]]", nargs=-1)
@click.option("--provenance", is_flag=True, help="Tell of every fact what it rests on: what is stated, and what is assumed.")
@click.option(
    "--failures", is_flag=True, help="List every part of SITE with which cameras go dark if it fails, most cameras first."
)
@click.option("--uses", is_flag=True, help="Tell what the facts of SUBJECT, or FACT alone, are worked out from.")
@click.option("--used-by", is_flag=True, help="Tell what is worked out from them: facts, and rules that see them.")
@click.option(
    "--where",
    "condition",
    metavar="CONDITION",
    help="List the subjects of SITE for which it holds: 'feed.volts_night < feed.load.volts_min'.",
)
@format_option("text", "json")
@rules_option
@output_option
def explain(
    words: tuple[str, ...], provenance: bool, failures: bool, uses: bool, used_by: bool, condition: str | None, form: str,
    extra_rules: tuple[Path, ...], output: Path | None,
) -> int:
    """Tell why the rule RULE_ID exists; or show every fact of SUBJECT at SITE with its working, and which cameras go
    dark if it fails.

    SITE alone lists its subjects.
    """
    if condition is not None:
        if len(words) != 1:
            raise click.UsageError("name a site, and no subject, with --where")
        where.listing(words[0], condition, form, extra_rules, output)
    elif failures:
        if len(words) != 1:
            raise click.UsageError("name a site, and no subject, with --failures")
        failing.listing(words[0], form, output)
    elif uses or used_by:
        if len(words) not in (2, 3):
            raise click.UsageError("name a site and one of its subjects, and a fact of it where one is meant")
        depends.told(words[0], words[1:], form, (uses, used_by), extra_rules, output)
    elif len(words) == 2:
        _facts(words[0], words[1], form, provenance, extra_rules, output)
    elif len(words) == 1 and _is_site(words[0]):
        _subjects(words[0], form, output)
    elif len(words) == 1:
        deliver(_rule(words[0], form, extra_rules), output)
    else:
        raise click.UsageError("name a rule, or a site and one of its subjects")
    return 0


def _is_site(word: str) -> bool:
    return word.endswith((".yaml", ".yml")) or Path(word).is_file()


def _rule(name: str, form: str, extra_rules: tuple[Path, ...]) -> str:
    from coaxwright.checking import load_rulebook
    from coaxwright.rulebook.builtin import BUILT_IN
    from coaxwright.rulebook.pages import NOTICE
    from coaxwright.show.plain_data import plain

    rulebook = load_rulebook(extra_rules)
    if name not in rulebook.by_id and name not in BUILT_IN:
        from coaxwright.reading.suggest import did_you_mean

        right = did_you_mean(name, [*rulebook.by_id, *BUILT_IN]) or "`coaxwright rules list` lists all rules"
        raise Refusal([Problem(name, "is no rule, and no file of a site", right)])
    if form == "text":
        return _shown(rulebook.page(name).removeprefix(f"{NOTICE}\n").lstrip())
    return to_json(plain(BUILT_IN[name] if name in BUILT_IN else rulebook.rule(name).plain))


def _subjects(site: str, form: str, output: Path | None) -> None:
    from coaxwright.checking import check

    subjects = list(check(site).facts)
    give(form, output, lambda: subjects, lambda: Document("", (lines(subjects),)))


def _facts(
    site: str, subject: str, form: str, provenance: bool, extra_rules: tuple[Path, ...], output: Path | None
) -> None:
    from coaxwright.checking import explain_subject, load_rulebook, load_site, silent_about
    from coaxwright.show.plain_data import plain

    loaded = load_site(site)
    tell_of_site(loaded)
    rulebook = load_rulebook(extra_rules) if extra_rules else None
    facts = explain_subject(loaded, subject, provenance=provenance, rulebook=rulebook)
    left_out = () if provenance else ("provenance",)

    def data() -> object:
        told = [*map(plain, facts), *failing.of_subject(loaded, subject)]
        return [{name: each for name, each in fact.items() if name not in left_out} for fact in told]

    def document() -> Document:
        silent = _silent(silent_about(loaded, subject, rulebook))
        rest = (lines(failing.lines_of_subject(loaded, subject)), lines(silent))
        return Document("", (lines([subject]), *(lines([_fact(fact)]) for fact in facts), *rest))

    give(form, output, data, document)


def _fact(fact: FactShown) -> Item:
    """A fact, what it means, how it came about, where its figures are from, and what it rests on."""
    from coaxwright.facts.provenance import words
    from coaxwright.show.values import value_words

    rests = words(fact.provenance) if fact.provenance else ()
    below = (lines([fact.doc]), Listing(fact.working, whole=True), lines(rests))
    return Item(f"{fact.name}: {value_words(fact.value, fact.unit)}", below)


def _silent(silent: Sequence[Any]) -> list[Item]:
    """Rules that were not judged of it."""

    said = [f"{each.rule}: {each.because} ({each.silenced_by})" for each in silent]
    head = "Not judged here, since another rule fails and leaves nothing to ask:"
    return [Item(head, (Listing(said, whole=True),))] if said else []


def _shown(text: str) -> str:
    return "\n".join(visible(line) for line in text.split("\n")).rstrip("\n") + "\n"
