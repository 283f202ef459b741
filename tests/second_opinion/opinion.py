"""Second opinion on a whole site: facts by kind and subject, None where not known.

Fields that are words for people (what broke, which cameras, why) are not modelled; see `comparing.WORDS`.
"""

from __future__ import annotations

from . import cabinets, coppers, lines, nets, pictures, places, plain, powers, standbys, stores, upkeep, views
from .plain import channels, maker, many, num, table, yes

WORKS = ("sound", "control", "firmware", "sorted_motion")


class Opinion:
    """Everything that is worked out of one site and its parts (both as plain data). `near`, `collapsed`: see `seasons`."""

    def __init__(self, site, parts):
        plain.assume(site.get("assume"))
        self.site, self.parts, self.near, self.collapsed = site, parts, False, False
        self.country = int(site.get("video_rate", 25))
        self.found = {}
        entries = site.get("cameras") or {}
        self.top = self.put("site", "site", self._top(entries))
        self.cameras = {name: self._camera(name, entry) for name, entry in entries.items()}
        self.top["cameras"] = list(self.cameras.values())
        self.recorders = {name: {} for name in site.get("recorders") or {}}
        places.runs(self)
        for name in self.recorders:
            self._recorder(name)
        for name, entry in entries.items():
            self._rest(name, entry)
        powers.powers(self)
        nets.networks(self)
        nets.powered(self)
        for work in (lines.buses, lines.sheaths, lines.monitors, lines.endings, places.boxes, places.exposures, places.layings):
            work(self)
        places.areas(self)
        standbys.standbys(self)
        cabinets.cabinets(self)
        coppers.coppers(self)
        views.views(self)
        upkeep.upkeep(self)

    def put(self, kind, subject, facts):
        self.found[kind, subject] = facts
        return facts

    def power_runs(self, group, name, entry):
        """The sheets of the runs on a way of power."""
        over = entry["power"].get("over") or ()
        return [
            self.found["run", f"{group}/{name}/power/over/{index}"] for index, hop in enumerate(over) if "cable" in hop
        ]

    @staticmethod
    def _wants(entry, what):
        return what in entry or yes((entry.get("wants") or {}).get(what)) is True

    def _top(self, entries):
        labels = [each["label"] for each in entries.values() if "label" in each]
        twice = [each for each in dict.fromkeys(labels) if labels.count(each) > 1]
        return {
            "name": self.site["site"], "video_rate": self.country, "retention": num(self.site.get("retention")),
            "camera_count": len(entries), "growth": num(self.site.get("growth")),
            "cameras_recorded": sum("video" in each or "network" in each for each in entries.values()),
            "sound_wanted": sum(self._wants(each, "sound") for each in entries.values()),
            "cameras_labelled": len(labels), "labels_shared": len(twice), "label_shared": twice[0] if twice else "",
        }  # fmt: skip

    def _camera(self, name, entry):
        part, wants, place = self.parts[entry["part"]], entry.get("wants") or {}, entry.get("place") or {}
        power, housing = part.get("power") or {}, part.get("housing") or {}
        drawn = powers.load(part, entry)
        sound, control, record = (entry.get(each) or {} for each in ("sound", "control", "record"))
        facts = {
            "name": name, "label": entry.get("label"), "part": entry["part"], "maker": maker(entry["part"], part) or None,
            "has_video": "video" in entry, "has_power": "power" in entry, "link": None, "feed": None, "line_level": None,
            "has_network": nets.recorder_of(self.site, entry) is not None,
            "microphone": yes((part.get("sound") or {}).get("microphone")),
            **{f"wants_{what}": self._wants(entry, what) for what in ("sound", "control")},
            **{f"wants_{what}": yes(wants.get(what)) is True for what in ("firmware", "talk_back", "full_width")},
            "wants_rate": num(wants.get("rate")), "wants_retention": num(wants.get("retention", self.site.get("retention"))),
            "wants_sorted_motion": yes(wants.get("sorted_motion")) is True or record.get("schedule") == "sorted-motion",
            "sound_by": sound.get("by") or ("line" if "into" in sound else "none"),
            "control_by": control.get("by") or ("serial" if "into" in control else "none"),
            "setting": place.get("setting"), "building": place.get("building"), "reach": place.get("reach"),
            "power_kind": power.get("kind", "dc") if power else None, "volts_nominal": num(power.get("volts")),
            "volts_min": num(power.get("volts_min")), "volts_max": num(power.get("volts_max")),
            "watts_day": drawn[1], "watts_night": drawn[2], "plug": power.get("plug"), "polarity": power.get("polarity"),
            "polarity_protected": yes(power.get("polarity_protected")), "rated": housing.get("rated"),
            "temperature_min": num(housing.get("temperature_min")), "temperature_max": num(housing.get("temperature_max")),
            "talk_back_works": None,
        }  # fmt: skip
        self._housing(facts, housing)
        self._air(facts, place)
        return self.put("camera", f"cameras/{name}", facts)

    @staticmethod
    def _housing(facts, housing):
        code = housing.get("ip")
        digits = [] if code is None else [one.removeprefix("IP") for one in code.split("/")]
        for field, at in (("ip_solid", 0), ("ip_water", 1)):
            seen = [int(one[at]) for one in digits if one[at] != "X"]
            facts[field] = max(seen) if seen else None
        facts["ip_water_covered"] = places.covered(code)
        rows = [num(row["energy"]) for row in table("ik-codes") if row["code"] == housing.get("ik")]
        facts["ik_joules"] = rows[0] if rows else None

    @staticmethod
    def _air(facts, place):
        """Air as written at the place; else that of the class of its setting."""
        setting = place.get("setting")
        of_class = plain.air(setting) if setting else (None, None)
        for end, usual in zip(("ambient_min", "ambient_max"), of_class, strict=True):
            own = num(place.get(end))
            facts[end] = usual if own is None else own
            facts[f"{end}_assumed"] = own is None and usual is not None

    # Pictures and records

    def _recorder(self, name):
        entry, sheet = self.site["recorders"][name], self.recorders[name]
        part, place = self.parts[entry["part"]], entry.get("place") or {}
        groups = {}
        for group in part["inputs"]:
            for number in channels(group["channels"]):
                groups.setdefault(number, group)
        self._air(sheet, place)
        sheet.update(setting=place.get("setting"), building=place.get("building"), name=name, part=entry["part"])
        links, used = self._links(name, entry, part, groups, sheet)
        found = nets.network_cameras(self, name)
        ends, assumed = stores.record(part, entry, links, sheet, lambda totals: nets.added(found, totals))
        count = int(entry.get("network_cameras") or 0) + len(found)
        given, free = self._given_up(part, groups, count), num((part.get("network") or {}).get("cameras"))
        sheet.update(
            channels=len(groups), channels_used=len(set(used) & set(groups)), network_cameras=count,
            channels_spare=None if given is None else len(set(groups) - set(used) - given), site=self.top,
            frame_families=stores.frame_families(links), links=[one["link"] for one in links], network_cameras_free=free,
            temperature_min=num(part.get("temperature_min")), temperature_max=num(part.get("temperature_max")),
            maker=maker(entry["part"], part) or None,
        )  # fmt: skip
        for number in used:
            self.found["input", f"recorders/{name}/{number}"]["serves"] = None if given is None else number not in given
        self._abilities(name, part, entry, sheet, links)
        nets.side(self, entry, part, sheet, [(one["camera"], one["plan"]) for one in links], found)
        self.put("recorder", f"recorders/{name}", sheet)
        on_it = [one["camera"] for one in links] + [camera for camera, *_ in found]
        disks = stores.store(self.parts, part, entry, sheet, ends, assumed, self.site, on_it)
        self.put("disk_group", f"recorders/{name}/disks", disks)

    def _links(self, name, entry, part, groups, sheet):
        """All links into a recorder, and how many cameras name each input."""
        links, used = [], {}
        for owner, camera in (self.site.get("cameras") or {}).items():
            if (camera.get("video") or {}).get("into", "").split("/")[0] == name:
                links.append(self._link(owner, camera, name, entry, part, groups, sheet))
                used[links[-1]["number"]] = used.get(links[-1]["number"], 0) + 1
        for number, count in used.items():
            facts = {"exists": number in groups, "number": number, "camera_count": count, "recorder": sheet}
            place = self.put("input", f"recorders/{name}/{number}", facts)
            for one in links:
                if one["number"] == number:
                    one["link"]["input"] = place
        return links, used

    @staticmethod
    def _given_up(part, groups, count):
        """Inputs given up for network cameras, the highest first; None where not known."""
        free = num((part.get("network") or {}).get("cameras"))
        if not count:
            return set()
        each = num((part.get("network") or {}).get("inputs_each"))
        cost = 1 if each is None else int(each)
        return None if free is None else set(sorted(groups, reverse=True)[: cost * max(0, count - int(free))])

    def _abilities(self, name, part, entry, sheet, links):
        """What is set on a recorder against what it has."""
        sound = part.get("sound") or {}
        ends = [(each.get("sound") or {}).get("into", "") for each in self.site["cameras"].values()]
        ends = [each for each in ends if each.startswith(f"{name}/")]
        named = {row.get("after") for group in part["inputs"] for row in group["accepts"]} | set(part.get("settings") or ())
        codecs = {one["plan_own"].get("codec") for one in links} | {(entry.get("record") or {}).get("codec")}
        codecs.discard(None)
        sorts = channels(part.get("sorted_motion"))
        taking = [] if sound.get("coax_families") == [] else channels(sound.get("coax_channels"))
        sheet.update(
            line_inputs=num(sound.get("line_inputs")), line_inputs_used=len(ends), sorted_motion_channels=sorts and len(sorts),
            line_inputs_shared=sum(ends.count(each) > 1 for each in set(ends)),
            sound_channels=None if taking is None else len(taking),
            sorted_motion_wanted=sum(one["camera"]["wants_sorted_motion"] for one in links),
            settings_known=set(entry.get("set") or ()) <= named,
            codec_known=None if codecs and "codecs" not in part else codecs <= set(part.get("codecs") or ()),
        )  # fmt: skip

    def _link(self, owner, camera, name, entry, part, groups, recorder_sheet):
        number = int(camera["video"]["into"].split("/")[1])
        own, sheet = self.parts[camera["part"]], self.cameras[owner]
        group = groups.get(number)
        pair = pictures.Pair(camera["part"], own, entry["part"], part, group, entry.get("set") or [])
        facts, signal = pictures.settle(pair, camera.get("set"), self.country)
        mhz, *limits = pictures.figures(signal, [*self.site.get("modes", ()), *part.get("modes", ())])
        more = num((group or {}).get("loss_limit_extra")) or 0.0
        limits = [None if limit is None else limit + more for limit in limits]
        over = camera["video"].get("over")
        facts.update(pictures.way(f"cameras/{owner}", over, self.parts, self.site.get("boxes") or {}, mhz, limits))
        facts["same_maker"] = maker(camera["part"], own) != "" and pair.mine == pair.theirs
        self._earths(facts, camera.get("place") or {}, entry.get("place") or {})
        facts.update(camera=sheet, recorder=recorder_sheet, site=self.top, channel_ceiling=None, recorded_reduced=None)
        pictures.pieces(facts, self.parts)
        for index, hop in enumerate(facts["hops"] or ()):
            self.put("hop", f"cameras/{owner}/video/over/{index}", hop)
        devices = pictures.over_coax(camera["part"], own, entry["part"], part, number, facts["family"])
        blocks = facts["blocks_control"]
        pictures.attained(facts, own, pictures.chain([None if blocks is None else not blocks, devices["control"][0]]))
        self._travels(sheet, facts, devices, group)
        sheet["link"] = self.put("link", f"cameras/{owner}", facts)
        plan = {**stores.planned(camera.get("record"), entry.get("record")), "scene": camera.get("scene")}
        own, voice = camera.get("record") or {}, stores.voice(camera)
        return {"link": facts, "camera": sheet, "number": number, "plan": plan, "plan_own": own, "voice": voice}

    @staticmethod
    def _earths(facts, here, there):
        """Whether both ends stand in one building, and on one earth: by name, else by building."""
        ends = [[end.get(what) for end in (here, there)] for what in ("building", "earth")]
        other = [None if None in each else each[0] != each[1] for each in ends]
        facts["other_building"] = other[0]
        facts["other_earth"] = other[0] if other[1] is None else other[1]

    @staticmethod
    def _travels(sheet, link, devices, group):
        if group is None:
            link["outcome"] = None
            devices = dict.fromkeys(devices, (False, "not-joined"))
        arrives = None if link["outcome"] is None else pictures.pictured(link["outcome"])
        for what in ("sound", "control", "firmware", "talk_back"):
            box = link[f"blocks_{'sound' if what == 'talk_back' else what}"]
            answers = [devices[what][0], arrives, None if box is None else not box]
            drawn = {
                "sound": sheet["sound_by"] == "coax",
                "control": sheet["control_by"] == "coax",
                "firmware": True,
                "talk_back": sheet["wants_talk_back"],
            }[what]
            if drawn:
                codes = [devices[what][1], "no-picture", "box"]
                sheet[f"{what}_works"], sheet[f"{what}_cause"] = pictures.answered(answers, codes)
        sheet["sorted_motion_works"] = pictures.chain([devices["sorted_motion"][0], arrives])

    def _rest(self, name, entry):
        """What no recorder says of a camera: nothing travels where none records it; lines of its own."""
        sheet, part = self.cameras[name], self.parts[entry["part"]]
        recorded = "video" in entry or sheet["has_network"]
        if not recorded:
            for what in ("sound", "control", "firmware", "sorted_motion"):
                sheet[f"{what}_works"] = False
            sheet["firmware_cause"] = "not-joined"
            for what in ("sound", "control"):
                sheet[f"{what}_cause"] = "not-joined" if sheet[f"{what}_by"] == "coax" else None
            if sheet["wants_talk_back"]:
                sheet["talk_back_works"], sheet["talk_back_cause"] = False, "not-joined"
            for field in ("recorded_fps", "recorded_width", "recorded_height", *stores.BITS, "days_kept"):
                sheet[field] = None
        lines.own_lines(self, sheet, entry)
        if not sheet["has_network"]:
            family = pictures.sent(part, entry.get("set"), self.country)[0] if many(part.get("emits")) else None
            sheet.update(pictures.talents(part, family))


__all__ = ["Opinion"]
