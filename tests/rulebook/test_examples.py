"""`rules test --show` and the examples of rule pages, judged again by the whole program: what is printed is a site."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from coaxwright.checking import check, load_rulebook
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.rulebook.examples import PARTS_FILE, pairs, shown_site


def test_a_shown_case_loads_and_fails_as_the_case_says(tmp_path: Path) -> None:
    """`long thin run` fails on cameras/c1, by its own file."""
    book = load_rulebook()
    site, parts = shown_site(book, book.rule("power/undervoltage"), "long thin run")
    (tmp_path / PARTS_FILE).write_text(parts, encoding="utf-8")
    (tmp_path / "case.site.yaml").write_text(site, encoding="utf-8")
    report = check(tmp_path / "case.site.yaml")
    assert ("power/undervoltage", "cameras/c1") in {each.key for each in report.findings}


@pytest.mark.parametrize("topic", sorted({rule.topic for rule in load_rulebook().rules}))
def test_the_first_case_of_every_topic_is_yaml_of_the_same_value(topic: str) -> None:
    """Read by another reader (PyYAML), names of sites and parts are those of the case."""
    book = load_rulebook()
    rule = next(rule for rule in book.rules if rule.topic == topic)
    site, parts = shown_site(book, rule, rule.cases[0]["name"])
    assert yaml.safe_load(site)["parts"] == [PARTS_FILE]
    assert yaml.safe_load(site)["site"]
    assert yaml.safe_load(parts)["parts"]


def test_a_case_that_is_none_is_refused_with_those_there_are() -> None:
    book = load_rulebook()
    with pytest.raises(Refusal) as refused:
        shown_site(book, book.rule("power/undervoltage"), "long thin rum")
    assert "long thin run" in str(refused.value)


def test_nearly_every_page_has_an_example_and_its_mending() -> None:
    found = pairs(load_rulebook())
    assert len(found) >= 0.9 * len(load_rulebook().rules)
    assert all(each.example != each.instead for each in found.values())
    page = "".join(found["power/undervoltage"])
    assert "dc-0.75mm2-outdoor" in page
    assert "dc-1.5mm2-outdoor" in page


def test_show_prints_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "test", "power/undervoltage", "--show", "long thin run"]) == 0
    assert "dc-0.75mm2-outdoor" in capsys.readouterr().out
