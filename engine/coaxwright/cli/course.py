"""`coaxwright course`: what a trainer hands out: exams and their marking, practice, lessons, guided diagnosis."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from coaxwright.cli.groups import Exampled, write_examples
from coaxwright.cli.options import (
    format_option,
    new_output_option,
    output_option,
    patterns_option,
    rules_option,
    seed_option,
)
from coaxwright.cli.output import complain, deliver, deliver_folder

_EXAMPLES = (
    "coaxwright course exam spring.exam.yaml --output spring",
    "coaxwright course mark spring answers.csv --format html --output results.html",
    "coaxwright course practice --topic power --output practice.html",
    "coaxwright course diagnosis --seed 3 --output case.html",
    "coaxwright course lesson power --output power.html",
)


class _Words(click.Group):
    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        write_examples(_EXAMPLES, formatter)
        super().format_help(ctx, formatter)


@click.group(cls=_Words, context_settings={"help_option_names": ["-h", "--help"]})
def course() -> None:
    """Make what a course needs: exams and their marking, practice, lessons, guided diagnosis."""


def _bank(extra_rules: tuple[Path, ...], folders: tuple[Path, ...] = ()) -> Any:
    from coaxwright.checking import load_rulebook
    from coaxwright.quiz.bank import load_bank

    return load_bank(load_rulebook(extra_rules), folders)


@course.command(cls=Exampled, examples=_EXAMPLES[:1])
@click.argument("project", type=click.Path(path_type=Path))
@patterns_option
@rules_option
@new_output_option(
    "--output", metavar="DIR", required=True, help="Write papers, answer sheets and keys as files into DIR."
)
def exam(project: Path, folders: tuple[Path, ...], extra_rules: tuple[Path, ...], output: Path) -> int:
    """Make a whole exam from PROJECT: papers, answer sheets and keys of all versions, and a table for the answers."""
    from coaxwright.course.exams import files_of, make_exam, read_project

    read, bank = read_project(project), _bank(extra_rules, folders)
    papers = make_exam(bank, read, project.parent)
    for paper in papers:
        for complaint in paper.complaints:
            complain(f"paper {paper.letter}: {complaint}")
    deliver_folder(output, files_of(bank, read, papers))
    return 0


@course.command(cls=Exampled, examples=_EXAMPLES[1:2])
@click.argument("folder", metavar="EXAM", type=click.Path(path_type=Path))
@click.argument("answers", type=click.Path(path_type=Path))
@format_option("text", "json", "md", "html", "csv")
@output_option
def mark(folder: Path, answers: Path, form: str, output: Path | None) -> int:
    """Mark ANSWERS (CSV: learner, version, a column for each number) of EXAM, the folder that `course exam` wrote."""
    from coaxwright.course.results import results_data, results_document
    from coaxwright.course.sittings import mark as marked
    from coaxwright.course.sittings import read_answers, read_exam

    held = read_exam(folder)
    sitting = marked(held, read_answers(answers, held))
    if form == "json":
        from coaxwright.show.json_text import to_json

        deliver(to_json(results_data(sitting)), output)
    else:
        from coaxwright.cli.showing import show

        show(results_document(sitting), form, output)
    return 0


@course.command(cls=Exampled, examples=_EXAMPLES[2:3])
@click.option("--topic", "topics", multiple=True, metavar="TOPIC", help="Practise this topic; may be repeated.")
@click.option("--each", type=click.IntRange(1, 9), default=3, show_default=True, help="Questions of each kind.")
@seed_option
@patterns_option
@rules_option
@output_option
def practice(
    topics: tuple[str, ...],
    each: int,
    seed: int,
    folders: tuple[Path, ...],
    extra_rules: tuple[Path, ...],
    output: Path | None,
) -> int:
    """Make one page to practise with, which works from disk and on a phone. It holds the answers."""
    from coaxwright.course.practice import Practice, practice_page

    deliver(practice_page(_bank(extra_rules, folders), Practice(topics, each, seed)), output)
    return 0


@course.command(cls=Exampled, examples=_EXAMPLES[3:4])
@click.argument("site", required=False, type=click.Path(path_type=Path))
@seed_option
@click.option(
    "--cause",
    default="",
    metavar="ID",
    help="The fault to put in, as `diagnose --symptoms --format json` names causes.",
)
@rules_option
@output_option
def diagnosis(site: Path | None, seed: int, cause: str, extra_rules: tuple[Path, ...], output: Path | None) -> int:
    """Make a guided diagnosis as one page: a fault put into SITE (the example of the boatyard otherwise)."""
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.course.cases import case_page, make_case
    from coaxwright.resources import data_root

    where = site or Path(str(data_root("examples"))) / "boatyard" / "alder-wharf.site.yaml"
    deliver(case_page(make_case(load_site(where), load_rulebook(extra_rules), seed, cause)), output)
    return 0


@course.command(cls=Exampled, examples=_EXAMPLES[4:5])
@click.argument("topic", required=False)
@seed_option
@click.option(
    "--all", "every", metavar="DIR", type=click.Path(path_type=Path), help="Write the lessons of all topics into DIR."
)
@rules_option
@output_option
def lesson(topic: str | None, seed: int, every: Path | None, extra_rules: tuple[Path, ...], output: Path | None) -> int:
    """Make the lesson of TOPIC as one page; without a topic, list them."""
    from coaxwright.course.lesson_forms import load_lessons
    from coaxwright.course.lessons import lesson_page

    bank = _bank(extra_rules)
    if every is not None:
        deliver_folder(every, {f"{name}.html": lesson_page(bank, name, seed) for name in load_lessons(bank)})
    elif topic is None:
        deliver("".join(f"{name:10} {each.title}\n" for name, each in load_lessons(bank).items()), output)
    else:
        deliver(lesson_page(bank, topic, seed), output)
    return 0
