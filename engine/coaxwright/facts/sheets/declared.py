"""Fields of sheets that are declared in `rules/facts`.

Made by `python -m coaxwright.facts.declared.writing --write`; edit `rules/facts`, not this module.
"""

# ruff: noqa: E501
from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Row(NamedTuple):
    """Type, unit and sentence of a field; the figure of a constant."""

    type: str
    unit: str
    says: str
    value: float | None = None


DECLARED: Mapping[str, Mapping[str, Row]] = {
    "battery": {
        "usable": Row("float", "Ah", "Capacity at the end of its life in the coldest air where it stands."),
        "hours_most": Row("float", "h", "Usable capacity over that current: what it never outlasts."),
        "hours": Row("float", "h", "How long it lasts at that current."),
        "charge_amps": Row("float", "A", "Current left to charge it: the charger's, or what the loads leave of the supply."),
        "recharge_hours": Row("float", "h", "How long it takes to fill it again while the loads run."),
    },
    "cabinet": {
        "surface": Row("float", "m2", "Surface that gives off heat, by how it stands."),
        "rise": Row("float", "degC", "Degrees by which the air in it gets warmer than the air around it."),
        "air": Row("float", "degC", "Warmest air in it."),
        "vents_wanted": Row("float", "cm2", "Free area that each of two openings wants for the gas of its batteries."),
    },
    "disk_risk": {
        "loss": Row("float", "", "How often in a year recordings are lost with disks: with the first one, with a second, or with a third while others are written anew."),
    },
    "exposure": {
        "sun_margin": Row("float", "degC", "Degrees between the warmest air written and what its datasheet allows."),
    },
    "link": {
        "pixels": Row("int", "", "Picture elements acquired."),
        "loss_limit": Row("float", "dB", "Attenuation that an input is assumed to equalise for this mode."),
        "reach": Row("float", "m", "Longest path of this cable mix that stays within the loss limit."),
        "reach_low": Row("float", "m", "Reach by the least of the published figures for the mode."),
        "reach_high": Row("float", "m", "Reach by the greatest of the published figures for the mode."),
    },
    "monitor": {
        "distance_sharp": Row("float", "m", "Distance up to which one line of the picture can be told from the next."),
    },
    "network_port": {
        "exists": Row("bool", "", "The device has it."),
    },
    "output": {
        "exists": Row("bool", "", "The supply has it."),
        "amps_warm": Row("float", "A", "Current that its device carries in the air around the supply: its limit times the share that the air leaves."),
    },
    "poe_port": {
        "amps_pair": Row("float", "A", "Current of each powered pair by night, at the least voltage of the port."),
        "bundle_rise": Row("float", "degC", "Most that the currents warm the middle of its bunch, all cables loaded alike: with the square of the current and the resistance, and with the number of cables, or its root below the measured one."),
        "exists": Row("bool", "", "It is one of the ports that give power."),
        "volts_night": Row("float", "V", "Least voltage at the device by night; 0 where it collapses."),
        "watts_given": Row("float", "W", "Power that the port gives by night, cable loss included."),
    },
    "poe_source": {
        "ports_used": Row("int", "", "Ports that power something here."),
        "watts_allotted": Row("float", "W", "Power set aside by the classes of all devices on it."),
        "watts_night": Row("float", "W", "Power that all its ports give by night, cable loss included."),
    },
    "disk_group": {
        "bays_free": Row("int", "", "Bays left; negative where there are more disks than bays."),
        "disks_least": Row("int", "", "Disks that the redundancy needs at least."),
        "usable": Row("float", "B", "Capacity left after redundancy, formatting and index."),
        "needed": Row("float", "B", "Capacity that the wanted retention needs."),
        "days": Row("float", "d", "Days that it holds before the oldest is overwritten."),
        "days_least": Row("float", "d", "Days that it holds on the careful side of the planned rates."),
        "days_most": Row("float", "d", "Days that it holds if all scenes are as quiet as such scenes get."),
        "days_held": Row("float", "d", "Days after which recordings are gone: overwritten, or erased by age."),
        "days_continuous": Row("float", "d", "Days that it would hold if every camera recorded all day."),
        "lost": Row("float", "B", "Capacity that larger disks lose, since every member counts as the smallest."),
        "rebuild": Row("float", "h", "Time to write a failed disk anew while recording goes on."),
        "usable_most": Row("float", "B", "Capacity usable with the largest disk in every bay, same redundancy."),
        "temperature": Row("float", "degC", "Temperature of the disks when the room is warmest."),
        "written_per_year": Row("float", "B", "Written to each disk in a year."),
        "read_per_year": Row("float", "B", "Read from each disk in a year."),
        "moved_per_year": Row("float", "B", "Written to and read from each disk in a year."),
    },
    "supply": {
        "watts_max": Row("float", "W", "Rated power: nominal voltage times rated current."),
        "amps_warm": Row("float", "A", "Current that it gives in the air around it: rated current times the share that the air leaves."),
        "outputs_used": Row("int", "", "Outputs in use."),
        "cameras": Row("int", "", "Cameras that hang on it, through junctions too."),
    },
    "switch": {
        "ports_spare": Row("int", "", "Ports left; negative where more are joined than there are."),
    },
    "ups": {
        "watts_headroom": Row("float", "", "Share of its largest load that is left, in watts or in volt-amperes, whichever is less."),
    },
    "view": {
        "slant": Row("float", "m", "Distance from lens to target: hypotenuse of distance and difference of height."),
        "look_down": Row("float", "deg", "Angle under which it looks down on the target."),
        "angle": Row("float", "deg", "Horizontal field of view, for an ideal lens."),
        "width": Row("float", "m", "Scene width that the picture covers at the target."),
        "density": Row("float", "px/m", "Pixel density across, at the target, of what is recorded."),
        "density_full": Row("float", "px/m", "Pixel density across that the full width would give."),
        "farthest": Row("float", "m", "Farthest distance from the lens at which the class wanted is held."),
        "reach_left": Row("float", "m", "How much farther off the target may stand before the class wanted is lost; negative where it is lost already."),
        "plate_pixels": Row("float", "", "Picture elements over the height of a character of a number plate, at the density across."),
        "plate_blur": Row("float", "", "Picture elements over which a moving plate is smeared in one exposure."),
        "face_pixels": Row("float", "", "Picture elements between the eyes of a face, at the density across."),
        "hyperfocal": Row("float", "m", "Distance on which it has to be focused so that all is sharp from half of it to the horizon, to a picture element."),
        "focus_spread": Row("float", "", "Picture elements over which a point of what is to be seen is spread, as the lens is focused."),
        "focus_best": Row("float", "m", "Distance on which it is best focused for what is nearest and what is farthest: both come out alike."),
        "focus_blur": Row("float", "", "Picture elements over which a point is spread at the nearest and at the farthest distance, focused as well as can be."),
        "light_short": Row("float", "", "How many times the lamp's light the target would want: (distance / range) squared."),
        "f_number_wanted": Row("float", "", "F-number at which the same lamp would reach the target."),
        "light_gain": Row("float", "", "Light that its lens gathers over one of F2.0: (2 / N) squared."),
        "surface_ratio": Row("float", "", "How many times brighter its lamp is on the nearest thing that it lights than at the target."),
        "near_ratio": Row("float", "", "How many times brighter its lamp is at the nearest distance than at the farthest."),
    },
}

