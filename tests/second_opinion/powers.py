"""Second opinion on power: cables, supplies, outputs, junctions, feeds, batteries, protection, starting."""

from __future__ import annotations

import math
from itertools import pairwise

from . import conductors, plain
from .plain import assumption, num, table, yes
from .seasons import Seasons, summed

GROUPS = ("cameras", "recorders", "junctions", "boxes")


# Cables


def conductor(cable):
    """Ohm/m of one conductor at 20 °C and its temperature coefficient; None where not known."""
    own = cable.get("conductor")
    if own is None:
        return None, None
    metal = next(row for row in table("conductor-materials") if row["material"] == own.get("material", "copper"))
    rise = num(metal["temperature_coefficient"])
    if "resistance" in own:
        return num(own["resistance"]), rise
    if not {"size", "material", "stranding"} <= set(own):
        return None, rise
    return copper(num(own["size"]), own["stranding"]) * num(metal["factor"]), rise


def copper(size, stranding):
    """Ohm/m of copper: IEC 60228's greatest, else the gauge's, else resistivity over area."""
    for row in table("conductors-iec60228"):
        if num(row["size"]) == size and row["stranding"] == stranding:
            return num(row["resistance"]) / 1000
    for row in table("wire-awg"):
        if abs(num(row["area"]) - size) <= 0.003 * size:
            return num(row["solid" if stranding == "solid" else "stranded"]) / 1000
    first = table("wire-awg")[0]
    lay = 1.0 if stranding == "solid" else num(first["stranded"]) / num(first["solid"])
    return lay / 58 / size


def over_coax(part):
    return yes((part.get("power") or {}).get("over_coax")) is True


def powered_coax(cable):
    """Centre and braid of a coax as one conductor of half their sum, and their common coefficient."""
    centre, rise = conductor(cable)
    braid = num(cable.get("braid_resistance"))
    if centre is None or braid is None:
        return None, rise
    metal = next(row for row in table("conductor-materials") if row["material"] == cable.get("braid", "copper"))
    return (centre + braid) / 2, (centre * rise + braid * num(metal["temperature_coefficient"])) / (centre + braid)


def of_run(cable, coax):
    """Ohm/m and coefficient of one of the two conductors of a run."""
    return powered_coax(cable) if coax and "coax" in cable["carries"] else conductor(cable)


def way(opinion, over, pairs=None, coax=False):
    """Ohm (loop), metres, and whether each is known, of a way of cables and boxes. `pairs`: powered pairs, of all runs."""
    if over is None:
        return None, None
    ohms, metres = 0.0, 0.0
    for hop in over:
        if "box" in hop:
            part = opinion.parts[opinion.site["boxes"][hop["box"]]["part"]]
            if pairs is None or part["does"] != "converter":
                own = num(part.get("resistance"))
                ohms = None if own is None or ohms is None else ohms + own
            continue
        length = num(hop.get("length"))
        per, rise = of_run(opinion.parts[hop["cable"]], coax)
        degc = num(hop.get("temperature"))
        degc = assumption("conductor-temperature") if degc is None else degc
        if length is None:
            ohms = metres = None
        elif metres is not None:
            metres += length
        loop = num((hop.get("measured") or {}).get("loop"))
        if ohms is not None and loop is not None:
            then = num(hop["measured"].get("temperature"))
            metals = {row["material"]: num(row["temperature_coefficient"]) for row in table("conductor-materials")}
            rise = rise or metals["copper"]
            ohms += loop * (1 + rise * (degc - 20)) / (1 + rise * ((20 if then is None else then) - 20))
        elif ohms is not None:
            cores = pairs or int(hop.get("pairs") or 1)
            ohms = None if per is None else ohms + 2 * length * per * (1 + rise * (degc - 20)) / cores
    return ohms, metres


# Loads


def watts(part, entry, night):
    """Power drawn, with heater and motors; None where not known."""
    power = part.get("power")
    if power is None:
        return None
    lampless = part["kind"] != "camera" or (part.get("night") or {}).get("lamp") == "none"
    base = num(power.get("watts_night" if night else "watts_day"))
    if night and base is None and lampless:
        base = num(power.get("watts_day"))
    terms = [base]
    if night and yes(entry.get("heater")):
        terms.append(num(power.get("watts_heater")))
    if "watts_motor" in power:
        terms.append(num(power["watts_motor"]))
    return summed(terms)


