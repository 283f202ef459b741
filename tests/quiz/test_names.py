"""A name on a paper never tells a figure that its row contradicts, nor one that the question leaves out."""

from __future__ import annotations

import os
import re

import pytest

from coaxwright.checking import load_rulebook
from coaxwright.errors import Refusal
from coaxwright.quiz.bank import Bank, load_bank
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.names import figure, following
from coaxwright.quiz.plans import Plan, edited, put_at

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
CHANGED = ["channels/inputs-free", "network/ports-left", "display/near-enough"]
"""Patterns that change a figure after which parts of the stock are named."""
NUMBER = re.compile(r"\d+(?:\.\d+)?")
MODES = "maker-a/recorder-2mp"
"""Named after the pictures that it takes, not after its inputs."""


@pytest.fixture(scope="module")
def bank() -> Bank:
    return load_bank(load_rulebook())


def test_names_of_the_stock_tell_what_its_parts_have(bank: Bank) -> None:
    for name, part in bank.stock.parts.items():
        told = NUMBER.findall(name)
        if told and figure(part) is not None and name != MODES:
            assert str(figure(part)) in told, name


def test_the_figures_of_names_are_those_of_the_trade() -> None:
    """Megapixels, inches, amperes, terabytes, inputs and ports: common practice."""
    assert figure({"kind": "camera", "emits": [{"mode": ["1920x1080@25", "2592x1944@20"]}]}) == 5
    assert figure({"kind": "recorder", "inputs": [{"channels": "1-4, 7"}, {"channels": 8}]}) == 6
    assert figure({"kind": "supply", "amps": "2500 mA"}) is None
    assert figure({"kind": "supply", "amps": "10 A"}) == 10
    assert figure({"kind": "disk", "capacity": "4000 GB"}) == 4
    assert figure({"kind": "monitor", "mode": "1920x1080@60"}) is None
    assert figure({"kind": "cable"}) is None


def test_a_name_follows_and_the_part_of_the_stock_stays() -> None:
    recorder = {"kind": "recorder", "inputs": [{"channels": "1-8"}]}
    before = Plan({"recorders": {"r": {"part": "m8/box-8"}}}, {"m8/box-8": recorder, "m8/box-16": recorder})
    wider = following(before, edited(before, [put_at("parts/@/inputs/0/channels", "1-12")], ("recorders", "r")))
    assert wider.site["recorders"]["r"]["part"] == "m8/box-12"
    assert wider.parts["m8/box-8"] == recorder
    taken = following(before, edited(before, [put_at("parts/@/inputs/0/channels", "1-16")], ("recorders", "r")))
    assert taken.site["recorders"]["r"]["part"] == "m8/box"
    same = edited(before, [put_at("parts/@/bays", 2)], ("recorders", "r"))
    assert following(before, same) is same


@pytest.mark.parametrize("seed", range(12 if FULL else 2))
def test_no_printed_name_contradicts_its_row(bank: Bank, seed: int) -> None:
    made = 0
    for pattern in bank.patterns:
        if not FULL and pattern.id not in CHANGED:
            continue
        try:
            item = make_item(bank, Order(pattern, f"names {seed}", seed % 4))
        except Refusal:
            continue
        made += 1
        parts = item.posed.asked.plan.parts
        for name in {row[0] for table in item.tables for row in table.rows} & set(parts):
            told = NUMBER.findall(name)
            stands = figure(parts[name])
            if told and name != MODES and stands is not None:
                assert str(stands) in told, (pattern.id, name)
            if "maker-c/screen-" in name:
                assert stands is not None, (pattern.id, name)
    assert made >= len(CHANGED)