STEPS: Mapping[str, Mapping[str, Row]] = {
    "battery": {
        "coldest": Row("float", "degC", "Coldest air in which it is counted on.", -40.0),
        "hundred": Row("float", "degC", "A hundred degrees.", 100.0),
        "constant": Row("float", "", "Constant of the polynomial of size factors.", 1.405),
        "linear": Row("float", "", "Its linear term.", 2.4941),
        "quadratic": Row("float", "", "Its quadratic term.", 4.1916),
        "cubic": Row("float", "", "Its cubic term.", 2.8117),
        "remaining": Row("float", "", "Share of its capacity at the end of its life."),
        "cold_share": Row("float", "", "Share of its capacity in that cold, by its datasheet; all of it from 25 degC on."),
        "exponent": Row("float", "", "Exponent of Peukert's law."),
        "share": Row("float", "", "Share that recharge times are stated for."),
        "efficiency": Row("float", "", "Share of the charge that stays in it."),
        "warmth": Row("float", "", "Coldest air in hundreds of degrees."),
        "cold_size": Row("float", "", "By how much more battery the cold asks for; warmth is not credited (common practice)."),
        "counted": Row("float", "", "Share of it that is counted on in that cold."),
    },
    "cabinet": {
        "width": Row("float", "m", "Width."),
        "height": Row("float", "m", "Height."),
        "depth": Row("float", "m", "Depth."),
        "front": Row("float", "", "Times that width x height counts, by how it stands."),
        "top": Row("float", "", "Times that width x depth counts, by how it stands."),
        "sides": Row("float", "", "Times that depth x height counts, by how it stands."),
        "passes": Row("float", "W/m2/degC", "Heat that a square metre of its walls lets out for each degree."),
        "flow": Row("float", "m3/h", "Air that a fan draws through it."),
        "air_heat": Row("float", "W*h/m3/degC", "Heat that a cubic metre of air an hour takes along for each degree: 1 / 3.1.", 0.32258),
        "hydrogen": Row("float", "m3/Ah", "Air for the hydrogen of an ampere-hour of gassing of a cell: 24 x 0.42 l x 5.", 0.05),
        "gassing": Row("float", "A/Ah", "Gassing current of a valve-regulated cell at boost.", 0.008),
        "opening": Row("float", "cm2*h/m3", "Free area of an opening for each cubic metre an hour.", 28.0),
    },
    "disk_risk": {
        "year": Row("float", "h", "Hours of a year.", 8760.0),
        "during": Row("float", "", "Failures that are expected of as many disks while one is written anew."),
    },
    "exposure": {
    },
    "link": {
        "usual_limit": Row("float", "dB", "Attenuation that inputs usually equalise for the settled mode."),
        "limit_low": Row("float", "dB", "Least of what published figures say inputs equalise for the settled mode."),
        "limit_high": Row("float", "dB", "Greatest of what published figures say inputs equalise for the settled mode."),
        "input_extra": Row("float", "dB", "What this input equalises beyond the usual."),
        "fixed_loss": Row("float", "dB", "Attenuation of joints and boxes, which stays when the cables grow."),
        "runs_loss": Row("float", "dB", "Attenuation of the cables."),
    },
    "monitor": {
        "diagonal": Row("float", "", "Diagonal of the screen, in inches."),
        "columns": Row("int", "", "Columns that the screen shows."),
        "lines": Row("int", "", "Lines that the screen shows."),
        "inch": Row("float", "mm", "One inch (international yard and pound agreement, 1959).", 25.4),
        "metre": Row("float", "mm/m", "Millimetres of a metre.", 1000.0),
        "degree": Row("float", "deg", "One degree of arc.", 1.0),
        "minutes": Row("float", "", "Minutes of a degree.", 60.0),
        "height": Row("float", "m", "Height of a screen with square picture elements."),
        "acuity": Row("float", "deg", "One minute of arc: what the normal eye tells apart."),
    },
    "network_port": {
    },
    "output": {
    },
    "poe_port": {
        "bundle": Row("int", "", "Powered cables in the largest bunch that its cable lies in, itself included."),
        "wire_factor": Row("float", "", "Resistance of a conductor of its cable over that of the measured one (93.8 ohm/km)."),
        "measured_rise": Row("float", "degC", "Rise in the middle of a measured bundle, in K.", 7.2),
        "measured_amps": Row("float", "A", "Current of each of its pairs.", 0.6),
        "measured_cables": Row("float", "", "Cables in it.", 100.0),
    },
    "poe_source": {
    },
    "disk_group": {
        "bits_a_byte": Row("float", "bit/B", "Bits of a byte (IEC 80000-13).", 8.0),
        "seconds_a_day": Row("float", "s/d", "Seconds of a day.", 86400.0),
        "seconds_a_year": Row("float", "s", "Seconds of 8760 hours, the year of a disk's workload rating (common practice).", 31536000.0),
        "seconds_an_hour": Row("float", "s/h", "Seconds of an hour.", 3600.0),
        "members": Row("float", "", "Disks that take part; spares stand aside."),
        "member_bytes": Row("float", "B", "Capacity of all disks that take part: the largest are the spares."),
        "data_disks": Row("float", "", "Disks' worth of data among the members"),
        "members_least": Row("int", "", "Members that the redundancy needs at least"),
        "data_disks_most": Row("float", "", "Disks' worth of data with a disk in every bay"),
        "usable_share": Row("float", "", "Share left after formatting and index."),
        "rebuild_rate": Row("float", "bit/s", "Rate at which a failed disk is written anew."),
        "room": Row("float", "degC", "Warmest air written for the recorder."),
        "warmth": Row("float", "degC", "Degrees of a disk above the air around its recorder."),
        "array": Row("float", "B", "Capacity left after redundancy and spares; every member of an array counts as the smallest."),
    },
    "supply": {
    },
    "switch": {
    },
    "ups": {
    },
    "view": {
        "metre": Row("float", "mm/m", "Millimetres of a metre.", 1000.0),
        "sensor_width": Row("float", "mm", "Width of the image area."),
        "stated_angle": Row("float", "deg", "Horizontal field of view that the part states for the shortest focal length; below 180 deg."),
        "height": Row("float", "m", "Mounting height."),
        "target_height": Row("float", "m", "Height of what is to be seen."),
        "above": Row("float", "m", "Height of the lens above what is to be seen."),
        "pitch": Row("float", "mm", "Width of one recorded picture element on the image area; what is smaller is sharp."),
        "spread": Row("float", "", "Width of the scene for each metre of distance."),
    },
}
