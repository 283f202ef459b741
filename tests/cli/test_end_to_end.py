"""The whole way through: real rules, the examples of the project, real files, every format."""

from __future__ import annotations

import json
import os
import re
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema.validators import validator_for

from coaxwright.cli.main import run
from coaxwright.reporting.formats import FORMATS

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
SARIF_SCHEMA = ROOT.parent / "shared" / "standards" / "sarif-schema-2.1.0.json"
FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
Run = Callable[..., subprocess.CompletedProcess[bytes]]
Capture = pytest.CaptureFixture[str]


def _name(path: Path) -> str:
    return path.stem


def _checked(path: Path, capfd: Capture, *words: str) -> tuple[int, str, str]:
    status = run(["check", str(path), *words])
    out, err = capfd.readouterr()
    return status, out, err


_TOLD: dict[Path, str] = {}


def _json(path: Path, capfd: Capture) -> Any:
    """What a check tells as JSON; each example is checked once for it."""
    if path not in _TOLD:
        _TOLD[path] = _checked(path, capfd, "--format", "json")[1]
    return json.loads(_TOLD[path])


def test_there_are_examples() -> None:
    assert EXAMPLES


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_every_format_gives_the_same_status(path: Path, capfd: Capture) -> None:
    """The ways of counting are asked of some examples: they look at the counts, whatever the example."""
    others = (["--fail-on", "never"], ["--fail-on", "note", "--strict"])
    for extra in ([], *(others if FULL or path == EXAMPLES[0] else ())):
        results = {form: _checked(path, capfd, "--format", form, *extra) for form in FORMATS}
        assert len({status for status, _, _ in results.values()}) == 1
        assert all(out and not err for _, out, err in results.values()), results["text"][2]


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_status_follows_the_counts(path: Path, capfd: Capture) -> None:
    summary = _json(path, capfd)["sites"][0]["summary"]
    assert _checked(path, capfd)[0] == (1 if summary["error"] else 0)
    assert _checked(path, capfd, "--fail-on", "never", "--strict")[0] == (3 if summary["open"] else 0)


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_counts_fit_the_findings(path: Path, capfd: Capture) -> None:
    site = _json(path, capfd)["sites"][0]
    summary = site["summary"]
    active = [each for each in site["findings"] if each["waived"] is None]
    for level in ("error", "warning", "note"):
        assert summary[level] == sum(each["kind"] == "fail" and each["level"] == level for each in active)
    assert summary["open"] == sum(each["kind"] == "open" for each in active)
    assert summary["waived"] == sum(each["waived"] is not None for each in site["findings"])
    assert summary["fault"] == 0
    assert summary["judged"] == sum(number for name, number in summary.items() if name != "judged")


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_every_finding_is_complete(path: Path, capfd: Capture) -> None:
    """Sentence, reason, place, sources; what failed has its working; what is open says what to supply."""
    lines = path.read_text(encoding="utf-8").splitlines()
    for found in _json(path, capfd)["sites"][0]["findings"]:
        assert found["message"]
        assert found["why"]
        assert 1 <= found["line"] <= len(lines)
        assert 1 <= found["column"] <= len(lines[found["line"] - 1]) + 1
        assert re.fullmatch(r"(/[^/]+)*", found["pointer"])
        assert bool(found["missing"]) == (found["kind"] == "open")
        assert "{" not in found["message"]
        assert all(source["title"] for source in found["sources"])


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_facts_are_told(path: Path, capfd: Capture) -> None:
    site = _json(path, capfd)["sites"][0]
    cameras = [name for name in site["facts"] if name.startswith("cameras/")]
    assert cameras
    settled = [site["facts"][name]["settled"] for name in cameras if "settled" in site["facts"][name]]
    outcomes = {"full", "asked-down", "reduced-width", "needs-setting", "no-picture", None}
    assert settled
    assert {each["outcome"] for each in settled} <= outcomes


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_sarif_follows_its_schema(path: Path, capfd: Capture) -> None:
    """OASIS SARIF 2.1.0 errata 01, JSON Schema."""
    if not SARIF_SCHEMA.is_file():
        pytest.skip("the published SARIF schema is not beside the project")
    schema = json.loads(SARIF_SCHEMA.read_text(encoding="utf-8"))
    data = json.loads(_checked(path, capfd, "--format", "sarif")[1])
    assert not list(validator_for(schema)(schema).iter_errors(data))
    uris = {each["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
            for each in data["runs"][0]["results"]}  # fmt: skip
    assert all(not uri.startswith("/") and "://" not in uri for uri in uris)


EACH_FORMAT = """
import os, sys
from coaxwright.cli.main import run
for form in sys.argv[2:]:
    print("<<form>>", form, flush=True)
    run(["check", sys.argv[1], "--format", form])
    sys.stdout.flush()
"""
"""One process for all formats: starting one for each costs more than the check."""


def _complaints(stderr: bytes) -> bytes:
    """What a command says on standard error but for how far it is, which it tells where the machine is busy."""
    return re.sub(rb"^coaxwright: \d+( of \d+)? [a-z ]+\n", b"", stderr, flags=re.MULTILINE)


def _in_each_format(coaxwright: Run, **environ: str) -> dict[str, bytes]:
    """What a process with that environment prints, by format."""
    done = coaxwright(str(EXAMPLES[0]), *sorted(FORMATS), program=EACH_FORMAT, **environ)
    assert _complaints(done.stderr) == b""
    pieces = done.stdout.split(b"<<form>> ")
    found = {form: piece for form in sorted(FORMATS) for piece in pieces if piece.startswith(form.encode() + b"\n")}
    assert found.keys() == FORMATS.keys()
    assert all(len(piece) > 200 for piece in found.values())
    return found


def test_same_bytes_whatever_the_surroundings(coaxwright: Run) -> None:
    first = _in_each_format(coaxwright, PYTHONHASHSEED="0")
    others = (
        {"PYTHONHASHSEED": "7", "TZ": "Pacific/Kiritimati"}, {"LC_ALL": "C", "TZ": "Etc/GMT+12"}, {"LANG": "de_DE.UTF-8"},
    )  # fmt: skip
    together = {"PYTHONHASHSEED": "7", "TZ": "Pacific/Kiritimati", "LC_ALL": "C", "LANG": "de_DE.UTF-8"}
    for environ in others if FULL else (together,):
        assert _in_each_format(coaxwright, **environ) == first


@pytest.mark.parametrize("environ", [{}, {"NO_COLOR": "1"}, {"TERM": "dumb"}] if FULL else [{}], ids=str)
def test_no_colour_in_pipes(coaxwright: Run, environ: dict[str, str]) -> None:
    assert not [form for form, piece in _in_each_format(coaxwright, **environ).items() if b"\x1b" in piece]


def test_colour_on_demand(coaxwright: Run) -> None:
    call = ("check", str(EXAMPLES[0]))
    assert b"\x1b[" in coaxwright(*call, FORCE_COLOR="1").stdout
    assert b"\x1b[" in coaxwright(*call, "--color", "always", NO_COLOR="1").stdout
    assert b"\x1b" not in coaxwright(*call, "--color", "never", FORCE_COLOR="1").stdout


def test_a_terminal_that_knows_ascii_only(coaxwright: Run) -> None:
    done = coaxwright("check", str(EXAMPLES[0]), PYTHONIOENCODING="ascii")
    assert done.returncode in {0, 1}
    assert done.stdout.isascii()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("missing.site.yaml", None),
        ("empty.site.yaml", b""),
        ("binary.site.yaml", bytes(range(256))),
        ("text.site.yaml", b"hello"),
        ("list.site.yaml", b"- 1\n- 2\n"),
        ("latin.site.yaml", "site: café".encode("latin-1")),
        ("nul.site.yaml", b"site: \0"),
        ("torn.site.yaml", b"site: {"),
    ],
)
def test_files_that_are_no_sites(tmp_path: Path, capfd: Capture, name: str, content: bytes | None) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    for form in FORMATS:
        status, _, err = _checked(tmp_path / name, capfd, "--format", form)
        assert status == 2
        assert len(err.splitlines()) == 1
        assert name in err
        assert "Traceback" not in err


