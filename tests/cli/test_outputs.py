"""`--output` of every command: nothing that is there is lost unless the call says so. `--time-limit` of searches."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from coaxwright.cli.main import group, run

ROOT = Path(__file__).resolve().parents[2]
SITE = str(ROOT / "examples" / "cider-press" / "quill-orchard.site.yaml")
PARTS = str(ROOT / "examples" / "boatyard" / "parts" / "*.yaml")
CALLS = {
    "check": ["check", SITE], "report": ["report", SITE], "explain": ["explain", "power/undervoltage"],
    "fix": ["fix", SITE, "--on", "no/such"], "limits": ["limits", SITE, "site"],
    "what-if": ["what-if", SITE, "--set", "retention=5 days"],
    "compare": ["compare", SITE, SITE], "pack": ["pack", SITE],
    "pair": ["pair", "fennick/turret-5", "tarnwell/hybrid-8", "--parts", PARTS],
    "kit check": ["kit", "check", "x/y"], "rules list": ["rules", "list"], "rules test": ["rules", "test"],
    "parts list": ["parts", "list"], "parts show": ["parts", "show", "rg59-copper"], "parts new": ["parts", "new", "camera"],
    "parts check": ["parts", "check", PARTS], "parts import": ["parts", "import", "x.csv", "--kind", "camera"],
    "schedule export": ["schedule", "export", SITE], "schema": ["schema", "site"], "quiz make": ["quiz", "make"],
    "quiz mark": ["quiz", "mark", "k.json", "a.csv"], "diagnose": ["diagnose", "--symptoms"],
}  # fmt: skip
ELSEWHERE = {"schedule import": "never replaces a site: --site updates it"}


def _commands(command: click.Command, name: str = "") -> Iterator[tuple[str, click.Command]]:
    if isinstance(command, click.Group):
        context = click.Context(command)
        for each in command.list_commands(context):
            below = command.get_command(context, each)
            assert below is not None
            yield from _commands(below, f"{name} {each}".strip())
    else:
        yield name, command


def test_every_command_with_an_output_can_say_replace() -> None:
    found = dict(_commands(group))
    with_output = {name for name, each in found.items() if any("--output" in one.opts for one in each.params)}
    assert set(CALLS) <= with_output
    for name in with_output - set(ELSEWHERE):
        flags = {flag for one in found[name].params for flag in one.opts}
        assert flags & {"--replace", "--replace-file"}, name


@pytest.mark.parametrize("name", CALLS)
def test_what_is_there_stays(name: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """Before any work: that the parts and tables of some calls are not there is never come to."""
    file, folder = tmp_path / "file.xlsx", tmp_path / "folder"
    file.write_text("dear")
    folder.mkdir()
    (folder / "inside").write_text("dear")
    flag = "--replace-file" if name == "pair" else "--replace"
    assert run([*CALLS[name], "--output", str(file)]) == 2
    assert capfd.readouterr().err == f"{file}: exists already; name a new file, or add {flag}\n"
    assert run([*CALLS[name], "--output", str(folder)]) == 2
    assert capfd.readouterr().err == f"{folder}: is a folder that is not empty; name a new folder, or add {flag}\n"
    assert (file.read_text(), (folder / "inside").read_text()) == ("dear", "dear")


@pytest.mark.parametrize("name", ["check", "pair", "parts new", "rules list", "schema"])
def test_what_is_there_is_replaced_when_the_call_says_so(name: str, tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("dear")
    flag = "--replace-file" if name == "pair" else "--replace"
    assert run([*CALLS[name], "--output", str(file), flag]) in (0, 1)
    assert file.read_text() != "dear"
    assert run([*CALLS[name], flag, "--output", str(tmp_path / "new")]) in (0, 1)
    assert (tmp_path / "new").read_text() == file.read_text()


def test_a_search_without_time_says_that_it_was_stopped(capfd: pytest.CaptureFixture[str]) -> None:
    assert run(["fix", SITE, "--all", "--time-limit", "0"]) == 1
    assert ", stopped by time)" in capfd.readouterr().out
    assert run(["fix", SITE, "--all", "--time-limit", "0", "--format", "json"]) == 1
    data = json.loads(capfd.readouterr().out)
    assert data["stopped"] == "stopped by time"
    assert data["in_the_way"]
    assert all("stopped by time" in each["why"] for each in data["in_the_way"])
    assert run(["fix", SITE, "--time-limit", "0", "--format", "json"]) == 1
    data = json.loads(capfd.readouterr().out)
    assert data["stopped"] == "stopped by time"
    assert data["findings"]
    assert all("stopped by time" in each["no_fix"] for each in data["findings"] if not each["fixes"])


def test_a_search_with_time_enough_says_nothing_of_it(capfd: pytest.CaptureFixture[str]) -> None:
    calm = str(ROOT / "examples" / "boatyard" / "alder-wharf.site.yaml")
    assert run(["fix", calm, "--all", "--time-limit", "100000", "--format", "json"]) == 0
    assert json.loads(capfd.readouterr().out)["stopped"] is None
