"""Long work tells how far it is and stops in time; nothing here waits for a clock."""

from __future__ import annotations

import io
from typing import Any

from coaxwright import pace
from coaxwright.cli.progress import Teller


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def test_steps_go_to_who_listens_and_to_nobody_else() -> None:
    heard: list[tuple[str, int, int | None]] = []
    pace.step("pairs", 1, 2)
    with pace.heard_by(lambda *step: heard.append(step)):
        assert list(pace.counted("ab", "letters")) == ["a", "b"]
        assert list(pace.counted(iter("c"), "signs")) == ["c"]
        with pace.heard_by(None):
            pace.step("silent", 1)
        pace.step("pairs", 3)
    pace.step("pairs", 2, 2)
    assert heard == [("letters", 0, 2), ("letters", 1, 2), ("signs", 0, None), ("pairs", 3, None)]


def test_a_search_is_stopped_once_the_time_is_over_and_its_result_knows() -> None:
    clock = Clock()
    limit = pace.TimeLimit(5.0, clock)
    assert not pace.out_of_time()
    with pace.within(limit):
        assert not pace.out_of_time()
        clock.now = 5.0
        assert not limit.stopped, "who never asks was never stopped"
        assert pace.out_of_time()
    assert limit.stopped
    assert not pace.out_of_time()
    endless = pace.TimeLimit(None, clock)
    clock.now = 1e12
    assert not endless.over()


def told(on_terminal: bool, moments: list[float]) -> str:
    clock, stream = Clock(), io.StringIO()
    teller = Teller(stream, on_terminal, clock)
    for done, clock.now in enumerate(moments):
        teller("sites", done, 100)
    teller.wipe()
    return stream.getvalue()


def test_short_work_is_not_told_of() -> None:
    assert told(True, [0.0, 0.5, 0.9]) == ""
    assert told(False, [0.0, 5.0, 9.9]) == ""


def test_a_log_gets_whole_lines_now_and_then() -> None:
    assert told(False, [1.0, 10.0, 11.0, 19.0, 20.5]) == "coaxwright: 1 of 100 sites\ncoaxwright: 4 of 100 sites\n"


def test_a_terminal_gets_one_line_which_is_wiped() -> None:
    text = told(True, [1.0, 1.1, 1.3])
    assert "\n" not in text
    assert "\x1b" not in text, "terminals that know no escapes show it too"
    *lines, blank, end = text.split("\r")[1:]
    assert [line.rstrip() for line in lines] == ["coaxwright: 0 of 100 sites", "coaxwright: 2 of 100 sites"]
    assert blank == " " * len("coaxwright: 0 of 100 sites")
    assert end == ""


def test_a_closed_stream_ends_nothing() -> None:
    clock, stream = Clock(), io.StringIO()
    teller = Teller(stream, True, clock)
    stream.close()
    clock.now = 50.0
    teller("sites", 1, None)
    teller.wipe()


def test_the_line_is_wiped_before_a_result_or_a_complaint(monkeypatch: Any) -> None:
    from coaxwright.cli import output, progress

    stream = io.StringIO()
    monkeypatch.setattr("sys.stderr", stream)
    with progress.progress():
        progress._telling[-1]._on_terminal = True
        progress._telling[-1]._next = 0.0
        pace.step("sites", 1, 2)
        output.complain("something is wrong")
    assert stream.getvalue().endswith("\r" + " " * 24 + "\rsomething is wrong\n")