def test_folder_without_sites(tmp_path: Path, capfd: Capture) -> None:
    status, out, err = _checked(tmp_path, capfd)
    assert (status, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_unreadable_site_does_not_hide_the_others(tmp_path: Path, capfd: Capture) -> None:
    """The readable site is reported, the other complained of; the status says that not all was checked."""
    status = run(["check", str(EXAMPLES[0]), str(tmp_path / "none.site.yaml"), "--format", "json"])
    out, err = capfd.readouterr()
    data = json.loads(out)
    assert status == 2
    assert len(data["sites"]) == 1
    assert "none.site.yaml" in data["unread"][0]["file"]
    assert "none.site.yaml" in err


def test_folder_finds_all_sites_once(capfd: Capture) -> None:
    run(["check", str(ROOT / "examples"), str(EXAMPLES[0]), "--format", "json"])
    files = [site["file"] for site in json.loads(capfd.readouterr().out)["sites"]]
    assert sorted(files) == sorted(str(path) for path in EXAMPLES)


def test_jobs_change_nothing(coaxwright: Run) -> None:
    call = ("check", str(ROOT / "examples"), "--format", "json")
    assert coaxwright(*call, "--jobs", "2").stdout == coaxwright(*call).stdout


@pytest.mark.parametrize("rules", ["none", "empty"])
def test_wrong_rule_folder_is_status_2(tmp_path: Path, capfd: Capture, rules: str) -> None:
    (tmp_path / "empty").mkdir()
    status, out, err = _checked(EXAMPLES[0], capfd, "--rules", str(tmp_path / rules))
    assert (status, out) == (2, "")
    assert rules in err


def test_demo_shows_three_faults_of_different_kinds_in_one_screen(coaxwright: Run) -> None:
    """A screen is 50 lines of 104 signs at most: common practice for a terminal window on a laptop."""
    done = coaxwright("demo")
    assert done.returncode == 0
    assert _complaints(done.stderr) == b""
    lines = done.stdout.decode().splitlines()
    assert str(ROOT) not in done.stdout.decode()
    assert len(lines) <= 50
    assert max(map(len, lines)) <= 104
    faults = [line.split()[-1] for line in lines if line.startswith("ERROR")]
    assert len({rule.partition("/")[0] for rule in faults}) == len(faults) == 3
    for word in ("  found ", "  why ", "  working ", "  change "):
        assert sum(line.startswith(word) for line in lines) == 3
    assert done.stdout.decode().count("proven;") == 3
    assert "coaxwright desk" in done.stdout.decode()


def test_demo_of_a_name_checks_that_example(coaxwright: Run) -> None:
    done = coaxwright("demo", "boatyard")
    assert done.returncode == 0
    assert _complaints(done.stderr) == b""
    text = done.stdout.decode()
    assert str(ROOT) not in text
    assert "judgements)" in text.splitlines()[-1]


def test_demo_copy_can_be_checked(coaxwright: Run, tmp_path: Path) -> None:
    assert coaxwright("demo", "--copy", "mine").returncode == 0
    assert coaxwright("check", "mine").returncode in {0, 1}
    again = coaxwright("demo", "--copy", "mine")
    assert again.returncode == 2
    assert b"exists already" in again.stderr


def test_rules_list(capfd: Capture) -> None:
    assert run(["rules", "list", "--format", "json"]) == 0
    rules = json.loads(capfd.readouterr().out)
    assert all(set(rule) == {"id", "topic", "level", "title", "cases"} for rule in rules)
    files = [path for path in (ROOT / "rules").glob("*/*.yaml") if not path.name.endswith(".cases.yaml")]
    names = {path.relative_to(ROOT / "rules").as_posix().removesuffix(".yaml") for path in files}
    own = ("tables/", "cases/", "quiz/", "facts/", "diagnosis/", "course/")
    assert {rule["id"] for rule in rules} == {name for name in names if not name.startswith(own)}
    assert run(["rules", "list"]) == 0
    assert f"{len(rules)} rules with" in capfd.readouterr().out


def test_explain_every_rule(capfd: Capture) -> None:
    run(["rules", "list", "--format", "json"])
    rules = json.loads(capfd.readouterr().out)
    for rule in (rules[0], rules[-1]):
        assert run(["explain", rule["id"]]) == 0
        page = capfd.readouterr().out
        assert rule["id"] in page
        assert "## Sources" in page
        assert run(["explain", rule["id"], "--format", "json"]) == 0
        assert json.loads(capfd.readouterr().out)["id"] == rule["id"]


def test_explain_a_finding_of_the_program_itself(capfd: Capture) -> None:
    assert run(["explain", "waiver/unused"]) == 0
    assert "waiver/unused" in capfd.readouterr().out


def test_explain_a_rule_that_is_nearly_right(capfd: Capture) -> None:
    assert run(["explain", "power/undervoltge"]) == 2
    assert "`power/undervoltage`" in capfd.readouterr().err


@pytest.mark.parametrize("path", EXAMPLES, ids=_name)
def test_explain_subjects(path: Path, capfd: Capture) -> None:
    assert run(["explain", str(path)]) == 0
    subjects = capfd.readouterr().out.splitlines()
    camera = next(subject for subject in subjects if subject.startswith("cameras/"))
    assert run(["explain", str(path), camera]) == 0
    text = capfd.readouterr().out
    assert text.startswith(f"{camera}\n\n")
    assert "camera." in text
    assert run(["explain", str(path), camera, "--format", "json"]) == 0
    facts = json.loads(capfd.readouterr().out)
    assert all({"name", "value", "unit", "doc", "working", "source"} == set(fact) for fact in facts)


def test_explain_a_subject_that_is_nearly_right(capfd: Capture) -> None:
    run(["explain", str(EXAMPLES[0])])
    camera = next(each for each in capfd.readouterr().out.splitlines() if each.startswith("cameras/"))
    assert run(["explain", str(EXAMPLES[0]), camera + "x"]) == 2
    assert f"`{camera}`" in capfd.readouterr().err


def test_parts_list_and_show(capfd: Capture) -> None:
    pattern = str(ROOT / "examples" / "boatyard" / "parts" / "*.yaml")
    assert run(["parts", "list", "--parts", pattern, "--format", "json"]) == 0
    rows = json.loads(capfd.readouterr().out)
    assert all(set(row) == {"id", "kind"} for row in rows)
    assert {"id": "rg59-copper", "kind": "cable"} in rows
    for row in [row for row in rows if "/" in row["id"]][:40]:
        assert run(["parts", "show", row["id"], "--parts", pattern]) == 0
        assert row["id"] in capfd.readouterr().out
    assert run(["parts", "list", "--kind", "cable", "--format", "json"]) == 0
    assert {row["kind"] for row in json.loads(capfd.readouterr().out)} == {"cable"}


def test_parts_show_keeps_what_was_written(capfd: Capture) -> None:
    """Units as in the file: a datasheet value is not turned into another."""
    pattern = str(ROOT / "examples" / "boatyard" / "parts" / "*.yaml")
    assert run(["parts", "show", "fennick/turret-5", "--parts", pattern, "--format", "json"]) == 0
    assert json.loads(capfd.readouterr().out)["part"]["power"]["volts_min"] == "10.8 V"


def test_parts_that_are_not_there(capfd: Capture) -> None:
    assert run(["parts", "show", "rg59-coper"]) == 2
    assert "`rg59-copper`" in capfd.readouterr().err
    assert run(["parts", "list", "--parts", "/nowhere/*.yaml"]) == 2
    assert run(["parts", "list", "--kind", "camer"]) == 2


def test_schemas_are_json_schemas(capfd: Capture) -> None:
    assert run(["schema"]) == 0
    names = capfd.readouterr().out.split()
    assert "site" in names
    for name in names:
        assert run(["schema", name]) == 0
        schema = json.loads(capfd.readouterr().out)
        validator_for(schema).check_schema(schema)


RULE = """
id: demo/{name}
title: A rule of someone else
level: error
about: camera
require: camera.{field} == 'nobody'
says: "{{camera.name}} is not called nobody."
why: It shows that a folder of rules is used.
sources: [{{title: common practice}}]
since: "0.1"
"""


def test_rules_of_a_user(tmp_path: Path, capfd: Capture) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "nobody.yaml").write_text(RULE.format(name="nobody", field="name"), encoding="utf-8")
    status, out, err = _checked(EXAMPLES[0], capfd, "--rules", str(tmp_path), "--format", "json")
    assert (status, err) == (1, "")
    found = [each for each in json.loads(out)["sites"][0]["findings"] if each["rule"] == "demo/nobody"]
    assert found
    assert found[0]["message"].endswith("is not called nobody.")
    assert run(["rules", "list", "--rules", str(tmp_path)]) == 0
    assert "demo/nobody" in capfd.readouterr().out


