"""Invented parts of the kinds that the plain random sites do without, and more words on those that they have."""

from __future__ import annotations

import random

SERIAL = [["pelta", "orrin"], ["orrin"], ["velt"]]
CONNECTORS = ["hdmi", "vga", "bnc"]


class Writer:
    """Writes values into parts and sites, and leaves some out: `share` of them."""

    def __init__(self, draw, share):
        self.draw, self.share = draw, share

    def put(self, found, name, *choices):
        """One of the choices, or nothing."""
        if self.draw.random() >= self.share:
            found[name] = self.draw.choice(choices)

    def odd(self, share):
        return self.draw.random() < share

    def aside(self):
        """A writer with draws of its own, which follow from this one's and take none of them."""
        return Writer(random.Random(str(self.draw.getstate()[1])), self.share)


def serial(write):
    port = {}
    write.put(port, "protocols", *SERIAL)
    write.put(port, "speeds", ["2400 baud", "9600 baud"], ["9600 baud"], ["4800 baud"])
    write.put(port, "unit_load", 1, 0.25, 4, 4, 4)
    return port


def camera(write, part):
    """More words on a camera part."""
    if "power" in part and random.Random("coax" + repr(part)).random() < 0.3:
        part["power"]["over_coax"] = True
    if write.odd(0.15):
        part["emits"] = [{"family": "sdi", "mode": ["1920x1080@25", "1920x1080@30"]}]
        part.pop("starts_as", None)
    if write.odd(0.5):
        part["heeds_asks"] = True
    power, sound = part.setdefault("power", {"kind": "dc", "volts": "12 V"}), part.setdefault("sound", {})
    if write.odd(0.25):
        power.update(kind="ac", volts="24 V", volts_min="20 V", volts_max=write.draw.choice(["28 V", "30 V"]))
        write.put(power, "power_factor", 0.6, 0.9, 1)
    elif write.odd(0.25):
        power.update(kind="poe", volts="48 V")
        write.put(power, "poe_class", 0, 1, 2, 3, 4, 5, 6, 8)
    if write.odd(0.6):
        write.put(power, "plug", "round 5.5 mm", "round 5.5 mm", "screw terminal")
        write.put(power, "polarity", "centre-positive", "centre-negative")
    if write.odd(0.5):
        write.put(power, "polarity_protected", True, False)
    if write.odd(0.7):
        write.put(power, "inrush", "1.5 A", "4 A", "8 A")
    if write.odd(0.4):
        power.pop("volts_min", None)
    write.put(sound, "line_output", True, False)
    if write.odd(0.6):
        part.setdefault("control", {})["serial"] = serial(write)
    part["night"] = night(write)
    part["optics"] = optics(write)
    housing = part.setdefault("housing", {})
    write.put(housing, "coastal", True, False)
    write.put(housing, "condensation", True, False)
    if write.odd(0.3):
        housing["ik"] = "IK11"


def night(write):
    found = {}
    write.put(found, "lamp", "none", "infrared", "infrared", "white", "both")
    write.put(found, "lamp_range", "30 m", "15 m", "8 m")
    write.put(found, "least_light", "0.01 lx", "0.5 lx")
    write.put(found, "visible_glow", True, False)
    return found


def optics(write):
    found = {}
    write.put(found, "focal_min", "2.8 mm", "3.6 mm", "6 mm")
    if "focal_min" in found and write.odd(0.6):
        found["focal_max"] = write.draw.choice([found["focal_min"], "12 mm", "6 mm"])
    write.put(found, "f_number", 1.6, 2)
    if write.odd(0.7):
        write.put(found, "sensor_width", "5.4 mm", "4.8 mm")
    if write.odd(0.6):
        write.put(found, "view_angle_max", "95 deg", "80 deg", "182 deg")
    return found


def network_camera(write):
    part = {"kind": "camera", "source": "invented"}
    part["network"] = {"mode": write.draw.choice(["2560x1440@25", "3840x2160@20", "1920x1080@30"])}
    part["network"]["codecs"] = write.draw.choice([["h264"], ["h265"], ["h265", "h264"]])
    write.put(part["network"], "bitrate", "4 Mb/s", "8 Mb/s", "16 Mb/s")
    write.put(part, "power", {"kind": "poe", "volts": "48 V", "poe_class": write.draw.choice([0, 2, 3, 4, 6])})
    for name, choices in (("watts_day", ("3 W", "6 W")), ("watts_night", ("5 W", "11 W", "30 W"))):
        if "power" in part:
            write.put(part["power"], name, *choices)
    sound = {}
    write.put(sound, "microphone", True, True, False)
    write.put(sound, "loudspeaker", True, False)
    write.put(sound, "line_output", True, False)
    part["sound"], part["night"], part["optics"] = sound, night(write), optics(write)
    if write.odd(0.5):
        part["control"] = {"serial": serial(write)}
    return part


