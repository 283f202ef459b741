"""Sheets of the picture's way: camera, link, input, recorder, box, run."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet

OUTCOMES = ("full", "asked-down", "reduced-width", "needs-setting", "no-picture")
CAUSES = (
    "acquired",
    "set-by-hand",
    "channel-ceiling",
    "shared-budget",
    "no-picture",
)
BROKEN = (
    "none",
    "not-joined",
    "not-drawn",
    "camera",
    "recorder",
    "family",
    "input",
    "line-input",
    "line-output",
    "maker",
    "serial",
    "length",
    "box",
    "no-picture",
)
"""Codes of what keeps sound, control or firmware from travelling; `docs/how-facts-are-computed.md` says each."""
SETTINGS = ("indoor", "sheltered", "outdoor")


@sheet
class Camera(Sheet):
    """One camera of the site: what it is, what it is wanted for, and where its paths lead."""

    kind: ClassVar[str] = "camera"
    of_entry: ClassVar[bool] = True
    name: str = fact("Its id in the site file.")
    label: str = fact("Its label, where one was written.")
    part: str = fact("Catalogue id.", follows="part")
    maker: str = fact("Maker's id.", follows="part")
    site: Any = fact("The site.", ref="site")
    link: Any = fact("Its way to a recorder input.", ref="link")
    feed: Any = fact("Its way to a supply.", ref="feed")
    has_video: bool = fact("A recorder input is named for it.")
    has_power: bool = fact("A source of power is named for it.")
    has_network: bool = fact("It is a network camera that a recorder of the site records.")
    power_kind: str = fact("What it takes at its power terminals.", choices=("dc", "ac", "poe", "dc-or-ac"))
    volts_nominal: float = fact("Nominal supply voltage.", "V")
    volts_min: float = fact("Least voltage at which it works.", "V")
    volts_max: float = fact("Greatest voltage that it stands.", "V")
    watts_day: float = fact("Power drawn by day.", "W")
    watts_night: float = fact("Power drawn by night: lamps, and heater where fitted.", "W")
    plug: str = fact("Power plug of the camera.", follows="part")
    polarity: str = fact("Inner contact of its plug.", choices=("centre-positive", "centre-negative"), follows="part")
    polarity_protected: bool = fact("It withstands reversed polarity.", follows="part")
    microphone: bool = fact("Has a built-in microphone.", follows="part")
    sends_sound: bool = fact("Sends its sound over the coax in the family that it is switched to.")
    takes_control: bool = fact("Takes control over the coax in the family that it is switched to.")
    takes_firmware: bool = fact("Takes firmware over the coax in the family that it is switched to.")
    wants_sound: bool = fact("Sound is wanted from it (or a sound path is drawn).")
    sound_by: str = fact("How sound is meant to travel.", choices=("none", "coax", "line", "network"))
    sound_works: bool = fact("Sound arrives, as drawn.")
    sound_broken_by: str = fact("What keeps sound from arriving, in words.")
    sound_cause: str = fact("What keeps sound from arriving, as a code; `none` where nothing does.", choices=BROKEN)
    line_level: bool = fact("Its line carries line level, not microphone level.")
    wants_talk_back: bool = fact("Someone wants to speak to people at the camera.")
    talk_back_works: bool = fact("Sound from the recorder reaches a loudspeaker in the camera.")
    talk_back_broken_by: str = fact("What keeps that sound from arriving, in words.")
    talk_back_cause: str = fact("What keeps that sound from arriving, as a code; `none` where nothing does.", choices=BROKEN)
    wants_control: bool = fact("Control is wanted (or a control path is drawn).")
    control_by: str = fact("How control is meant to travel.", choices=("none", "coax", "serial", "network"))
    control_works: bool = fact("Control arrives, as drawn.")
    control_broken_by: str = fact("What keeps control from arriving, in words.")
    control_cause: str = fact("What keeps control from arriving, as a code; `none` where nothing does.", choices=BROKEN)
    wants_firmware: bool = fact("Firmware is to be updated over the coax.")
    firmware_works: bool = fact("Firmware can be updated over the coax.")
    firmware_broken_by: str = fact("What keeps firmware from travelling, in words.")
    firmware_cause: str = fact("What keeps firmware from travelling, as a code; `none` where nothing does.", choices=BROKEN)
    wants_sorted_motion: bool = fact("Alarms for people and vehicles only are wanted.")
    sorted_motion_works: bool = fact("The recorder sorts motion on its channel.", shared=True)
    wants_rate: float = fact("Recorded frame rate wanted.", "fps")
    wants_full_width: bool = fact("Reduced width is not acceptable.")
    wants_retention: float = fact("Days to be kept for this camera (the site's otherwise).", "d")
    recorded_fps: float = fact("Frame rate recorded.", "fps", shared=True)
    recorded_width: int = fact("Columns recorded.", shared=True)
    recorded_height: int = fact("Lines recorded.", shared=True)
    bitrate: float = fact("Recording bit rate, all streams, while recording.", "bit/s", shared=True)
    bitrate_low: float = fact(
        "The same, mean of the hours recorded, if its scene is as quiet as such scenes get.", "bit/s", shared=True
    )
    bitrate_high: float = fact("The same on the careful side, sound with it.", "bit/s", shared=True)
    stream_rate: float = fact("Bit rate of the main stream alone while it records.", "bit/s", shared=True)
    level_rate_max: float = fact("Most that the levels of its codec leave such a stream.", "bit/s", shared=True)
    days_kept: float = fact("Days that its recorder's disks hold.", "d", shared=True)
    rated: str = fact("What its housing is rated for.", choices=("indoor", "outdoor"), follows="part")
    setting: str = fact("Where it stands.", choices=SETTINGS, follows="place")
    reach: str = fact("How easily people touch it.", choices=("out-of-reach", "tool", "hand"), follows="place")
    building: str = fact("Building it stands in or on.", follows="place")
    ip_solid: int = fact("First IP digit, against solids (IEC 60529).", follows="part")
    ip_water: int = fact("Second IP digit, against water (IEC 60529); the greater of a double marking.", follows="part")
    ip_water_covered: list[int] = fact("Second IP digits that its code covers, printed or implied (IEC 60529).")
    ik_joules: float = fact("Impact energy of its IK code (IEC 62262).", "J", follows="part")
    temperature_min: float = fact("Coldest air its datasheet allows.", "degC", follows="part")
    temperature_max: float = fact("Warmest air its datasheet allows.", "degC", follows="part")
    ambient_min: float = fact("Coldest air where it stands.", "degC", follows="place")
    ambient_max: float = fact("Warmest air where it stands.", "degC", follows="place")
    ambient_min_assumed: bool = fact("Nobody wrote the coldest air: it is that of the class of its setting.", follows="place")
    ambient_max_assumed: bool = fact("Nobody wrote the warmest air: it is that of the class of its setting.", follows="place")


@sheet
class Link(Sheet):
    """One camera's way into one recorder input, and what the two settle on."""

    kind: ClassVar[str] = "link"
    of_entry: ClassVar[bool] = True
    camera: Any = fact("The camera.", ref="camera")
    recorder: Any = fact("The recorder.", ref="recorder")
    input: Any = fact("The recorder input.", ref="input")
    site: Any = fact("The site.", ref="site")
    same_maker: bool = fact("Camera and recorder are of one maker.")
    family: str = fact("Signal family that the camera sends.", choices=("cvbs", "ahd", "tvi", "cvi", "sdi"))
    family_taken: bool = fact("The input takes that family in any mode.")
    emitted_mode: str = fact("Mode that the camera is switched to.")
    emitted_width: int = fact("Columns that the camera is switched to send.")
    emitted_height: int = fact("Lines that the camera is switched to send.")
    emitted_fps: float = fact("Frame rate that the camera is switched to send.", "fps")
    emits_set_mode: bool = fact("The camera can be switched to the family and mode written under `set`.")
    outcome: str = fact("What camera and input settle on.", choices=OUTCOMES)
    because: str = fact("Why, in words.")
    settled_mode: str = fact("Mode on the cable after settling.")
    width: int = fact("Columns acquired.")
    height: int = fact("Lines acquired.")
    acquired_fps: float = fact("Frame rate acquired.", "fps")
    setting_needed: str = fact("Recorder setting that would have to be made.")
    switchable: bool = fact("A person can switch the camera where it hangs, as things are.")
    best_outcome: str = fact("Best outcome attainable by switching the camera.", choices=OUTCOMES)
    best_family: str = fact("Family of the best mode.")
    best_mode: str = fact("Best mode attainable by switching the camera.")
    best_pixels: int = fact("Picture elements acquired in the best mode.")
    pixels: int = declared("link", "pixels")
    frame_family: int = fact("25 or 30: the frame family of the settled mode; 0 where it belongs to neither.")
    recorded_width: int = fact("Columns recorded.", shared=True)
    recorded_height: int = fact("Lines recorded.", shared=True)
    recorded_reduced: bool = fact("The recorder stores it at half its columns.")
    recorded_fps: float = fact("Frame rate recorded.", "fps", shared=True)
    channel_ceiling: float = fact("Largest rate the recorder encodes on one channel at this size.", "fps")
    limited_by: str = fact("Cause of the recorded rate.", choices=CAUSES, shared=True)
    level_rate: float = fact("Macroblocks a second of the recorded stream (H.264).", "1/s", shared=True)
    level: str = fact("H.264 level that the recorded stream needs (Table A-1).", shared=True)
    hops: list[Any] = fact("Runs and boxes from the camera to the input, in order.", many="hop")
    metres: float = fact("Cable length of the whole path.", "m")
    joints: int = fact("Joints and in-line boxes on the path.")
    top_frequency: float = fact("Top frequency of the settled mode.", "MHz")
    loss: float = fact("Attenuation of the whole path at the top frequency.", "dB")
    loss_limit: float = declared("link", "loss_limit")
    reach: float = declared("link", "reach")
    reach_low: float = declared("link", "reach_low")
    reach_high: float = declared("link", "reach_high")
    mixed_media: bool = fact("Coax meets pair cable without a balun between.")
    impedance_wrong: bool = fact("A run's impedance is not that of the path (75 ohm coax).")
    clad_steel: bool = fact("A run has a copper-clad steel centre.")
    blocks_sound: bool = fact("A box on the path does not pass sound.")
    blocks_control: bool = fact("A box on the path does not pass control.")
    blocks_firmware: bool = fact("A box on the path does not pass firmware.")
    other_building: bool = fact("Camera and recorder stand in different buildings.")
    other_earth: bool = fact("Camera and recorder stand on different earths: by name, or in different buildings.", shared=True)
    isolated: bool = fact("A galvanic isolator is on the path.")


