"""All answers of the oracle on one site: by subject and fact, a value, None (open), or GAP (the pages do not say)."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from . import feeding, losing, settling, sounding, storing
from .reading import Gap, Open, channels, files, maker, mode, quantity

GAP = "the pages do not say"
#: A network too near to a collapse to be compared.
NEAR = "near a collapse"
Facts = dict[tuple[str, str], Any]


def told(ask: Callable[[], Any]) -> Any:
    """An answer, None where it is open, GAP where the pages are silent."""
    try:
        return ask()
    except Open:
        return None
    except Gap:
        return GAP


def known(value: Any) -> Any:
    """The value, or Open or Gap again."""
    if value is None:
        raise Open
    if value == GAP:
        raise Gap
    return value


class Oracle:
    """One site folder."""

    def __init__(self, folder: Path) -> None:
        self.site, self.parts = files(folder)
        self.country = self.site.get("video_rate", 25)
        self.facts: Facts = {}
        self.assume = self.site.get("assume") or {}

    def answer(self) -> Facts:
        """Every fact that the oracle knows of."""
        for name, recorder in self.site.get("recorders", {}).items():
            RecorderView(self, name, recorder).tell()
        for name, camera in self.site.get("cameras", {}).items():
            if not self.recorded_on_coax(camera):
                self.sound_paths(name, camera, None, None, None, None)
        self.volts()
        return self.facts

    def part(self, entry: dict[str, Any]) -> dict[str, Any]:
        return self.parts[entry["part"]]

    def recorded_on_coax(self, camera: dict[str, Any]) -> bool:
        into = (camera.get("video") or {}).get("into", "")
        return into.split("/")[0] in self.site.get("recorders", {})

    def sound_paths(
        self, name: str, camera: dict[str, Any], recorder: Any, channel: Any, family: Any, picture: Any
    ) -> None:
        """Sound, control, firmware and talk-back of one camera, where they are drawn or wanted."""
        way = sounding.Way(self.site, self.parts, camera, recorder, channel, family, picture)
        wants, path = camera.get("wants") or {}, camera.get("sound") or {}
        chains = {}
        if path.get("by") == "coax":
            chains["sound"] = sounding.coax_sound
        elif "into" in path:
            chains["sound"] = sounding.line_sound
        elif wants.get("sound"):
            chains["sound"] = lambda _: (False, "not-drawn")
        if (camera.get("control") or {}).get("by") == "coax":
            chains["control"] = sounding.coax_control
        if wants.get("firmware"):
            chains["firmware"] = sounding.firmware
        if wants.get("talk_back"):
            chains["talk_back"] = sounding.talk_back
        for kind, chain in chains.items():
            works, cause = chain(way)
            self.facts[f"cameras/{name}", f"{kind}_works"] = works
            self.facts[f"cameras/{name}", f"{kind}_cause"] = cause

    def volts(self) -> None:
        """Volts by day and night of all that hangs on supplies."""
        for name, entry in self.site.get("supplies", {}).items():
            self.facts[f"supplies/{name}", "volts"] = told(
                lambda entry=entry: feeding.supply_volts(entry, self.part(entry))
            )
        for _, tree in feeding.trees(self.site, self.parts):
            answers = tree.heat()
            near = feeding.near_collapse(tree)
            unknown = {each.name for node in tree.nodes() if node.runs is None for each in feeding.beyond(node)}
            for node in (each for each in tree.nodes() if each.name != feeding.SOURCE):
                for season, answer in zip(("day", "night"), answers, strict=True):
                    value = None if answer == "open" else answer[0][node.name] if answer else 0.0
                    hidden = None if node.name in unknown else value
                    self.facts["volts", f"{node.name} {season}"] = NEAR if near else hidden


class RecorderView:
    """One recorder with all that it records."""

    def __init__(self, oracle: Oracle, name: str, entry: dict[str, Any]) -> None:
        self.oracle, self.name, self.entry = oracle, name, entry
        self.site, self.parts, self.part = oracle.site, oracle.parts, oracle.part(entry)
        self.coax = {
            key: (camera, int(camera["video"]["into"].split("/")[1]))
            for key, camera in self.site.get("cameras", {}).items()
            if (camera.get("video") or {}).get("into", "").split("/")[0] == name
        }
        self.network = {
            key: camera for key, camera in self.site.get("cameras", {}).items() if self.takes_network(camera)
        }
        self.settled: dict[str, Any] = {}
        self.stored: dict[str, Any] = {}

    def takes_network(self, camera: dict[str, Any]) -> bool:
        path = camera.get("network") or {}
        return bool(path) and path.get("recorder", path["into"].split("/")[0]) == self.name

    def put(self, subject: str, fact: str, value: Any) -> None:
        self.oracle.facts[subject, fact] = value

    def tell(self) -> None:
        self.inputs()
        for key, (camera, channel) in self.coax.items():
            self.link(key, camera, channel)
        self.budget()
        self.disks()

    # inputs ------------------------------------------------------------------------------------------

    def all_channels(self) -> set[int]:
        return {one for group in self.part["inputs"] for one in channels(group["channels"])}

    def network_count(self) -> int:
        return len(self.network) + self.entry.get("network_cameras", 0)

    def given_up(self) -> int:
        """How many inputs are given up for network cameras."""
        if not self.network_count():
            return 0
        free = (self.part.get("network") or {}).get("cameras")
        return max(0, self.network_count() - known(free))

    def inputs(self) -> None:
        """Input use."""
        subject, all_of_them = f"recorders/{self.name}", self.all_channels()
        named = {channel for _, channel in self.coax.values()}
        used = named & all_of_them
        self.put(subject, "channels", len(all_of_them))
        self.put(subject, "channels_used", len(used))
        self.put(subject, "network_cameras", self.network_count())
        self.put(subject, "channels_spare", told(lambda: len(all_of_them - self.lost() - used)))
        for channel in named:
            self.put(f"{subject}/inputs/{channel}", "exists", channel in all_of_them)
            if channel in used:
                self.put(
                    f"{subject}/inputs/{channel}", "serves", told(lambda channel=channel: channel not in self.lost())
                )

    def lost(self) -> set[int]:
        """Inputs given up, from the highest down."""
        gone = self.given_up()
        return set(sorted(self.all_channels(), reverse=True)[:gone])

    # links -------------------------------------------------------------------------------------------

    def ends(self, camera: dict[str, Any], group: dict[str, Any]) -> settling.Ends:
        part = self.oracle.part(camera)
        made = frozenset(self.entry.get("set", []))
        return settling.Ends(part, group, maker(camera["part"], part), maker(self.entry["part"], self.part), made)

    def link(self, key: str, camera: dict[str, Any], channel: int) -> None:
        """Outcome, picture, loss, sound of one link."""
        group = settling.group_of(self.part, channel)
        if group is None:
            self.settled[key] = None
            self.put(f"links/{key}", "outcome", None)
            self.oracle.sound_paths(key, camera, None, None, None, None)
            return
        ends = self.ends(camera, group)
        now = told(lambda: settling.settle(ends, camera, self.oracle.country))
        self.settled[key] = now
        family = settling.family_sent(camera, ends.camera, self.oracle.country)
        picture = None if now is None else isinstance(now, settling.Arrived)
        self.oracle.sound_paths(key, camera, self.entry, channel, family, picture)
        self.picture_facts(key, camera, ends, now, self.switchable(ends, camera, channel, family, picture))
        self.way_facts(key, camera, now)

    def switchable(self, ends: settling.Ends, camera: Any, channel: int, family: Any, picture: Any) -> bool | None:
        """Whether a person can switch the camera where it hangs."""
        plain = settling.switched_without_picture(ends.camera)
        if plain is not False or not ends.camera["switched_by"]:
            return plain
        way = sounding.Way(self.site, self.parts, camera, self.entry, channel, family, picture)
        return sounding.coax_control(way)[0]

    def picture_facts(self, key: str, camera: Any, ends: settling.Ends, now: Any, switchable: bool | None) -> None:
        subject = f"links/{key}"
        arrived = isinstance(now, settling.Arrived)
        self.put(subject, "outcome", now.outcome if arrived else now)
        self.put(subject, "switchable", switchable)
        if not arrived:
            return
        self.put(subject, "width", now.columns)
        self.put(subject, "height", now.sent.lines)
        self.put(subject, "acquired_fps", now.sent.rate)
        top = told(lambda: settling.best(ends, now, self.oracle.country, switchable))
        self.put(subject, "best_outcome", top.outcome if isinstance(top, settling.Arrived) else top)
        self.put(subject, "best_pixels", top.pixels if isinstance(top, settling.Arrived) else top)

    def way_facts(self, key: str, camera: Any, now: Any) -> None:
        """Length, joints, loss of the way."""
        subject, path = f"links/{key}", camera["video"]
        self.put(subject, "metres", told(lambda: losing.metres(path)))
        self.put(subject, "joints", told(lambda: losing.joints(path)))
        if isinstance(now, settling.Arrived):
            top = told(lambda: losing.top_frequency(self.site, self.part, now.sent))
            self.put(subject, "top_frequency", top)
            self.put(subject, "loss", told(lambda: losing.way_loss(self.site, path, self.parts, known(top))))
        elif now is None:
            self.put(subject, "loss", None)

    # budget, bits, days ------------------------------------------------------------------------------

    def would(self, key: str, camera: Any, channel: int) -> storing.Stored:
        """What a channel would record without a common limit."""
        now = self.settled[key]
        if not isinstance(now, settling.Arrived):
            raise Open
        frame = (now.columns, now.sent.lines, now.sent.rate)
        rate = storing.written(camera, self.entry, "rate")
        return storing.would_store(self.part, channel, frame, now.outcome == "reduced-width", rate)

    def black(self, key: str) -> bool:
        """No picture: nothing is recorded."""
        return self.settled[key] in ("no-picture", "needs-setting")

    def budget(self) -> None:
        """Rates and the shared budget."""
        plans = {
            key: told(lambda key=key, camera=camera, channel=channel: self.would(key, camera, channel))
            for key, (camera, channel) in self.coax.items()
            if not self.black(key)
        }
        total = self.part.get("encodes_total")
        all_of_it = quantity(total, "pixels a second") if total else None
        demands = {key: None if plan is None else plan.demand for key, plan in plans.items()}
        demands |= {key: 0.0 for key in self.coax if self.black(key)}
        shares = storing.share_out(demands, all_of_it)
        sums = None if None in demands.values() else sum(demands.values())
        self.put(f"recorders/{self.name}", "encode_demand", sums)
        self.put(f"recorders/{self.name}", "encode_total", all_of_it)
        for key, plan in plans.items():
            self.rates(key, plan, shares[key])
        for key in self.coax:
            if self.black(key):
                self.put(f"links/{key}", "recorded_fps", 0.0)
                self.put(f"links/{key}", "limited_by", "no-picture")

    def rates(self, key: str, plan: storing.Stored | None, share: float | None) -> None:
        subject = f"links/{key}"
        self.put(subject, "channel_ceiling", plan and plan.ceiling)
        self.put(subject, "recorded_width", plan and plan.columns)
        self.put(subject, "recorded_height", plan and plan.lines)
        if plan is None or share is None:
            self.put(subject, "recorded_fps", None)
            self.put(subject, "limited_by", None)
            return
        rate = share / (plan.columns * plan.lines)
        cut = share < plan.demand * (1.0 - 1e-12)
        self.stored[key] = (plan.columns, plan.lines, rate if cut else plan.rate)
        self.put(subject, "recorded_fps", self.stored[key][2])
        self.put(subject, "limited_by", "shared-budget" if cut else plan.limited_by)

    def frame(self, key: str) -> tuple[int, int, float]:
        if key not in self.stored:
            raise Open
        return self.stored[key]

    def bits(self, key: str, camera: Any) -> storing.Bits:
        """Main stream of a coax or network camera."""
        if key in self.network:
            stream = self.oracle.part(camera)["network"]
            columns, lines, full = mode(stream["mode"])
            wanted = storing.written(camera, self.entry, "rate")
            rate = min(full, quantity(wanted, "fps")) if wanted else full
            return storing.network_stream(self.site, camera, self.entry, stream, (columns, lines, rate, full))
        if self.black(key):
            return storing.Bits(0.0, None, 0.0)
        known(self.settled[key])
        return storing.main_stream(self.site, camera, self.entry, self.part, lambda: self.frame(key))

    def disks(self) -> None:
        """Bits a second over the day, and days kept."""
        everyone = {**{key: camera for key, (camera, _) in self.coax.items()}, **self.network}
        rows = []
        for key, camera in everyone.items():
            bits = told(lambda key=key, camera=camera: self.bits(key, camera))
            rows.append((camera, bits))
            self.put(
                f"cameras/{key}", "bitrate", told(lambda bits=bits, camera=camera: storing.most(known(bits), camera))
            )
            self.levels(key, camera, bits)
            low_high = told(lambda bits=bits, camera=camera: storing.ends(known(bits), self.site, camera))
            for at, fact in enumerate(("bitrate_low", "bitrate_high")):
                self.put(f"cameras/{key}", fact, low_high[at] if isinstance(low_high, tuple) else low_high)
        rows += [({}, self.counted())] * self.entry.get("network_cameras", 0)
        self.days(rows)

    def levels(self, key: str, camera: Any, bits: Any) -> None:
        """The main stream against the levels of its codec."""
        main = told(lambda: storing.stream_rate(known(bits), camera))
        self.put(f"cameras/{key}", "stream_rate", main)
        if self.black(key) if key in self.coax else False:
            self.put(f"cameras/{key}", "level_rate_max", 0.0)
            return
        stream = self.oracle.part(camera)["network"] if key in self.network else None
        might = storing.stream_codecs(camera, self.entry, self.part, stream)
        self.put(
            f"cameras/{key}",
            "level_rate_max",
            told(lambda: storing.level_rate_max(known(main), might, self.frame_of(key, camera))),
        )

    def frame_of(self, key: str, camera: Any) -> tuple[int, int, float]:
        """The picture recorded."""
        if key not in self.network:
            return self.frame(key)
        columns, lines, full = mode(self.oracle.part(camera)["network"]["mode"])
        wanted = storing.written(camera, self.entry, "rate")
        return columns, lines, min(full, quantity(wanted, "fps")) if wanted else full

    def counted(self) -> storing.Bits | None:
        """A network camera that is only counted: at the rate written for the recorder."""
        set_one = storing.written({}, self.entry, "bitrate")
        second = storing.written({}, self.entry, "second_stream")
        if set_one is None:
            return None
        return storing.Bits(quantity(set_one, "bits"), None, quantity(second, "bits") if second else 0.0)

    def days(self, rows: list[Any]) -> None:
        subject = f"recorders/{self.name}/disks"
        store = told(lambda: storing.usable(self.site, self.entry, self.parts))
        self.put(subject, "usable", store)
        ways: dict[str, Callable[[Any, Any], float]] = {
            "days": storing.usual,
            "days_least": lambda bits, camera: storing.ends(bits, self.site, camera)[1],
            "days_most": lambda bits, camera: storing.ends(bits, self.site, camera)[0],
        }
        for fact, way in ways.items():
            self.put(subject, fact, told(lambda way=way: self.held(known(store), rows, way)))

        self.moved(rows)

    def moved(self, rows: list[Any]) -> None:
        """Written and read in a year by each disk."""
        subject = f"recorders/{self.name}/disks"
        own = [(camera, bits) for camera, bits in rows if camera]
        mains = [told(lambda bits=bits, camera=camera: storing.stream_rate(known(bits), camera)) for camera, bits in own]
        reads = told(lambda: storing.read_back(self.entry, [known(one) for one in mains]))
        self.put(subject, "reads", reads)
        per_disk = told(lambda: 31_536_000.0 / 8.0 / storing.sharing(self.entry))
        read = told(lambda: known(reads) * known(per_disk))
        written = told(lambda: self.mean(rows, storing.usual) * known(per_disk))
        self.put(subject, "read_per_year", read)
        self.put(subject, "written_per_year", written)
        self.put(subject, "moved_per_year", told(lambda: known(read) + known(written)))

    def held(self, store: float, rows: list[Any], way: Callable[[Any, Any], float]) -> float:
        """Days: usable bytes x 8 over the mean bit rate."""
        mean = self.mean(rows, way)
        if mean <= 0.0:
            raise Open
        return store * 8.0 / (mean * 86_400.0)

    def mean(self, rows: list[Any], way: Callable[[Any, Any], float]) -> float:
        """Bits a second of all cameras over the day, each for its share of it."""
        return sum(
            storing.share_of_day(self.site, camera, self.entry) * way(known(bits), camera) for camera, bits in rows
        )