def recorder(write, part):
    """More words on a recorder part."""
    apart = random.Random(repr(part))
    if apart.random() < 0.2:
        part["modes"] = [{"family": "tvi", "mode": "2592x1944@20", "top_frequency": "74.25 MHz", "loss_limit": "19 dB"}]
    part["outputs"] = [
        {"connector": each, "mode": write.draw.choice(["1920x1080@60", "3840x2160@30", "1280x1024@60"])}
        for each in ("hdmi1", "vga", "hdmi2")
    ]
    write.put(part, "decodes_total", "60 Mpx/s", "250 Mpx/s", "400 Mpx/s")
    group = part["inputs"][0]
    if write.odd(0.4):
        group["accepts"].append({"family": "sdi", "mode": ["1920x1080@25", "1920x1080@30"]})
    if write.odd(0.3):
        asked = write.draw.choice(["1920x1080@25", "1920x1080@30", "1280x720@25", "2560x1440@25"])
        width = write.draw.choice(["full", "reduced"])
        group["accepts"] = [{"family": ["tvi", "ahd", "cvi"], "mode": [asked], "width": width}]
        group["asks"] = [{"family": ["tvi", "ahd", "cvi"], "maker": "any", "wanted": asked}]
    if write.odd(0.25):
        part["encodes"] = [{"up_to": "1280x720", "rate": "25 fps"}, {"up_to": "3840x2160", "rate": "15 fps", "width": "reduced"}]
    if write.odd(0.5):
        part["firmware_over_coax"] = {"families": ["tvi", "ahd", "cvi"], "maker": "any"}
    network = {}
    write.put(network, "cameras", 0, 1, 2, 4)
    write.put(network, "cameras_max", 1, 3, 8)
    write.put(network, "inputs_each", 0, 1, 2)
    write.put(network, "ports", 1, 2)
    write.put(network, "incoming", "6 Mb/s", "40 Mb/s")
    write.put(network, "outgoing", "10 Mb/s", "48 Mb/s")
    write.put(network, "viewers", 2, 8)
    write.put(network, "poe_ports", 2, 4)
    write.put(network, "poe_watts", "12 W", "50 W")
    write.put(network, "poe_class_port", 3, 4)
    part["network"] = network
    write.put(part.setdefault("sound", {}), "line_inputs", 0, 1, 2, 4)
    part.setdefault("control", {})["serial"] = serial(write)
    write.put(part, "temperature_min", "-10 °C", "0 °C", "10 °C")
    write.put(part, "temperature_max", "35 °C", "45 °C", "55 °C")
    write.put(part, "housing", {"rated": "indoor"}, {"rated": "outdoor", "ip": "IP66"}, {"ip": "IP20"})
    write.put(part["power"], "inrush", "3 A", "10 A")


def supply(write, part):
    """More words on a supply part; now and then of alternating current, or of more volts than usual."""
    if write.odd(0.35):
        part.update(gives="ac", volts=write.draw.choice(["24 V", "24 V", "24 V", "60 V"]))
        part.pop("trim_min", None), part.pop("trim_max", None)
    elif write.odd(0.1):
        part.update(volts="125 V", trim_min="120 V", trim_max="130 V")
    if write.odd(0.6):
        part["regulation"] = write.draw.choice(["5 %", "10 %", "2 %"])
    if write.odd(0.1):
        part.pop("amps", None)
    if write.odd(0.5):
        write.put(part, "plug", "round 5.5 mm", "screw terminal")
        write.put(part, "polarity", "centre-positive", "centre-negative")
    write.put(part, "class2", True, False)
    if write.odd(0.7):
        write.put(part, "inrush_amps", "6 A", "15 A", "40 A")
    if write.odd(0.6):
        write.put(part, "battery", "2.2 Ah", "7 Ah", "40 Ah")
        write.put(part, "battery_hours", "20 h", "10 h")
        write.put(part, "charge_amps", "0.1 A", "0.5 A", "2 A")
        write.put(part, "battery_backed", True, False)
        write.put(part, "float_volts", "12 V", "13.65 V", "13.2 V")
        write.put(part, "battery_volts_end", "10.5 V", "11.4 V")
    apart = random.Random(repr(part))
    if "battery" in part and apart.random() < 0.4:
        part["boost_volts"] = apart.choice(["14.4 V", "14.7 V", "13.2 V", "28.8 V"])
    if apart.random() < 0.3:
        part["derating"] = apart.choice([[[50, 1], [70, 0.5]], [[30, 1], [45, 0.8], [65, 0.2]]])
    write.put(part, "temperature_max", "40 °C", "50 °C", "60 °C")
    write.put(part, "housing", {"rated": "indoor"}, {"rated": "outdoor", "ip": "IP66/IP68"}, {"ip": "IPX4"})