@sheet
class Hop(Sheet):
    """One piece of a path: a run of cable or a box.

    `steps` of a run: its loss a metre (`Known`); of an amplifier: losses before it, each with its name.
    """

    kind: ClassVar[str] = "hop"
    of_entry: ClassVar[bool] = True
    is_box: bool = fact("A box, not a run.")
    is_run: bool = fact("A run, not a box.")
    name: str = fact("Box id, or cable part.")
    part: str = fact("Catalogue id.")
    metres: float = fact("Length of a run; 0 of a box.", "m")
    loss: float = fact("Attenuation at the path's top frequency; negative where an amplifier gains.", "dB")
    loss_was_measured: bool = fact("Its loss was measured; never of a box.")
    loss_of_type: float = fact("Of a run whose loss was measured: what curve, length, joints and temperature give instead.", "dB")
    medium: str = fact("Kind of cable of a run.", choices=("coax", "pair", "power", "network", "line"))
    does: str = fact(
        "What a box does.",
        choices=("balun", "amplifier", "isolator", "arrester", "splitter", "joint", "converter"),
    )
    blocks_sound: bool = fact("A box that does not pass sound.")
    blocks_control: bool = fact("A box that does not pass control.")
    blocks_firmware: bool = fact("A box that does not pass firmware.")
    top_frequency: float = fact("Top frequency of the picture on it.", "MHz")
    frequency_max: float = fact("Highest frequency that a box passes or that the category of a pair covers.", "MHz")
    loss_before: float = fact("Attenuation from the camera to an amplifier, joints and boxes included.", "dB")
    loss_before_least: float = fact("Least attenuation before an amplifier that does not overload it.", "dB")
    path_metres: float = fact("Length of the way that a box is part of.", "m")
    reach: float = fact("Longest way that the maker of a box states.", "m")
    family: str = fact("Signal family on a box that is stated for some.")
    families: str = fact("Signal families for which a box is stated, in words.")
    family_passed: bool = fact("A box is stated for the family on it.")
    category: str = fact("Category of a pair cable.")
    frequency_covered: bool = fact("The category of a pair cable covers the top frequency of the picture.")