def load(part, entry):
    """Kind, watts by day and night, rated volts, power factor."""
    power = part.get("power") or {}
    kind = power.get("load") or assumption("load-kind")
    drawn = [watts(part, entry, night) for night in (False, True)]
    if kind != "constant-power" and "volts" not in power:
        drawn = [None, None]
    factor = num(power.get("power_factor"))
    return (kind, *drawn, num(power.get("volts")) or 1.0, assumption("power-factor") if factor is None else factor)


# Trees


def below(site, origin):
    """All that hangs on `origin`, parents first: (group, name, entry, index of the parent)."""
    nodes, waiting = [], [(origin, -1)]
    while waiting:
        at, parent = waiting.pop(0)
        for group in GROUPS:
            for name, entry in (site.get(group) or {}).items():
                if "power" in entry and entry["power"]["from"].split("/")[0] == at:
                    nodes.append((group, name, entry, parent))
                    if group == "junctions":
                        waiting.append((name, len(nodes) - 1))
    return nodes


def chain(nodes, index):
    """A node and all above it, root last."""
    found = [index]
    while nodes[found[-1]][3] >= 0:
        found.append(nodes[found[-1]][3])
    return found


def port(nodes, index):
    """Number of the port at the root of a node."""
    return int(nodes[chain(nodes, index)[-1]][2]["power"]["from"].split("/")[1])


def cameras_below(nodes, index):
    return sum(group == "cameras" and index in chain(nodes, i) for i, (group, *_) in enumerate(nodes))