def test_wrong_rule_of_a_user_stops_everything(tmp_path: Path, capfd: Capture) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "nobody.yaml").write_text(RULE.format(name="nobody", field="nmae"), encoding="utf-8")
    status, out, err = _checked(EXAMPLES[0], capfd, "--rules", str(tmp_path))
    assert (status, out) == (2, "")
    assert "nobody.yaml:6:" in err
    assert "name" in err


def test_rules_test_names_what_does_not_hold(tmp_path: Path, capfd: Capture) -> None:
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo" / "nobody.yaml").write_text(RULE.format(name="nobody", field="name"), encoding="utf-8")
    assert run(["rules", "test", "demo/nobody", "--rules", str(tmp_path)]) == 1
    assert "the rule has no cases" in capfd.readouterr().out
    assert run(["rules", "test", "power/undervoltge"]) == 2
    assert "`power/undervoltage`" in capfd.readouterr().err


def test_rule_pages_are_written_and_checked(tmp_path: Path, capfd: Capture) -> None:
    pages = tmp_path / "pages"
    assert run(["rules", "docs", "--write", str(pages)]) == 0
    capfd.readouterr()
    assert (pages / "power" / "undervoltage.md").is_file()
    assert run(["rules", "docs", "--check", str(pages)]) == 0
    assert capfd.readouterr().out == ""
    (pages / "power" / "undervoltage.md").write_text("old", encoding="utf-8")
    assert run(["rules", "docs", "--check", str(pages)]) == 1
    assert capfd.readouterr().out == "power/undervoltage.md\n"
    assert run(["rules", "docs"]) == 2


def test_check_starts_quickly(coaxwright: Run) -> None:
    """A cold `check` of a small site, rules from the cache, against a process that imports what it stands on.

    Processor time, the least of several: tests/bench/check_speed.py measures it; this is a guard, and wide.
    """
    imports = [sys.executable, "-c", "import click, pydantic, yaml"]
    ours, plain = [], []
    for _ in range(4):
        ours.append(_seconds(lambda: coaxwright("check", str(EXAMPLES[0]))))
        plain.append(_seconds(lambda: subprocess.run(imports, check=True)))
    assert min(ours) < 12 * min(plain)


def _seconds(work: Callable[[], object]) -> float:
    """Processor time of the processes that it starts."""
    before = sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])
    work()
    return sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2]) - before


def test_check_does_not_import_what_it_does_not_need(coaxwright: Run) -> None:
    coaxwright("check", str(EXAMPLES[0]))
    done = coaxwright("check", str(EXAMPLES[0]), PYTHONPROFILEIMPORTTIME="1")
    imported = {line.rpartition("|")[2].strip() for line in done.stderr.decode().splitlines()}
    assert "coaxwright.checking" in imported
    assert not imported & {"networkx", "lark", "jsonschema", "numpy", "coaxwright.reporting.sarif"}
