"""`coaxwright course`: what a trainer hands out: exams and their marking, practice, lessons, guided diagnosis."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from coaxwright.cli.groups import Exampled, write_examples
from coaxwright.cli.handed import Bank, Exam
from coaxwright.cli.options import (
    format_option,
    is_free,
    new_output_option,
    output_option,
    patterns_option,
    rules_option,
    seed_option,
)
from coaxwright.cli.output import complain, deliver, deliver_bytes, deliver_folder

_EXAMPLES = (
    "coaxwright course exam spring.exam.yaml --output spring",
    "coaxwright course mark spring answers.csv --format html --output results.html",
    "coaxwright course practice --topic power --output practice.html",
    "coaxwright course diagnosis --seed 3 --output case.html",
    "coaxwright course lesson power --output power.html",
    "coaxwright course mark spring answers.csv --all spring-results",
    "coaxwright course history autumn-results spring-results",
    "coaxwright course forget 'Bo Ek' spring-results answers.csv",
    "coaxwright course calibrate autumn-results spring-results --format json --output calibrated.json",
)


class _Words(click.Group):
    def format_help(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        write_examples(_EXAMPLES, formatter)
        super().format_help(ctx, formatter)


@click.group(cls=_Words, context_settings={"help_option_names": ["-h", "--help"]})
def course() -> None:
    """Make what a course needs: exams and their marking, practice, lessons, guided diagnosis."""


def _bank(extra_rules: tuple[Path, ...], folders: tuple[Path, ...] = ()) -> Bank:
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


@course.command(cls=Exampled, examples=(_EXAMPLES[1], _EXAMPLES[5]))
@click.argument("folder", metavar="EXAM", type=click.Path(path_type=Path))
@click.argument("answers", type=click.Path(path_type=Path))
@click.option("--strike", multiple=True, type=click.IntRange(1), metavar="N",
              help="Count question N for nobody, since it is at fault; may be repeated.")  # fmt: skip
@click.option("--all", "every", metavar="DIR", type=click.Path(path_type=Path), callback=is_free("--replace"),
              help="Write results into DIR, sheets for learners, certificates, a workbook, questions without names.")  # fmt: skip
@format_option("text", "json", "md", "html", "csv", "xlsx")
@output_option
def mark(
    folder: Path, answers: Path, strike: tuple[int, ...], every: Path | None, form: str, output: Path | None
) -> int:
    """Mark ANSWERS (CSV: learner, version, a column for each number) of EXAM, the folder that `course exam` wrote."""
    from coaxwright.course.sittings import read_answers, read_exam, struck_out

    held = read_exam(folder)
    rows = read_answers(answers, held)
    if strike:
        held, rows = struck_out(held, rows, strike)
    if every is not None:
        from coaxwright.course.sitting_folder import sitting_files

        deliver_folder(every, sitting_files(held, rows, every))
    else:
        _results(held, rows, form, output)
    return 0


def _results(held: Exam, rows: list[Any], form: str, output: Path | None) -> None:
    from coaxwright.course.results import results_data, results_document
    from coaxwright.course.sittings import mark as marked

    sitting = marked(held, rows)
    if form == "xlsx":
        from coaxwright.course.result_tables import results_workbook

        if output is None:
            raise click.UsageError("a workbook needs --output FILE")
        deliver_bytes(results_workbook(sitting, str(output)), output)
        return
    from coaxwright.cli.showing import give

    give(form, output, lambda: results_data(sitting), lambda: results_document(sitting))


@course.command(cls=Exampled, examples=_EXAMPLES[6:7])
@click.argument("folders", metavar="DIR...", nargs=-1, required=True, type=click.Path(path_type=Path))
@format_option("text", "json", "md", "html", "csv")
@output_option
def history(folders: tuple[Path, ...], form: str, output: Path | None) -> int:
    """Tell how kinds of question did over sittings: each DIR was written by `course mark --all`. No names are read."""
    from coaxwright.cli.showing import give
    from coaxwright.course.history import history_data, history_document, read_history

    asked = read_history(folders)
    give(form, output, lambda: history_data(asked), lambda: history_document(asked))
    return 0


@course.command(cls=Exampled, examples=_EXAMPLES[8:9])
@click.argument("sittings", metavar="DIR...", nargs=-1, required=True, type=click.Path(path_type=Path))
@patterns_option
@rules_option
@format_option("text", "json", "md", "html", "csv")
@output_option
def calibrate(
    sittings: tuple[Path, ...], folders: tuple[Path, ...], extra_rules: tuple[Path, ...], form: str, output: Path | None
) -> int:
    """Tell how hard kinds of question are by what was answered: each DIR was written by `course mark --all`.

    Few answers count little beside the estimate. `difficulty:` of an exam project takes the JSON.
    """
    from coaxwright.cli.showing import give
    from coaxwright.course.calibration import calibrated, calibration_data, calibration_document, estimates
    from coaxwright.course.history import read_history

    asked = read_history(sittings)
    bank = _bank(extra_rules, folders)
    found = calibrated(asked, estimates(bank, sorted({each.pattern for each in asked})))
    give(form, output, lambda: calibration_data(found), lambda: calibration_document(found))
    return 0


@course.command(cls=Exampled, examples=_EXAMPLES[7:8])
@click.argument("name")
@click.argument("places", metavar="PLACE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--preview", is_flag=True, help="Say what would be removed; write nothing.")
def forget(name: str, places: tuple[Path, ...], preview: bool) -> int:
    """Remove the learner NAME from each PLACE: a folder of sittings (`course mark --all`), or a table of answers.

    Says what was removed from which file. Exit status 1 where a file of these folders still holds the name.
    """
    from coaxwright.course.forgetting import carry_out, removal, still_named

    found = removal(name, places)
    if not preview:
        carry_out(found)
    deliver("".join(f"{change.path}: {change.said}\n" for change in found.changes))
    left = [] if preview else still_named(found, places)
    for path in left:
        complain(f"{path}: still holds the name; it was not written by `course mark --all`: look at it by hand")
    return 1 if left else 0


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
@click.option("--symptom", default="", metavar="ID", help="What the fault is to show, as `diagnose --symptoms` names it.")
@click.option("--broken", metavar="FILE", type=click.Path(path_type=Path), help="SITE with a fault of your own in it.")
@rules_option
@output_option
def diagnosis(
    site: Path | None, seed: int, cause: str, symptom: str, broken: Path | None, extra_rules: tuple[Path, ...],
    output: Path | None,
) -> int:  # fmt: skip
    """Make a guided diagnosis as one page: a fault put into SITE (the example of the boatyard otherwise)."""
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.course.cases import case_of_own, case_page, make_case
    from coaxwright.resources import data_root

    where = site or Path(str(data_root("examples"))) / "boatyard" / "alder-wharf.site.yaml"
    drawn, rulebook = load_site(where), load_rulebook(extra_rules)
    if broken is None:
        made = make_case(drawn, rulebook, seed, cause, symptom)
    elif site is None or cause:
        raise click.UsageError("--broken needs SITE, the same without the fault, and no --cause")
    else:
        made = case_of_own(drawn, load_site(broken), rulebook, seed, symptom)
    deliver(case_page(made), output)
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
