"""What the page does by itself and what it asks of the engine have names of their own: one of both kinds would hide the other."""

from __future__ import annotations

import re
from importlib.resources import files

from coaxwright.desk.acts import ACTS


def own_acts() -> set[str]:
    """Names of the acts that the script of the page carries out by itself."""
    script = (files("coaxwright.desk") / "page" / "desk.js").read_text(encoding="utf-8")
    table = script.split("const ACTS = {")[1].split("\n  };")[0]
    return {quoted or plain for quoted, plain in re.findall(r'^ {4}(?:"([a-z-]+)"|([a-z]+)): \(', table, re.MULTILINE)}


def test_no_act_of_the_page_hides_one_of_the_engine() -> None:
    own = own_acts()
    assert {"finding", "close", "print", "copy-words", "forget-now"} <= own
    # These do their part in the browser and then ask the engine by the same name.
    assert own & set(ACTS) == {"dismiss", "forget-now"}