def switch(write):
    part = {"kind": "switch", "source": "invented", "ports": write.draw.choice([2, 4, 8])}
    part["uplinks"] = write.draw.choice([0, 1, 2])
    write.put(part, "port_rate", "10 Mb/s", "100 Mb/s")
    write.put(part, "uplink_rate", "10 Mb/s", "100 Mb/s", "1000 Mb/s")
    if write.odd(0.85):
        part["poe_ports"] = write.draw.choice([1, 2, 4])
        write.put(part, "poe_watts", "10 W", "30 W", "120 W")
        write.put(part, "poe_class_port", 2, 3, 4, 6, 8)
    return part


def monitor(write):
    part = {"kind": "monitor", "source": "invented"}
    write.put(part, "connectors", ["hdmi"], ["vga", "bnc"], ["hdmi1", "vga"])
    write.put(part, "mode", "1920x1080@60", "1280x1024@60", "3840x2160@60")
    write.put(part, "diagonal", 22, 32, 15.6)
    return part


def ups(write):
    part = {"kind": "ups", "source": "invented"}
    write.put(part, "watts", "60 W", "300 W", "900 W")
    write.put(part, "volt_amps", "90 VA", "400 VA", "1.5 kVA")
    write.put(part, "temperature_max", "30 °C", "40 °C")
    rows = [("20 W", "9 h"), ("60 W", "3 h"), ("120 W", "70 min"), ("250 W", "0.4 h"), ("600 W", "6 min")]
    tables = [[{"watts": load, "hours": hours} for load, hours in some] for some in (rows, rows[1:], rows[::-1])]
    write.put(part, "runtimes", *tables)
    return part


def pickup(write):
    part = {"kind": "pickup", "source": "invented", "output": write.draw.choice(["line", "line", "microphone"])}
    write.put(part, "reach", "20 m", "100 m")
    if write.odd(0.4):
        part["works_with"] = write.draw.choice(["any", "tarnwell", "fennick", "brackwater"])
    return part


def boxes(write):
    """In-line parts by id."""
    found = {}
    for number, does in enumerate(["amplifier", "balun", "arrester", "joint", "splitter"], 1):
        part = {"kind": "box", "source": "invented", "does": does, "either_way": write.odd(0.5)}
        if does != "joint":
            part["injects_power"] = does in ("splitter", "amplifier", "arrester")
        if does == "balun":
            part["gives"] = "pair"
        write.put(part, "loss", "0.3 dB", "1 dB")
        write.put(part, "passes_sound", True, False)
        write.put(part, "passes_control", True, False)
        if write.odd(0.5):
            part["frequency_max"] = write.draw.choice(["30 MHz", "80 MHz", "300 MHz"])
        if write.odd(0.5):
            part["families"] = write.draw.choice([["tvi"], ["ahd", "cvi"], ["tvi", "ahd", "cvi"]])
        if write.odd(0.5):
            part["reach"] = write.draw.choice(["50 m", "200 m"])
        if does == "amplifier":
            write.put(part, "gain", "10 dB", "15 dB")
            write.put(part, "gain_max_input", "2 dB", "6 dB", "15 dB")
        write.put(part, "resistance", "0.2 ohm", "1 ohm")
        if write.odd(0.4):
            part["power"] = {"kind": "dc", "volts": "12 V"}
            write.put(part["power"], "volts_min", "9 V", "11.8 V")
            write.put(part["power"], "volts_max", "15 V", "12.5 V")
            write.put(part["power"], "watts_day", "1 W", "2.5 W")
        found[f"own/{does}-{number}"] = part
    for number in (1, 2):
        part = {"kind": "box", "source": "invented", "does": "converter", "takes": "coax", "gives": "pair"}
        part["power"] = {"kind": "poe" if number == 1 else "dc", "volts": "48 V", "watts_day": "1 W"}
        write.put(part["power"], "poe_class", 3, 4)
        found[f"own/converter-{number}"] = part
    return found


