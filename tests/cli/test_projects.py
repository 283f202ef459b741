"""The project file: found above sites, what it sets, what a call says instead, and what is wrong with it, at its place.

That settings are looked for upwards and that the command line wins is common practice.
"""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.cli.main import run
from coaxwright.reading.projects_near import NAME, nearest

ROOT = Path(__file__).resolve().parents[2]
Call = Callable[..., tuple[int, str, str]]


@pytest.fixture
def estate(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two sites, one with errors, below one folder, which is the current one."""
    for name in ("boatyard", "cider-press"):
        shutil.copytree(ROOT / "examples" / name, tmp_path / "sites" / name)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def call(capfd: pytest.CaptureFixture[str]) -> Call:
    """Run the command in this process: its status, what it said, what it complained of."""

    def called(*words: str) -> tuple[int, str, str]:
        short = ["--detail", "concise"] if words[0] == "check" and "--format" not in words else []
        status = run([*words, *short])
        out, err = capfd.readouterr()
        return status, out, err

    return called


def _settings(folder: Path, text: str) -> Path:
    path = folder / NAME
    path.write_text(text, encoding="utf-8")
    return path


BAD = "sites/cider-press/quill-orchard.site.yaml"


def test_the_nearest_one_above_is_used_and_told_of(estate: Path, call: Call) -> None:
    assert call("check", BAD)[0] == 1
    _settings(estate, "fail_on: never\n")
    status, _, said = call("check", BAD)
    assert (status, said.splitlines()[0]) == (0, f"coaxwright: settings of {NAME}")
    _settings(estate / "sites", "fail_on: error\n")
    assert call("check", BAD)[0] == 1


def test_what_a_call_says_wins(estate: Path, call: Call) -> None:
    other = _settings(estate / "sites" / "boatyard", "fail_on: error\n")
    _settings(estate, "fail_on: never\ntoday: 2027-01-31\njobs: 2\n")
    assert call("check", BAD, "--fail-on", "error")[0] == 1
    assert call("check", BAD, "--project", str(other))[0] == 1
    assert call("check", BAD, "--no-project")[0] == 1
    assert '"today": "2027-01-31"' in call("check", BAD, "--format", "json")[1]
    assert '"today": "2026-11-02"' in call("check", BAD, "--format", "json", "--today", "2026-11-02")[1]


def test_an_option_at_its_default_value_wins_too(estate: Path, call: Call) -> None:
    """`--fail-on error` is also the default: what counts is that somebody said it."""
    _settings(estate, "fail_on: never\nstrict: true\n")
    assert call("check", BAD, "--fail-on", "error")[0] == 1


def test_strict_of_the_project(estate: Path, call: Call) -> None:
    _settings(estate, "fail_on: never\nstrict: true\n")
    assert call("check", BAD)[0] == 3, "something stays open there"


def test_rules_of_the_project_judge_and_are_in_the_digest(estate: Path, call: Call) -> None:
    before = call("check", BAD, "--format", "json")[1]
    folder = estate / "house-rules" / "house"
    folder.mkdir(parents=True)
    (folder / "short-runs.yaml").write_text(SHORT, encoding="utf-8")
    _settings(estate, "rules: [house-rules]\n")
    after = call("check", BAD, "--format", "json")[1]
    assert "house/short-runs" in after
    assert "house/short-runs" not in before


SHORT = """\
about: feed
require: "feed.load.name == 'nobody'"
says: "{feed.load.name} is fed."
"""


def test_parts_of_the_project_are_those_of_questions(estate: Path, call: Call) -> None:
    without = call("parts", "list", "--format", "json", "--no-project")[1]
    _settings(estate, "parts: ['sites/*/parts/*.yaml']\n")
    status, out, _ = call("parts", "list", "--format", "json")
    assert status == 0
    assert len(out) > len(without)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("fail-on: never\n", "1:1: `fail-on` is not a key here; did you mean `fail_on`?"),
        ("jobs: 99\n", "1:7: `99` is too large for `jobs`; write at most 64"),
        ("rules: [sites, none-here]\n", "1:16: there is no folder `none-here`"),
        ("rules: [../elsewhere]\n", "1:9: `../elsewhere` leads out of the folder"),
        ("parts: [/etc/*.yaml]\n", "1:9: `/etc/*.yaml` is an absolute path"),
        ("parts: ['none/*.yaml']\n", "1:9: no file matches `none/*.yaml`"),
        ("today: soon\n", "1:8: "),
        ("- a\n", ""),
    ],
)
def test_what_is_wrong_is_told_at_its_place(estate: Path, call: Call, text: str, told: str) -> None:
    _settings(estate, text)
    status, out, said = call("check", BAD)
    assert (status, out) == (2, "")
    assert f"{NAME}:{told}" in said


def test_a_named_one_that_is_not_there(estate: Path, call: Call) -> None:
    status, _, said = call("check", BAD, "--project", "none.yaml")
    assert status == 2
    assert "none.yaml" in said


def test_sites_of_two_projects_are_not_judged_by_one(estate: Path, call: Call) -> None:
    """A folder gives no other verdict than its sites one by one."""
    _settings(estate / "sites" / "cider-press", "fail_on: never\n")
    status, out, said = call("check", "sites")
    assert (status, out) == (2, "")
    assert "others to none" in said
    assert call("check", "sites", "--no-project")[0] == 1
    _settings(estate / "sites", "fail_on: error\n")
    assert "others to sites" in call("check", "sites")[2].replace("\\", "/")


def test_not_looked_for_above_a_repository(tmp_path: Path) -> None:
    _settings(tmp_path, "jobs: 1\n")
    inner = tmp_path / "a" / "b"
    inner.mkdir(parents=True)
    found = nearest(inner)
    assert found is not None
    assert found.resolve() == (tmp_path / NAME).resolve()
    (tmp_path / "a" / ".git").mkdir()
    assert nearest(inner) is None


def test_no_settings_file_no_word(estate: Path, call: Call) -> None:
    assert "settings" not in call("check", "sites/boatyard")[2]


def test_text_from_standard_input_belongs_to_the_current_folder(estate: Path, call: Call) -> None:
    _settings(estate, "jobs: 1\n")
    assert "settings" in call("check", "-", "--stdin-filename", BAD)[2]


LIST = """\
currency: EUR
prices:
  rg59-copper: 0.40
  dc-1.5mm2: 0.9
  tarnwell/disk-8tb: 171.25
  no/such: 5
"""
YARD = "sites/boatyard/alder-wharf.site.yaml"


def _bill(folder: Path) -> dict[str, str]:
    """The price of each part on the bill of a pack."""
    with (folder / "csv" / "bill.csv").open(encoding="utf-8-sig", newline="") as file:
        return {row["part"]: row["price each"] for row in csv.DictReader(file)}


def test_prices_of_the_project_are_those_of_sites_that_name_none(estate: Path, call: Call) -> None:
    (estate / "house.yaml").write_text(LIST, encoding="utf-8")
    _settings(estate, "prices: [house.yaml]\n")
    assert call("pack", YARD, "--output", "with")[0] in (0, 1)
    assert call("pack", YARD, "--output", "without", "--no-project")[0] in (0, 1)
    assert (_bill(estate / "with")["tarnwell/disk-8tb"], _bill(estate / "with")["rg59-copper"]) == ("171.25", "0.4")
    assert _bill(estate / "without")["tarnwell/disk-8tb"] != "171.25"
    assert "no/such" not in (estate / "with" / "pack.html").read_text(encoding="utf-8"), "a list of a house holds other parts too"
    own = estate / "sites" / "boatyard" / "own.yaml"
    own.write_text(LIST.replace("171.25", "99"), encoding="utf-8")
    site = estate / YARD
    site.write_text(site.read_text(encoding="utf-8") + "\nprices: [own.yaml]\n", encoding="utf-8")
    assert call("pack", YARD, "--output", "own")[0] in (0, 1)
    assert _bill(estate / "own")["tarnwell/disk-8tb"] == "99"


@pytest.mark.parametrize(
    "words",
    [
        ("fix", YARD, "--format", "json"),
        ("check", YARD, "--fixes", "--format", "json"),
        ("report", YARD, "--for", "customer"),
        ("schedule", "export", YARD, "--output", "out/"),
        ("pair", "tarnwell/turret-5", "tarnwell/hybrid-8", "--parts", "sites/boatyard/parts/*.yaml"),
    ],
    ids=lambda words: words[0],
)
def test_every_command_that_prices_reads_them(words: tuple[str, ...], estate: Path, call: Call) -> None:
    """A list that is wrong stops the command, at its place: so it was read."""
    (estate / "house.yaml").write_text(LIST.replace("171.25", "dear"), encoding="utf-8")
    _settings(estate, "prices: [house.yaml]\n")
    status, _, said = call(*words)
    assert status == 2
    assert "house.yaml:5:22" in said
    assert "house.yaml" not in call(*words, "--no-project")[2]


def test_a_price_list_that_is_not_there(estate: Path, call: Call) -> None:
    _settings(estate, "prices: [hose.yaml]\n")
    status, _, said = call("fix", YARD)
    assert status == 2
    assert f"{NAME}:1:10" in said
    assert "hose.yaml" in said
