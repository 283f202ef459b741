"""Second opinion on a whole site: facts by kind and subject, None where not known. Fields not named are not modelled."""

from __future__ import annotations

from . import pictures, stores, volts
from .plain import assumption, channels, maker, num, table, yes

WORKS = ("sound", "control", "firmware", "sorted_motion")


class Opinion:
    """Everything that is worked out of one site and its parts (both as plain data)."""

    def __init__(self, site, parts):
        self.site, self.parts = site, parts
        self.country = int(site.get("video_rate", 25))
        self.found = {}
        cameras = site.get("cameras") or {}
        top = {
            "video_rate": self.country, "retention": num(site.get("retention")), "camera_count": len(cameras),
            "cameras_recorded": sum("video" in each for each in cameras.values()),
            "sound_wanted": sum(self._wants(each, "sound") for each in cameras.values()),
        }  # fmt: skip
        self.top = self.put("site", "site", top)
        self.cameras = {name: self._camera(name, entry) for name, entry in cameras.items()}
        self.recorders = {name: {} for name in site.get("recorders") or {}}
        for name in self.recorders:
            self._recorder(name)
        for name in cameras:
            if "video" not in cameras[name]:
                self._unrecorded(name)
        self._power()

    def put(self, kind, subject, facts):
        self.found[kind, subject] = facts
        return facts

    @staticmethod
    def _wants(entry, what):
        return what in entry or (entry.get("wants") or {}).get(what) is True

    def _camera(self, name, entry):
        part, wants, place = self.parts[entry["part"]], entry.get("wants") or {}, entry.get("place") or {}
        power, housing = part.get("power") or {}, part.get("housing") or {}
        facts = {
            "has_video": "video" in entry, "has_power": "power" in entry, "has_network": False,
            "microphone": yes((part.get("sound") or {}).get("microphone")),
            "wants_sound": self._wants(entry, "sound"), "wants_control": self._wants(entry, "control"),
            "wants_firmware": wants.get("firmware") is True, "wants_talk_back": wants.get("talk_back") is True,
            "wants_full_width": wants.get("full_width") is True, "wants_rate": num(wants.get("rate")),
            "wants_retention": num(wants.get("retention", self.site.get("retention"))),
            "wants_sorted_motion": wants.get("sorted_motion") is True
            or (entry.get("record") or {}).get("schedule") == "sorted-motion",
            "sound_by": (entry.get("sound") or {}).get("by", "none"),
            "control_by": (entry.get("control") or {}).get("by", "none"),
            "setting": place.get("setting"), "building": place.get("building"), "reach": place.get("reach"),
            "power_kind": power.get("kind", "dc") if power else None,
            "volts_nominal": num(power.get("volts")), "volts_min": num(power.get("volts_min")),
            "volts_max": num(power.get("volts_max")), "watts_day": self._watts(part, entry, False),
            "watts_night": self._watts(part, entry, True), "rated": housing.get("rated"),
            "temperature_min": num(housing.get("temperature_min")),
            "temperature_max": num(housing.get("temperature_max")),
        }  # fmt: skip
        code = housing.get("ip")
        digits = [] if code is None else [one.removeprefix("IP") for one in code.split("/")]
        for field, at in (("ip_solid", 0), ("ip_water", 1)):
            seen = [int(one[at]) for one in digits if one[at] != "X"]
            facts[field] = max(seen) if seen else None
        rows = [num(row["energy"]) for row in table("ik-codes") if row["code"] == housing.get("ik")]
        facts["ik_joules"] = rows[0] if rows else None
        for row in table("environmental-classes"):
            if row.get("setting") == facts["setting"] and facts["setting"]:
                for end in ("ambient_min", "ambient_max"):
                    facts[end], facts[f"{end}_assumed"] = num(row[end]), True
        for end in ("ambient_min", "ambient_max"):
            own = num(place.get(end))
            facts.setdefault(end, None)
            facts.setdefault(f"{end}_assumed", False)
            if own is not None:
                facts[end], facts[f"{end}_assumed"] = own, False
        return self.put("camera", f"cameras/{name}", facts)

    @staticmethod
    def _watts(part, entry, night):
        power = part.get("power") or {}
        lampless = part["kind"] != "camera" or (part.get("night") or {}).get("lamp") == "none"
        base = num(power.get("watts_night")) if night else num(power.get("watts_day"))
        if night and "watts_night" not in power and lampless:
            base = num(power.get("watts_day"))
        terms = [base]
        if night and entry.get("heater") is True:
            terms.append(num(power.get("watts_heater")))
        if "watts_motor" in power:
            terms.append(num(power["watts_motor"]))
        return None if None in terms else sum(terms)

    # Pictures and records

    def _recorder(self, name):
        entry = self.site["recorders"][name]
        part = self.parts[entry["part"]]
        groups = {}
        for group in part["inputs"]:
            for number in channels(group["channels"]):
                groups.setdefault(number, group)
        sheet = self.recorders[name]
        links, used = [], {}
        for owner, camera in (self.site.get("cameras") or {}).items():
            into = (camera.get("video") or {}).get("into", "")
            if into.split("/")[0] == name:
                links.append(self._link(owner, camera, name, entry, part, groups, sheet))
                used[links[-1]["number"]] = used.get(links[-1]["number"], 0) + 1
        for number, count in used.items():
            place = self.put("input", f"recorders/{name}/{number}", {"exists": number in groups, "camera_count": count})
            for one in links:
                if one["number"] == number:
                    one["link"]["input"] = place
        mean, assumed = stores.record(part, entry, links, sheet)
        count = int(entry.get("network_cameras") or 0)
        free = (part.get("network") or {}).get("cameras")
        given = (
            set()
            if not count
            else None
            if free is None
            else set(sorted(groups, reverse=True)[: max(0, count - int(free))])
        )
        sheet.update(
            channels=len(groups), channels_used=len(set(used) & set(groups)), network_cameras=count,
            channels_spare=None if given is None else len(set(groups) - set(used) - given),
            frame_families=stores.frame_families(links), links=[one["link"] for one in links], site=self.top,
            temperature_min=num(part.get("temperature_min")), temperature_max=num(part.get("temperature_max")),
        )  # fmt: skip
        for each in {"input": used}["input"]:
            self.found["input", f"recorders/{name}/{each}"]["serves"] = None if given is None else each not in given
        self.put("recorder", f"recorders/{name}", sheet)
        on_it = [one["camera"] for one in links]
        disks = stores.store(self.parts, part, entry, sheet, mean, assumed, self.site, on_it)
        self.put("disk_group", f"recorders/{name}/disks", disks)

    def _link(self, owner, camera, name, entry, part, groups, recorder_sheet):
        number = int(camera["video"]["into"].split("/")[1])
        own, sheet = self.parts[camera["part"]], self.cameras[owner]
        group = groups.get(number)
        pair = pictures.Pair(camera["part"], own, entry["part"], part, group, entry.get("set") or [])
        facts, signal = pictures.settle(pair, camera.get("set"), self.country)
        mhz, limit = pictures.figures(signal)
        if limit is not None:
            limit += num((group or {}).get("loss_limit_extra")) or 0.0
        over = camera["video"].get("over")
        facts.update(pictures.way(over, self.parts, self.site.get("boxes") or {}, mhz, limit))
        facts["same_maker"] = maker(camera["part"], own) != "" and pair.mine == pair.theirs
        there = (entry.get("place") or {}).get("building")
        facts["other_building"] = None if None in (there, sheet["building"]) else there != sheet["building"]
        facts.update(camera=sheet, recorder=recorder_sheet, site=self.top, channel_ceiling=None, recorded_reduced=None)
        self._travels(
            sheet,
            facts,
            pictures.over_coax(camera["part"], own, entry["part"], part, number, facts["family"]),
            over,
            group,
        )
        sheet["link"] = self.put("link", f"cameras/{owner}", facts)
        plan = stores.planned(camera.get("record"), entry.get("record"))
        return {"link": facts, "camera": sheet, "number": number, "plan": plan}

    @staticmethod
    def _travels(sheet, link, devices, over, group):
        if group is None:
            link["outcome"] = None
            devices = dict.fromkeys(devices, False)
        arrives = None if link["outcome"] is None else pictures.pictured(link["outcome"])
        for what in ("sound", "control", "firmware", "talk_back"):
            box = link[f"blocks_{'sound' if what == 'talk_back' else what}"]
            answer = pictures.chain([devices[what], arrives, None if box is None else not box])
            drawn = {
                "sound": sheet["sound_by"] == "coax",
                "control": sheet["control_by"] == "coax",
                "firmware": True,
                "talk_back": sheet["wants_talk_back"],
            }[what]
            if drawn:
                sheet[f"{what}_works"] = answer
            elif what in ("sound", "control"):
                sheet[f"{what}_works"] = False
        sheet["sorted_motion_works"] = pictures.chain([devices["sorted_motion"], arrives])

    def _unrecorded(self, name):
        sheet = self.cameras[name]
        for what in ("sound", "control", "firmware", "sorted_motion"):
            sheet[f"{what}_works"] = False
        if sheet["wants_talk_back"]:
            sheet["talk_back_works"] = False
        for field in ("recorded_fps", "recorded_width", "recorded_height", "bitrate", "days_kept"):
            sheet[field] = None

    # Power

    def _path_ohms(self, over):
        """Ohm (loop) and metres of a way; None where not known."""
        if over is None:
            return None, None
        ohms, metres = 0.0, 0.0
        for hop in over:
            cable = self.parts[hop["cable"]]
            length, conductor = num(hop.get("length")), cable.get("conductor") or {}
            per = num(conductor.get("resistance"))
            degc = num(hop.get("temperature"))
            degc = assumption("conductor-temperature") if degc is None else degc
            metal = next(row for row in table("conductor-materials") if row["material"] == conductor["material"])
            if length is None:
                ohms = metres = None
            if ohms is not None:
                pairs = int(hop.get("pairs") or 1)
                ohms += 2 * length * per * (1 + num(metal["temperature_coefficient"]) * (degc - 20)) / pairs
                metres += length
        return ohms, metres

    def _power(self):
        site = self.site
        owners = [("cameras", n, e) for n, e in (site.get("cameras") or {}).items() if "power" in e]
        owners += [("recorders", n, e) for n, e in (site.get("recorders") or {}).items() if "power" in e]
        junctions = [("junctions", n, e) for n, e in (site.get("junctions") or {}).items() if "power" in e]
        for name, entry in (site.get("supplies") or {}).items():
            self._supply(name, entry, owners, junctions)

    def _below(self, origin, owners, junctions):
        """Nodes that hang on `origin`, parents first: (group, name, entry, index of the parent)."""
        nodes, waiting = [], [(origin, -1)]
        while waiting:
            at, parent = waiting.pop(0)
            for group, name, entry in [*junctions, *owners]:
                source = entry["power"]["from"]
                here = source.split("/")[0] == at
                if here:
                    nodes.append((group, name, entry, parent))
                    if group == "junctions":
                        waiting.append((name, len(nodes) - 1))
        return nodes

    def _supply(self, name, entry, owners, junctions):
        part = self.parts[entry["part"]]
        nominal, trim = num(part["volts"]), num(entry.get("trim"))
        source = nominal if trim is None else trim
        facts = {
            "gives": part["gives"], "volts_nominal": nominal, "volts": source, "trimmed": trim is not None,
            "trim_min": num(part.get("trim_min")), "trim_max": num(part.get("trim_max")),
            "amps_max": num(part.get("amps")), "outputs": None if "outputs" not in part else int(part["outputs"]),
            "plug": part.get("plug"), "polarity": part.get("polarity"),
        }  # fmt: skip
        self.put("supply", f"supplies/{name}", facts)
        nodes = self._below(name, owners, junctions)
        inner = 0.0
        if "regulation" in part:
            source += num(part["regulation"]) * nominal
            inner = num(part["regulation"]) * nominal / facts["amps_max"]
        facts["cameras"] = sum(node[0] == "cameras" for node in nodes)
        ways = [self._path_ohms(node[2]["power"].get("over")) for node in nodes]
        parents = [node[3] for node in nodes]
        states = Seasons(parents, [way[0] for way in ways], self._loads(nodes), source, inner, part["gives"])
        self._nodes(name, facts, nodes, ways, states, source)

    def _loads(self, nodes):
        """Watts by day and night and the kind of each node; None at a junction."""
        found = []
        for group, _, entry, _ in nodes:
            if group == "junctions":
                found.append(None)
                continue
            part = self.parts[entry["part"]]
            power = part.get("power") or {}
            kind = power.get("load", "constant-power")
            watts = [self._watts(part, entry, night) for night in (False, True)]
            if kind != "constant-power" and "volts" not in power:
                watts = [None, None]
            found.append((kind, *watts, num(power.get("volts")) or 1.0))
        return found

    def _nodes(self, name, supply, nodes, ways, states, source):
        outputs = {}
        total = []
        for index, (group, owner, _, parent) in enumerate(nodes):
            chain = [index]
            while nodes[chain[-1]][3] >= 0:
                chain.append(nodes[chain[-1]][3])
            metres = [ways[each][1] for each in chain]
            ohms = [ways[each][0] for each in chain]
            facts = states.of(index)
            facts["metres_total"] = None if None in metres else sum(metres)
            number = int(nodes[chain[-1]][2]["power"]["from"].split("/")[1])
            if parent < 0:
                output = outputs.setdefault(
                    number, {"runs": 0, "amps": [], "cameras": 0, "feeds": [], "supply": supply}
                )
                output["runs"] += 1
                output["amps"].append(facts)
                total.append(facts)
            if group == "junctions":
                sheet = {key: facts[key] for key in facts if key.startswith(("volts", "amps", "metres"))}
                below = [i for i in range(len(nodes)) if self._hangs(nodes, i, index) and nodes[i][0] == "cameras"]
                sheet.update(
                    powered=True,
                    depth=len(chain) - 1,
                    cameras=len(below),
                    children=sum(node[3] == index for node in nodes),
                )
                self.put("junction", f"junctions/{owner}", sheet)
            elif group == "cameras":
                kind = self.cameras[owner]["power_kind"]
                facts.update(
                    volts_idle=source, metres=ways[index][1], ohms=ways[index][0], load=self.cameras[owner], source=supply,
                    ohms_total=None if None in ohms else sum(ohms), own_output=len(chain) == 1,
                    kinds_meet=None if kind is None else kind in (supply["gives"], "dc-or-ac"),
                    drop_night=None if facts["volts_night"] is None else source - facts["volts_night"],
                )  # fmt: skip
                outputs[number]["cameras"] += 1
                outputs[number]["feeds"].append(self.put("feed", f"cameras/{owner}", facts))
        self._outputs(name, supply, outputs)
        for season in ("day", "night"):
            supply[f"amps_{season}"] = summed(each[f"amps_{season}"] for each in total)
        every = [states.of(index) for index in range(len(nodes))]
        some = any(each["collapsed"] for each in every)
        margins = [each["margin_night"] for each in every]
        supply["collapsed"] = True if some else None if None in [each["collapsed"] for each in every] else states.sure
        if states.sure is None and not some:
            supply["collapsed"] = None
        supply["margin_night"] = None if None in margins or states.sure is None else min([float("inf"), *margins])
        supply["outputs_used"] = len(outputs)

    @staticmethod
    def _hangs(nodes, index, above):
        while index >= 0 and index != above:
            index = nodes[index][3]
        return index == above

    def _outputs(self, name, supply, outputs):
        part = self.parts[self.site["supplies"][name]["part"]]
        for number, output in outputs.items():
            amps = output.pop("amps")
            for season in ("day", "night"):
                output[f"amps_{season}"] = summed(each[f"amps_{season}"] for each in amps)
            output["exists"] = None if supply["outputs"] is None else number <= supply["outputs"]
            output["amps_max"], output["protection"] = num(part.get("amps_per_output")), part.get("output_protection")
            self.put("output", f"supplies/{name}/{number}", output)


