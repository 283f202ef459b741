"""One recorder with its cameras, computed as one component: links, inputs, ways, records, disks.

Reads the recorder, the cameras whose video goes into it, and their parts; nothing of other recorders.
Sheets that exist before are filled in place, new ones are handed back.
"""

from __future__ import annotations

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.network.network_cameras import NetworkCameraBinder, NetworkStreamed
from coaxwright.facts.network.recorder_network import bind_network_side
from coaxwright.facts.network.serial_binding import bind_serial_bus
from coaxwright.facts.picture.camera_binding import bind_camera, bind_device_place
from coaxwright.facts.picture.hop_binding import bind_pieces
from coaxwright.facts.picture.link_binding import (
    bind_best,
    bind_buildings,
    bind_capabilities,
    bind_earths,
    bind_lines,
    bind_missing_input,
    bind_over_coax,
    bind_settled,
    bind_talk_back,
    bind_way,
    bind_without_input,
    figures_of,
    lack,
    same_maker,
)
from coaxwright.facts.picture.pair import Pair, Switched
from coaxwright.facts.picture.path_binding import PathBinder, Way
from coaxwright.facts.picture.planned_bits import BITS
from coaxwright.facts.picture.signal_cache import Desk, SignalCache, memory_of
from coaxwright.facts.picture.sound import coax_talk_back
from coaxwright.facts.place.view_binding import view_of
from coaxwright.facts.record.record_binding import Channel, RecordBinder
from coaxwright.facts.record.store_binding import bind_disks
from coaxwright.facts.recorder_sheets import RecorderSheets
from coaxwright.facts.sheets import Camera, Input, Link, Recorder
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.topology.records import CablePath, Port


def bind_recorder(context: Context, name: str) -> RecorderSheets:
    """Every picture, record, sound and disk fact of one recorder and of the cameras on it."""
    return _RecorderBinder(context, name).bind()


def bind_unrecorded(context: Context, name: str) -> RecorderSheets:
    """Facts of a camera for which no recorder input is named: place, wants, and that nothing travels."""
    memory = memory_of(context)
    ways = PathBinder(context, memory)
    made, site, sheet = RecorderSheets(), context.loaded.site, context.cameras[name]
    entry = site.cameras[name]
    bind_camera(sheet, entry, memory, site.retention, context.ledger)
    sends = memory.switched(entry.part, entry.set, site.video_rate)
    bind_capabilities(sheet, entry.part, sends, memory)
    bind_without_input(sheet, "no recorder input is named for the camera")
    _bind_own_lines(context, memory, ways, name, sheet, made)
    network = context.topology.lists.network.get(name)
    if network is not None:
        made.runs.setdefault(sheet.subject, []).extend(ways.read(network, sheet.known("setting"), None, ()).runs)
    recorded = ("recorded_fps", "recorded_width", "recorded_height", *BITS, "days_kept")
    unjoined = "video" if memory.part_of(entry.part).emits else "network"
    way = unjoined if network is None else "network/recorder"
    lack(sheet, recorded, (f"{sheet.subject}/{way}",))
    bind_view(context, sheet, made)
    fill("view", made.views.values(), context.ledger)
    ways.count()
    return made


def bind_view(context: Context, sheet: Camera, made: RecorderSheets) -> None:
    """What a camera whose record is bound is to see, where a site file says so."""
    view = view_of(context, sheet, context.loaded.site.cameras[sheet.name])
    if view is not None:
        made.views[sheet.name] = view


def _bind_own_lines(
    context: Context, memory: SignalCache, ways: PathBinder, name: str, sheet: Camera, made: RecorderSheets
) -> None:
    """Sound and control lines of one camera, with their runs."""
    lists, site = context.topology.lists, context.loaded.site
    entry = site.cameras[name]
    bind_lines(sheet, entry, site, memory, lists.sound.get(name), lists.control.get(name))
    for path in (lists.sound.get(name), lists.control.get(name)):
        if path is not None and path.target is not None:
            way = ways.read(path, sheet.known("setting"), None, ())
            made.runs.setdefault(sheet.subject, []).extend(way.runs)