@sheet
class Run(Sheet):
    """One run of one cable, whatever it carries."""

    kind: ClassVar[str] = "run"
    owner: str = fact("Subject whose path it belongs to.")
    use: str = fact("What it is used for.", choices=("video", "power", "sound", "control", "network"))
    cable: str = fact("Cable part.")
    metres: float = fact("Length.", "m")
    setting: str = fact("Where it lies.", choices=SETTINGS)
    rated: str = fact("Where the cable may lie.", choices=("indoor", "outdoor", "burial"))
    paired: bool = fact("Its cable is one of pairs for networks or for pictures, whatever it is used for here.")
    fits_use: bool = fact("The cable is made for this use.")
    told_above: bool = fact("It is the cable of its device's network path, written a second time for the power over it.")
    impedance: float = fact("Characteristic impedance.", "ohm")
    centre: str = fact("Centre conductor.", choices=("copper", "copper-clad-steel", "copper-clad-aluminium"))
    conductor_size: float = fact("Cross-section of one power conductor.", "mm2")
    conductor_material: str = fact(
        "Material of the power conductors.",
        choices=("copper", "copper-clad-aluminium", "copper-clad-steel", "aluminium"),
    )
    amps_max: float = fact(
        "Largest continuous current of the conductors, all pairs in use together: as stated, else from the tables.", "A"
    )
    amps_basis: str = fact("Where that current is from, in words.")
    device_max: float = fact("Greatest protective device for the conductors, all pairs in use together.", "A")
    air: float = fact("Air around it, for which its largest current holds.", "degC")
    temperature: float = fact("Conductor temperature used.", "degC")
    amps_day: float = fact("Current by day.", "A")
    amps_night: float = fact("Current by night.", "A")
    amps_protective: float = fact(
        "Rated current of the least protective device before it, or what a powered network port gives.", "A"
    )
    amps_opening: float = fact("Least current at which some device before it opens for certain.", "A")


