"""What is lost when a part stands in the place of another. Expectations worked by hand from the two entries.

Source of the IP cases: IEC 60529, clause 6 (second numeral 7 alone does not cover jets, 5 and 6). All else: common
practice (what a person would miss at the same place).
"""

from __future__ import annotations

import pytest
from pydantic import TypeAdapter

from coaxwright.fixes.part_losses import losses, part_losses, unstated
from coaxwright.model.parts import PART_KINDS

HD = {"family": "tvi", "mode": "1920x1080@25"}
FIVE = {"family": "tvi", "mode": "2592x1944@20"}
JETS = "protection against water: none stated against jets (IPX5, IPX6)"
GROUP = {"channels": "1-8", "accepts": [HD]}
BASES = {
    "camera": {"emits": [HD]},
    "recorder": {"inputs": [GROUP]},
    "disk": {"capacity": "4 TB"},
    "supply": {"volts": "12 V"},
    "cable": {"carries": ["coax"]},
    "switch": {"ports": 8},
    "box": {"does": "balun"},
}


def part(kind, **fields):
    entry = {"kind": kind, "source": "invented", **BASES[kind], **fields}
    return TypeAdapter(PART_KINDS[kind]).validate_python(entry)


# (kind, old, new, words that must be said)
LOST = [
    ("camera", {"control": {"moves": True}}, {"control": {"moves": False}},
     "no movement: it does not pan, tilt or zoom by motor"),
    ("camera", {"control": {"moves": True}}, {}, "movement not known (was there)"),
    ("camera", {"night": {"lamp": "infrared", "lamp_range": "30 m"}}, {"night": {"lamp": "none"}},
     "no lamp (was infrared, 30 m)"),
    ("camera", {"night": {"lamp": "infrared", "lamp_range": "30 m"}},
     {"night": {"lamp": "infrared", "lamp_range": "20 m"}}, "lamp infrared, 20 m in place of infrared, 30 m"),
    ("camera", {"night": {"lamp": "infrared", "lamp_range": "30 m"}},
     {"night": {"lamp": "white", "lamp_range": "40 m"}}, "lamp white, 40 m in place of infrared, 30 m"),
    ("camera", {"night": {"lamp": "infrared", "lamp_range": "30 m"}}, {}, "lamp not known (was infrared, 30 m)"),
    ("camera", {"night": {"lamp": "infrared", "lamp_range": "30 m"}}, {"night": {"lamp": "both"}},
     "lamp range not known (was infrared, 30 m)"),
    ("camera", {"housing": {"rated": "outdoor"}}, {"housing": {"rated": "indoor"}},
     "rating: indoor in place of outdoor"),
    ("camera", {"housing": {"rated": "outdoor"}}, {}, "rating not known (was outdoor)"),
    ("camera", {"housing": {"ik": "IK10"}}, {"housing": {"ik": "IK08"}}, "impact rating (IK) 8 in place of 10"),
    ("camera", {"housing": {"ip": "IP66"}}, {"housing": {"ip": "IP67"}}, JETS),
    ("camera", {"housing": {"ip": "IP66"}}, {"housing": {"ip": "IP54"}}, JETS),
    ("camera", {"housing": {"ip": "IP66"}}, {"housing": {"ip": "IP56"}},
     "dust protection (first IP digit) 5 in place of 6"),
    ("camera", {"optics": {"focal_min": "2.8 mm", "focal_max": "12 mm"}}, {"optics": {"focal_min": "3.6 mm"}},
     "lens fixed 3.6 mm in place of varifocal 2.8 to 12 mm"),
    ("camera", {"sound": {"microphone": True}}, {"sound": {"microphone": False}}, "no microphone"),
    ("camera", {"sound": {"over_coax": ["tvi", "ahd"]}}, {"sound": {"over_coax": ["tvi"]}},
     "no AHD sound over the coax"),
    ("camera", {"sound": {"line_output": True}}, {}, "line output for sound not known (was there)"),
    ("camera", {"emits": [FIVE]}, {},
     "largest picture 1920x1080 (2.1 MP) in place of 2592x1944 (5 MP)"),
    ("camera", {"power": {"volts": "12 V"}}, {"power": {"kind": "ac", "volts": "24 V"}},
     "takes 24 V AC, not 12 V DC"),
    ("camera", {"power": {"volts": "12 V", "volts_min": "9 V", "volts_max": "15 V"}},
     {"power": {"volts": "12 V", "volts_min": "10.8 V", "volts_max": "13.2 V"}},
     "voltage window 10.8 to 13.2 V in place of 9 to 15 V"),
    ("camera", {"power": {"volts": "12 V", "volts_min": "9 V", "volts_max": "15 V"}}, {"power": {"volts": "12 V"}},
     "voltage window not known (was 9 to 15 V)"),
    ("camera", {"housing": {"temperature_min": "-40 °C"}}, {"housing": {"temperature_min": "-10 °C"}},
     "lowest temperature -10 °C in place of -40 °C"),
    ("camera", {"housing": {"temperature_min": "0 °C"}}, {}, "lowest temperature not known (was 0 °C)"),
    ("recorder", {"inputs": [{"channels": "1-16", "accepts": [HD]}]}, {}, "inputs: 8 in place of 16"),
    ("recorder", {"bays": 4}, {"bays": 1}, "bays: 1 in place of 4"),
    ("recorder", {"sound": {"line_inputs": 4}}, {"sound": {"line_inputs": 0}}, "line inputs for sound: none in place of 4"),
    ("recorder", {"sound": {"coax_channels": "1-8"}}, {"sound": {"coax_channels": "1"}},
     "inputs with sound over the coax: 1 in place of 8"),
    ("recorder", {"sound": {"coax_maker": "any"}}, {"sound": {"coax_maker": "own"}},
     "sound over the coax only for cameras of its own maker"),
    ("recorder", {"inputs": [{"channels": "1-8", "accepts": [FIVE]}]},
     {"inputs": [{"channels": "1-8", "accepts": [HD, {**FIVE, "width": "reduced"}]}]},
     "largest picture taken at full width 1920x1080 (2.1 MP) in place of 2592x1944 (5 MP)"),
    ("recorder", {"decodes_total": "300 Mpx/s"}, {}, "decoding for live view and playback not known (was 300 Mpx/s)"),
    ("recorder", {"outputs": [{"connector": "hdmi", "mode": "1920x1080@60"},
                              {"connector": "vga", "mode": "1920x1080@60"}]},
     {"outputs": [{"connector": "hdmi", "mode": "1920x1080@60"}]}, "no vga monitor connector"),
    ("disk", {"continuous": True}, {"continuous": False}, "no rating to run all the time"),
    ("disk", {"warranty": "1095 days"}, {"warranty": "730 days"}, "warranty 730 days in place of 1095 days"),
    ("disk", {"workload": "180 TB/year"}, {}, "yearly workload not known (was 180 TB/year)"),
    ("disk", {"capacity": "8 TB"}, {}, "capacity 4 TB in place of 8 TB"),
    ("supply", {"outputs": 9}, {"outputs": 4}, "outputs: 4 in place of 9"),
    ("supply", {"amps": "10 A"}, {"amps": "5 A"}, "current of all outputs 5 A in place of 10 A"),
    ("supply", {"battery_backed": True}, {}, "battery backing not known (was there)"),
    ("supply", {"volts": "24 V"}, {}, "gives 12 V DC, not 24 V DC"),
    ("supply", {"output_protection": "fuse"}, {"output_protection": "none"},
     "protection of each output: none in place of fuse"),
    ("cable", {"conductor": {"size": "1.5 mm2"}}, {"conductor": {"size": "0.75 mm2"}},
     "conductor 0.75 mm2 in place of 1.5 mm2"),
    ("cable", {"conductor": {"material": "copper"}}, {"conductor": {"material": "copper-clad-aluminium"}},
     "conductor metal: copper-clad-aluminium in place of copper"),
    ("cable", {"rated": "burial"}, {"rated": "outdoor"}, "sheath: outdoor in place of burial"),
    ("cable", {"fire_class": "B2ca"}, {"fire_class": "Eca"}, "fire class Eca, not B2ca"),
    ("cable", {"impedance": "75 ohm"}, {"impedance": "50 ohm"}, "impedance 50 ohm, not 75 ohm"),
    ("switch", {"poe_watts": "120 W"}, {"poe_watts": "60 W"}, "power over Ethernet 60 W in place of 120 W"),
    ("box", {"passes_sound": True}, {"passes_sound": False}, "no passing of sound"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "old", "new", "words"), LOST, ids=lambda value: str(value)[:40])
