"""A random site with everything else on it: alternating current, batteries, networks, lines, jackets, screens, views.

Works on a plain random site (`invented`), so that a seed names both. Of what is written, a share is left out again.
"""

from __future__ import annotations

import copy
import random

from . import enriched_parts
from .enriched_parts import Writer

LENGTHS = ["0 m", "3 m", "20 m", "35 m", "60 m", "95 m", "130 m", "250 m"]
SEEN = ["monitor", "detect", "observe", "recognise", "identify", "outline", "characterise", "scrutinise", "spot"]
ADDRESSES = ["192.0.2.7", "192.0.2.8", "192.0.2.9", "2001:db8::1", "2001:0DB8:0::1", "192.0.2.300", "gate"]


def enriched(draw, site, parts, open_share=0.12, *, complete=False):
    """The site and its parts with more on them, as new data."""
    site, parts = copy.deepcopy((site, parts))
    write = Writer(draw, open_share)
    parts = enriched_parts.parts(write, parts)
    if complete:
        enriched_parts.complete(parts)
    work = Work(write, site, parts)
    for step in (work.whole, work.places, work.cables, work.supplies, work.boxes, work.junctions, work.disks):
        step()
    for step in (work.switches, work.network_cameras, work.powered, work.lines, work.sheaths, work.screens, work.viewers):
        step()
    work.wishes()
    if complete:
        work.complete()
    work.plugs(complete=complete)
    work.protections()
    work.sights()
    work.closed()
    work.ends()
    work.upkeep()
    work.other_batteries()
    return site, parts


