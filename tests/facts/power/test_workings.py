"""Every line of a working is computed again from what is printed in it, by a reader that knows only
arithmetic.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.power.power_working import POWER_WORKINGS
from coaxwright.reading.site_reader import read_site
from coaxwright.topology.wiring import build_topology

Build = Callable[..., Facts]
EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
UNITS = {"ohm/km": 1e-3}
RESULT = re.compile(r"(-?[0-9.]+)(?: ([A-Za-z/]+))?")


def recomputed(line: str) -> tuple[float, float, float] | None:
    """What the left side comes to, the printed result, and one unit in the last place of five figures; None
    for a line that is no equation.
    """
    left, sign, right = line.rpartition(" = ")
    if not sign:
        return None
    left = re.sub(r" \([^)]*\)", "", left)
    total, product, operator, pending = 0.0, 1.0, "x", "+"
    for token in left.split():
        if token in "+-":
            total += product if pending == "+" else -product
            product, operator, pending = 1.0, "x", token
        elif token in "x/":
            operator = token
        elif re.fullmatch(r"-?[0-9.]+", token):
            product = product * float(token) if operator == "x" else product / float(token)
        else:
            product *= UNITS.get(token, 1.0)
    total += product if pending == "+" else -product
    match = RESULT.match(right)
    assert match, line
    printed = float(match[1])
    largest = max([abs(printed), *(abs(float(each)) for each in re.findall(r"(?<![\w.])[0-9.]+(?= [VAW]\b)", left))])
    return total, printed, 10.0 ** (math.floor(math.log10(largest or 1.0)) - 4)


def _all_lines(facts: Facts) -> list[tuple[str, Any, str]]:
    found = []
    for kind, name in POWER_WORKINGS:
        for sheet in facts.by_kind(kind):
            if sheet.known(name) is not None:
                lines = facts.working(sheet, name)
                assert lines, f"{sheet.subject} {kind}.{name}"
                found += [(f"{kind}.{name}", sheet, line) for line in lines]
    return found


def _check(facts: Facts) -> int:
    """Compute every equation again; the number of equations."""
    equations = 0
    for name, sheet, line in _all_lines(facts):
        answer = recomputed(line)
        if answer is not None:
            total, printed, step = answer
            assert abs(total - printed) <= 2.0 * step, f"{sheet.subject} {name}: {line}: {total}"
            equations += 1
    return equations


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*/*.site.yaml")), ids=lambda path: path.parent.name)
def test_every_equation_of_the_examples(path: Path) -> None:
    loaded = read_site(path)
    facts = compute_facts(loaded, build_topology(loaded))
    assert _check(facts) >= 10 * len(loaded.site.cameras)


def test_the_reader_sees_a_wrong_line() -> None:
    total, printed, step = recomputed("12 V - 2 x 85 m x 26 ohm/km x 1.08 (40 degC) x 0.61 A = 9.0881 V at c") or (
        0,
        0,
        0,
    )
    assert total == pytest.approx(12 - 2 * 85 * 0.026 * 1.08 * 0.61)
    assert abs(total - printed) <= 2 * step
    total, printed, step = recomputed("12 V - 2 x 85 m x 26 ohm/km x 0.61 A = 9.5 V at c") or (0, 0, 0)
    assert abs(total - printed) > 2 * step


def _mixed(build: Build, kit: Any, **site: Any) -> Facts:
    cable = "hollin/flex-0.75"
    whole = {
        "assume": {"source_resistance": 0.05},
        "supplies": {"psu1": {"part": "tarnwell/dc12", "trim": "12.6 V"}, "psu2": {"part": "tarnwell/soft"}},
        "boxes": {"b1": {"part": "hollin/b1"}},
        "junctions": {
            "j": {"power": {"from": "psu1/1", "over": [kit.run("hollin/strand-1.5", 20), {"box": "b1"}]}},
        },
        "cameras": {
            "steady": kit.fed("fennick/steady", "j", kit.run(cable, 10)),
            "power": {**kit.fed("fennick/six", "j", kit.run(cable, 20, None)), "heater": None},
            "plain": kit.fed("fennick/plain", "j"),
            "soft": kit.fed("fennick/six", "psu2/1", kit.run(cable, 20)),
            "dark": kit.fed("fennick/six", "psu2/2", kit.run(cable, 400)),
        },
        **site,
    }  # fmt: skip
    parts = {
        "tarnwell/soft": {
            "kind": "supply",
            "source": "invented",
            "volts": "12 V",
            "amps": "4 A",
            "regulation": "10 %",
        },
        "hollin/b1": kit.box_part(0.5),
        "fennick/steady": kit.camera_part(4.2, "constant-current"),
        "fennick/plain": kit.camera_part(2.4, "resistive"),
    }
    return build(whole, parts)


def test_every_equation_of_a_mixed_site(build: Build, kit: Any) -> None:
    assert _check(_mixed(build, kit)) > 60


def test_words_of_a_chain(build: Build, kit: Any) -> None:
    facts = _mixed(build, kit)
    lines = facts.working(kit.feed(facts, "power"), "volts_night")
    assert lines[0] == "12.6 V at supplies/psu1 (trim)"
    assert re.fullmatch(r"12\.6 V - 0\.05 ohm \(of the supply\) x .* V at the terminals of supplies/psu1", lines[1])
    assert re.search(
        r"- 2 x 20 m x 12\.1 ohm/km x 1 \(20 degC\) x .* A - 0\.5 ohm \(b1\) x .* V at junctions/j", lines[2]
    )
    assert re.search(r"- 2 x 20 m x 26 ohm/km x 1\.0786 \(40 degC\) x .* = .* V at cameras/power", lines[4])
    assert "26 ohm/km (hollin/flex-0.75): IEC 60228:2004 Table 3, class 5" in lines
    assert any(line.startswith("40 degC assumed: IEC 60364-5-52") for line in lines)
    feed = kit.feed(facts, "power")
    assert f"{feed.volts_night:.5g} V at cameras/power" in lines[4]


def test_words_of_a_collapse(build: Build, kit: Any) -> None:
    facts = _mixed(build, kit)
    lines = facts.working(kit.feed(facts, "dark"), "volts_night")
    assert any("no working voltage exists by night" in line for line in lines)
    assert any("is the last with a working voltage" in line for line in lines)


def test_words_of_a_margin(build: Build, kit: Any) -> None:
    facts = build({"cameras": {"c": kit.fed("fennick/six", "psu1/1", kit.run("hollin/flex-0.75", 60))}})
    assert facts.working(kit.feed(facts, "c"), "margin_night") == (
        "12 V x 12 V / 4 / 3.12 ohm = 11.538 W at most can be carried",
        "11.538 W / 6 W = 1.9231 times the load",
    )


def test_words_of_what_is_not_known(build: Build, kit: Any) -> None:
    facts = build({"cameras": {"c": kit.fed("fennick/six", "psu1/1", {"cable": "hollin/flex-0.75"})}})
    lines = facts.working(kit.feed(facts, "c"), "volts_night")
    assert lines == ("not known; supply cameras/c/power/over/0/length",)


def test_words_of_alternating_current(build: Build, kit: Any) -> None:
    power = {"kind": "ac", "volts": "24 V", "power_factor": 0.8}
    site = {"supplies": {"psu1": {"part": "tarnwell/ac24"}}, "boxes": {"b1": {"part": "hollin/b1"}},
            "cameras": {"c1": kit.fed("fennick/it", "psu1/1", {"box": "b1"})}}  # fmt: skip
    facts = build(site, {"hollin/b1": kit.box_part(1.0), "fennick/it": kit.camera_part(32.0, **power)})
    assert _check(facts) >= 5
    lines = facts.working(kit.feed(facts, "c1"), "volts_night")
    assert "24 V - 1.4422 V = 22.558 V at cameras/c1 (lost to 1.7732 A over 1 ohm (b1), added as phasors)" in lines
    assert "32 W / 22.558 V / 0.8 (power factor) = 1.7732 A drawn by cameras/c1 by night (constant power)" in lines