def test_what_is_lost_is_named(kind, old, new, words):
    assert words in part_losses(part(kind, **old), part(kind, **new))


@pytest.mark.parametrize(("kind", "old", "new", "words"), LOST, ids=lambda value: str(value)[:40])
def test_a_part_loses_nothing_against_itself(kind, old, new, words):
    assert part_losses(part(kind, **old), part(kind, **old)) == ()
    assert part_losses(part(kind, **new), part(kind, **new)) == ()


# Near misses: as good, better, or nothing that could be lost.
KEPT = [
    ("camera", {"control": {"moves": False}}, {"control": {"moves": True}}),
    ("camera", {"control": {"moves": False}}, {}),
    ("camera", {"night": {"lamp": "none"}}, {}),
    ("camera", {"night": {"lamp": "infrared", "lamp_range": "30 m"}},
     {"night": {"lamp": "both", "lamp_range": "30 m"}}),
    ("camera", {"housing": {"rated": "indoor"}}, {"housing": {"rated": "outdoor"}}),
    ("camera", {"housing": {"rated": "indoor"}}, {}),
    ("camera", {"housing": {"ip": "IP66"}}, {"housing": {"ip": "IP66/IP67"}}),
    ("camera", {"optics": {"focal_min": "3.6 mm"}}, {"optics": {"focal_min": "2.8 mm", "focal_max": "12 mm"}}),
    ("camera", {"power": {"volts": "12 V"}}, {"power": {"kind": "dc-or-ac", "volts": "12 V"}}),
    ("camera", {"power": {"kind": "ac", "volts": "24 V"}},
     {"power": {"kind": "dc-or-ac", "volts": "12 V", "volts_min": "10 V", "volts_max": "28 V"}}),
    ("camera", {}, {"sound": {"microphone": False}}),
    ("recorder", {"sound": {"line_inputs": 0}}, {}),
    ("recorder", {"sound": {"coax_maker": "own"}}, {"sound": {"coax_maker": "any"}}),
    ("disk", {"warranty": "730 days"}, {"warranty": "1095 days"}),
    ("supply", {"output_protection": "none"}, {}),
    ("cable", {"rated": "outdoor"}, {"rated": "burial"}),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "old", "new"), KEPT)
def test_what_is_kept_is_not_told_as_lost(kind, old, new):
    assert part_losses(part(kind, **old), part(kind, **new)) == ()


def test_unknown_is_told_apart_from_lost():
    old = part("camera", control={"moves": True}, sound={"microphone": True})
    new = part("camera", sound={"microphone": False})
    assert [(each.about, each.known) for each in losses(old, new)] == [("movement", False), ("microphone", True)]


def test_a_part_of_another_kind_is_no_replacement():
    assert part_losses(part("camera"), part("disk")) == ("a disk, not a camera",)


def test_what_the_old_part_does_not_state_is_listed():
    known = part("camera", control={"moves": False}, night={"lamp": "none"}, housing={"rated": "outdoor"})
    assert unstated(known) == (
        "impact rating (IK)",
        "lens",
        "microphone",
        "supply voltage",
        "lowest temperature",
        "highest temperature",
    )
