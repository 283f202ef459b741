"""Invented catalogues for random sites: every statement of a datasheet is left out now and then.

All makers, parts and figures are made up. A catalogue holds a few of each kind, so that what a search puts in
the place of something is a part that nobody wrote down in full either.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

Part = dict[str, Any]
MAKERS = ("sallow", "tench", "dunlin", "hazel")
MODES = {
    8: ("3840x2160@15", "3840x2160@12.5"),
    5: ("2592x1944@20", "2592x1944@12.5"),
    4: ("2560x1440@25", "2560x1440@30"),
    2: ("1920x1080@25", "1920x1080@30"),
    1: ("1280x720@25", "1280x720@50"),
    0: ("960x576@25", "720x576@25", "960x480@30"),
}
HD = ("tvi", "ahd", "cvi")
IPS = ("IP20", "IP54", "IP65", "IP66", "IP67", "IP66/IP67")
IKS = ("IK06", "IK07", "IK08", "IK10")


class Sheet:
    """A datasheet under way: `may` leaves a statement out as often as the catalogue has gaps."""

    def __init__(self, draw: Random, gaps: float, fields: Part) -> None:
        self.draw, self.gaps, self.part = draw, gaps, fields

    def may(self, **fields: Any) -> Sheet:
        for name, value in fields.items():
            if value is not None and self.draw.random() >= self.gaps:
                self.part[name] = value
        return self

    def done(self) -> Part:
        return {name: value for name, value in self.part.items() if value != {}}


def within(draw: Random, gaps: float, **fields: Any) -> Part:
    """A group of statements with gaps."""
    return Sheet(draw, gaps, {}).may(**fields).done()


def catalogue(draw: Random, gaps: float) -> dict[str, Part]:
    """A few parts of every kind, by id."""
    parts: dict[str, Part] = {
        "sallow/camera-0": {"kind": "camera", "source": "invented datasheet", **coax_camera(draw, gaps)}
    }
    for kind, count in (
        ("camera", draw.randint(4, 8)),
        ("recorder", draw.randint(2, 4)),
        ("supply", draw.randint(3, 6)),
        ("cable", draw.randint(3, 6)),
        ("box", draw.randint(2, 5)),
        ("disk", draw.randint(1, 4)),
        ("switch", draw.randint(1, 2)),
        ("pickup", 1),
        ("monitor", 1),
    ):
        for number in range(1, count + 1):
            part = MAKE[kind](draw, gaps)
            maker = "mews" if kind in ("disk", "monitor") else draw.choice(MAKERS)
            parts[f"{maker}/{kind}-{number}"] = {"kind": kind, "source": "invented datasheet", **part}
    return parts


def priced(draw: Random, most: int) -> int | None:
    return draw.randint(5, most) if draw.random() < 0.7 else None


def camera(draw: Random, gaps: float) -> Part:
    if draw.random() < 0.18:
        return network_camera(draw, gaps)
    return coax_camera(draw, gaps)


def coax_camera(draw: Random, gaps: float) -> Part:
    sizes = draw.sample([8, 5, 4, 2, 2, 1, 0], draw.randint(1, 3))
    modes = list(dict.fromkeys(mode for size in sizes for mode in draw.sample(MODES[size], 1) if size))
    families = draw.sample(HD, draw.randint(1, 3))
    emits = [{"family": families, "mode": modes}] if modes else []
    if not modes or draw.random() < 0.5:
        emits.append({"family": ["cvbs"], "mode": ["960x576@25"]})
    first = emits[0]
    starts = {"family": first["family"][0], "mode": draw.choice(first["mode"])}
    sheet = Sheet(draw, gaps, {"emits": emits}).may(
        starts_as=starts,
        switched_by=draw.sample(["menu-over-coax", "menu-button", "dip-switch", "service-lead"], draw.randint(1, 2)),
        heeds_asks=draw.random() < 0.3,
        power=power_input(draw, gaps),
    )
    return looks(draw, gaps, sheet, families).done()


def looks(draw: Random, gaps: float, sheet: Sheet, families: list[str]) -> Sheet:
    """Sound, control, lens, lamp, housing, price."""
    moves = draw.random() < 0.2
    short = draw.choice([2.8, 3.6, 4, 6])
    long = short if draw.random() < 0.6 else short * draw.choice([3, 4])
    return sheet.may(
        sound=within(
            draw,
            gaps,
            microphone=draw.random() < 0.5,
            over_coax=draw.sample(families, 1) if families else None,
            line_output=draw.random() < 0.2,
        ),
        control=within(draw, gaps, over_coax=families[:1] or None, moves=moves) if moves or draw.random() < 0.3 else None,
        firmware_over_coax=families[:1] if families and draw.random() < 0.3 else None,
        optics=within(
            draw, gaps, focal_min=f"{short:g} mm", focal_max=f"{long:g} mm", sensor_width="5.2 mm", sensor_height="3.9 mm",
            f_number=draw.choice([1.0, 1.6, 2.0]),
        ),
        night=within(
            draw, gaps, lamp=draw.choice(["none", "infrared", "white", "both"]), lamp_range=f"{draw.choice([15, 30, 60])} m",
            least_light=f"{draw.choice([0.01, 0.1])} lux", visible_glow=draw.random() < 0.5,
        ),
        housing=housing(draw, gaps),
        price=priced(draw, 300),
    )  # fmt: skip


def housing(draw: Random, gaps: float) -> Part:
    return within(
        draw, gaps, rated=draw.choice(["indoor", "outdoor", "outdoor"]), ip=draw.choice(IPS), ik=draw.choice(IKS),
        temperature_min=f"{draw.choice([-30, -20, -10, 0])} °C", temperature_max=f"{draw.choice([40, 50, 60])} °C",
    )  # fmt: skip


def power_input(draw: Random, gaps: float) -> Part:
    """Mostly 12 V DC with a window; sometimes 24 V AC, either, or 24 V DC."""
    kind, volts = draw.choice([("dc", 12)] * 5 + [("ac", 24), ("dc-or-ac", 24), ("dc", 24)])
    slack = draw.choice([0.1, 0.1, 0.1, 0.15, 0.25])
    night = draw.choice([3, 5, 6, 8, 12, 24])
    found = within(
        draw, gaps, volts=f"{volts} V", volts_min=f"{volts * (1 - slack):g} V", volts_max=f"{volts * (1 + slack):g} V",
        watts_day=f"{night * draw.choice([0.4, 0.5, 1.0]):g} W", watts_night=f"{night} W",
        load=draw.choice(["constant-power", "constant-power", "constant-current", "resistive"]),
        watts_heater=f"{draw.choice([6, 12])} W" if draw.random() < 0.15 else None,
        inrush="2 A" if draw.random() < 0.1 else None,
    )  # fmt: skip
    return {"kind": kind, **found}


def network_camera(draw: Random, gaps: float) -> Part:
    mode = draw.choice(["2560x1440@20", "1920x1080@25", "3840x2160@15"])
    stream = {"mode": mode, **within(draw, gaps, codecs=draw.choice([["h264"], ["h265", "h264"]]), bitrate="5 Mb/s")}
    power: Part = {
        "kind": "poe",
        **within(draw, gaps, watts_day="4 W", watts_night="9 W", poe_class=draw.choice([0, 2, 3])),
    }
    if draw.random() < 0.3:
        power = power_input(draw, gaps)
    sheet = Sheet(draw, gaps, {"network": stream}).may(power=power)
    return looks(draw, gaps, sheet, []).done()


def recorder(draw: Random, gaps: float) -> Part:
    """One or two groups of inputs of unequal grade, with what it encodes, or not."""
    channels = draw.choice([4, 8, 8, 16])
    families = draw.sample(["tvi", "ahd", "cvi", "cvbs"], draw.randint(2, 4))
    half = channels // 2 if draw.random() < 0.35 else channels
    groups = [{"channels": f"1-{half}", **inputs(draw, families, best=draw.choice([8, 5, 4]))}]
    if half < channels:
        groups.append({"channels": f"{half + 1}-{channels}", **inputs(draw, families, best=draw.choice([4, 2]))})
    sheet = Sheet(draw, gaps, {"inputs": groups, "settings": ["wide-input"]})
    sheet.may(
        encodes=[
            {"up_to": "2592x1944", "rate": "12.5 fps"},
            {"up_to": "1920x1080", "rate": f"{draw.choice([12.5, 15, 25])} fps"},
        ],
        encodes_total=f"{draw.choice([150, 300, 520, 800])} Mpx/s",
        codecs=draw.choice([["h264"], ["h265", "h264"]]),
        bays=draw.choice([1, 1, 2, 4]),
        disk_max=f"{draw.choice([4, 8, 10])} TB",
        record_bitrate=f"{draw.choice([40, 96])} Mb/s",
        sorted_motion=f"1-{half}" if draw.random() < 0.5 else None,
        network=within(
            draw, gaps, cameras=draw.choice([0, 2, 4]), cameras_max=draw.choice([4, 8]), incoming=f"{draw.choice([16, 32])} Mb/s",
            ports=1, viewers=draw.choice([2, 8]), poe_ports=draw.choice([0, 4]), poe_watts="40 W",
        ),
        power={
            "kind": "dc",
            **within(draw, gaps, volts="12 V", volts_min="11 V", volts_max="13 V", watts_day="16 W", watts_night="16 W"),
        },
        temperature_min="-10 °C", temperature_max=f"{draw.choice([40, 55])} °C", price=priced(draw, 600),
    )  # fmt: skip
    return recorder_ears(draw, gaps, sheet, families, half).done()


def recorder_ears(draw: Random, gaps: float, sheet: Sheet, families: list[str], half: int) -> Sheet:
    """Sound, control and firmware of a recorder."""
    hd = [each for each in families if each != "cvbs"] or families
    return sheet.may(
        sound=within(
            draw, gaps, coax_channels=f"1-{draw.choice([1, half])}" if half > 1 else "1", coax_families=hd[:2],
            coax_maker=draw.choice(["any", "own"]), line_inputs=draw.choice([0, 1, 4]),
        ),
        control=within(draw, gaps, coax_families=hd, coax_maker=draw.choice(["any", "own"])),
        firmware_over_coax={"families": hd[:1], "maker": "own"} if draw.random() < 0.4 else None,
        redundancy=["raid1", "raid5"] if draw.random() < 0.3 else None,
        outputs=[{"connector": "hdmi", "mode": "1920x1080@60"}] if draw.random() < 0.5 else None,
    )  # fmt: skip


def inputs(draw: Random, families: list[str], best: int) -> Part:
    """What a group of inputs takes: full width up to some size, larger ones at reduced width now and then."""
    taken = [mode for size in MODES if 0 < size <= best for mode in MODES[size] if draw.random() < 0.85]
    accepts: list[Part] = [
        {"family": [each for each in families if each != "cvbs"] or ["tvi"], "mode": taken or ["1920x1080@25"]}
    ]
    if "cvbs" in families:
        accepts.append({"family": "cvbs", "mode": ["960x576@25", "960x480@30"]})
    if draw.random() < 0.3:
        accepts.append({"family": "tvi", "mode": ["2592x1944@20", "3840x2160@15"], "width": "reduced"})
    if draw.random() < 0.2:
        accepts.append({"family": "tvi", "mode": ["3840x2160@12.5"], "after": "wide-input"})
    found: Part = {"accepts": accepts}
    if draw.random() < 0.3:
        found["asks"] = [{"maker": "own", "family": "tvi", "seen": "2592x1944@20", "wanted": "2592x1944@12.5"}]
    return found


def supply(draw: Random, gaps: float) -> Part:
    """A boxed supply, a plug, a 24 V one with a battery, or a transformer."""
    kind = draw.choice(["boxed", "boxed", "plug", "battery", "ac"])
    volts = 24 if kind == "ac" else draw.choice([12, 12, 24]) if kind == "battery" else 12
    outputs = 1 if kind == "plug" else draw.choice([2, 4, 9])
    sheet = Sheet(draw, gaps, {"gives": "ac" if kind == "ac" else "dc", "volts": f"{volts} V"}).may(
        amps=f"{draw.choice([1, 2, 5, 10])} A", outputs=outputs, amps_per_output=f"{draw.choice([0.5, 1, 1.1, 3])} A",
        output_protection=draw.choice(["fuse", "resettable", "electronic", "none"]), class2=draw.random() < 0.5,
        temperature_min="-10 °C", temperature_max="50 °C", housing=housing(draw, gaps), price=priced(draw, 150),
    )  # fmt: skip
    if kind in ("boxed", "battery"):
        sheet.may(trim_min=f"{volts * 0.92:g} V", trim_max=f"{volts * draw.choice([1.1, 1.15]):g} V")
    if kind == "battery":
        sheet.may(
            battery_backed=True,
            charge_amps="1 A",
            battery_volts_end=f"{volts * 0.875:g} V",
            battery="7 Ah",
            battery_hours="20 h",
        )
    if kind == "ac":
        sheet.may(regulation=draw.choice(["5 %", "10 %"]))
    return sheet.done()


def cable(draw: Random, gaps: float) -> Part:
    """Coax, pair or power cable."""
    kind = draw.choice(["coax", "coax", "pair", "power"])
    sheet = Sheet(draw, gaps, {"carries": [kind]}).may(
        rated=draw.choice(["indoor", "outdoor", "burial"]),
        price=priced(draw, 6),
        fire_class="Eca" if draw.random() < 0.3 else None,
    )
    if kind == "coax":
        loss = draw.choice([0.8, 1.0, 1.6])
        points = [[1, 1.1 * loss], [10, 2.7 * loss], [100, 8.4 * loss]]
        sheet.may(
            impedance=draw.choice(["75 ohm"] * 5 + ["50 ohm"]), centre=draw.choice(["copper", "copper-clad-steel"]),
            attenuation=[[f, round(a, 3)] for f, a in (points if draw.random() < 0.7 else points[:2])],
        )  # fmt: skip
    elif kind == "pair":
        sheet.may(
            category=draw.choice(["cat3", "cat5e", "cat6"]),
            pairs=4,
            impedance="100 ohm",
            attenuation=[[1, 2.0], [10, 6.5], [100, 22.0]],
        )
        sheet.part["carries"] = ["pair", "network", "power"]
        sheet.may(
            conductor=within(
                draw, gaps, size="24 AWG", material=draw.choice(["copper", "copper-clad-aluminium"]), stranding="solid"
            )
        )
    else:
        sheet.may(
            conductor=within(
                draw, gaps, size=f"{draw.choice([0.5, 0.75, 1.5, 2.5])} mm2",
                material=draw.choice(["copper", "copper-clad-aluminium"]),
                stranding=draw.choice(["solid", "flexible"]), amps="6 A" if draw.random() < 0.5 else None,
            )
        )  # fmt: skip
    return sheet.done()


def box(draw: Random, gaps: float) -> Part:
    does = draw.choice(["balun", "balun", "amplifier", "isolator", "arrester", "splitter", "joint"])
    sheet = Sheet(draw, gaps, {"does": does}).may(
        loss=f"{draw.choice([0.2, 0.5, 1, 3.5])} dB", passes_sound=draw.random() < 0.5, passes_control=draw.random() < 0.5,
        passes_firmware=draw.random() < 0.5, frequency_max=f"{draw.choice([20, 45, 80])} MHz", price=priced(draw, 60),
        families=draw.sample(["tvi", "ahd", "cvi", "cvbs"], 2) if draw.random() < 0.4 else None,
        reach="300 m" if draw.random() < 0.3 else None,
    )  # fmt: skip
    if does == "balun":
        sheet.part |= {"takes": "coax", "gives": "pair", "either_way": True}
    if does == "amplifier":
        sheet.may(gain=f"{draw.choice([6, 12])} dB", gain_max_input="2 dB")
        sheet.may(power={"kind": "dc", **within(draw, gaps, volts="12 V", watts_day="1.2 W", watts_night="1.2 W")})
    return sheet.done()


def disk(draw: Random, gaps: float) -> Part:
    capacity = f"{draw.choice([1, 2, 4, 6, 8, 12])} TB"
    return Sheet(draw, gaps, {"capacity": capacity}).may(
        continuous=draw.random() < 0.6, workload="180 TB/year", watts="6 W", temperature_max="60 °C", price=priced(draw, 200),
        warranty=f"{draw.choice([730, 1095])} days",
    ).done()  # fmt: skip


def switch(draw: Random, gaps: float) -> Part:
    return Sheet(draw, gaps, {"ports": 8, "uplinks": 1, "poe_ports": draw.choice([0, 4, 8])}).may(
        poe_watts=f"{draw.choice([15, 60])} W", poe_class_port=3, port_rate="100 Mb/s", uplink_rate="1000 Mb/s",
        price=priced(draw, 120),
    ).done()  # fmt: skip


def pickup(draw: Random, gaps: float) -> Part:
    return Sheet(draw, gaps, {"output": draw.choice(["line", "microphone"])}).may(
        reach="30 m", power={"kind": "dc", **within(draw, gaps, volts="12 V", watts_day="0.4 W", watts_night="0.4 W")}
    ).done()  # fmt: skip


def monitor(draw: Random, gaps: float) -> Part:
    return (
        Sheet(draw, gaps, {"connectors": ["hdmi"]})
        .may(mode="1920x1080@60", diagonal=24, price=priced(draw, 200))
        .done()
    )


MAKE: dict[str, Callable[[Random, float], Part]] = {
    "camera": camera,
    "recorder": recorder,
    "supply": supply,
    "cable": cable,
    "box": box,
    "disk": disk,
    "switch": switch,
    "pickup": pickup,
    "monitor": monitor,
}
