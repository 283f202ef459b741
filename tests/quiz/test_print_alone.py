"""Patterns whose paper would leave something out, or tell it in a wrong unit, are refused: `quiz test` and papers alike."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxwright.checking import load_rulebook
from coaxwright.errors import Refusal
from coaxwright.quiz.bank import Bank, load_bank
from coaxwright.quiz.making import Order, make_item

LOSS = """
id: cable/mine
title: Reaches
kind: true-or-open
level: apply
about: link
when: has(link.loss_limit)
ask: "Judge this: the coax from {link.camera.name} loses no more than the input makes up for."
worlds:
  rule: cable/loss-beyond-limit
  holds: [{at: cameras/@/video/over/0/length, pick: [60 m, 90 m]}]
  fails: [{at: cameras/@/video/over/0/cable, put: video-thin}, {at: cameras/@/video/over/0/length, pick: [320 m, 350 m]}]
  open: [{at: cameras/@/video/over/0/length, drop: true}]
shows: [models, signal, coax]
steps: 2
sources: [{title: common practice, for: "loss adds up along a run"}]
"""
GIVEN = """
given:
  - {label: top frequency, value: "{link.top_frequency|MHz}"}
  - {label: loss that the input makes up for, value: "{link.loss_limit|dB}"}
"""
VOLTS = """
id: power/mine
title: Lost on the way
kind: value
level: apply
about: feed
ask: "How much is lost on the way to {feed.load.name} at night?"
answer: feed.drop_night
printed: {unit: UNIT, decimals: 2}
slips: [one-way-length, loop-doubled-twice, day-for-night]
shows: [models, power]
steps: 3
sources: [{title: IEC 60228, for: "resistance of conductors"}]
"""


def bank_with(folder: Path, text: str) -> Bank:
    topic, name = text.partition("id: ")[2].partition("\n")[0].split("/")
    (folder / topic).mkdir()
    (folder / topic / f"{name}.yaml").write_text(text, encoding="utf-8")
    return load_bank(load_rulebook(), [folder])


def test_a_limit_that_stands_nowhere_on_the_paper_is_refused(tmp_path: Path) -> None:
    bank = bank_with(tmp_path, LOSS)
    with pytest.raises(Refusal, match="limits-printed"):
        make_item(bank, Order(bank.pattern("cable/mine"), "1", 0, "small"))


def test_with_the_limit_given_it_comes_out(tmp_path: Path) -> None:
    bank = bank_with(tmp_path, LOSS + GIVEN)
    item = make_item(bank, Order(bank.pattern("cable/mine"), "1", 0, "small"))
    assert {label for label, _ in item.given} == {"top frequency", "loss that the input makes up for"}


@pytest.mark.parametrize("unit", ["kg", "A", "m", '""', "Mb/s"])
def test_volts_are_not_printed_in_another_unit(tmp_path: Path, unit: str) -> None:
    with pytest.raises(Refusal, match="is a number in V, which is not printed in"):
        bank_with(tmp_path, VOLTS.replace("UNIT", unit))


@pytest.mark.parametrize("unit", ["V", "mV"])
def test_volts_are_printed_in_volts(tmp_path: Path, unit: str) -> None:
    assert bank_with(tmp_path, VOLTS.replace("UNIT", unit)).pattern("power/mine")


def test_a_count_is_not_printed_in_a_unit(tmp_path: Path) -> None:
    text = VOLTS.replace("feed.drop_night", "feed.output.cameras").replace("UNIT", "V")
    with pytest.raises(Refusal, match="is a whole number, which is not printed in `V`"):
        bank_with(tmp_path, text)
