"""The public frame: pages that the site's list names are there, links lead somewhere, forms and fragments are whole."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted([*ROOT.glob("docs/*.md"), *ROOT.glob("docs/python/*.md"), *ROOT.glob(".github/*.md")])
TYPES = {"verdict", "figure", "rule", "format", "added", "fixed"}


def _leaves(node: object) -> list[str]:
    if isinstance(node, str):
        return [node]
    inner = node.values() if isinstance(node, dict) else node
    return [leaf for each in inner for leaf in _leaves(each)]  # type: ignore[attr-defined]


def test_the_list_of_pages_is_whole() -> None:
    config = yaml.safe_load((ROOT / ".github" / "mkdocs.yml").read_text(encoding="utf-8"))
    named = _leaves(config["nav"])
    assert len(named) == len(set(named)) > 25
    assert [name for name in named if not (ROOT / "docs" / name).exists()] == []
    assert "plugins" not in config


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_links_between_pages_lead_somewhere(page: Path) -> None:
    text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL)
    targets = re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text)
    missing = [each for each in targets if ":" not in each and not (page.parent / each).exists()]
    assert missing == []


@pytest.mark.parametrize("form", sorted(ROOT.glob(".github/ISSUE_TEMPLATE/*.yml")), ids=lambda form: form.stem)
def test_forms_ask_for_what_is_needed(form: Path) -> None:
    data = yaml.safe_load(form.read_text(encoding="utf-8"))
    assert {"name", "description", "body"} <= data.keys()
    asked = [each["id"] for each in data["body"]]
    assert len(asked) == len(set(asked))
    assert any(each.get("validations", {}).get("required") for each in data["body"])


def test_fragments_have_a_type_and_say_something() -> None:
    for path in ROOT.glob("docs/changes/*.md"):
        assert path.name.split(".")[-2] in TYPES, path.name
        assert path.read_text(encoding="utf-8").strip().endswith(".")


def test_the_package_says_what_it_is() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["keywords"]
    assert "Typing :: Typed" in project["classifiers"]