def cables(write):
    """Power and pair cables whose conductors have to be looked up, and coax of other rating."""
    found = {}
    for number in (1, 2, 3):
        conductor = {}
        write.put(conductor, "size", "0.75 mm2", "18 AWG", "0.6 mm2", "1.5 mm2", "0.14 mm2", "14 AWG", "0.1 mm2")
        write.put(conductor, "material", "copper", "copper", "copper-clad-aluminium", "aluminium")
        write.put(conductor, "stranding", "flexible", "stranded", "solid")
        if write.odd(0.4):
            conductor["amps"] = write.draw.choice(["0.4 A", "1 A", "3 A", "3 A"])
        part = {"kind": "cable", "source": "invented", "carries": ["power"], "conductor": conductor}
        write.put(part, "rated", "indoor", "outdoor", "burial")
        if write.odd(0.5):
            part["fire_class"] = "B2ca-s1"
        found[f"own/wire-{number}"] = part
    pair = {"kind": "cable", "source": "invented", "carries": ["pair", "power", "network", "line"], "impedance": "100 ohm"}
    pair["conductor"] = {"size": "0.2 mm2", "material": "copper", "stranding": "solid", "amps": "0.35 A"}
    pair["attenuation"] = [[1, 2], [16, 8], [100, 22]]
    write.put(pair, "category", "cat3", "cat5", "cat6")
    write.put(pair, "pairs", 1, 2, 4)
    write.put(pair, "screened", True, False)
    write.put(pair, "rated", "indoor", "outdoor")
    found["own/pair-1"] = pair
    found["own/sound-1"] = {"kind": "cable", "source": "invented", "carries": ["line"], "pairs": 1, "screened": True}
    found["own/coax-1"] = {
        "kind": "cable", "source": "invented", "carries": ["coax"], "impedance": "75 ohm", "rated": "burial",
        "attenuation": [[1, 0.7], [10, 2.2], [100, 7.0], [1000, 24.0]], "fire_class": "Dca",
    }  # fmt: skip
    found["own/coax-1"].update(braid_resistance="14 ohm/km", braid="aluminium")
    found["own/coax-1"]["conductor"] = {"material": "copper", "resistance": "33 ohm/km"}
    found["own/coax-1"]["bend_radius"] = "0.062 m"
    write.put(found["own/coax-1"], "centre", "copper", "copper-clad-steel")
    return found


def disks(write):
    found = {}
    for number, size in ((1, "1 TB"), (2, "3 TB"), (3, "16 TB"), (4, "40 GB")):
        part = {"kind": "disk", "source": "invented", "capacity": size}
        write.put(part, "workload", "1 TB/year", "20 TB/year", "60 TB/year", "180 TB/year")
        write.put(part, "continuous", True, False)
        write.put(part, "temperature_max", "50 °C", "60 °C", "70 °C")
        found[f"hollin/disk-{number}"] = part
    return found


def parts(write, found):
    """All of them, beside those that there are."""
    for part in found.values():
        for kind, more in (("camera", camera), ("recorder", recorder), ("supply", supply)):
            if part["kind"] == kind:
                more(write, part)
    for number in (1, 2):
        found[f"brackwater/net-camera-{number}"] = network_camera(write)
        found[f"hollin/switch-{number}"] = switch(write)
        found[f"hollin/screen-{number}"] = monitor(write)
        found[f"fennick/pickup-{number}"] = pickup(write)
    found.update(boxes(write))
    found.update(cables(write))
    found.update(disks(write))
    plugs(write.aside(), found)
    return found