class Work:
    """One site under work."""

    def __init__(self, write, site, parts):
        self.write, self.draw, self.site, self.parts = write, write.draw, site, parts
        self.by_kind = {}
        for name, part in parts.items():
            self.by_kind.setdefault(part["kind"], []).append(name)
        self.free = []
        for group in ("supplies", "junctions", "boxes", "switches", "monitors"):
            site.setdefault(group, {})

    def part(self, word):
        return self.draw.choice([name for name in self.parts if f"/{word}" in name])

    def hops(self, *cables, box=0.0):
        """A way of one or two runs, now and then with a box."""
        found = []
        for _ in range(self.draw.choice([1, 1, 2])):
            hop = {"cable": self.draw.choice(cables)}
            self.write.put(hop, "length", *LENGTHS)
            found.append(hop)
        if self.free and self.write.odd(box):
            found.insert(self.draw.randint(0, len(found)), {"box": self.free.pop()})
        return found

    def whole(self):
        site, write = self.site, self.write
        if write.odd(0.6):
            site["wiring_code"] = self.draw.choice(["nec-2020", "nec-2023", "nec-2026", "iec-60364"])
        if write.odd(0.5):
            site["growth"] = self.draw.choice(["10 %", "50 %"])
        if write.odd(0.3):
            site["assume"] = {}
            write.put(site["assume"], "conductor_temperature", "50 °C", "20 °C")
            write.put(site["assume"], "bits_per_pixel", 0.05, 0.1)
            write.put(site["assume"], "usable_share", "90 %")
            write.put(site["assume"], "source_resistance", 0.05, 0.2)
            write.put(site["assume"], "target_height", "0.5 m")
            write.put(site["assume"], "peukert_exponent", 1.05, 1.3)
            write.put(site["assume"], "battery_remaining", "70 %")
            write.put(site["assume"], "rebuild_rate", "200 Mb/s")
            write.put(site["assume"], "disk_warmth", 10, 20)
            write.put(site["assume"], "motion_share", "20 %")
        apart = random.Random(repr(site))
        if apart.random() < 0.25:
            own = {"family": apart.choice(["tvi", "ahd"]), "mode": apart.choice(["1920x1080@25", "2592x1944@20", "1920x1080@24"])}
            own.update(apart.choice([{"loss_limit": "16 dB"}, {"top_frequency": "40 MHz"},
                                     {"top_frequency": "30 MHz", "loss_limit": "11 dB"}]))  # fmt: skip
            site["modes"] = [own]
        labels = write.odd(0.6)
        for number, entry in enumerate(site["cameras"].values()):
            if labels and write.odd(0.9):
                entry["label"] = self.draw.choice([f"Gate {number}", f"Gate {number}", "Quay"])
            if write.odd(0.5):
                entry["area"] = self.draw.choice(["yard", "quay"])
            if write.odd(0.5):
                entry["scene"] = {}
                write.put(entry["scene"], "motion", "little", "medium", "much")
                write.put(entry["scene"], "noise", "little", "some", "much")

    def places(self):
        for group in ("cameras", "recorders", "supplies", "junctions"):
            for entry in self.site[group].values():
                self._place(entry.setdefault("place", {}), group)

    def _place(self, place, group):
        write = self.write
        if group != "cameras":
            write.put(place, "setting", "indoor", "indoor", "sheltered", "outdoor")
            write.put(place, "building", "a", "b")
        for each in ("coastal", "damp", "washed", "sun"):
            if write.odd(0.25):
                place[each] = write.odd(0.8)
        if write.odd(0.05):
            place["hazardous"] = True
        elif place and len(place) % 2:
            place["hazardous"] = False
        if write.odd(0.4):
            place["ambient_min"] = self.draw.choice(["-30 °C", "0 °C", "15 °C"])
        if write.odd(0.4):
            place["ambient_max"] = self.draw.choice(["28 °C", "35 °C", "48 °C", "58 °C"])
        if write.odd(0.4):
            place["earth"] = self.draw.choice(["north", "south"])
        if group == "cameras":
            write.put(place, "height", "1.6 m", "3 m", "6 m", "9 m")
            write.put(place, "night_light", "0.02 lx", "2 lx")
            if write.odd(0.4):
                place["overlooked"] = write.odd(0.8)

    def cables(self):
        """How the drawn runs lie, and other cable here and there."""
        for group in ("cameras", "junctions"):
            for entry in self.site[group].values():
                for use in ("video", "power"):
                    for hop in (entry.get(use) or {}).get("over") or ():
                        if "cable" in hop:
                            self._lies(hop, use)

    def _lies(self, hop, use):
        write = self.write
        if write.odd(0.3):
            hop["cable"] = self.part("wire-" if use == "power" else "coax-1" if write.odd(0.5) else "pair-1")
        if use == "video" and write.odd(0.05):
            hop["cable"] = "own/sound-1"
        if use == "power" and write.odd(0.06):
            hop["cable"] = "rg59-copper" if random.Random(repr(hop)).random() < 0.5 else "own/coax-1"
        if hop["cable"] == "cat5e" and random.Random(repr(hop)).random() < 0.15:
            hop["cable"] = "cat5e-cca"
        if use == "power" and hop["cable"] in ("cat5e", "own/pair-1") and write.odd(0.5):
            hop["pairs"] = self.draw.choice([1, 2, 4])
        apart = random.Random(f"{hop} measured")
        if use == "video" and apart.random() < 0.12:
            was = {"loss": apart.choice(["0 dB", "4.2 dB", "14 dB", "21 dB"]), "loss_at": apart.choice(["37.125 MHz", "50 MHz"])}
            hop["measured"] = was | apart.choice([{}, {}, {"temperature": "5 °C"}])
        if use == "power" and write.odd(0.3):
            write.put(hop, "laid", "conduit", "clipped", "free-air", "insulation")
            write.put(hop, "bunched", 1, 2, 4, 10, 20)
        if write.odd(0.2):
            hop["setting"] = self.draw.choice(["indoor", "outdoor"])
        if write.odd(0.15):
            hop["buried"] = write.odd(0.8)
        if write.odd(0.15):
            hop["beside_mains"] = self.draw.choice(["0 m", "0.05 m", "0.1 m", "0.2 m", "1 m"])
            apart = write.aside()
            if apart.odd(0.5):
                hop["mains_circuits"] = apart.draw.choice([1, 3, 8, 15, 16, 40, 75, 90])
        apart = random.Random("bend" + repr(hop))
        if apart.random() < 0.1:
            hop["bend"] = apart.choice(["0.04 m", "0.062 m", "0.09 m"])
        if write.odd(0.2):
            hop["space"] = self.draw.choice(["general", "riser", "plenum", "escape-route"])

    def supplies(self):
        """A supply more, batteries, and loads that are no cameras."""
        site, write = self.site, self.write
        if write.odd(0.5):
            some = ["generic/ac24-4a-4way", "generic/dc12-2a", *self.by_kind["supply"]]
            site["supplies"]["q1"] = {"part": self.draw.choice(some)}
            site["supplies"]["q1"]["place"] = {"setting": "indoor"}
            for entry in site["cameras"].values():
                if "power" in entry and write.odd(0.35):
                    entry["power"]["from"] = f"q1/{self.draw.randint(1, 4)}"
        for entry in site["supplies"].values():
            if write.odd(0.4):
                entry["battery"] = self.draw.choice(["1.2 Ah", "7 Ah", "24 Ah"])
                write.put(entry, "battery_hours", "20 h", "10 h")
            if write.odd(0.4):
                entry["autonomy"] = self.draw.choice(["1 h", "8 h", "48 h"])
        for entry in site["recorders"].values():
            if write.odd(0.4):
                entry["power"] = {"from": self._origin(), "over": self.hops("dc-1mm2", "own/wire-1")}

    def _origin(self):
        taps = list(self.site["junctions"])
        if taps and self.write.odd(0.3):
            return self.draw.choice(taps)
        return f"{self.draw.choice(list(self.site['supplies']))}/{self.draw.randint(1, 5)}"

    def boxes(self):
        """Own boxes on ways of pictures and of power; some with power of their own; one or two on no way."""
        site, write = self.site, self.write
        for entry in site["boxes"].values():
            if write.odd(0.5):
                entry["part"] = self.draw.choice([name for name in self.by_kind["box"] if "converter" not in name])
        for number in range(6):
            own = "own/amplifier-1" if write.odd(0.3) else "generic/isolator-coax" if write.odd(0.2) else None
            site["boxes"][f"x{number}"] = {"part": own or self.draw.choice(self.by_kind["box"])}
            self.free.append(f"x{number}")
        for entry in site["cameras"].values():
            for use, share in (("video", 0.3), ("power", 0.08)):
                over = (entry.get(use) or {}).get("over")
                if over and self.free and write.odd(share):
                    over.insert(self.draw.randint(0, len(over)), {"box": self.free.pop()})
        for entry in site["boxes"].values():
            if write.odd(0.4):
                entry["power"] = {"from": self._origin(), "over": self.hops("dc-0.5mm2", "own/wire-2")}

    def junctions(self):
        """Devices in junctions; now and then one that hangs on nothing, with a camera on it."""
        site, write = self.site, self.write
        for entry in site["junctions"].values():
            if write.odd(0.6):
                entry["protective_device"] = self.draw.choice(["0.3 A", "0.5 A", "1 A", "2 A", "5 A"])
        if write.odd(0.25):
            site["junctions"]["k1"] = {"protective_device": "2 A"}
            names = ["k1"]
            if write.odd(0.4):
                site["junctions"]["k2"] = {"power": {"from": "k1", "over": self.hops("dc-1mm2")}}
                names.append("k2")
            for entry in site["cameras"].values():
                if "power" in entry and write.odd(0.2):
                    entry["power"]["from"] = self.draw.choice(names)

    def disks(self):
        for entry in self.site["recorders"].values():
            if "disks" in entry and self.write.odd(0.5):
                own = self.by_kind["disk"] + ["generic/disk-4tb"]
                one = self.draw.choice(own)
                same = self.write.odd(0.5)
                entry["disks"] = [one if same else self.draw.choice(own) for _ in entry["disks"]]
            if self.write.odd(0.3):
                entry["disks"] = [self.draw.choice(["hollin/disk-3", "generic/disk-2tb"])] * self.draw.choice([4, 5, 6])
                entry["redundancy"] = self.draw.choice(["raid1", "raid5", "raid6", "raid10"])
                entry["spare_disks"] = self.draw.choice([0, 0, 1])

    # Networks

    def switches(self):
        site, write = self.site, self.write
        names = [f"w{number}" for number in range(1, self.draw.randint(0, 3) + 1)]
        for place, name in enumerate(names):
            entry = site["switches"][name] = {"part": self.part("switch-")}
            entry["place"] = {"setting": self.draw.choice(["indoor", "outdoor"])}
            above = [f"{self.draw.choice(list(site['recorders']))}/{self.draw.choice(['net1', 'net2', 'poe1'])}"]
            above += [f"{other}/{self.draw.randint(1, 9)}" for other in names[:place]]
            if write.odd(0.75):
                entry["into"] = self.draw.choice(above)
                write.put(entry, "over", self.hops("cat5e", "own/pair-1", "own/coax-1", box=0.2))
        for group in ("recorders", "switches"):
            for entry in site[group].values():
                if write.odd(0.4):
                    entry["network_address"] = self.draw.choice(ADDRESSES)

    def _port(self):
        ends = [f"{name}/{self.draw.randint(1, 9)}" for name in self.site["switches"]]
        for name in self.site["recorders"]:
            ends.append(f"{name}/{self.draw.choice(['net', 'poe'])}{self.draw.randint(1, 3)}")
        return self.draw.choice(ends)

    def network_cameras(self):
        site, write = self.site, self.write
        for number in range(1, self.draw.randint(0, 4) + 1):
            entry = {"part": self.part("net-camera-"), "network": {"into": self._port()}}
            write.put(entry["network"], "over", self.hops("cat5e", "cat6", "own/pair-1", "own/coax-1", box=0.4))
            if entry["network"]["into"][0] == "w" and write.odd(0.8):
                entry["network"]["recorder"] = self.draw.choice(list(site["recorders"]))
            if write.odd(0.5):
                entry["record"] = {"schedule": self.draw.choice(["motion", "continuous"])}
                write.put(entry["record"], "rate", "5 fps", "25 fps")
                write.put(entry["record"], "second_stream", "512 kb/s")
                if write.odd(0.4):
                    write.put(entry["record"], "bitrate", "6 Mb/s", "20 Mb/s", "45 Mb/s")
                write.put(entry["record"], "codec", "h264", "h265")
            if write.odd(0.5):
                entry["network_address"] = self.draw.choice(ADDRESSES)
            for what in ("sound", "control"):
                if write.odd(0.3):
                    entry[what] = {"by": self.draw.choice(["network", "network", "coax"])}
            wants = {"rate": "12 fps"} if write.odd(0.5) else {}
            for each in ("talk_back", "sound", "sorted_motion", "firmware"):
                if write.odd(0.2):
                    wants[each] = True
            entry.update(wants=wants, place={"setting": self.draw.choice(["indoor", "outdoor"]), "building": "a"})
            if write.odd(0.3):
                entry["area"] = "yard"
            site["cameras"][f"n{number}"] = entry

    def powered(self):
        """Cameras and boxes on powered network ports."""
        site, write = self.site, self.write
        givers = [*site["switches"], *(f"{name}/poe" for name in site["recorders"])]
        for name, entry in site["cameras"].items():
            if write.odd(0.8 if name[0] == "n" else 0.15):
                giver = self.draw.choice(givers)
                number = self.draw.randint(1, 3)
                entry["power"] = {"from": f"{giver}{number}" if "/" in giver else f"{giver}/{number}"}
                write.put(entry["power"], "over", self.hops("cat5e", "cat6", "own/pair-1", "own/wire-1", box=0.3))
                apart = random.Random(name + repr(entry["power"]))
                for hop in entry["power"].get("over") or ():
                    if "cable" in hop and apart.random() < 0.4:
                        hop["bunched"] = apart.choice([6, 24, 70, 180, 400])
        if write.odd(0.1):
            site["junctions"]["k3"] = {"power": {"from": "r1/poe3", "over": self.hops("cat5e")}}
            if site["cameras"] and write.odd(0.7):
                self.draw.choice(list(site["cameras"].values()))["power"] = {"from": "k3", "over": self.hops("cat5e")}
        if write.odd(0.1) and site["switches"]:
            site["recorders"]["r1"]["power"] = {"from": "w1/2", "over": self.hops("cat5e")}

    # Lines, jackets, screens

    def lines(self):
        """Sound and control on cables of their own."""
        for entry in self.site["cameras"].values():
            recorder = self.draw.choice(list(self.site["recorders"]))
            if self.write.odd(0.35):
                sound = entry["sound"] = {"into": f"{recorder}/audio{self.draw.randint(1, 3)}"}
                self.write.put(sound, "over", self.hops("own/sound-1", "cat5e", "dc-1mm2", box=0.1))
                if self.write.odd(0.6):
                    sound["pickup"] = self.part("pickup-")
            elif self.write.odd(0.05):
                entry["sound"] = {"by": "network"}
            if self.write.odd(0.4):
                self._serial(entry, recorder)
            elif self.write.odd(0.05):
                entry["control"] = {"by": "network"}

    # Nothing left open

    def complete(self):
        """Ways and lengths that were left out, and what cannot be worked out taken away."""
        for group in ("cameras", "recorders", "junctions", "boxes", "switches"):
            for entry in self.site[group].values():
                for use in ("video", "power", "network", "sound", "control"):
                    if use in entry and "by" not in entry[use]:
                        self._whole_way(use, entry[use])
        for entry in self.site["boxes"].values():
            power = self._part_of(entry).get("power") or {}
            if "watts_day" not in power:
                entry.pop("power", None)
        for name, entry in list(self.site["cameras"].items()):
            self._digital(entry)
            self._apart(name, entry)
            self._converted(name, entry)
        if self.write.odd(0.2):
            self._crowd()

    def _part_of(self, entry):
        return self.parts.get(entry["part"], {})

    def _whole_way(self, use, way):
        over = way.setdefault("over", [])
        for hop in over:
            if "cable" in hop:
                hop.setdefault("length", "25 m")
            if use == "power" and hop.get("cable") in ("rg59-copper", "own/sound-1", "own/coax-1") and self.write.odd(0.8):
                hop["cable"] = "dc-1mm2"
        if use == "power":
            boxes = self.site["boxes"]
            way["over"] = [hop for hop in over if "box" not in hop or "resistance" in self._part_of(boxes[hop["box"]])]

    def _digital(self, entry):
        """Serial digital cameras on coax that is near its cliff, into an input that takes them."""
        emits = self._part_of(entry).get("emits")
        if emits and emits[0]["family"] == "sdi" and "video" in entry:
            entry["set"] = {"family": "sdi", "mode": "1920x1080@25"}
            length = self.draw.choice(["60 m", "87 m", "93 m", "110 m"])
            entry["video"] = {"into": "r1/1", "over": [{"cable": "own/coax-1", "length": length}]}
            rows = self._part_of(self.site["recorders"]["r1"])["inputs"][0]["accepts"]
            rows.append({"family": "sdi", "mode": ["1920x1080@25", "1920x1080@30"]})

    def _apart(self, name, entry):
        """Isolators between earths that differ."""
        if "video" in entry and self.write.odd(0.3):
            self.site["boxes"][f"{name}-apart"] = {"part": "generic/isolator-coax"}
            entry["video"]["over"].append({"box": f"{name}-apart"})

    def _converted(self, name, entry):
        """Network over coax, between converters."""
        if "network" in entry and self.write.odd(0.3):
            ends = [f"{name}-here", f"{name}-there"]
            self.site["boxes"].update({each: {"part": "own/converter-2"} for each in ends})
            entry["network"]["over"] = [{"box": ends[0]}, {"cable": "own/coax-1", "length": "120 m"}, {"box": ends[1]}]

    def _crowd(self):
        """Every camera twice, all of them on one serial line."""
        for name, entry in list(self.site["cameras"].items()):
            other = self.site["cameras"][f"{name}-more"] = copy.deepcopy(entry)
            for use in ("video", "power", "network", "sound"):
                if "over" in (other.get(use) or {}):
                    other[use]["over"] = [hop for hop in other[use]["over"] if "box" not in hop]
            for each in (entry, other):
                each["control"] = {"into": "r1/rs485", "over": self.hops("cat5e"), "address": self.draw.randint(1, 99)}
        load = self.draw.choice([1, 4, 4])
        for part in self.parts.values():
            if part["kind"] in ("camera", "recorder"):
                part.setdefault("control", {}).setdefault("serial", {})["unit_load"] = load

    def _serial(self, entry, recorder):
        control = entry["control"] = {"into": f"{recorder}/rs485"}
        self.write.put(control, "over", self.hops("cat5e", "own/pair-1", "own/sound-1"))
        for hop in control.get("over") or ():
            if "length" in hop and self.write.odd(0.3):
                hop["length"] = "700 m"
        self.write.put(control, "address", 1, 2, 3, 4, 5)
        if self.write.odd(0.5):
            control["speed"] = self.draw.choice(["2400 baud", "9600 baud"])
        if self.write.odd(0.5):
            control["protocol"] = self.draw.choice(["orrin", "orrin", "pelta"])
        self.write.put(control, "terminated", True, False, False)
        if self.write.odd(0.6):
            control["wiring"] = self.draw.choice(["chain", "chain", "star"])

    def sheaths(self):
        """Runs of one name: pairs of one jacket, mostly of one cable, on several uses of several devices."""
        places = []
        for entry in [*self.site["cameras"].values(), *self.site["junctions"].values()]:
            for use in ("video", "power", "network", "sound", "control"):
                places += [hop for hop in (entry.get(use) or {}).get("over") or () if "cable" in hop]
        for name in ("s1", "s2")[: self.draw.randint(0, 2)]:
            cable = self.draw.choice(["cat5e", "own/pair-1"])
            for hop in self.draw.sample(places, min(len(places), self.draw.randint(1, 4))):
                hop["sheath"] = name
                if self.write.odd(0.85):
                    hop["cable"] = cable
        self.fed_by_their_coax()

    def fed_by_their_coax(self):
        """Cameras whose power goes over the coax of their picture: one cable for both."""
        for name, entry in self.site["cameras"].items():
            runs = [(entry.get(use) or {}).get("over") or [] for use in ("video", "power")]
            if all(runs) and random.Random("coax " + repr(entry)).random() < 0.08:
                for hop in (hop for run in runs for hop in run if "cable" in hop):
                    hop.update(cable="own/coax-1", sheath=f"{name}-coax")

    def screens(self):
        for number in range(1, self.draw.randint(0, 3) + 1):
            entry = self.site["monitors"][f"m{number}"] = {"part": self.part("screen-")}
            if self.write.odd(0.85):
                recorder = self.draw.choice(list(self.site["recorders"]))
                entry["from"] = f"{recorder}/{self.draw.choice(['hdmi1', 'vga', 'hdmi2'])}"
            if self.write.odd(0.7):
                entry["distance"] = self.draw.choice(["0.6 m", "1.5 m", "4 m"])

    def viewers(self):
        for entry in self.site["recorders"].values():
            if self.write.odd(0.6):
                entry["viewers"] = self.draw.choice([1, 3, 10])
                self.write.put(entry, "viewed", 1, 4)
                self.write.put(entry, "viewed_stream", "main", "second", "second")
                self.write.put(entry, "uplink", "4 Mb/s", "50 Mb/s")
                entry.setdefault("record", {}).setdefault("second_stream", "512 kb/s")
            if self.write.odd(0.5):
                entry["playback"] = self.draw.choice([1, 2, 4])
            if self.write.odd(0.6):
                entry.pop("network_cameras", None)

    # Mains plugs

    def plugs(self, *, complete=False):
        """UPS, and what is plugged into them or into the plain mains."""
        site, write = self.site, self.write.aside()
        if write.odd(0.4):
            return
        site["ups"] = {}
        for number in range(1, write.draw.randint(0, 2) + 1):
            entry = site["ups"][f"u{number}"] = {"part": write.draw.choice(["hollin/ups-1", "hollin/ups-2"]), "place": {}}
            write.put(entry, "autonomy", "0.2 h", "0.5 h", "2 h", "8 h")
            write.put(entry["place"], "ambient_max", "28 °C", "40 °C", "45 °C")
        few = write.odd(0.5)
        for group in ("recorders", "switches", "boxes", "monitors", "supplies"):
            for entry in site[group].values():
                if write.odd(0.3 if few else 0.8):
                    entry["mains"] = write.draw.choice([*site["ups"], *site["ups"], *site["ups"], "mains"])
                if complete and group == "supplies" and entry.get("mains") in site["ups"] and write.odd(0.6):
                    entry["autonomy"] = write.draw.choice(["0.1 h", "0.5 h", "2 h"])
                    self._bare(entry)

        if complete:
            self._one_ups(write)
            for part in self.parts.values():
                power = part.get("power") or {}
                if power.get("kind") == "ac" and "volts_min" in power:
                    power["volts_min"] = write.draw.choice(["20 V", "21.6 V", "22 V", "22.5 V", "23 V", "23.5 V"])

    def _one_ups(self, write):
        """A UPS of which all is known, with switches and screens on it, and now and then a supply."""
        rows = [{"watts": "10 W", "hours": "4 h"}, {"watts": "900 W", "hours": "2 min"}]
        self.parts["hollin/ups-3"] = {
            "kind": "ups", "source": "invented", "runtimes": rows, "watts": write.draw.choice(["60 W", "110 W", "900 W"]),
            "volt_amps": write.draw.choice(["70 VA", "150 VA", "1 kVA"]),
        }  # fmt: skip
        self.site["ups"]["u9"] = {"part": "hollin/ups-3", "autonomy": write.draw.choice(["0.1 h", "1 h"])}
        for entry in [*self.site["switches"].values(), *self.site["monitors"].values()]:
            entry["mains"] = "u9"
        for entry in self.site["supplies"].values():
            if write.odd(0.4):
                entry.update(mains="u9", autonomy=write.draw.choice(["0.1 h", "3 h"]))
                self._bare(entry)

    def _bare(self, entry):
        """A supply without a battery of its own."""
        entry.pop("battery", None)
        for name in ("battery", "battery_backed"):
            self.parts.get(entry["part"], {}).pop(name, None)

    # Arresters and isolators on lines

    def protections(self):
        """Arresters on power and pictures, isolators on lines."""
        write = self.write.aside()
        own = ["own/arrester-3"] if "own/arrester-3" in self.parts else [n for n in self.by_kind["box"] if "arrester" in n]
        for entry in self.site["cameras"].values():
            for use in ("video", "power", "power", "control", "sound"):
                over = (entry.get(use) or {}).get("over")
                if over is None or not write.odd(0.25):
                    continue
                number = 100 + len(self.site["boxes"])
                kinds = {"video": own, "power": [*own, "own/isolator-line"]}.get(use, ["own/isolator-line"])
                part = write.draw.choice(kinds)
                line = {"kind": "box", "source": "invented", "does": "isolator", "resistance": "1 ohm"}
                self.parts.setdefault("own/isolator-line", line)
                self.site["boxes"][f"x{number}"] = {"part": part}
                over.insert(write.draw.randint(0, len(over)), {"box": f"x{number}"})
                if use == "video" and write.odd(0.6):
                    self.site["boxes"][f"x{number + 1}"] = {"part": part}
                    over.append({"box": f"x{number + 1}"})

    # Batteries of other kinds

    def other_batteries(self):
        """Lithium, curves and tables of datasheets, and wishes for recharging."""
        write = self.write.aside()
        rates = [{"amps": "0.3 A", "hours": "30 h"}, {"amps": "1 A", "hours": "7 h"}, {"amps": "9 A", "hours": "0.4 h"}]
        for part in self.parts.values():
            if part["kind"] == "supply":
                if write.odd(0.3):
                    part["battery_kind"] = write.draw.choice(["lithium", "lead-acid"])
                if write.odd(0.3):
                    part["battery_cold"] = [[-10, 0.6], [25, 1.0]]
                if write.odd(0.3):
                    part["battery_rates"] = rates
                if write.odd(0.7):
                    full = min(100.0, float(part["volts"].split()[0]) * 1.05)
                    soon = write.draw.choice([0.02, 0.8])
                    part["battery_curve"] = [[0, full], [soon, full * 0.88], [1, full * 0.8]]
        for entry in self.site["supplies"].values():
            if "battery" in entry and write.odd(0.4):
                entry["battery_rates"] = rates[: write.draw.randint(1, 3)]
            if "battery" in entry and write.odd(0.5):
                entry.update(battery=write.draw.choice(["24 Ah", "100 Ah"]), autonomy=write.draw.choice(["0.5 h", "4 h"]))
            if write.odd(0.3):
                entry["recharge"] = write.draw.choice(["6 h", "24 h", "90 h"])

    # Disks that fail, clocks that drift

    def upkeep(self):
        """How many disks fail in a year, when they are replaced, what keeps clocks right."""
        write = self.write.aside()
        for part in self.parts.values():
            if part["kind"] == "disk" and write.odd(0.7):
                part["failure_rate"] = write.draw.choice(["1 %", "3 %", "30 %"])
        for entry in self.site["recorders"].values():
            if write.odd(0.6):
                entry["disk_replaced"] = write.draw.choice(["24 h", "168 h", "2000 h"])
            self.played_back(entry, write.aside())
            if write.odd(0.4):
                entry["clock"] = write.draw.choice(["time-server", "own"])

    def played_back(self, entry, write):
        """For how many hours recordings are looked through; mostly whole pairs of how many and how long."""
        if write.odd(0.4):
            return
        if write.odd(0.85) or "playback" in entry:
            entry.setdefault("playback", write.draw.choice([0, 1, 4, 9]))
            if write.odd(0.9):
                entry["playback_hours"] = write.draw.choice(["2 h", "24 h", "24 h"])
        if ("viewers" in entry and write.odd(0.9)) or write.odd(0.1):
            entry["remote_hours"] = write.draw.choice(["0.5 h", "8 h"])

    # Ends of coax, cables to screens

    def ends(self):
        """How a coax is ended, and how far away a screen stands."""
        write = self.write.aside()
        for entry in self.site["cameras"].values():
            if "video" in entry and write.odd(0.3):
                entry["video"]["terminations"] = write.draw.choice([0, 1, 1, 2, 3])
        for entry in (self.site.get("monitors") or {}).values():
            write.put(entry, "length", "2 m", "4 m", "12 m", "40 m")
            if write.odd(0.2):
                entry["active"] = write.odd(0.6)

    # Closed cabinets

    def closed(self):
        """Cabinets, and devices that stand in them."""
        write = self.write.aside()
        if not write.odd(0.5):
            return
        made = self.site["cabinets"] = {}
        for name in ("m81", "m82"):
            entry = made[name] = {}
            write.put(entry, "width", "0.6 m", "0.8 m")
            write.put(entry, "height", "0.6 m", "2 m")
            write.put(entry, "depth", "0.21 m", "0.6 m")
            write.put(entry, "stands", "free", "wall", "row-end", "row-middle")
            write.put(entry, "material", "painted-steel", "stainless-steel", "aluminium", "plastic")
            write.put(entry, "vents", 0, 2, 40)
            if write.odd(0.3):
                entry["fan"] = write.draw.choice([0, 20, 60])
            if write.odd(0.5):
                entry["other_heat"] = write.draw.choice(["5 W", "80 W"])
            place = entry["place"] = {}
            write.put(place, *write.draw.choice([("setting", "indoor", "outdoor"), ("ambient_max", "22 °C", "34 °C")]))
        for group in ("recorders", "supplies", "switches", "boxes", "ups"):
            for entry in (self.site.get(group) or {}).values():
                if write.odd(0.5):
                    entry.setdefault("place", {})["cabinet"] = write.draw.choice(["m81", "m82"])
                    if write.odd(0.6):
                        entry["place"].pop("ambient_max", None)
                    if group in ("ups", "switches"):
                        part = self.parts.get(entry["part"])
                        if part is not None and write.odd(0.7):
                            part.update({"ups": {"efficiency": "88 %"}, "switches": {"temperature_max": "45 °C"}}[group])

    # What is to be seen

    def sights(self):
        """Faces, what a lens is focused on, and what its lamp lights."""
        write = self.write.aside()
        for entry in self.site["cameras"].values():
            wants = entry.setdefault("wants", {})
            if write.odd(0.4):
                wants["face"] = {}
                write.put(wants["face"], "pixels", 8, 32, 90)
                write.put(wants["face"], "angle", "0 deg", "30 deg")
            if write.odd(0.4):
                entry.setdefault("lens", {})["focus"] = write.draw.choice(["1.5 m", "4 m", "20 m", "300 m"])
            if write.odd(0.3):
                wants["near"] = write.draw.choice(["0.3 m", "1 m", "4 m", "15 m"])
            if write.odd(0.4):
                entry.setdefault("place", {})["lit_surface"] = write.draw.choice(["0.2 m", "1 m", "3 m"])
            if write.odd(0.3):
                entry.setdefault("place", {})["behind_glass"] = write.odd(0.7)

    def wishes(self):
        for entry in self.site["cameras"].values():
            write, wants = self.write, entry.setdefault("wants", {})
            if write.odd(0.6):
                write.put(wants, "see", *SEEN)
                write.put(wants, "at", "2 m", "5 m", "12 m", "30 m")
            if write.odd(0.5):
                wants["plate"] = {}
                write.put(wants["plate"], "character", "0.079 m", "0.07 m", "0.4 m")
                write.put(wants["plate"], "angle", "0 deg", "20 deg", "40 deg")
                write.put(wants["plate"], "speed", 5, 50, 90)
                write.put(wants["plate"], "crossing", "5 deg", "20 deg", "90 deg")
                if write.odd(0.8):
                    write.put(entry.setdefault("lens", {}), "shutter", 0.04, 0.001, 0.0001)
            if write.odd(0.2):
                wants["width"] = self.draw.choice(["4 m", "15 m"])
            if write.odd(0.5):
                wants["night"] = write.odd(0.8)
                if write.odd(0.4):
                    wants["near"] = self.draw.choice(["0.3 m", "1 m", "4 m"])
            if write.odd(0.25):
                wants["colour_night"] = write.odd(0.8)
            if write.odd(0.35):
                entry.setdefault("lens", {})
                write.put(entry["lens"], "focal", 2.8, 3.6, 4, 6, 12, 15)