class Tree:
    """One supply with all that hangs on it."""

    def __init__(self, opinion, name, entry):
        self.opinion, self.name, self.entry = opinion, name, entry
        self.part = opinion.parts[entry["part"]]
        self.alternating = self.part.get("gives", "dc") == "ac"
        self.supply = self._stated()
        self.nodes = below(opinion.site, name)
        self.ways = [way(opinion, node[2]["power"].get("over"), coax=takes_coax(opinion, node)) for node in self.nodes]
        self.loads = [None if node[0] == "junctions" else load(self._part(node), node[2]) for node in self.nodes]
        self.source = self._source()
        self.seasons = self._heated()
        self.states = self.seasons.states
        self._nodes()
        self._spokesmen()
        self._sums()
        self._battery()

    def _part(self, node):
        return self.opinion.parts[node[2]["part"]]

    def _stated(self):
        """What part and entry state."""
        entry, part, site = self.entry, self.part, self.opinion.site
        nominal, trim, amps = num(part["volts"]), num(entry.get("trim")), num(part.get("amps"))
        place = entry.get("place") or {}
        facts = {
            "name": self.name, "part": entry["part"], "gives": part.get("gives", "dc"), "volts_nominal": nominal,
            "trimmed": trim is not None,
            "trim_min": num(part.get("trim_min")), "trim_max": num(part.get("trim_max")), "amps_max": amps,
            "watts_max": None if amps is None else nominal * amps, "amps_start_max": num(part.get("inrush_amps")),
            "outputs": None if "outputs" not in part else int(part["outputs"]), "plug": part.get("plug"),
            "polarity": part.get("polarity"), "class2": yes(part.get("class2")), "setting": place.get("setting"),
            "building": place.get("building"), "wiring_code": site.get("wiring_code"),
            "autonomy_wanted": num(entry.get("autonomy")),
            "regulation": num(part.get("regulation")),
            "on_ups": entry.get("mains", "mains") != "mains",
            "has_battery": "battery" in entry or "battery" in part or yes(part.get("battery_backed")) is True,
        }  # fmt: skip
        facts.update(mains(part, trim, facts["has_battery"]))
        facts["class2_amps"], facts["class2_article"] = class2(facts)
        facts["wet_volts"], facts["wet_article"] = touched_wet(facts)
        facts.update(warm_supply(part, place))
        facts["amps_warm"] = product(amps, facts["share_warm"])
        return self.opinion.put("supply", f"supplies/{self.name}", facts)

    def _source(self):
        """Volts without load and the resistance behind them (None where not known)."""
        if "regulation" not in self.part:
            return self.supply["volts"], assumption("source-resistance")
        rise = num(self.part["regulation"]) * self.supply["volts_nominal"]
        amps = self.supply["amps_max"]
        return self.supply["volts"] + rise, (None if rise else 0.0) if amps is None else rise / amps

    def _heated(self):
        """Solved over and over, runs as warm as their currents make them, until they get no warmer."""
        hot = [hot_runs(self.opinion, node) for node in self.nodes]
        cold = list(self.ways)
        for _ in range(200):
            found = self._solved(self.source[0])
            grown = 0.0
            for index, runs in enumerate(hot):
                state = found.states[index]
                amps = [state[f"amps_{each}"] or 0.0 if state[f"volts_{each}"] else 0.0 for each in ("day", "night")]
                for run in runs:
                    before = run.more
                    grown = max(grown, run.warm(max(amps)) - before)
                if cold[index][0] is not None:
                    self.ways[index] = (cold[index][0] + sum(run.added() for run in runs), cold[index][1])
            if grown < 1e-9:
                break
        for run in (each for runs in hot for each in runs):
            run.run["temperature"] += run.more
        return found

    def _solved(self, source):
        parents, ohms = [node[3] for node in self.nodes], [each[0] for each in self.ways]
        at = self.supply["volts"] if source == self.source[0] else source
        found = Seasons(parents, ohms, self.loads, (source, self.source[1]), alternating=self.alternating, asked_at=at)
        self.opinion.near = self.opinion.near or found.near
        self.opinion.collapsed = self.opinion.collapsed or found.gone
        return found

    def total(self, which, index):
        """Sum of a way's ohms (0) or metres (1) back to the source."""
        return summed(self.ways[each][which] for each in chain(self.nodes, index))

    def _nodes(self):
        self.outputs = {}
        for index, (group, owner, entry, parent) in enumerate(self.nodes):
            number, state = port(self.nodes, index), self.states[index]
            output = self.outputs.setdefault(number, {"runs": 0, "roots": [], "cameras": 0, "feeds": [], "nodes": []})
            output["nodes"].append(index)
            if parent < 0:
                output["runs"] += 1
                output["roots"].append(index)
            if group == "junctions":
                junction(self.opinion, self.nodes, index, self.total(1, index), self.supply, state)
            elif group == "cameras":
                output["cameras"] += 1
                output["feeds"].append(self._feed(index, owner, state))
            else:
                self._device(index, group, owner, state)
            for run in self.opinion.power_runs(group, owner, entry):
                run["amps_day"], run["amps_night"] = state["amps_day"], state["amps_night"]

    def _outlet_and_input(self, name):
        entry = self.opinion.site["cameras"][name]
        ports = [(entry.get(use) or {}).get(word, "").partition("/")[2] for use, word in (("power", "from"), ("video", "into"))]
        return [(each == "", len(each), each) for each in ports], name

    def _spokesmen(self):
        """Who speaks for those that go dark together."""
        order = sorted(self.opinion.site["cameras"], key=self._outlet_and_input)
        told = {}
        for index, (group, owner, *_) in enumerate(self.nodes):
            if group == "cameras" and self.states[index]["collapsed"]:
                feed = self.opinion.cameras[owner]["feed"]
                if feed["kinds_meet"] is not False:
                    far = 0.0 if feed["ohms_total"] is None else round(feed["ohms_total"], 9)
                    rank = (feed["kinds_meet"] is True, far, -order.index(owner))
                    together = tuple(self.seasons.group_of(index))
                    told[together] = max(told.get(together, (rank, owner)), (rank, owner))
        speakers = {owner for _, owner in told.values()}
        for index, (group, owner, *_) in enumerate(self.nodes):
            if group == "cameras":
                feed = self.opinion.cameras[owner]["feed"]
                dark = feed["collapsed"]
                feed["speaks_for_collapse"] = None if dark is None else not dark or owner in speakers
            elif group != "junctions":
                volts = self.states[index]["volts_night"]
                alone = tuple(self.seasons.group_of(index)) not in told
                device = self.opinion.found["device_feed", f"{group}/{owner}"]
                device["speaks_for_collapse"] = None if volts is None else volts > 0 or alone

    def _feed(self, index, owner, state):
        camera = self.opinion.cameras[owner]
        kind = camera["power_kind"]
        facts = {
            **state, **own_way(self.opinion, self.nodes, index, self.ways[index]), "load": camera, "source": self.supply,
            "volts_idle": self._most(), "metres_total": self.total(1, index), "ohms_total": self.total(0, index),
            "kinds_meet": None if kind is None else kind in (self.supply["gives"], "dc-or-ac"),
            "drop_night": None if state["volts_night"] is None else self.source[0] - state["volts_night"],
            "volts_battery": None,
            "volts_crest_night": self._crest(index) if self.alternating else None,
        }  # fmt: skip
        camera["feed"] = self.opinion.put("feed", f"cameras/{owner}", facts)
        return facts

    def _crest(self, index):
        """Source volts less ohm times all amps beyond, on every piece of the way; 0 where nothing works."""
        volts, ohms = self.states[index]["volts_night"], [each[0] for each in self.ways]
        own = [0.0 if load is None else state["amps_night"] for load, state in zip(self.loads, self.states, strict=True)]
        if volts is None or None in (*own, *ohms, self.source[1]):
            return None
        if not volts:
            return 0.0
        beyond = [sum(own[i] for i in range(len(own)) if at in chain(self.nodes, i)) for at in range(len(own))]
        left = self.source[0] - self.source[1] * sum(own)
        return max(0.0, left - sum(ohms[at] * beyond[at] for at in chain(self.nodes, index)))

    def _most(self):
        """Volts without load at most: a battery that is full."""
        full = self.supply["volts_float"]
        return self.source[0] if full is None else self.source[0] - self.supply["volts"] + full

    def _device(self, index, group, owner, state):
        power = self._part(self.nodes[index]).get("power")
        facts = {key: each for key, each in state.items() if key.startswith(("volts", "amps"))}
        facts.update(
            name=owner, source=self.supply, watts_night=self.loads[index][2], volts_idle=self._most(),
            metres_total=self.total(1, index), ohms_total=self.total(0, index), power_kind=None, kinds_meet=None,
            volts_min=None, volts_max=None,
        )  # fmt: skip
        if power is not None:
            kind = power.get("kind", "dc")
            facts.update(power_kind=kind, kinds_meet=kind in (self.supply["gives"], "dc-or-ac"))
            facts.update(volts_min=num(power.get("volts_min")), volts_max=num(power.get("volts_max")))
        self.opinion.put("device_feed", f"{group}/{owner}", facts)

    def _sums(self):
        supply, part = self.supply, self.part
        roots = [index for index, node in enumerate(self.nodes) if node[3] < 0]
        for season in ("day", "night"):
            supply[f"amps_{season}"] = summed(self.states[index][f"amps_{season}"] for index in roots)
        supply["collapsed"], supply["margin_night"], supply["margin_working"] = self.seasons.supply()
        supply["recorders_fed"] = sorted(node[1] for node in self.nodes if node[0] == "recorders")
        supply.update(outputs_used=len(self.outputs), cameras=sum(node[0] == "cameras" for node in self.nodes))
        supply["watts_night"] = self._watts()
        supply["members"] = []
        for number, output in self.outputs.items():
            mine = output.pop("roots")
            for season in ("day", "night"):
                output[f"amps_{season}"] = summed(self.states[index][f"amps_{season}"] for index in mine)
            output.update(
                supply=supply, number=number, amps_max=self._of_each(),
                protection=part.get("output_protection"),
                exists=None if supply["outputs"] is None else number <= supply["outputs"],
                share_warm=warm_output(part.get("output_protection"), supply["air"]),
            )  # fmt: skip
            output["amps_warm"] = product(output["amps_max"], output["share_warm"])
            supply["members"].append(self.opinion.put("output", f"supplies/{self.name}/{number}", output))
        self._protection()
        self._start()

    def _of_each(self):
        """What one output gives; the only one gives what the supply does."""
        own = num(self.part.get("amps_per_output"))
        return self.supply["amps_max"] if own is None and self.supply["outputs"] == 1 else own

    def _watts(self):
        """Power by night: terminal volts times amps; on alternating current the loads' and what the runs lose."""
        amps, inner = self.supply["amps_night"], self.source[1]
        if amps is None or inner is None:
            return None
        if any(state["collapsed_by_night"] for state in self.states):
            return self.supply["volts"] * amps
        if self.alternating:
            lost = [(self.ways[i][0] or 0.0) * (each["amps_night"] or 0.0) ** 2 for i, each in enumerate(self.states)]
            return sum((each[2] or 0.0) for each in self.loads if each) + sum(lost)
        return (self.source[0] - amps * inner) * amps

    def _protection(self):
        """The least protective device before each run."""
        runs = [self.opinion.power_runs(*node[:3]) for node in self.nodes]
        for index, each in enumerate(runs):
            devices, opening = [], []
            for above in chain(self.nodes, index):
                group, _, entry, parent = self.nodes[above]
                if above != index and group == "junctions" and "protective_device" in entry:
                    devices.append(num(entry["protective_device"]))
                    opening.append(devices[-1] * opens_at("junction"))
                if parent < 0:
                    output = self.outputs[port(self.nodes, index)]
                    devices.append(self._of_output(output))
                    own = devices[-1]
                    opening.append(own if own in (None, math.inf) else own * opens_at(output["protection"]))
            for run in each:
                run["amps_protective"] = None if None in devices else min(devices)
                run["amps_opening"] = None if None in opening else min(opening)

    def _of_output(self, output):
        """What an output lets through; the one output of a supply as much as its supply."""
        rated = output["amps_max"]
        if rated is None and self.supply["outputs"] == 1:
            rated = self.supply["amps_max"]
        if output["protection"] is None or rated is None:
            return None
        return math.inf if output["protection"] == "none" else rated

    def _start(self):
        """Currents while everything starts at once; asked only where some device states its inrush."""
        inrush = []
        for node in self.nodes:
            power = None if node[0] == "junctions" else self._part(node).get("power")
            inrush.append(0.0 if node[0] == "junctions" else num((power or {}).get("inrush")))
        stated = [self.nodes[i][0] != "junctions" and each is not None for i, each in enumerate(inrush)]
        self.supply["inrush_stated"], self.supply["amps_start"] = sum(stated), None
        for output in self.outputs.values():
            output["inrush_stated"] = sum(stated[index] for index in output["nodes"])
            output["amps_start"] = None
        if not any(stated):
            return
        peak, inner = self.source[0] * (math.sqrt(2) if self.alternating else 1), self.source[1]

        def into(index):
            """Amps into a node: what is wanted at and below it, and no more than its way lets through."""
            wanted = inrush[index] + sum(into(i) for i, node in enumerate(self.nodes) if node[3] == index)
            ohms = self.total(0, index) + inner
            return min(wanted, peak / ohms if ohms else math.inf)

        known = [inner is not None and inrush[i] is not None and self.ways[i][0] is not None for i in range(len(inrush))]
        for output in self.outputs.values():
            if all(known[index] for index in output["nodes"]):
                roots = [index for index in output["nodes"] if self.nodes[index][3] < 0]
                output["amps_start"] = sum(into(index) for index in roots)
        if all(known):
            total = sum(output["amps_start"] for output in self.outputs.values())
            self.supply["amps_start"] = min(total, peak / inner if inner else math.inf)

    def _battery(self):
        if not self.supply["has_battery"]:
            return
        entry, part, supply = self.entry, self.part, self.supply
        own = entry if "battery" in entry else part
        hours = num(own.get("battery_hours"))
        place = entry.get("place") or {}
        coldest = num(place.get("ambient_min"))
        if coldest is None and place.get("setting"):
            coldest = plain.air(place["setting"])[0]
        facts = dict.fromkeys(
            ["usable", "amps", "hours", "hours_most", "hours_tabled", "volts_end", "charge_amps", "recharge_hours"]
        )
        facts.update(
            supply=supply, wanted=supply["autonomy_wanted"], capacity=num(own.get("battery")), temperature=coldest,
            temperature_max=num(place.get("ambient_max")), charger_amps=num(part.get("charge_amps")),
            rated_hours=assumption("battery-rated-hours") if hours is None else hours,
            chemistry=part.get("battery_kind", "lead-acid"), recharge_wanted=num(entry.get("recharge")),
            by_curve="battery_cold" in part or part.get("battery_kind") == "lithium",
        )  # fmt: skip
        supply["battery"] = self.opinion.put("battery", f"supplies/{self.name}/battery", facts)
        if None not in (facts["capacity"], coldest):
            x = min(coldest, 25.0) / 100
            curve = part.get("battery_cold")
            size = 1.405 - 2.4941 * x + 4.1916 * x**2 - 2.8117 * x**3  # IEEE 485 Table 1
            left = 1.0 if coldest >= 25 else 0.0 if coldest < -40 else 1 / max(size, 1.0)
            if facts["by_curve"]:
                left = 1.0 if curve is None and coldest >= 25 else None
                if curve is not None and coldest >= curve[0][0]:
                    left = min(1.0, left_at(curve, min(coldest, curve[-1][0]))) if coldest >= -40 else 0.0
            if left is not None:
                facts["usable"] = facts["capacity"] * assumption("battery-remaining") * left
        if not self.alternating:
            self._discharged(facts)
        if None not in (facts["charger_amps"], supply["amps_max"], supply["amps_night"]):
            facts["charge_amps"] = max(0.0, min(facts["charger_amps"], supply["amps_max"] - supply["amps_night"]))
        if None not in (facts["charge_amps"], facts["usable"]):
            back = facts["usable"] * assumption("recharge-share") / assumption("charge-efficiency")
            facts["recharge_hours"] = 0.0 if not back else back / facts["charge_amps"] if facts["charge_amps"] else math.inf

    def _discharged(self, facts):
        nominal, end = 2.0 * cells(self.supply["volts_nominal"]), num(self.part.get("battery_volts_end"))
        if end is None and facts["chemistry"] == "lead-acid":
            end = nominal * assumption("battery-end")
        facts["volts_end"] = end
        emptied = self._solved(end).states if end is not None else None
        for index, (group, owner, *_) in enumerate(self.nodes):
            if group == "cameras" and emptied is not None:
                self.opinion.cameras[owner]["feed"]["volts_battery"] = emptied[index]["volts_night"]
        full = self._solved(nominal).states
        amps = summed(full[index]["amps_night"] for index, node in enumerate(self.nodes) if node[3] < 0)
        facts["amps"] = amps
        if None not in (amps, facts["usable"]):
            rated, usable = facts["rated_hours"], facts["usable"]
            most = 0.0 if not usable else usable / amps if amps else math.inf
            facts["hours_most"] = facts["hours"] = most
            if most < rated:
                facts["hours"] = (most / rated) ** assumption("peukert-exponent") * rated
            self._by_its_table(facts, most)
        if "battery_curve" in self.part:
            self._evening(facts, self.part["battery_curve"])

    def _evening(self, facts, curve):
        """The battery's volts step down its curve in halves until each camera has its least."""
        shares, volts = [float(each[0]) for each in curve], [float(each[1]) for each in curve]
        for index, (group, owner, *_) in enumerate(self.nodes):
            if group != "cameras":
                continue
            least = self.opinion.cameras[owner]["volts_min"]
            mine = {"feed": self.opinion.cameras[owner]["feed"], "battery": facts, "volts_needed": None, "hours": None}
            self.opinion.put("evening", f"cameras/{owner}", mine)

            def lit(source, index=index, least=least):
                return (self._solved(source).states[index]["volts_night"] or 0.0) >= least

            if least is None or self._solved(volts[0]).states[index]["volts_night"] is None:
                continue
            mine["volts_needed"] = math.inf if not lit(volts[0]) else volts[-1]
            if lit(volts[0]) and not lit(volts[-1]):
                dark, light = volts[-1], volts[0]
                while light - dark > 1e-9:
                    half = dark + (light - dark) / 2
                    dark, light = (dark, half) if lit(half) else (half, light)
                mine["volts_needed"] = light
            if facts["hours"] is None:
                continue
            mine["hours"] = facts["hours"] * shares[-1]
            for one, other in pairwise(range(len(volts))):
                if volts[other] < mine["volts_needed"] <= volts[one]:
                    way = (volts[one] - mine["volts_needed"]) / (volts[one] - volts[other])
                    mine["hours"] = facts["hours"] * (shares[one] * (1 - way) + shares[other] * way)
            if mine["volts_needed"] > volts[0] or not mine["hours"]:
                mine["hours"] = 0.0

    def _by_its_table(self, facts, most):
        """A table of a new battery, read at the current that is as hard on it; slower than its least row as the capacity says."""
        rows = (self.entry if "battery" in self.entry else self.part).get("battery_rates") or []
        rows = sorted((num(row["amps"]), num(row["hours"])) for row in rows)
        if not rows or not facts["usable"]:
            return
        hard = facts["amps"] * facts["capacity"] / facts["usable"]
        if hard > rows[-1][0]:
            facts["hours"] = None
            return
        hours = most
        for (low, long), (high, short) in pairwise(rows):
            if low <= hard <= high:
                hours = math.exp(math.log(long) + math.log(short / long) * math.log(hard / low) / math.log(high / low))
        if len(rows) == 1 and hard == rows[0][0]:
            hours = rows[0][1]
        facts["hours_tabled"] = facts["hours"] = min(most, hours)