class _RecorderBinder:
    """The work on one recorder; lives for one call."""

    def __init__(self, context: Context, name: str) -> None:
        self.context, self.name = context, name
        self.memory = memory = memory_of(context)
        self.site = context.loaded.site
        self.sheet: Recorder = context.recorders[name]
        self.entry: RecorderEntry = self.site.recorders[name]
        self.desk: Desk = memory.desk(self.entry.part, self.entry.set)
        self.ways = PathBinder(context, memory)
        self.made = RecorderSheets()
        self.inputs: dict[int, Input] = {}
        named = context.topology.lists.network_into.get(name, ())
        self.network_count = self.entry.network_cameras + len(named)
        self.given_up, self.lacking_given_up = _given_up(self.entry.part, self.network_count, self.desk)

    def bind(self) -> RecorderSheets:
        """All sheets of the component."""
        bind_device_place(self.sheet, self.entry.place, self.context.ledger)
        channels = [self._bind_link(path) for path in self._paths()]
        fill("link", [each.link for each in channels])
        if channels and "video_rate" not in self.site.model_fields_set:
            self.context.ledger.take("video-rate", len(channels))
        self.made.inputs = [self.inputs[number] for number in sorted(self.inputs)]
        self.sheet.links = [each.link for each in channels]
        network = self._network_cameras()
        records = RecordBinder(self.context, self.memory, self.desk, self.sheet, self.entry, network=network)
        totals = records.bind(channels)
        cameras = [*(each.camera for each in channels), *(each.camera for each in network)]
        for camera in cameras:
            bind_view(self.context, camera, self.made)
        fill("view", self.made.views.values(), self.context.ledger)
        self._bind_channels(channels)
        self._bind_abilities(channels)
        self._bind_lines(channels, network)
        self.made.disks.append(bind_disks(self.context, self.memory, self.sheet, self.entry, totals, cameras))
        self.ways.count()
        return self.made

    def _network_cameras(self) -> list[NetworkStreamed]:
        """Network cameras that have an entry of their own."""
        paths = self.context.topology.lists.network_into.get(self.name)
        if not paths:
            return []
        binder = NetworkCameraBinder(self.context, self.memory, self.ways, self.made, self.entry.record)
        streams = [binder.bind(path) for path in paths]
        for each in streams:
            camera = each.camera
            _bind_own_lines(self.context, self.memory, self.ways, camera.name, camera, self.made)
        return streams

    def _bind_lines(self, channels: list[Channel], network: list[NetworkStreamed]) -> None:
        """The serial line into it, and its network side, where there are such."""
        sheet, entry = self.sheet, self.entry
        sheet.viewers, sheet.playback = entry.viewers, entry.playback
        if sheet.network_cameras or entry.viewers or entry.playback:
            coax = [(each.camera, each.record) for each in channels]
            bind_network_side(sheet, entry, self.desk.part, coax, network)
        bus = bind_serial_bus(self.context, sheet)
        if bus is not None:
            self.made.buses.append(bus)

    def _paths(self) -> list[CablePath]:
        return self.context.topology.lists.video_into.get(self.name, [])

    def _bind_link(self, path: CablePath) -> Channel:
        name, number = path.owner, path.target.number if path.target else 0
        camera, entry = self.context.cameras[name], self.site.cameras[name]
        bind_camera(camera, entry, self.memory, self.site.retention, self.context.ledger)
        link = self._new_link(path, camera, number)
        link.same_maker = same_maker(entry.part, self.memory.part_of(entry.part), self.desk)
        settled = self.memory.settled(self.desk, number, entry.part, entry.set, self.site.video_rate)
        sends = settled.emitted if settled else self.memory.switched(entry.part, entry.set, self.site.video_rate)
        stated = (*self.site.modes, *self.desk.part.modes)
        figures, lacking = figures_of(link, settled, self.memory, stated)
        way = self.ways.read(path, camera.known("setting"), figures.top_frequency if figures else None, lacking)
        if settled is None:
            bind_missing_input(link, sends)
            bind_without_input(camera, "the recorder input named for the camera does not exist")
        else:
            bind_settled(link, settled, camera.subject)
            also = self.memory.over_coax(self.desk, number, entry.part, sends)
            bind_best(link, settled, way, also.control)
            bind_over_coax(camera, link, settled, way, also)
            self._count_makers(camera)
            if camera.wants_talk_back:
                sender = Switched(entry.part, self.memory.part_of(entry.part), sends.family, sends.lacking)
                talk_back = coax_talk_back(Pair(sender, self.desk.part_id, self.desk.part))
                bind_talk_back(camera, link, settled, way, talk_back)
        group = self.desk.group_of.get(number)
        bind_way(link, way, figures, lacking, 0.0 if group is None else self.desk.extra_loss[group])
        if way.shape is not None and (way.shape.boxes or way.shape.pairs):
            bind_pieces(link, way, self.memory, float(self.context.ledger.values["joint-loss"].value))
        bind_buildings(link, camera.known("building"), self.sheet.known("building"), self.sheet.subject)
        bind_earths(link, entry.place, self.entry.place)
        bind_capabilities(camera, entry.part, sends, self.memory)
        self._keep(name, camera, link, way)
        return Channel(camera, link, number, settled, entry.record, entry)

    def _count_makers(self, camera: Camera) -> None:
        """Sound and control that work since the recorder's part names no maker for them."""
        for what, stated in (("sound", self.desk.part.sound), ("control", self.desk.part.control)):
            drawn = getattr(camera, f"{what}_by") == "coax" and camera.known(f"{what}_works")
            if drawn and stated is not None and "coax_maker" not in stated.model_fields_set:
                self.context.ledger.take("coax-maker")

    def _new_link(self, path: CablePath, camera: Camera, number: int) -> Link:
        link = Link()
        link.subject, link.pointer = camera.subject, path.pointer
        link.camera, link.recorder, link.site = camera, self.sheet, self.context.site
        link.input = self._input(number, path)
        link.input.cameras.append(camera)
        link.input.camera_count += 1
        camera.link = link
        return link

    def _input(self, number: int, path: CablePath) -> Input:
        """The sheet of one input, made when the first camera names it."""
        found = self.inputs.get(number)
        if found is None:
            found = self.inputs[number] = Input()
            found.subject, found.pointer = f"{self.sheet.subject}/{number}", (*path.pointer, "into")
            found.recorder, found.number, found.cameras, found.camera_count = self.sheet, number, [], 0
            found.exists = number in self.desk.group_of
            if self.lacking_given_up:
                lack(found, ("serves",), self.lacking_given_up)
            else:
                found.serves = number not in self.given_up
        return found

    def _keep(self, name: str, camera: Camera, link: Link, way: Way) -> None:
        self.made.links[name], self.made.hops[name] = link, way.hops
        self.made.runs[camera.subject] = way.runs
        if camera.sound_by != "coax" or camera.control_by != "coax":
            _bind_own_lines(self.context, self.memory, self.ways, name, camera, self.made)

    def _bind_channels(self, channels: list[Channel]) -> None:
        """How many inputs there are, are used and are left, and which frame families meet."""
        sheet, numbers = self.sheet, self.desk.group_of.keys()
        used = {each.number for each in channels} & numbers
        sheet.channels, sheet.channels_used = len(numbers), len(used)
        sheet.steps = {"channels": list(numbers), "channels_used": sorted(used)}
        sheet.network_cameras = self.network_count
        if self.desk.part.network is not None and self.desk.part.network.cameras is not None:
            sheet.network_cameras_free = self.desk.part.network.cameras
        else:
            lack(sheet, ("network_cameras_free",), (f"parts/{self.entry.part}/network/cameras",))
        if self.lacking_given_up:
            lack(sheet, ("channels_spare",), self.lacking_given_up)
        else:
            sheet.channels_spare = len(numbers - used - self.given_up)
        self._bind_frame_families(channels)

    def _bind_frame_families(self, channels: list[Channel]) -> None:
        families: set[int] = set()
        missing: list[str] = []
        for each in channels:
            if each.settled is None or each.settled.outcome is None:
                missing += each.link.missing("outcome")
            elif each.settled.has_picture and each.link.frame_family:
                families.add(each.link.frame_family)
        if missing and len(families) < 2:
            lack(self.sheet, ("frame_families",), tuple(missing))
        else:
            self.sheet.frame_families = len(families)

    def _bind_abilities(self, channels: list[Channel]) -> None:
        """What the recorder's part states besides pictures, and whether what is set on it exists."""
        sheet, part = self.sheet, self.desk.part
        sound = part.sound
        stated = {
            "line_inputs": (sound.line_inputs if sound else None, "sound/line_inputs"),
            "sound_channels": (_sound_channels(part), "sound/coax_channels"),
            "sorted_motion_channels": (_count(part.sorted_motion), "sorted_motion"),
            "temperature_min": (part.temperature_min, "temperature_min"),
            "temperature_max": (part.temperature_max, "temperature_max"),
        }
        for name, (value, path) in stated.items():
            if value is not None:
                setattr(sheet, name, value)
            else:
                lack(sheet, (name,), (f"parts/{self.entry.part}/{path}",))
        lines, shared = self._line_inputs_used(), self._line_inputs_shared()
        wanting = [each.camera.name for each in channels if each.camera.wants_sorted_motion]
        sheet.steps |= {"sorted_motion_wanted": wanting, "line_inputs_used": lines, "line_inputs_shared": shared}
        sheet.sorted_motion_wanted = len(wanting)
        sheet.line_inputs_used, sheet.line_inputs_shared = len(lines), len(shared)
        self._bind_settings(channels)

    def _line_inputs_used(self) -> list[str]:
        """Lines that end in this recorder, whichever recorder their camera's picture goes to, by their owners."""
        return [path.owner for _, paths in self._line_inputs() for path in paths]

    def _line_inputs_shared(self) -> list[int]:
        """Line inputs of this recorder that more than one line names."""
        return [port.number for port, paths in self._line_inputs() if len(paths) > 1]

    def _line_inputs(self) -> list[tuple[Port, list[CablePath]]]:
        return self.memory.line_inputs(self.context.topology.lists).get(self.name, [])

    def _bind_settings(self, channels: list[Channel]) -> None:
        sheet, part = self.sheet, self.desk.part
        named = {row.after for group in part.inputs for row in group.accepts} | set(part.settings)
        unknown = [each for each in self.entry.set if each not in named]
        sheet.settings_known, sheet.settings_unknown = not unknown, ", ".join(unknown)
        records = [self.entry.record, *(each.record for each in channels)]
        codecs = {record.codec for record in records if record is not None and record.codec is not None}
        if codecs and part.codecs is None:
            lack(sheet, ("codec_known",), (f"parts/{self.entry.part}/codecs",))
        else:
            sheet.codec_known = codecs <= set(part.codecs or ())


def _given_up(part_id: str, cameras: int, desk: Desk) -> tuple[set[int], tuple[str, ...]]:
    """Inputs given up for network cameras, from the highest number down, or what would tell.

    A hybrid recorder pays for network cameras beyond its own allowance with coax inputs (common practice): one
    for each, or as many as its part states.
    """
    if not cameras:
        return set(), ()
    network = desk.part.network
    if network is None or network.cameras is None:
        return set(), (f"parts/{part_id}/network/cameras",)
    each = 1 if network.inputs_each is None else network.inputs_each
    beyond = max(0, cameras - network.cameras) * each
    return set(sorted(desk.group_of, reverse=True)[:beyond]), ()


def _sound_channels(part: RecorderPart) -> int | None:
    """Channels that take sound from the coax: none where the part lists no family for it."""
    sound = part.sound
    if sound is None:
        return None
    return 0 if sound.coax_families == () else _count(sound.coax_channels)


def _count(channels: tuple[int, ...] | None) -> int | None:
    return None if channels is None else len(channels)