@sheet
class Input(Sheet):
    """One recorder input that is named by a camera."""

    kind: ClassVar[str] = "input"
    recorder: Any = fact("The recorder.", ref="recorder")
    number: int = fact("Channel number.")
    exists: bool = fact("The recorder has it.")
    cameras: list[Any] = fact("Cameras that name it.", many="camera")
    camera_count: int = fact("How many cameras name it.")
    serves: bool = fact("It is left for coax: not given up for network cameras.")


@sheet
class Recorder(Sheet):
    """One recorder: its channels, its encoding budget, its sound and its record."""

    kind: ClassVar[str] = "recorder"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    maker: str = fact("Maker's id.")
    site: Any = fact("The site.", ref="site")
    links: list[Any] = fact("Camera links into it.", many="link")
    channels: int = fact("Coax inputs that it has.")
    channels_used: int = fact("Coax inputs in use.")
    channels_spare: int = fact("Coax inputs left.")
    network_cameras: int = fact("Network cameras recorded.")
    network_cameras_free: int = fact("Network cameras it records without giving up inputs.")
    network_cameras_max: int = fact("Network cameras it records at most, inputs given up for them.")
    incoming: float = fact("Bit rate of all network cameras into it.", "bit/s")
    incoming_max: float = fact("Bit rate of network cameras that it takes.", "bit/s")
    viewers: int = fact("Remote viewers at the same time.")
    viewers_max: int = fact("Remote viewers that it serves.")
    viewed: int = fact("Channels that each remote viewer watches.")
    view_rate: float = fact("Bit rate of the largest stream that viewers watch.", "bit/s")
    outgoing: float = fact("Bit rate of all streams to remote viewers.", "bit/s")
    outgoing_max: float = fact("Bit rate that it gives outwards.", "bit/s")
    uplink: float = fact("What the line to the outside carries outwards.", "bit/s")
    playback: int = fact("Channels to be played back on its screens at the same time.")
    decode_needed: float = fact(
        "Picture elements a second to be decoded: playback, and network cameras in live view.", "px/s"
    )
    decode_total: float = fact("Picture elements a second that it decodes.", "px/s")
    frame_families: int = fact("How many of the frame families 25 and 30 its links settle on.")
    encode_demand: float = fact(
        "Picture elements a second that its channels would record without a common limit.", "px/s"
    )
    encode_total: float = fact("Picture elements a second that it encodes over all channels.", "px/s")
    encode_used: float = fact("Picture elements a second recorded.", "px/s")
    level_rate: float = fact("Macroblocks a second of all recorded streams (H.264).", "1/s")
    bitrate: float = fact("Bit rate of all streams while all record.", "bit/s")
    bitrate_mean: float = fact("Mean bit rate over a day, with schedules.", "bit/s")
    bitrate_mean_low: float = fact("Mean bit rate over a day if scenes are as quiet as they get.", "bit/s")
    bitrate_mean_high: float = fact("Mean bit rate over a day on the careful side.", "bit/s")
    bitrate_max: float = fact("Most that it writes to disk.", "bit/s")
    codec_known: bool = fact("Every codec set is one that it has.")
    settings_known: bool = fact("Every setting made is one that it has.")
    settings_unknown: str = fact("Settings made that it does not have, in words.")
    line_inputs: int = fact("Line inputs for sound.")
    line_inputs_used: int = fact("Sound lines that end in its line inputs.")
    line_inputs_shared: int = fact("Line inputs that more than one sound line names.")
    sound_channels: int = fact("Channels that take sound from the coax.")
    sorted_motion_channels: int = fact("Channels on which it sorts motion.")
    sorted_motion_wanted: int = fact("Channels on which sorted motion is wanted.")
    disks: Any = fact("Its disks.", ref="disk_group")
    setting: str = fact("Where it stands.", choices=SETTINGS)
    building: str = fact("Building it stands in.")
    temperature_min: float = fact("Coldest air its datasheet allows.", "degC")
    temperature_max: float = fact("Warmest air its datasheet allows.", "degC")
    ambient_min: float = fact("Coldest air where it stands.", "degC")
    ambient_max: float = fact("Warmest air where it stands.", "degC")
    ambient_min_assumed: bool = fact("Nobody wrote the coldest air: it is that of the class of its setting.")
    ambient_max_assumed: bool = fact("Nobody wrote the warmest air: it is that of the class of its setting.")


@sheet
class Box(Sheet):
    """One in-line part."""

    kind: ClassVar[str] = "box"
    name: str = fact("Its id in the site file.")
    part: str = fact("Catalogue id.")
    does: str = fact(
        "What it does.",
        choices=("balun", "amplifier", "isolator", "arrester", "splitter", "joint", "converter"),
    )
    used: int = fact("How many paths name it.")
    takes_power: bool = fact("Its part states a power input.")
    has_power: bool = fact("A source of power is named for it.")