def cells(volts):
    """Lead-acid cells behind a supply: six for each whole 12 V, else one for each 2 V."""
    return 6 * int(volts // 12) or max(1, int(volts // 2))


def mains(part, trim, backed):
    """Volts on mains: as trimmed; kept at the float of a battery where there is one (least and greatest); else nominal."""
    nominal, own = num(part["volts"]), num(part.get("float_volts"))
    floats = backed and part.get("gives", "dc") == "dc"
    least, most = nominal, nominal
    if floats:
        ends = ("battery-float-least", "battery-float-greatest")
        least, most = (max(nominal, cells(nominal) * assumption(each)) if own is None else own for each in ends)
    apart = own is not None and own <= nominal
    highest = [most if trim is None else trim, *([num(part["boost_volts"])] if part.get("boost_volts") is not None else ())]
    return {
        "volts": least if trim is None else trim, "volts_float": max(highest) if floats else None,
        "float_least": least if floats and not apart else None,
    }  # fmt: skip


def hot_runs(opinion, node):
    """Runs on the way of a node whose warmth nobody wrote and whose conductors are known."""
    found = []
    hops = [hop for hop in node[2]["power"].get("over") or () if "cable" in hop]
    for hop, run in zip(hops, opinion.power_runs(*node[:3]), strict=True):
        own = opinion.parts[hop["cable"]].get("conductor") or {}
        coax = takes_coax(opinion, node)
        ohms = way(opinion, [hop], coax=coax)[0]
        if "temperature" not in hop and "size" in own and ohms is not None:
            rise = of_run(opinion.parts[hop["cable"]], coax)[1]
            found.append(conductors.Hot(run, ohms, rise, own, int(hop.get("pairs") or 1)))
    return found


def class2(supply):
    """Amps of the greatest Class 2 output at these volts (none above the last row), and where the code has it."""
    name = "class2-limits" if supply["gives"] == "dc" else "class2-limits-ac"
    rows = [row for row in table(name) if row["edition"] == supply["wiring_code"]]
    for row in rows:
        if num(row["volts_above"]) < supply["volts"] <= num(row["volts_up_to"]):
            given = num(row.get("amps"))
            return num(row["volt_amperes"]) / supply["volts"] if given is None else given, row["article"]
    return (0.0, rows[-1]["article"]) if rows else (None, None)


def opens_at(protection):
    """Times its rating at which a device opens for certain."""
    return next(num(row["times"]) for row in table("device-opening") if row["protection"] == protection)


def left_at(points, air):
    """Share left in air of so many degrees: the straight line between the points around it; none beyond the last."""
    if air <= points[0][0]:
        return points[0][1]
    for (cool, more), (hot, less) in pairwise(points):
        if cool < air <= hot:
            return (more * (hot - air) + less * (air - cool)) / (hot - cool)
    return None


def warm_supply(part, place):
    """The air around a supply, and what it leaves of its rated current."""
    air = num(place.get("ambient_max"))
    if air is None and "setting" in place:
        air = plain.air(place["setting"])[1]
    if air is None:
        return {"air": None, "share_warm": None}
    rows = [(num(row["air"]), num(row["share"])) for row in table("supply-derating")]
    if "derating" in part:
        rows = [(float(one), float(other)) for one, other in part["derating"]]
    return {"air": air, "share_warm": left_at(rows, air)}


def warm_output(protection, air):
    """What it leaves of the device in an output."""
    if protection in ("electronic", "none"):
        return 1.0
    if protection is None or air is None:
        return None
    rows = [(num(row["air"]), num(row["share"])) for row in table("device-derating") if row["protection"] == protection]
    return left_at(rows, air)


def product(one, other):
    return None if one is None or other is None else one * other


def takes_coax(opinion, node):
    """Whether what stands at the end of a way takes its power over coax."""
    return node[0] != "junctions" and over_coax(opinion.parts[node[2]["part"]])


def coax_power(opinion, group, entry):
    coax = group == "cameras" and over_coax(opinion.parts[entry["part"]])
    return {"over_coax": coax, "injected": injected(opinion, entry["power"].get("over")) if coax else None}


def injected(opinion, over):
    """Whether a box on the way puts power on the coax."""
    if over is None:
        return None
    said = [yes(opinion.parts[opinion.site["boxes"][hop["box"]]["part"]].get("injects_power")) for hop in over if "box" in hop]
    return True if True in said else None if None in said else False


def touched_wet(supply):
    """Volts that may be touched in wet places by the code, and where it says so; of all codes where none is named."""
    rows = [row for row in table("wet-contact-limits") if row["gives"] == supply["gives"]]
    if supply["wiring_code"] is not None:
        rows = [row for row in rows if row["edition"] == supply["wiring_code"]]
    volts = {num(row["volts"]) for row in rows}
    return (volts.pop(), "; ".join(dict.fromkeys(row["article"] for row in rows))) if len(volts) == 1 else (None, None)


def is_wet(place):
    """Outdoors, where water condenses, or hosed down."""
    if yes(place.get("damp")) or yes(place.get("washed")):
        return True
    return place["setting"] == "outdoor" if "setting" in place else None


def own_way(opinion, nodes, index, run):
    """What a feed's own run is, whatever it hangs on; the sheets of its runs have their own heat already."""
    group, owner, entry, _ = nodes[index]
    origin, over = entry["power"]["from"], entry["power"].get("over")
    sizes, cables = [], []
    for hop in over or ():
        if "cable" in hop:
            cables.append(hop["cable"])
            sizes.append(num((opinion.parts[hop["cable"]].get("conductor") or {}).get("size")))
    degrees = [run["temperature"] for run in opinion.power_runs(group, owner, entry)]
    return {
        "own_output": "/" in origin, "ohms": run[0], "metres": run[1], "cable": cables[0] if cables else None,
        "conductor_size": min([each for each in sizes if each is not None], default=None),
        "temperature": max(degrees, default=None), "wet": is_wet(entry.get("place") or {}),
        **coax_power(opinion, group, entry),
    }  # fmt: skip


def junction(opinion, nodes, index, metres, supply=None, state=None):
    """A junction that names something to hang on."""
    _, owner, entry, _ = nodes[index]
    facts = dict.fromkeys(["volts_day", "volts_night", "amps_day", "amps_night"])
    facts.update({key: state[key] for key in facts} if state else {})
    facts.update(
        name=owner, powered=True, depth=len(chain(nodes, index)) - 1, cameras=cameras_below(nodes, index),
        children=sum(node[3] == index for node in nodes), metres_total=metres, source=supply,
        amps_protective=num(entry.get("protective_device")),
    )  # fmt: skip
    opinion.put("junction", f"junctions/{owner}", facts)


def unfed(opinion, name, entry):
    """A junction that hangs on nothing, and what hangs on it."""
    nodes = below(opinion.site, name)
    facts = dict.fromkeys(["volts_day", "volts_night", "amps_day", "amps_night", "metres_total", "depth", "source"])
    facts.update(
        name=name, powered=False, children=sum(node[3] < 0 for node in nodes),
        cameras=sum(node[0] == "cameras" for node in nodes), amps_protective=num(entry.get("protective_device")),
    )  # fmt: skip
    opinion.put("junction", f"junctions/{name}", facts)
    ways = [way(opinion, node[2]["power"].get("over"), coax=takes_coax(opinion, node)) for node in nodes]
    for index, (group, owner, *_) in enumerate(nodes):
        totals = [summed(ways[each][which] for each in chain(nodes, index)) for which in (0, 1)]
        if group == "junctions":
            junction(opinion, nodes, index, totals[1])
        elif group == "cameras":
            lacking = ["volts_day", "volts_night", "amps_day", "amps_night", "collapsed", "margin_night", "kinds_meet"]
            lacking += ["collapsed_by_day", "collapsed_by_night", "speaks_for_collapse", "margin_least"]
            lacking += ["volts_battery", "volts_crest_night"]
            sheet = dict.fromkeys([*lacking, "volts_idle", "drop_night", "source"])
            sheet.update(own_way(opinion, nodes, index, ways[index]), ohms_total=totals[0], metres_total=totals[1])
            sheet["load"] = opinion.cameras[owner]
            opinion.cameras[owner]["feed"] = opinion.put("feed", f"cameras/{owner}", sheet)


def powers(opinion):
    """All power facts of a site."""
    for name, entry in (opinion.site.get("supplies") or {}).items():
        Tree(opinion, name, entry)
    for name, entry in (opinion.site.get("junctions") or {}).items():
        if "power" not in entry:
            unfed(opinion, name, entry)