def plugs(write, found):
    """UPS, and what goes into their plugs."""
    for number in (1, 2):
        found[f"hollin/ups-{number}"] = ups(write)
    for part in found.values():
        if part["kind"] == "switch":
            part["power"] = {"kind": "ac"}
            write.put(part["power"], "watts_day", "8 W", "40 W")
        elif part["kind"] == "monitor":
            write.put(part, "watts", "12 W", "30 W")
        elif part["kind"] == "box" and part["does"] == "arrester":
            write.put(part, "volts_continuous", "11 V", "18 V", "28 V", "40 V")
            apart = write.aside()
            apart.put(part, "test_categories", ["C1"], ["C1", "C2"], ["C2", "D1"], ["D1"], ["T2"], ["T1", "T2"], ["C3"])
        elif part["kind"] == "supply":
            write.put(part, "efficiency", "80 %", "92 %")


# Nothing left open

STANDS_IN = {
    "camera": {
        "power": {
            "kind": "dc", "volts": "12 V", "volts_min": "10.8 V", "volts_max": "13.5 V", "watts_day": "3 W",
            "watts_night": "6 W", "watts_heater": "4 W", "inrush": "3 A", "poe_class": 3,
        },
        "housing": {"rated": "outdoor", "ip": "IP66", "ik": "IK10", "temperature_min": "-25 °C", "temperature_max": "60 °C"},
        "sound": {"microphone": True, "over_coax": ["tvi"], "loudspeaker": True, "talk_back_coax": ["tvi"]},
        "control": {"over_coax": ["tvi", "ahd"]}, "firmware_over_coax": ["tvi", "ahd", "cvi"], "heeds_asks": True,
        "optics": {"focal_min": "2.8 mm", "focal_max": "12 mm", "f_number": 1.6, "sensor_width": "5.4 mm"},
        "night": {"lamp": "infrared", "lamp_range": "30 m", "least_light": "0.1 lx", "visible_glow": True},
    },
    "recorder": {
        "encodes_total": "260 Mpx/s", "bays": 6, "disk_max": "10 TB", "record_bitrate": "40 Mb/s", "decodes_total": "250 Mpx/s",
        "network": {"cameras": 2, "cameras_max": 8, "incoming": "40 Mb/s", "outgoing": "40 Mb/s", "viewers": 4},
        "power": {"watts_day": "12 W", "watts_night": "14 W", "inrush": "5 A"}, "sorted_motion": "1-4",
        "sound": {"coax_families": ["tvi", "ahd"], "coax_channels": "1-4", "line_inputs": 2, "talk_back_families": ["tvi"]},
        "temperature_min": "0 °C", "temperature_max": "45 °C", "redundancy": ["raid1", "raid5", "raid10"],
    },
    "supply": {
        "amps": "10 A", "outputs": 8, "amps_per_output": "2 A", "output_protection": "fuse", "inrush_amps": "25 A",
        "charge_amps": "1 A", "battery": "7 Ah", "class2": True,
    },
    "switch": {"port_rate": "100 Mb/s", "uplink_rate": "100 Mb/s", "poe_ports": 4, "poe_watts": "60 W", "poe_class_port": 4},
    "monitor": {"watts": "20 W"},
    "ups": {
        "watts": "200 W", "volt_amps": "250 VA", "temperature_max": "40 °C",
        "runtimes": [{"watts": "20 W", "hours": "6 h"}, {"watts": "100 W", "hours": "1 h"}, {"watts": "900 W", "hours": "1 min"}],
    },
    "cable": {"rated": "outdoor", "pairs": 4},
    "disk": {"workload": "100 TB/year", "continuous": True, "temperature_max": "60 °C"},
    "box": {"gain_max_input": "3 dB", "resistance": "0.1 ohm", "volts_continuous": "18 V", "test_categories": ["D1"]},
}  # fmt: skip


def filled(found, more):
    """What a part leaves out, from what stands in for it."""
    for name, value in more.items():
        if isinstance(value, dict):
            found[name] = filled(dict(found.get(name) or {}), value)
        else:
            found.setdefault(name, value)
    return found


def complete(parts):
    """Every part with nothing of weight left out."""
    for part in parts.values():
        if part["kind"] == "camera" and "emits" not in part:
            continue
        more = dict(STANDS_IN.get(part["kind"], {}))
        if part["kind"] == "supply" and "battery" not in part:
            more.pop("battery"), more.pop("charge_amps")
        filled(part, more)
        if part["kind"] == "box" and "power" in part:
            filled(part, {"power": {"watts_day": "2 W", "volts_min": "10 V", "volts_max": "14 V"}})
        if part["kind"] == "cable" and "power" in part["carries"]:
            filled(part, {"conductor": {"size": "1 mm2", "material": "copper", "stranding": "flexible"}})
