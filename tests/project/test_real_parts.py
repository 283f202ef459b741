"""The group of tests behind COAXWRIGHT_REAL: who is of it, and that everything runs before a change is taken."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.real_parts import SWITCH, leave_out

ROOT = Path(__file__).resolve().parents[2]


class Test:
    """A test as far as the switch looks at it."""

    __test__ = False

    def __init__(self, *marks: pytest.MarkDecorator, fixtures: tuple[str, ...] = ()) -> None:
        self.marks = [each.mark for each in marks]
        self.fixturenames = fixtures

    def get_closest_marker(self, name: str) -> pytest.Mark | None:
        return next((each for each in self.marks if each.name == name), None)

    def add_marker(self, mark: pytest.MarkDecorator) -> None:
        self.marks.append(mark.mark)

    @property
    def why(self) -> str | None:
        """Why it is skipped, if it is."""
        skip = self.get_closest_marker("skip")
        return skip and str(skip.kwargs["reason"])


def test_what_drives_another_program_is_left_out_and_says_so() -> None:
    plain, page = Test(), Test(fixtures=("tmp_path", "chromium"))
    office, kept = Test(pytest.mark.real("LibreOffice")), Test(pytest.mark.by_default, fixtures=("chromium",))
    slow = Test(pytest.mark.slow("ten seconds of work"))
    leave_out([plain, page, office, kept, slow])  # type: ignore[list-item]
    assert [plain.why, kept.why] == [None, None]
    assert page.why == f"Chromium at work: {SWITCH}=1 runs it"
    assert slow.why == f"ten seconds of work: {SWITCH}=1 runs it"
    assert office.why == f"LibreOffice at work: {SWITCH}=1 runs it"


def test_nothing_of_it_is_left_out_before_a_change_is_taken() -> None:
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    switched = lines.index(f"export {SWITCH}=1")
    assert switched < next(number for number, line in enumerate(lines) if line.startswith('step "tests: $test_command"'))


@pytest.mark.parametrize("test", ["tests/desk/test_journey.py", "tests/desk/test_firefox.py", "tests/report/test_browser.py"])
def test_each_browser_and_a_report_stand_for_the_others(test: str) -> None:
    assert "mark.by_default" in (ROOT / test).read_text(encoding="utf-8")
