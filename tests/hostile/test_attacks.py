"""Every attack ends soon, in little memory, with its exit status and words that name the trouble; nothing is carried out.

A normal run takes every fifth attack, COAXWRIGHT_FULL=1 all. The time is the processor's, as a multiple of what the same
call takes on sound files in the same run: neither other work nor a slow machine counts.
"""

from __future__ import annotations

import importlib.util
import os
import re
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

_SPEC = importlib.util.spec_from_file_location("hostile_attacks", Path(__file__).parent / "attacks.py")
assert _SPEC is not None
assert _SPEC.loader is not None
attacks = importlib.util.module_from_spec(_SPEC)
__import__("sys").modules["hostile_attacks"] = attacks
_SPEC.loader.exec_module(attacks)

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
TIMES, MEGABYTES = 8, 300


def _lay_out(folder: Path, files: dict[str, str | bytes]) -> None:
    for name, text in {"a.site.yaml": attacks.SITE, "parts/p.yaml": attacks.PARTS, **files}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text)


def _harmless(told: str) -> bool:
    return not [each for each in told if each != "\n" and unicodedata.category(each) in {"Cc", "Cf", "Cs"}]


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory, run: Callable[..., Any]) -> Callable[..., float]:
    """Processor seconds of the check of sound files, with a rule of one's own or without; measured once, or again."""
    rule = attacks.RULE.replace("REQUIRE", "'true'").replace("SAYS", "no")
    known: dict[bool, float] = {}

    def measure(with_rule: bool, again: bool = False) -> float:
        if again or with_rule not in known:
            folder = tmp_path_factory.mktemp("sound")
            _lay_out(folder, {"rules/power/strange.yaml": rule} if with_rule else {})
            known[with_rule] = run(folder, "check", "a.site.yaml", *(["--rules", "rules"] if with_rule else [])).seconds
        return known[with_rule]

    return measure


@pytest.mark.parametrize("attack", attacks.ATTACKS[:: 1 if FULL else 8], ids=lambda attack: attack.name)
def test_attack(attack: Any, tmp_path: Path, run: Callable[..., Any], sound: Callable[..., float]) -> None:
    _lay_out(tmp_path, attack.files)
    if attack.prepare is not None:
        attack.prepare(tmp_path)
    done = run(tmp_path, *attack.call)
    assert done.status == attack.status, done.told
    assert re.search(attack.words, done.told), done.told
    if done.seconds >= TIMES * sound("--rules" in attack.call):  # once more, both: a disturbed run is no finding
        done = run(tmp_path, *attack.call)
        assert done.seconds < TIMES * sound("--rules" in attack.call, again=True)
    assert done.megabytes < MEGABYTES
    assert "Traceback" not in done.told
    assert "fault in the program itself" not in done.told
    assert _harmless(done.told)
    assert not list(tmp_path.rglob("owned"))
    assert not (tmp_path / "b.site.yaml").exists()


def test_there_are_sixty_and_all_differ() -> None:
    assert len({attack.name for attack in attacks.ATTACKS}) == len(attacks.ATTACKS) >= 60


def test_without_an_attack_all_is_read(tmp_path: Path, run: Callable[..., Any]) -> None:
    """So that the tests above refuse what was added, not the site, the parts or the rule."""
    rule = attacks.RULE.replace("REQUIRE", "'true'").replace("SAYS", "no")
    _lay_out(tmp_path, {"rules/power/strange.yaml": rule})
    assert run(tmp_path, "check", "a.site.yaml", "--rules", "rules").status == 0


PAYLOADS = [
    "\x1b[2J", "\x1b[31mred", "\x1b]0;title\x07", "\x1b]8;;http://example.invalid\x07x", "\x1b]52;c;eA==\x07", "\x1bP+q\x1b\\",
    "\x1b[?1049h", "\x1b[6n", "\x1bc", "\x9b2J", "\x9d0;x\x9c", "\x90x\x9c", "\x07", "\x08\x08\x08", "\x7f", "a\rb", "\x0e",
    "\u202egnp", "\u2066x\u2069", "\u2028x", "\ufeffx", "\u200fx",
]  # fmt: skip


def test_twenty_terminal_payloads() -> None:
    assert len(set(PAYLOADS)) >= 20


@pytest.mark.parametrize("payload", PAYLOADS if FULL else PAYLOADS[::3], ids=ascii)
def test_payload_in_names_of_files_and_words_of_the_call(
    payload: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """What a file may not hold can still stand in its name, or be typed: no output obeys it."""
    from coaxwright.cli.main import run as run_here

    named = tmp_path / f"{payload.replace('/', '')}.site.yaml"
    _lay_out(tmp_path, {})
    named.write_text(attacks.SITE, encoding="utf-8")
    forms = ["text", "json", "sarif", "md", "html"]
    calls = [["check", str(named), "--format", form] for form in forms]
    calls += [["check", payload], ["explain", payload], [payload], ["check", "--format", payload], ["parts", payload]]
    for call in calls:
        run_here(call)
        told = capfd.readouterr()
        assert _harmless(told.out.replace("\r\n", "\n")), call
        assert _harmless(told.err), call
