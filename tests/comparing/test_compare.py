"""What `compare` tells of two sites. The expected quantities are sums done by hand (from memory: how a bill is made);
the expected findings are set differences of what `check --format json` says of either site, which knows no `compare`.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from coaxwright import compare
from coaxwright.cli.main import run
from coaxwright.errors import Refusal

from .conftest import PRESS, YARD, Edited


def _json(capfd: pytest.CaptureFixture[str], *words: str) -> tuple[int, Any]:
    capfd.readouterr()
    status = run(list(words))
    return status, json.loads(capfd.readouterr().out)


def test_a_site_and_itself(edited: Edited, capfd: pytest.CaptureFixture[str]) -> None:
    old, new = edited(YARD, ("# A small yard", "# Other words of a remark"), ("retention: 21 days", "retention:   21   days"))
    assert run(["compare", str(old), str(new)]) == 0
    assert "No difference" in capfd.readouterr().out


def test_a_longer_run_of_another_cable(edited: Edited) -> None:
    """Of rg59-copper 278 m are drawn: 45 + 85 + 60 + 18 + 30 + 40; without the 85 m, 193."""
    found = compare(*edited(YARD, ("rg59-copper, length: 85 m", "rg6-copper, length: 185 m")))
    assert [(each.part.removeprefix("generic/"), each.unit, each.before, each.after) for each in found.quantities] == [
        ("rg59-copper", "m", 278, 193), ("rg6-copper", "m", 0, 185),
    ]  # fmt: skip
    assert [(each.subject, each.use) for each in found.runs] == [("cameras/slipway", "video")]
    assert found.runs[0].before == "to rec1/2: rg59-copper 85 m, sheltered"
    assert found.runs[0].after == "to rec1/2: rg6-copper 185 m, sheltered"
    assert {each.name for each in found.facts if each.subject == "cameras/slipway"} >= {"link.metres", "link.loss"}
    assert not found.devices
    assert not found.settings


def test_findings_are_those_that_check_says(edited: Edited, capfd: pytest.CaptureFixture[str]) -> None:
    old, new = edited(
        PRESS,
        ("rg59-copper, length: ", "rg6-copper, length: "),
        ("cable: dc-0.5mm2, length: 70 m", "cable: dc-0.5mm2, length: 71 m"),
    )
    status, told = _json(capfd, "compare", str(old), str(new), "--format", "json", "--today", "2026-12-01")
    sides = []
    for site in (old, new):
        _, report = _json(capfd, "check", str(site), "--format", "json", "--today", "2026-12-01")
        sides.append({(each["rule"], each["subject"]): each for each in report["sites"][0]["findings"]})
    before, after = sides
    assert status == 1
    assert told["format"] == 2
    lists = {name: {(each["rule"], each["subject"]) for each in told["findings"][name]} for name in told["findings"]}
    assert lists["new"] == after.keys() - before.keys()
    assert lists["gone"] == before.keys() - after.keys()
    assert lists["new"] or lists["gone"]
    moved = {
        key: after[key]["margin"] - before[key]["margin"]
        for key in before.keys() & after.keys()
        if before[key]["margin"] is not None and after[key]["margin"] is not None
        and before[key]["level"] == after[key]["level"] and not before[key]["waived"]
    }  # fmt: skip
    assert {key for key, room in moved.items() if room < -1e-6} == lists["worse"] & moved.keys()
    assert {key for key, room in moved.items() if room > 1e-6} == lists["better"] & moved.keys()
    assert lists["worse"]


def test_there_and_back(edited: Edited) -> None:
    """What is new one way is gone the other way, and the same in worse and better where a margin moved."""
    old, new = edited(PRESS, ("length: 70 m", "length: 20 m"))
    one, other = compare(old, new), compare(new, old)
    assert {each.one.key for each in one.new} == {each.one.key for each in other.gone}
    assert {each.one.key for each in one.gone} == {each.one.key for each in other.new}
    assert {each.one.key for each in one.better if not each.because} == {each.one.key for each in other.worse if not each.because}
    assert {(each.part, each.before, each.after) for each in one.quantities} == {
        (each.part, each.after, each.before) for each in other.quantities
    }


def test_another_id_is_no_other_camera(edited: Edited) -> None:
    found = compare(*edited(YARD, ("psu1", "psu9")))
    assert [(each.before, each.after) for each in found.renamed] == [("supplies/psu1", "supplies/psu9")]
    assert not found.runs
    assert not found.quantities
    assert not found.new
    assert not found.gone


def test_another_id_of_a_camera(edited: Edited) -> None:
    found = compare(*edited(YARD, ("  fuel:", "  berth:")))
    assert [(each.before, each.after) for each in found.renamed] == [("cameras/fuel", "cameras/berth")]
    assert not any((found.runs, found.devices, found.facts, found.settings))


def test_a_camera_that_is_gone(edited: Edited) -> None:
    old, new = edited(YARD)
    text = old.read_text(encoding="utf-8")
    at, end = text.index("  loft:"), text.index("  workshop:")
    new.write_text(text[:at] + text[end:], encoding="utf-8")
    found = compare(old, new)
    assert [(each.subject, each.before, each.after) for each in found.devices] == [("cameras/loft", "tarnwell/dome-2", None)]
    assert {(each.subject, each.use, each.after) for each in found.runs} == {
        ("cameras/loft", "video", None), ("cameras/loft", "power", None),
    }  # fmt: skip
    assert not [each for each in found.settings if each.path.startswith("cameras/loft")]


def test_only_a_part_file_differs(edited: Edited, tmp_path: Path) -> None:
    old, _ = edited(YARD)
    other = tmp_path / "other"
    shutil.copytree(YARD, other)
    parts = other / "parts" / "tarnwell.yaml"
    text = parts.read_text(encoding="utf-8")
    title = next(line for line in text.splitlines() if line.strip().startswith("title:"))
    parts.write_text(text.replace(title, f"{title.rstrip()} again", 1), encoding="utf-8")
    found = compare(old, other / old.name)
    assert [each.field for each in found.entries] == ["title"]
    assert not found.facts
    assert not found.same


def test_a_waiver_is_answered_for_and_then_not(edited: Edited) -> None:
    old, new = edited(PRESS)
    text = old.read_text(encoding="utf-8")
    assert "waivers:" in text
    new.write_text(text[: text.index("waivers:")], encoding="utf-8")
    found = compare(old, new)
    assert [each.because for each in found.worse] == ["nobody answers for it any more"]
    assert [each.one.key for each in compare(new, old).waived] == [each.one.key for each in found.worse]


def test_a_fact_that_goes_missing_makes_it_worse(edited: Edited) -> None:
    old, new = edited(PRESS, (", length: 70 m", ""))
    found = compare(old, new)
    opened = [each for each in (*found.worse, *found.new) if each.after is not None and each.after.kind == "open"]
    assert opened
    assert all(each.before is None or each.because == "nobody can judge it any more" for each in opened)


HOSTILE = "<b>&amp; *x* | =1+1 [y](z)"


@pytest.mark.parametrize("form", ["text", "md", "html", "json"])
def test_strange_words_do_no_harm(form: str, edited: Edited, capfd: pytest.CaptureFixture[str]) -> None:
    old, new = edited(YARD, ("label: Fuel berth", f'label: "{HOSTILE}"'))
    assert run(["compare", str(old), str(new), "--format", form]) == 1
    out = capfd.readouterr().out
    assert "Fuel berth" in out
    if form == "html":
        assert "<b>&amp; *x*" not in out
        assert "&lt;b&gt;&amp;amp; *x* | =1+1" in out
    if form == "md":
        assert "[y](z)" not in out
    if form == "json":
        assert json.loads(out)["settings"][0]["after"] == HOSTILE


def test_every_form_and_a_file(edited: Edited, tmp_path: Path) -> None:
    old, new = edited(YARD, ("length: 85 m", "length: 86 m"))
    for form in ("text", "md", "html", "json"):
        target = tmp_path / f"changes.{form}"
        assert run(["compare", str(old), str(new), "--format", form, "--output", str(target)]) == 1
        assert "slipway" in target.read_text(encoding="utf-8")
        assert run(["compare", str(old), str(new), "--format", form, "--output", str(target)]) == 2


def test_what_cannot_be_compared(edited: Edited, capfd: pytest.CaptureFixture[str]) -> None:
    old, new = edited(YARD, ("rec1/2", "rec7/2"))
    assert run(["compare", str(old), str(new)]) == 2
    assert "rec7" in capfd.readouterr().err
    with pytest.raises(Refusal):
        compare(old, new)
    assert run(["compare", str(old)]) == 2


def test_the_same_bytes_whatever_the_hashes(edited: Edited) -> None:
    old, new = edited(PRESS, ("length: 70 m", "length: 20 m"))
    outputs = set()
    for seed in ("1", "77"):
        call = [sys.executable, "-m", "coaxwright", "compare", str(old), str(new), "--format", "json", "--today", "2026-12-01"]
        made = subprocess.run(call, capture_output=True, check=False, env={"PYTHONHASHSEED": seed, "PATH": "", "HOME": "/tmp"})
        assert made.returncode == 1, made.stderr
        outputs.add(made.stdout)
    assert len(outputs) == 1