def summed(values):
    values = list(values)
    return None if None in values else sum(values)


class Seasons:
    """Volts and amps of the nodes of one supply by day and by night, as far as known."""

    def __init__(self, parents, ohms, loads, source, inner, gives):
        self.states = [
            dict.fromkeys(["volts_day", "volts_night", "amps_day", "amps_night", "collapsed", "margin_night"])
            for _ in parents
        ]
        self.sure = False
        self.near = False
        for group in self._groups(parents, ohms, inner):
            for night in (0, 1):
                self._solve(group, parents, ohms, loads, source, inner, night)

    @staticmethod
    def _groups(parents, ohms, inner):
        """Branches that depend on each other: all behind an inner resistance; else one for each first run."""
        if inner:
            return [list(range(len(parents)))]
        root = []
        for index, parent in enumerate(parents):
            root.append(
                root[parent] if parent >= 0 and root[parent] is not None else None if ohms[index] == 0 else index
            )
        at_source = [index for index, each in enumerate(root) if each is None]
        return [[i for i, each in enumerate(root) if each == one] for one in dict.fromkeys(root) if one is not None] + [
            [index] for index in reversed(at_source)
        ]

    def _solve(self, group, parents, ohms, loads, source, inner, night):
        place = {index: at for at, index in enumerate(group)}
        lacking = any(ohms[i] is None or (loads[i] and loads[i][1 + night] is None) for i in group)
        alone = not inner and len(group) == 1 and ohms[group[0]] == 0
        if alone:
            return self._right_there(group[0], parents, loads, source, night)
        beyond = self._beyond(group, parents, ohms) if lacking else set()
        if lacking:
            self.sure = None if night else self.sure
            self._currents(group, loads, night)
            if not self._apart(group, beyond, loads, night):
                return None
        triples = [self._drawn(loads[i], night) for i in group]
        above = [place.get(parents[i], -1) for i in group]
        for index in group:  # what lies behind an unknown resistance draws its constant current where the branch leaves
            if index in beyond:
                at = index
                while at in beyond:
                    at = parents[at]
                triples.append((0.0, triples[place[index]][1], 0.0))
                above.append(place.get(at, -1))
                triples[place[index]], above[place[index]] = (0.0, 0.0, 0.0), -1
        lengths = [0.0 if i in beyond else ohms[i] for i in group] + [0.0] * (len(above) - len(group))
        tree = volts.Tree(above, lengths, triples, source, inner)
        self._put(group, beyond, tree, above, triples, night, sure=not lacking)
        return None

    def _put(self, group, beyond, tree, above, triples, night, *, sure):
        season = ("day", "night")[night]
        try:
            found = tree.settle()
        except volts.TooNear:
            self.near, found = True, None
        amps = None if found is None else volts.flow(above, found, triples)
        margin = tree.margin() if night and (sure or found is None) else None
        for at, index in enumerate(group):
            if index in beyond:
                continue
            state = self.states[index]
            state[f"volts_{season}"] = 0.0 if found is None else found[at]
            state[f"amps_{season}"] = float("nan") if found is None else amps[at]
            if night:
                state.update(collapsed=found is None, margin_night=margin)

    @staticmethod
    def _drawn(load, night):
        """Watts, amps and siemens of a load."""
        if load is None or load[1 + night] is None:
            return 0.0, 0.0, 0.0
        kind, watts, rated = load[0], load[1 + night], load[3]
        other = {"constant-current": (0.0, watts / rated, 0.0), "resistive": (0.0, 0.0, watts / rated**2)}
        return other.get(kind, (watts, 0.0, 0.0))

    @staticmethod
    def _beyond(group, parents, ohms):
        found = set()
        for index in group:
            if ohms[index] is None or parents[index] in found:
                found.add(index)
        return found

    def _currents(self, group, loads, night):
        """A constant-current load draws its current whatever the volts."""
        for index in group:
            if loads[index] and loads[index][0] == "constant-current" and loads[index][1 + night] is not None:
                self.states[index][f"amps_{('day', 'night')[night]}"] = self._drawn(loads[index], night)[1]

    @staticmethod
    def _apart(group, beyond, loads, night):
        """Only resistances are missing, and behind them lie constant currents alone."""
        for index in group:
            load = loads[index]
            if load is None:
                continue
            if load[1 + night] is None or (index in beyond and load[1 + night] and load[0] != "constant-current"):
                return False
        return True

    def _right_there(self, index, parents, loads, source, night):
        """A node without resistance before it: the volts of the source."""
        season, state = ("day", "night")[night], self.states[index]
        state.update({f"volts_{season}": source, "collapsed": False, "margin_night": float("inf")})
        if loads[index] is None:
            below = [self.states[i][f"amps_{season}"] for i in range(len(parents)) if parents[i] == index]
            state[f"amps_{season}"] = summed(below)
            return
        kind, watts, rated = loads[index][0], loads[index][1 + night], loads[index][3]
        if watts is not None:
            factor = {"constant-current": source / rated, "resistive": (source / rated) ** 2}.get(kind, 1.0)
            state[f"amps_{season}"] = watts / source * factor

    def of(self, index):
        return self.states[index]


__all__ = ["Opinion"]
