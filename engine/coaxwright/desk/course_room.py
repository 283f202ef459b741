"""The course as a room of the page: its addresses, and what its buttons ask."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import parse_qsl, urlencode

from coaxwright.course.cases import case_page
from coaxwright.course.lesson_forms import load_lessons
from coaxwright.course.lessons import lesson_page, lesson_parts
from coaxwright.course.practice import Practice, practice_page
from coaxwright.desk.answers import Act, Download, Held, Request, Shown, once
from coaxwright.desk.arriving import only_file
from coaxwright.desk.room import Room
from coaxwright.desk.training import papers
from coaxwright.desk.training.choosing import HERE, Chosen, case_of, chosen_of, open_site, seed_of, symptoms
from coaxwright.desk.training.looking import choices, looked_at, looked_of
from coaxwright.desk.training.practising import Posed, Progress, Turn, posed, turn_of
from coaxwright.desk.training.solving import steps_of, walked
from coaxwright.desk.views import cases, counter, course, looking
from coaxwright.diagnosis.telling import verdict
from coaxwright.errors import Problem, Refusal
from coaxwright.quiz.bank import Bank, load_bank
from coaxwright.show.forms import rendered
from coaxwright.show.markup import Markup, join
from coaxwright.workspace.protocol import BadRequest, number_of, text_of

_MOST_SEED = 10**9
_MOST_QUESTIONS = 200
"""What is kept of questions: of more, what was asked for longest ago is made again when it is wanted."""
_MOST_ANSWERED, _MOST_TRIES = 2000, 20
"""Questions of which it is remembered what was answered, and answers to one of them."""


def _bank(held: Held) -> Bank:
    bank: Bank = held.kept.get("bank") or load_bank(held.work.rulebook)
    held.kept["bank"] = bank
    return bank


def _progress(held: Held) -> Progress:
    progress: Progress = held.kept.setdefault("progress", Progress())
    return progress


def _posed(held: Held, turn: Turn) -> Posed:
    """The question of a turn, made once."""
    known: dict[Turn, Posed] = held.kept.setdefault("posed", {})
    return once(known, turn, lambda: posed(_bank(held), turn), _MOST_QUESTIONS)


# What is shown


def shown(held: Held, rest: str) -> Markup:
    """The view at an address."""
    task, _, more = rest.partition("/")
    name = task if task in course.TASKS else "practice"
    try:
        content = _SHOWN[name](held, more)
    except Refusal as refusal:
        content = counter.refused(refusal.problems)
    return course.room(name, content)


def _lessons(held: Held, rest: str) -> Markup:
    topic, _, seed = rest.partition("/")
    bank = _bank(held)
    if not topic:
        return course.lessons({name: each.title for name, each in load_lessons(bank).items()})
    title, parts = lesson_parts(bank, topic, seed_of(seed))
    return course.lesson(topic, title, parts, seed_of(seed))


def _practice(held: Held, rest: str) -> Markup:
    turn = turn_of(rest)
    if turn is None:
        return course.topics({topic: len(_bank(held).of([topic])) for topic in _bank(held).topics})
    progress = _progress(held)
    asked = _posed(held, turn)
    outcomes = [_outcome(held, Turn(turn.topic, turn.seed, place)) for place in range(asked.count)]
    return course.practice(turn, asked, progress, outcomes)


def _outcome(held: Held, turn: Turn) -> str:
    """How a question of the round went, by the first of its kind."""
    progress = _progress(held)
    touched = turn in progress.given or turn in progress.shown
    return progress.outcome(turn, _posed(held, turn)) if touched else ""


def _diagnosis(held: Held, rest: str) -> Markup:
    chosen, steps = chosen_of(rest)
    asked = cases.choosing(chosen, held.work.site.name if held.work.is_open else "", symptoms())
    try:
        made, data = case_of(held, chosen)
    except Refusal as refusal:
        return join([asked, counter.refused(refusal.problems)])
    walk = walked(data, len(made.diagnosis.causes), steps_of(steps))
    return join([asked, cases.case(made, data, walk, chosen)])


def _seen(held: Held, rest: str) -> Markup:
    if not held.work.is_open:
        return looking.without_site()
    looked = looked_of(dict(parse_qsl(rest)))
    (devices, known), site = choices(held), open_site(held).site.site
    try:
        found = looked_at(held, looked) if looked.seen else None
    except Refusal as refusal:
        told = counter.refused(refusal.problems)
        return join([looking.looking(site, looked, devices, known, None), told])
    return looking.looking(site, looked, devices, known, found)


def _papers(held: Held, rest: str) -> Markup:
    bank = _bank(held)
    order = papers.order_of(dict(parse_qsl(rest)), bank.topics)
    return course.papers(order, bank.topics, papers.made(bank, order) if rest else ())


def _marking(held: Held, rest: str) -> Markup:
    return course.marking(held.kept.get("marked"))


_SHOWN: dict[str, Callable[[Held, str], Markup]] = {
    "lessons": _lessons, "practice": _practice, "diagnosis": _diagnosis, "seen": _seen, "papers": _papers,
    "marking": _marking,
}  # fmt: skip


# Acts


def _turn(request: Request) -> Turn:
    numbers = [number_of(request, name) for name in ("seed", "place", "variant")]
    if not all(0 <= each <= _MOST_SEED for each in numbers):
        raise BadRequest("`seed`, `place` and `variant` are not below 0")
    return Turn(text_of(request, "topic"), *numbers)


def _answer(held: Held, request: Request) -> Shown:
    """An answer to a question of practice, told at once."""
    turn, given = _turn(request), text_of(request, "given").strip()[:60]
    asked = _posed(held, turn)
    if not given:
        raise BadRequest("there is no answer yet")
    said = once(_progress(held).given, turn, list, _MOST_ANSWERED)
    said[_MOST_TRIES:] = [given]
    marked = asked.marked(given)
    return Shown(
        {"right": marked.right}, say="Right." if marked.right else f"Not yet. {course.why(marked)}", go=turn.address,
        focus=("course-said",),
    )  # fmt: skip


def _working(held: Held, request: Request) -> Shown:
    """The working is looked at: the question counts as not known."""
    turn = _turn(request)
    _posed(held, turn)
    _progress(held).shown.add(turn)
    return Shown(go=turn.address, focus=("h-question",))


def _begin_case(held: Held, request: Request) -> Shown:
    """A case of the site and the symptom that were chosen."""
    chosen = Chosen(text_of(request, "where", "") == HERE, text_of(request, "symptom", ""))
    case_of(held, chosen)
    return Shown(go=chosen.address, focus=("h-case",))


def _look_into(held: Held, request: Request) -> Shown:
    """What could cause what is seen, with the readings that were filled in."""
    looked = looked_of(request)
    if not looked.seen:
        raise Refusal([Problem("", "nothing is told yet", "choose where, and what is seen there")])
    found = looked_at(held, looked)
    return Shown(go=f"/course/seen/{urlencode(looked.fields)}", focus=("h-cause",), say=verdict(found))


def _paper(held: Held, request: Request) -> Shown:
    """A paper as it is ordered, in the address, so that it is shown."""
    order = papers.order_of(request, _bank(held).topics)
    papers.made(_bank(held), order)
    fields = {**{f"topic-{each}": "yes" for each in order.topics}, "count": order.count, "seed": order.seed,
              "papers": order.papers, "size": order.size, "level": order.level, "minutes": order.minutes,
              "form": order.form}  # fmt: skip
    return Shown(go=f"/course/papers/{urlencode(fields)}", focus=("h-made",), say="The paper is made.")


def _mark(held: Held, request: Request) -> Shown:
    held.kept["marked"] = papers.marked(request.get("files"))
    return Shown(go="/course/marking", focus=("h-marked",), say="Marked.")


def _exam(held: Held, request: Request) -> Shown:
    """A whole exam from a project file, as an archive."""
    data = papers.exam_of(_bank(held), papers.text_in(only_file(request)))
    return Shown(file=Download("exam.zip", "application/zip", data), say="exam.zip is downloaded.")


def _file(held: Held, request: Request) -> Shown:
    """What is shown as a file: the bytes of the command line."""
    kind = text_of(request, "file")
    if kind not in _FILES:
        raise BadRequest(f"`file` is one of: {', '.join(_FILES)}")
    made = _FILES[kind](held, request)
    return Shown(file=made, say=f"{made.name} is downloaded.")


def _page(name: str, page: str) -> Download:
    return Download(name, "text/html", page.encode())


def _lesson_file(held: Held, request: Request) -> Download:
    topic = text_of(request, "topic")
    return _page(f"{topic}.html", lesson_page(_bank(held), topic, number_of(request, "seed", 1)))


def _practice_file(held: Held, request: Request) -> Download:
    wanted = Practice((text_of(request, "topic"),), seed=number_of(request, "seed", 1))
    return _page("practice.html", practice_page(_bank(held), wanted))


def _case_file(held: Held, request: Request) -> Download:
    chosen = Chosen(request.get("here") is True, text_of(request, "symptom", ""), number_of(request, "seed", 1))
    return _page("case.html", case_page(case_of(held, chosen)[0]))


def _papers_file(held: Held, request: Request) -> Download:
    order = papers.order_of(request, _bank(held).topics)
    made = papers.paper_files(_bank(held), papers.made(_bank(held), order), order.form)
    return Download("papers.zip", "application/zip", made)


def _results_file(held: Held, request: Request) -> Download:
    sat = held.kept.get("marked")
    if sat is None or sat.document is None:
        raise BadRequest("nothing is marked yet")
    return _page("results.html", rendered(sat.document, "html"))


_FILES: dict[str, Callable[[Held, Request], Download]] = {
    "lesson": _lesson_file, "practice": _practice_file, "case": _case_file, "papers": _papers_file, "results": _results_file,
}  # fmt: skip
ACTS: dict[str, Act] = {
    "course-answer": _answer, "course-working": _working, "course-paper": _paper, "course-mark": _mark, "course-exam": _exam,
    "course-file": _file, "course-case": _begin_case, "course-seen": _look_into,
}  # fmt: skip
ROOM = Room("course", "Course", shown, ACTS)
