"""What a camera row says where an input has two cameras, and where the network cable carries the power.

What the page says is held against the site file and against the facts of `check --format json`, not against how it is made.
"""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from lxml import html

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]


def _table(page: html.HtmlElement) -> dict[str, str]:
    """The words of each camera's row."""
    rows = page.xpath("//table[contains(@class,'cameras')]/tbody/tr")
    return {row.xpath("string(./th//b)"): " ".join(" ".join(row.itertext()).split()) for row in rows}


def _page(site: Path, tmp_path: Path) -> html.HtmlElement:
    assert run(["report", str(site), "--output", str(tmp_path / "r.html"), "--today", "2026-12-01"]) == 0
    return html.document_fromstring((tmp_path / "r.html").read_bytes())


def test_every_camera_on_a_shared_input_says_so(tmp_path: Path) -> None:
    """The finding points into one entry, and neither camera has a picture (common practice: one coax input, one camera)."""
    shutil.copytree(ROOT / "examples" / "boatyard", tmp_path / "yard")
    site = tmp_path / "yard" / "alder-wharf.site.yaml"
    text = site.read_text(encoding="utf-8")
    found = re.findall(r"^  ([\w-]+):\n(?:    .*\n)*?    video: \{into: (rec1/\d)", text, re.MULTILINE)
    (one, port), (other, second) = found[0], found[1]
    site.write_text(text.replace(f"into: {second},", f"into: {port},", 1), encoding="utf-8")
    page = _page(site, tmp_path)
    rows = _table(page)
    assert {name for name, words in rows.items() if "channels/input-shared" in words} == {one, other}
    boxes = {each.get("href") for each in page.xpath("//*[local-name()='svg']//*[local-name()='a']")}
    assert boxes, "the drawing leads to what was found"


def test_power_over_the_network_is_no_missing_supply(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    site = ROOT / "examples" / "ferry-terminal" / "kestrel-reach.site.yaml"
    run(["check", str(site), "--format", "json", "--today", "2026-12-01"])
    facts = json.loads(capfd.readouterr().out)["sites"][0]["facts"]
    ports = {each["device"]: each for each in facts.values() if "port_class" in each and each["device"].startswith("cameras/")}
    rows = _table(_page(site, tmp_path))
    assert ports
    for device, port in ports.items():
        words = rows[device.partition("/")[2]]
        assert "no supply" not in words
        assert "not fed" not in words
        assert f"{port['volts_night']:.2f}".rstrip("0").rstrip(".") + " V" in words
