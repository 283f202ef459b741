"""`quiz` for Python callers."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from pathlib import Path
from typing import Any, Literal

from coaxwright.api.results import Result
from coaxwright.api.sites import AnyRules, AnySite, rules_of, site_of
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import scenes, writing
from coaxwright.quiz.bank import Bank, load_bank
from coaxwright.quiz.papers import MOST_PAPERS, Paper, Wanted, make_papers, paper_letters
from coaxwright.quiz.plans import Plan
from coaxwright.quiz.printed import key_data, paper_data
from coaxwright.show.json_text import FORMAT


@immutable
class Quiz(Result):
    """Question papers with computed keys: `papers` in order. Printing one shows the paper without its key."""

    papers: tuple[Paper, ...]
    bank: Bank = field(compare=False, repr=False)

    def paper(self, number: int = 1, form: Literal["md", "html", "csv", "json"] = "md") -> str:
        """Paper `number` (from 1) as text, without its key. Raises Refusal where there is no such paper."""
        return writing.paper_text(self._paper(number), form)

    def key(self, number: int = 1, form: Literal["md", "html", "csv", "json", "gift"] = "md") -> str:
        """The key of paper `number` (from 1) with workings and sources. Raises Refusal where there is none."""
        return writing.key_text(self.bank, self._paper(number), form)

    def _paper(self, number: int) -> Paper:
        if not 1 <= number <= len(self.papers):
            raise Refusal([Problem("", f"there is no paper {number}", f"papers are 1 to {len(self.papers)}")])
        return self.papers[number - 1]

    def to_dict(self) -> dict[str, Any]:
        """Plain values: `papers`, each with `paper` and `key` as in `coaxwright quiz --format json`."""
        told = [{"paper": paper_data(each), "key": key_data(self.bank, each)} for each in self.papers]
        return {"format": FORMAT, "papers": told}

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each question, without its answer: `paper`, `number`, `id`."""
        return [
            {"paper": paper.letter, "number": number, "id": item.id}
            for paper in self.papers
            for number, item in enumerate(paper.items, 1)
        ]

    def page(self) -> str:
        """The first paper as one HTML page, without its key."""
        return self.paper(1, "html")

    def __str__(self) -> str:
        """The first paper as Markdown, without its key."""
        return self.paper()


def quiz(
    site: AnySite | None = None, *, count: int = 10, seed: int = 1, topics: Iterable[str] = (),
    levels: Iterable[Literal["recall", "apply", "analyse"]] = (), blueprint: Mapping[str, int] | None = None,
    papers: int = 1, size: Literal["small", "medium", "large"] = "medium", minutes: int = 0,
    patterns: Iterable[str | os.PathLike[str]] = (), rules: AnyRules = (),
) -> Quiz:  # fmt: skip
    """Make question papers whose answers are computed; the same seed gives the same papers.

    `site` is a plan to ask about, which has to be sound (generated plans where None). `count` questions a paper, or
    `blueprint` with a number for each topic; `papers` parallel ones; `minutes` to be printed; `patterns` folders of
    your own question patterns.

    Returns a `Quiz`. Raises Refusal for a topic that is not there, numbers out of range, or a site that fails.
    """
    _in_range(count, 1, 400, "count")
    _in_range(papers, 1, MOST_PAPERS, "papers")
    _in_range(minutes, 0, 600, "minutes")
    bank = load_bank(rules_of(rules), [Path(each) for each in patterns])
    wanted = Wanted(
        count=count, seed=seed, topics=tuple(dict.fromkeys(topics)), levels=tuple(levels),
        blueprint=tuple((blueprint or {}).items()), letters=paper_letters(papers), size=size,
        plan=None if site is None else _sound(bank, site), minutes=minutes,
    )  # fmt: skip
    return Quiz(make_papers(bank, wanted), bank)


def _in_range(value: int, least: int, most: int, name: str) -> None:
    if not least <= value <= most:
        raise Refusal([Problem("", f"{name}={value} cannot be used", f"{name} is {least} to {most}")])


def _sound(bank: Bank, site: AnySite) -> Plan:
    """The plan of a site. Raises Refusal unless it is sound: questions start from a plan that holds."""
    loaded = site_of(site)
    plan = scenes.given(loaded)
    if not scenes.is_sound(bank, plan):
        right = "check(site) shows what; questions start from a plan that holds"
        raise Refusal([Problem(loaded.file, "something is wrong with this site, or stays open", right)])
    return plan
