"""The judge of every question pattern by id, with the wrong methods that lead to its other options."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import yaml

from . import coax, pictures, power, sights, store
from .faults import cables, channels, places, signals, talk
from .faults import power as power_faults
from .faults import sights as sight_faults
from .faults import store as store_faults
from .judging import Change, Claims, Judge, Least, Result, Spot, Verdict, misread, scaled
from .plan import (
    Missing,
    Plan,
    number,
    numbers_in,
    pieces,
    port,
    relaid,
    stretched,
    times,
    with_length,
)

FOOT = 0.3048  # international foot, exact
RULES = Path(__file__).parents[3] / "rules"


def about(plan: Plan, pattern: str) -> str:
    """The name that the question is about."""
    match = re.search(pattern, plan.stem)
    if match is None:
        raise ValueError(f"`{plan.stem}` does not read as {pattern}")
    return match[1]


def told(pattern: str) -> Callable[[Plan], str]:
    return lambda plan: about(plan, pattern)


Edit = Callable[[Plan], Plan]


def ways(factor: float) -> Edit:
    """Every length by a factor: power, trunks and coax alike."""

    def edit(plan: Plan) -> Plan:
        for title, label in (("Cameras", "power run"), ("Junctions", "trunk"), ("Cameras", "coax")):
            plan = plan.each(title, label, stretched(factor))
        return plan

    return edit


def column(title: str, label: str, change: Callable[[str], str]) -> Edit:
    return lambda plan: plan.each(title, label, change)


def by_day(plan: Plan) -> Plan:
    for model in plan.names("Camera models"):
        plan = plan.put("Camera models", model, "draws by night", plan.need("Camera models", model, "draws by day"))
    return plan


def then(*edits: Edit) -> Edit:
    def edit(plan: Plan) -> Plan:
        for each in edits:
            plan = each(plan)
        return plan

    return edit


constant_current = column("Camera models", "load", lambda _: "constant-current")
watts_for_amps = column("Camera models", "draws by night", times(1 / 12))
FEET, HALF, DOUBLE, NOWHERE = ways(FOOT), ways(0.5), ways(2.0), ways(0.0)

# Power

POWER_EDITS: dict[str, Edit] = {
    "one-way-length": HALF, "loop-doubled-twice": DOUBLE, "day-for-night": by_day, "nominal-at-the-end": NOWHERE,
    "feet-for-metres": FEET, "milliamps-as-watts": watts_for_amps, "current-not-falling-back": constant_current,
}  # fmt: skip


def _volts(name: Callable[[Plan], str]) -> Judge:
    def answer(plan: Plan) -> Result:
        return power.volts_at(plan, name(plan))

    return Judge(answer, {slip: misread(answer, edit) for slip, edit in POWER_EDITS.items()})


def _supply_amps(plan: Plan) -> Result:
    return power.solved(plan).supplies[about(plan, r"amperes does (\S+) give")]


def _watts(plan: Plan) -> Result:
    return sum(number(plan.needed_of_model(name, "draws by night")) for name in power_faults.fed(plan))


def _first_alone(plan: Plan) -> Result:
    """What the first output gives, as if nothing else hung on the supply."""
    outputs = power.solved(plan).outputs
    return outputs[min(outputs, key=lambda text: int(port(text)[1]))]


def _longest_power(plan: Plan) -> Result:
    return float(power.longest_way(plan, about(plan, r"run to (\S+) may")))


def _conductor(plan: Plan, cable: str) -> bool:
    name = about(plan, r"keeps (\S+) working")
    return power.enough(
        plan.put("Cameras", name, "power run", relaid(cable)(plan.need("Cameras", name, "power run"))), name
    )


def _carries(plan: Plan, supply: str) -> bool:
    name = about(plan, r"hangs on (\S+) after")
    return power.solved(plan).supplies[name] <= number(plan.need("Supply models", supply, "all outputs together"))


def _members(plan: Plan) -> list[str]:
    return about(plan, r"Order these: (.+)\.$").split(", ")


def _ordered(plan: Plan, value: Callable[[Plan, str], Any]) -> str:
    members = _members(plan)
    values = {name: value(plan, name) for name in members}
    if len(set(values.values())) < len(values):
        raise AssertionError(f"no order: {values}")
    return ", ".join(sorted(members, key=lambda name: values[name], reverse=True))


def _by_loss(plan: Plan) -> Result:
    return _ordered(plan, power.lost_on_the_way)


def _metres(plan: Plan, name: str) -> float:
    return sum(piece.metres or 0.0 for piece in pieces(plan.need("Cameras", name, "power run")))


def _neighbour(plan: Plan) -> Result:
    name = about(plan, r"own output, (\S+) is hung")
    return power.volts_at(plan.put("Cameras", name, "fed from", about(plan, r"on the junction (\S+),")), name)


def _as_before(plan: Plan) -> Result:
    return power.volts_at(plan, about(plan, r"own output, (\S+) is hung"))


def _power_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) gets")
    if match := re.fullmatch(r"lay (\S+) to this camera", text):
        return plan.put("Cameras", name, "power run", relaid(match[1])(plan.need("Cameras", name, "power run")))
    if match := re.fullmatch(r"set the supply's trim to ([0-9.]+ V)", text):
        return plan.put("Supplies", "psu1", "set to", match[1])
    if text == "put in a supply of ten amperes":
        return plan.put("Supplies", "psu1", "model", "maker-c/supply-10a")
    if match := re.fullmatch(r"move it to output ([0-9]+) of the supply", text):
        return plan.put("Cameras", name, "fed from", f"psu1/{match[1]}")
    raise ValueError(text)


POWER: dict[str, Any] = {
    "power/volts-at-camera": _volts(told(r"arrive at (\S+) after")),
    "power/volts-entered": _volts(told(r"arrives at (\S+) after")),
    "power/supply-current": Judge(
        _supply_amps,
        {"watts-as-amps": _watts, "own-run-only": _first_alone, "day-for-night": misread(_supply_amps, by_day),
         "loop-doubled-twice": misread(_supply_amps, DOUBLE)},
    ),
    "power/longest-run": Judge(
        _longest_power,
        {"one-way-length": scaled(_longest_power, 2), "loop-doubled-twice": scaled(_longest_power, 0.5),
         "metres-for-feet": scaled(_longest_power, 1 / FOOT), "day-for-night": misread(_longest_power, by_day),
         "current-not-falling-back": misread(_longest_power, constant_current)},
    ),
    "power/least-conductor": Least(
        ("power-0.5mm2", "power-0.75mm2", "power-1mm2", "power-1.5mm2", "power-2.5mm2"), _conductor, POWER_EDITS
    ),
    "power/least-supply": Least(
        ("maker-c/supply-1a", "maker-c/supply-2a", "maker-c/supply-5a", "maker-c/supply-10a"), _carries, POWER_EDITS
    ),
    "power/order-by-loss": Judge(
        _by_loss,
        {"longest-run-first": lambda plan: _ordered(plan, _metres),
         "greatest-load-first": lambda plan: _ordered(
             plan, lambda of, name: number(of.needed_of_model(name, "draws by night"))),
         "order-turned-round": lambda plan: _ordered(plan, lambda of, name: -power.lost_on_the_way(of, name)),
         "day-for-night": misread(_by_loss, by_day)},
    ),
    "power/enough-volts": Verdict(
        lambda plan: power.enough(plan, about(plan, r"this: (\S+) gets")), POWER_EDITS
    ),
    "power/trunk-neighbour": Judge(
        _neighbour,
        {"nothing-else-changes": _as_before,
         **{slip: misread(_neighbour, edit) for slip, edit in POWER_EDITS.items()}},
    ),
    "power/clears-undervoltage": Change(
        "power/undervoltage", power_faults.POWER_CHANGES, _power_change,
        lambda plan: power.volts_at(plan, about(plan, r"^(\S+) gets")),
    ),
}  # fmt: skip

# Storage

BITS = {
    "gigabytes-as-gigabits": column("Cameras", "recorded at", times(8.0)),
    "bits-for-bytes": column("Cameras", "recorded at", times(1 / 8)),
    "binary-terabytes": column("Disk models", "capacity", times(store.BINARY)),
    "formatting-forgotten": column("Site", "share of a disk left after formatting", lambda _: "100 %"),
}
FASTER = column("Cameras", "recorded at", times(1.5))


def _days_of_one(plan: Plan) -> Result:
    """The rate of the first camera taken for that of all."""
    return store.days(plan) * sum(store.rates(plan)) / store.rates(plan)[0]


def _days_of_one_disk(plan: Plan) -> Result:
    return store.days(plan) * max(store.capacities(plan)) / sum(store.capacities(plan))


DAYS = {slip: misread(store.days, edit) for slip, edit in BITS.items()}
_after = misread(store.days, FASTER)


def _one_disk(plan: Plan, disk: str) -> bool:
    wanted = float(about(plan, r"keeps recordings for ([0-9.]+) days"))
    return store.days(plan.put("Recorders", plan.recorder, "disks", disk)) >= wanted


def _rate(plan: Plan, name: str) -> float:
    return number(plan.need("Cameras", name, "recorded at"))


def _frame(plan: Plan, name: str) -> tuple[int, float]:
    """Picture elements of a frame as sent; of equal ones the greater rate first."""
    mode = pictures.sent(plan, name)[1]
    return mode.width * mode.height, _rate(plan, name)


def _input_number(plan: Plan, name: str) -> int:
    return int(port(plan.need("Cameras", name, "recorder input"))[1])


STORED = {"six": "6", "eight": "8", "ten": "10", "sixteen": "16"}


def _storage_change(plan: Plan, text: str) -> Plan:
    own = plan.need("Recorders", plan.recorder, "disks")
    if match := re.fullmatch(r"fit (one|two) of (\S+) terabytes", text):
        disk = f"maker-c/disk-{STORED[match[2]]}tb"
        return plan.put("Recorders", plan.recorder, "disks", ", ".join([disk] * (1 + (match[1] == "two"))))
    if text == "mirror it onto a second one":
        return plan.put("Recorders", plan.recorder, "disks", f"{own}, {own}").put(
            "Recorders", plan.recorder, "redundancy", "raid1"
        )
    if text == "fit one for light use, 4 TB":
        return plan.put("Recorders", plan.recorder, "disks", "maker-c/disk-light-4tb")
    raise ValueError(text)


def _as_if_not_mirrored(plan: Plan, text: str) -> bool:
    """Both halves counted, the change would suffice; counted rightly it does not."""
    after = _storage_change(plan, text)
    wanted = store.days_wanted(plan)
    return store.days(after) < wanted and store.redundancy(after) == "raid1"


STORAGE: dict[str, Any] = {
    "storage/days-kept": Judge(
        store.days, {**DAYS, "one-channel-for-all": _days_of_one, "one-disk-counted": _days_of_one_disk}
    ),
    "storage/days-entered": Judge(store.days, DAYS),
    "storage/rate-doubled": Judge(
        _after,
        {"nothing-else-changes": store.days, "multiplied-for-divided": scaled(store.days, 1.5),
         "doubled-for-half-more": scaled(store.days, 0.5),
         **{slip: misread(_after, edit) for slip, edit in BITS.items()}},
    ),
    "storage/least-disk": Least(tuple(f"maker-c/disk-{size}tb" for size in (1, 2, 3, 4, 6, 8, 10)), _one_disk, BITS),
    "storage/long-enough": Verdict(lambda plan: store.days(plan) >= store.days_wanted(plan), BITS),
    "storage/order-by-rate": Judge(
        lambda plan: _ordered(plan, _rate),
        {"order-turned-round": lambda plan: _ordered(plan, lambda of, name: -_rate(of, name)),
         "by-frame-size": lambda plan: _ordered(plan, _frame),
         "in-order-of-inputs": lambda plan: _ordered(plan, lambda of, name: -_input_number(of, name))},
    ),
    "storage/clears-retention": Change(
        "storage/retention-short", store_faults.STORAGE, _storage_change, store.days, {"mirror-forgotten": _as_if_not_mirrored}
    ),
}  # fmt: skip

# Coax

COAX_LIST = ("video-thin", "video-6mm", "video-7mm", "video-10mm")


def _coax_loss(plan: Plan) -> Result:
    return coax.loss_from(plan, about(plan, r"coax from (\S+) lose"))


def _thin(subject: str) -> Edit:
    def edit(plan: Plan) -> Plan:
        name = about(plan, subject)
        return plan.put("Cameras", name, "coax", relaid("video-thin")(plan.need("Cameras", name, "coax")))

    return edit


def _loss_of_hundred(plan: Plan) -> Result:
    name = about(plan, r"coax from (\S+) lose")
    return coax.loss_of_way(plan, with_length(100)(plan.need("Cameras", name, "coax")), coax.given_frequency(plan))


def _longest_coax(plan: Plan) -> Result:
    return float(coax.longest_way(plan, about(plan, r"coax from (\S+) be")))


def _coax_suffices(plan: Plan, cable: str) -> bool:
    name = about(plan, r"loss from (\S+) at")
    way = relaid(cable)(plan.need("Cameras", name, "coax"))
    return coax.loss_of_way(plan, way, coax.given_frequency(plan)) <= coax.given_limit(plan)


def _reaches(plan: Plan) -> bool:
    return coax.loss_from(plan, about(plan, r"what the coax from (\S+) loses")) <= coax.given_limit(plan)


def _coax_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"way from (\S+) loses")
    if match := re.fullmatch(r"lay (\S+) for the run of this camera", text):
        return plan.put("Cameras", name, "coax", relaid(match[1])(plan.need("Cameras", name, "coax")))
    if match := re.fullmatch(r"join this camera to recorder input ([0-9]+)", text):
        return plan.put("Cameras", name, "recorder input", f"{plan.recorder}/{match[1]}")
    raise ValueError(text)


CABLE: dict[str, Any] = {
    "cable/loss-of-run": Judge(
        _coax_loss,
        {"loss-not-per-hundred": _loss_of_hundred, "feet-for-metres": misread(_coax_loss, FEET),
         "coax-both-ways": scaled(_coax_loss, 2), "thinner-conductor": misread(_coax_loss, _thin(r"coax from (\S+) lose"))},
    ),
    "cable/longest-coax": Judge(
        _longest_coax,
        {"metres-for-feet": scaled(_longest_coax, 1 / FOOT), "coax-both-ways": scaled(_longest_coax, 0.5),
         "thinner-conductor": misread(_longest_coax, _thin(r"coax from (\S+) be"))},
    ),
    "cable/least-coax": Least(COAX_LIST, _coax_suffices, {"feet-for-metres": FEET, "coax-both-ways": DOUBLE}),
    "cable/reaches": Verdict(_reaches, {"feet-for-metres": FEET, "coax-both-ways": DOUBLE}),
    "cable/clears-loss": Change(
        "cable/loss-beyond-limit", cables.CABLE_CHANGES, _coax_change,
        lambda plan: -coax.loss_from(plan, about(plan, r"way from (\S+) loses")),
    ),
}  # fmt: skip

# Pictures


def _settles(plan: Plan) -> Result:
    return str(pictures.settled(plan, about(plan, r"^(\S+) is switched")).mode)


def _as_sent(plan: Plan) -> Result:
    return str(pictures.sent(plan, about(plan, r"^(\S+) is switched"))[1])


def _on(outcome: str, answer: Callable[[Plan], Result]) -> Callable[[Plan], Result]:
    """A wrong method that makes sense where the two come to this outcome."""

    def wrong(plan: Plan) -> Result:
        if pictures.settled(plan, about(plan, r"^(\S+) is switched")).outcome != outcome:
            raise AssertionError(f"not {outcome}")
        return answer(plan)

    return wrong


def _heedless(plan: Plan) -> Plan:
    return plan.each("Camera models", "heeds a recorder that asks", lambda _: "no")


def _kin(plan: Plan) -> Plan:
    """The recorder asks whatever maker the camera is of."""
    return plan.each("Recorder models", "asks for a mode", lambda text: text.replace("its own maker", "maker-b"))


def _halved_twice(plan: Plan) -> Result:
    mode = pictures.settled(_heedless(plan), about(plan, r"^(\S+) is switched")).mode
    return str(pictures.Mode(mode.width, mode.height // 2, mode.rate))


def _kin_mode(plan: Plan) -> Result:
    name = about(plan, r"^(\S+) is switched")
    asked = re.search(r"(\S+) of cameras of its own maker", plan.needed_of_box("asks for a mode"))
    assert asked is not None
    assert pictures.settled(plan, name).outcome == "reduced"
    return str(pictures.mode_of(asked[1]))


def _recorded(plan: Plan) -> pictures.Mode:
    return pictures.recorded(plan, about(plan, r"(?:of|of this,) (\S+) (?:are recorded|land)"))


def _subject(plan: Plan) -> str:
    return about(plan, r"of (\S+) (?:are recorded|land)")


def _smaller_row(plan: Plan) -> Result:
    """The rate of the row below the one that covers what arrives, as far as that much arrives of such a frame."""
    rows = pictures.encoding_rows(plan)
    right = pictures.covering(rows, pictures.settled(plan, _subject(plan)).mode)
    smaller = max((row for row in rows if row.size < right.size), key=lambda row: row.size)
    return smaller.rate


def _rate_with_frame_sent(plan: Plan) -> Result:
    mode = pictures.sent(plan, _subject(plan))[1]
    return str(pictures.Mode(mode.width, mode.height, _recorded(plan).rate))


def _columns_again(plan: Plan) -> Result:
    mode = _recorded(plan)
    return str(pictures.Mode(mode.width // 2, mode.height, mode.rate))


def _fast_enough(plan: Plan) -> bool:
    name = about(plan, r"this: (\S+) is recorded")
    return pictures.recorded(plan, name).rate >= number(plan.need("Cameras", name, "recorded rate wanted"))


def _as_acquired(plan: Plan) -> Plan:
    """No encoding row slower than what arrives."""
    return plan.each(
        "Recorder models", "records a channel up to", lambda text: re.sub(r": [0-9.]+ fps", ": 60 fps", text)
    )


PICTURES: dict[str, Any] = {
    "signal/what-settles": Judge(
        _settles,
        {"sent-for-settled": _on("asked", _as_sent), "full-for-reduced": _on("reduced", _as_sent),
         "asked-without-kinship": _kin_mode, "asked-overlooked": _on("asked", misread(_settles, _heedless)),
         "halved-both-ways": _halved_twice},
    ),
    "picture/recorded-rate": Judge(
        lambda plan: _recorded(plan).rate,
        {"acquired-for-recorded": lambda plan: pictures.settled(plan, _subject(plan)).mode.rate,
         "set-rate-for-recorded": lambda plan: pictures.sent(plan, _subject(plan))[1].rate,
         "smaller-row": _smaller_row, "rate-halved": lambda plan: _recorded(plan).rate / 2},
    ),
    "picture/what-is-recorded": Judge(
        lambda plan: str(_recorded(plan)),
        {"acquired-for-recorded": lambda plan: str(pictures.settled(plan, _subject(plan)).mode),
         "sent-for-settled": _rate_with_frame_sent,
         "set-rate-for-recorded": lambda plan: str(pictures.sent(plan, _subject(plan))[1]),
         "columns-dropped-again": _columns_again},
    ),
    "picture/fast-enough": Verdict(_fast_enough, {"acquired-for-recorded": _as_acquired}),
}  # fmt: skip

# Channels, network, practice


def _free_inputs(plan: Plan) -> Result:
    inputs = numbers_in(plan.needed_of_box("coax inputs"))
    cameras = plan.cell("Recorders", plan.recorder, "network cameras recorded besides") or "0"
    costs = max(0, int(cameras) - int(plan.needed_of_box("network cameras without giving up inputs")))
    return float(len(inputs) - len(channels.connected(plan)) - costs)


def _allowance_overlooked(plan: Plan) -> Result:
    return float(_free_inputs(plan)) - number(
        plan.cell("Recorders", plan.recorder, "network cameras recorded besides") or "0"
    )


def _outputs(plan: Plan) -> float:
    supply = about(plan, r"outputs of (\S+) are")
    return number(plan.need("Supply models", plan.need("Supplies", supply, "model"), "outputs"))


def _free_outputs(plan: Plan) -> Result:
    return _outputs(plan) - len(power_faults.outputs_in_use(plan))


def _network_cameras(plan: Plan) -> bool:
    wanted = number(plan.need("Recorders", plan.recorder, "network cameras recorded besides"))
    return wanted <= number(plan.needed_of_box("network cameras with inputs given up"))


def _viewers(plan: Plan) -> bool:
    return number(plan.need("Recorders", plan.recorder, "remote viewers at a time")) <= number(
        plan.needed_of_box("remote viewers at most")
    )


COUNTS: dict[str, Any] = {
    "channels/inputs-free": Judge(
        _free_inputs,
        {"inputs-for-cameras": lambda plan: float(len(numbers_in(plan.needed_of_box("coax inputs")))),
         "used-for-free": lambda plan: float(len(channels.connected(plan))),
         "counted-one-more": lambda plan: float(_free_inputs(plan)) - 1,
         "allowance-overlooked": _allowance_overlooked},
    ),
    "practice/outputs-left": Judge(
        _free_outputs,
        {"inputs-for-cameras": _outputs, "used-for-free": lambda plan: float(len(power_faults.outputs_in_use(plan))),
         "counted-one-more": lambda plan: float(_free_outputs(plan)) - 1},
    ),
    "network/cameras-taken": Verdict(_network_cameras),
    "network/viewers-served": Verdict(_viewers),
}  # fmt: skip

# Sound and control


def _over_coax_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^No (?:sound from|control of) (\S+) over")
    family, mode = plan.need("Cameras", name, "switched to").split()
    if match := re.fullmatch(r"switch this camera to the family (\S+)", text):
        return plan.put("Cameras", name, "switched to", f"{match[1]} {mode}")
    if match := re.fullmatch(r"switch this camera to (\S+@\S+)", text):
        return plan.put("Cameras", name, "switched to", f"{family} {match[1]}")
    if match := re.fullmatch(r"move this camera to recorder input ([0-9]+)", text):
        return plan.put("Cameras", name, "recorder input", f"{plan.recorder}/{match[1]}")
    if text == "lay coax of 10 mm to this camera":
        return plan.put("Cameras", name, "coax", relaid("video-10mm")(plan.need("Cameras", name, "coax")))
    raise ValueError(text)


def _to_tvi(plan: Plan) -> Plan:
    """Taken as if the camera sent the family in which it leaves the box."""
    return plan.each("Cameras", "switched to", lambda text: f"tvi {text.split()[1]}")


ANALOGUE = {**signals.SIGNAL, **channels.CHANNELS}

OVER_COAX: dict[str, Any] = {
    "sound/sound-arrives": Verdict(
        lambda plan: talk.coax_sound(plan, about(plan, r"sound of (\S+) arrives")), {"sent-for-settled": _to_tvi}
    ),
    "control/control-works": Verdict(
        lambda plan: talk.coax_control(plan, about(plan, r"this: (\S+) can be")), {"sent-for-settled": _to_tvi}
    ),
    "sound/clears-sound": Change(
        "sound/coax-sound-broken", {**ANALOGUE, **talk.SOUND}, _over_coax_change, lambda plan: 0.0
    ),
    "control/clears-control": Change(
        "control/coax-control-broken", {**ANALOGUE, **talk.CONTROL}, _over_coax_change, lambda plan: 0.0
    ),
}

# Places, views, screens


def _weatherproof(plan: Plan) -> bool:
    name = about(plan, r"IP code of (\S+) is")
    return places.keeps_out(plan.needed_of_model(name, "IP code"), about(plan, r"usual (IP[0-9]{2}) for"))


def _first_digit(plan: Plan) -> Plan:
    """The first digit read for the second as well."""
    return plan.each("Camera models", "IP code", lambda text: f"IP{text[2]}{text[2]}")


def _place_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) stands")
    if match := re.fullmatch(r"take the model (\S+)", text):
        return plan.put("Cameras", name, "model", match[1])
    if text == "move it under the eaves (sheltered)":
        return plan.put("Cameras", name, "stands", "sheltered")
    if text == "put it out of the reach of people":
        return plan.put("Cameras", name, "people reach it", "out-of-reach")
    if text == "keep the air around it above 10 °C":
        return plan.put("Cameras", name, "coldest air there", "10 °C")
    raise ValueError(text)


def _shelter(plan: Plan) -> float:
    """0 in the open, 1 under a roof, 2 in a room."""
    return float(
        ("outdoor", "sheltered", "indoor").index(plan.need("Cameras", about(plan, r"^(\S+) stands"), "stands"))
    )


def _seen(plan: Plan) -> str:
    return about(plan, r"does (\S+) see")


def _dense(plan: Plan) -> Result:
    return sights.density(plan, _seen(plan))


def _dense_by_lines(plan: Plan) -> Result:
    mode = pictures.recorded(plan, _seen(plan))
    return sights.density(plan, _seen(plan)) * mode.height / mode.width


def _without_scene(plan: Plan) -> Result:
    """Columns over the distance, as if the scene were as wide as it is far."""
    return sights.columns(plan, _seen(plan)) / sights.distance(plan, _seen(plan))


def _far(plan: Plan) -> Result:
    """Where the density has fallen to that of the class: it falls with the distance."""
    name = about(plan, r"does (\S+) hold")
    return sights.density(plan, name) * sights.distance(plan, name) / number(plan.the("pixel density of that class"))


def _far_by_lines(plan: Plan) -> Result:
    mode = pictures.recorded(plan, about(plan, r"does (\S+) hold"))
    return float(_far(plan)) * mode.height / mode.width


def _covered(plan: Plan) -> str:
    return about(plan, r"scene that (\S+) covers")


def _width(plan: Plan) -> Result:
    return sights.scene_width(plan, _covered(plan))


def _ratio_turned(plan: Plan) -> Result:
    return sights.distance(plan, _covered(plan)) ** 2 / sights.scene_width(plan, _covered(plan))


def _density_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) is to")
    if match := re.fullmatch(r"move the camera to ([0-9.]+ m) from it", text):
        return plan.put("Cameras", name, "at a distance of", match[1])
    if match := re.fullmatch(r"record it at ([0-9.]+ Mb/s)", text):
        return plan.put("Cameras", name, "recorded at", match[1])
    if match := re.fullmatch(r"have a lamp that reaches ([0-9.]+ m)", text):
        return plan.put("Camera models", plan.need("Cameras", name, "model"), "lamp reaches", match[1])
    raise ValueError(text)


DISTANCE_HALF = column("Cameras", "at a distance of", times(0.5))
DISTANCE_FEET = column("Cameras", "at a distance of", times(FOOT))


def _near_enough(plan: Plan) -> bool:
    name = about(plan, r"near enough to (\S+?),")
    return sights.seat(plan, name) <= sights.farthest_seat(plan, name)


SEAT_FEET = column("Screens", "viewer sits at", times(FOOT))


def _screen(plan: Plan, model: str) -> bool:
    name = about(plan, r"m from (\S+?)\. Which")
    return sights.seat(plan, name) <= sights.farthest_seat(plan.put("Screens", name, "model", model), name)


def _last_seat(plan: Plan) -> Result:
    return sights.farthest_seat(plan, about(plan, r"How far from (\S+) may"))


def _share_of_diagonal(plan: Plan) -> float:
    """Height over diagonal of the screen asked about."""
    name = about(plan, r"from (\S+?)(?: may|\. Which)")
    mode = pictures.mode_of(plan.need("Screen models", plan.need("Screens", name, "model"), "shows"))
    return float(mode.height / (mode.width**2 + mode.height**2) ** 0.5)


def _diagonal_as_height(plan: Plan) -> Plan:
    """The diagonal taken for the height: the seat looks nearer by that share."""
    return plan.each("Screens", "viewer sits at", times(_share_of_diagonal(plan)))


def _screen_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) \(")
    if match := re.fullmatch(r"take the screen (\S+) for it", text):
        return plan.put("Screens", name, "model", match[1])
    if match := re.fullmatch(r"join it to the output (\S+) of (\S+)", text):
        return plan.put("Screens", name, "joined to", f"{match[2]}/{match[1]}")
    if match := re.fullmatch(r"seat the viewer at ([0-9.]+ m) from the screen", text):
        return plan.put("Screens", name, "viewer sits at", match[1])
    raise ValueError(text)


def _decodes(plan: Plan) -> bool:
    return sights.played_back(plan) <= number(plan.needed_of_box("decodes at most"))


def _one_channel(plan: Plan) -> Plan:
    return plan.put("Recorders", plan.recorder, "channels played back at a time", "1")


PLACES: dict[str, Any] = {
    "place/fit-for-weather": Verdict(_weatherproof, {"first-digit-for-second": _first_digit}),
    "place/warm-enough": Verdict(lambda plan: not places.colder(plan, about(plan, r"this: (\S+) may"))),
    "place/clears-weather": Change("place/indoor-camera-outdoors", places.PLACE, _place_change, _shelter),
}

SIGHTS: dict[str, Any] = {
    "view/pixels-on-target": Judge(
        _dense,
        {"half-the-distance": misread(_dense, DISTANCE_HALF), "feet-for-metres": misread(_dense, DISTANCE_FEET),
         "detail-of-the-datasheet": _without_scene, "height-for-width": _dense_by_lines},
    ),
    "view/farthest": Judge(
        _far,
        {"height-for-width": _far_by_lines, "half-the-distance": scaled(_far, 2), "metres-for-feet": scaled(_far, 1 / FOOT)},
    ),
    "view/dense-enough": Verdict(
        lambda plan: sights.density(plan, about(plan, r"this: (\S+) puts")) >= number(plan.the("pixel density of the class")),
        {"half-the-distance": DISTANCE_HALF, "feet-for-metres": DISTANCE_FEET},
    ),
    "view/scene-width": Judge(
        _width,
        {"half-the-distance": misread(_width, DISTANCE_HALF), "ratio-turned-round": _ratio_turned,
         "metres-for-feet": scaled(_width, 1 / FOOT)},
    ),
    "view/order-by-density": Judge(
        lambda plan: _ordered(plan, sights.density),
        {"order-turned-round": lambda plan: _ordered(plan, lambda of, name: -sights.density(of, name)),
         "nearest-first": lambda plan: _ordered(plan, lambda of, name: -sights.distance(of, name)),
         "by-frame-size": lambda plan: _ordered(
             plan, lambda of, name: (sights.columns(of, name), sights.density(of, name)))},
    ),
    "view/night-reach": Verdict(
        lambda plan: sights.lamp_reaches(plan, about(plan, r"lamp of (\S+) reaches")), {"feet-for-metres": DISTANCE_FEET}
    ),
    "view/clears-density": Change(
        "view/density-low", sight_faults.VIEW, _density_change,
        lambda plan: sights.density(plan, about(plan, r"^(\S+) is to")),
    ),
    "display/near-enough": Verdict(_near_enough, {"feet-for-metres": SEAT_FEET}),
    "display/farthest-seat": Judge(
        _last_seat,
        {"factor-left-out": scaled(_last_seat, 0.5), "metres-for-feet": scaled(_last_seat, 1 / FOOT),
         "half-the-lines": scaled(_last_seat, 2),
         "diagonal-for-height": lambda plan: float(_last_seat(plan)) / _share_of_diagonal(plan)},
    ),
    "display/least-screen": Least(
        tuple(f"maker-c/screen-{size}" for size in ("24-two", "27", "32", "40", "55")), _screen,
        {"feet-for-metres": SEAT_FEET, "factor-left-out": column("Screens", "viewer sits at", times(2)),
         "diagonal-for-height": _diagonal_as_height},
    ),
    "display/clears-connector": Change(
        "display/connector-missing", sight_faults.DISPLAY, _screen_change, lambda plan: 0.0
    ),
    "display/decode-needed": Judge(
        sights.played_back,
        {"live-counted-too": lambda plan: sights.all_recorded(plan) + sights.played_back(plan),
         "acquired-for-recorded": misread(sights.played_back, _as_acquired),
         "halved-both-ways": scaled(sights.played_back, 1 / 4)},
    ),
    "display/decodes-enough": Verdict(_decodes, {"one-channel-for-all": _one_channel}),
}  # fmt: skip

# Networks

EIGHTH = 1 / 8


def _bytes(answer: Callable[[Plan], Result]) -> Callable[[Plan], Result]:
    return scaled(answer, EIGHTH)


def _without_second(plan: Plan) -> Plan:
    return plan.each("Recorders", "second stream of each channel", lambda _: "0 Mb/s")


def _one_viewer(plan: Plan) -> Plan:
    return plan.put("Recorders", plan.recorder, "remote viewers at a time", "1")


def _main_watched(plan: Plan) -> Plan:
    return plan.put("Recorders", plan.recorder, "stream they watch", "main")


def _ports_left(plan: Plan) -> Result:
    switch = about(plan, r"ports of (\S+) are")
    return sights.ports(plan, switch) - _ports_used(plan)


def _ports_used(plan: Plan) -> float:
    """Cables into the switch, and its own way onwards."""
    switch = about(plan, r"ports of (\S+) are")
    into = sum(port(text)[0] == switch for _, text, _ in sights.cables(plan))
    return float(into + (plan.cell("Switches", switch, "joined to") is not None))


def _all_ports(plan: Plan) -> Result:
    return float(sights.ports(plan, about(plan, r"ports of (\S+) are")))


def _uplink_change(plan: Plan, text: str) -> Plan:
    recorder = plan.recorder
    if match := re.fullmatch(r"let each viewer watch (one|two|three) channels?", text):
        count = str(("one", "two", "three").index(match[1]) + 1)
        return plan.put("Recorders", recorder, "channels each viewer watches", count)
    if match := re.fullmatch(r"order a line of ([0-9.]+ Mb/s) outwards", text):
        return plan.put("Recorders", recorder, "line outwards carries", match[1])
    if text == "give the viewers the main stream":
        return _main_watched(plan)
    if text == "lay a shorter cable to the switch":
        return plan.each("Switches", "network cable", with_length(5))
    raise ValueError(text)


def _network_way(plan: Plan) -> bool:
    name = about(plan, r"cable from (\S+) is")
    return sights.metres(plan.need("Cameras", name, "network cable")) <= number(plan.the("longest channel"))


NETWORK: dict[str, Any] = {
    "network/incoming-rate": Judge(
        sights.sent_in,
        {"gigabytes-as-gigabits": _bytes(sights.sent_in),
         "coax-cameras-counted": lambda plan: sum(sights.rate(plan, name) for name in plan.cameras),
         "second-stream-forgotten": misread(sights.sent_in, _without_second)},
    ),
    "network/outgoing-rate": Judge(
        sights.sent_out,
        {"one-viewer-for-all": misread(sights.sent_out, _one_viewer), "gigabytes-as-gigabits": _bytes(sights.sent_out),
         "main-for-second": misread(sights.sent_out, _main_watched),
         "one-channel-for-all": misread(
             sights.sent_out, lambda plan: plan.put("Recorders", plan.recorder, "channels each viewer watches", "1"))},
    ),
    "network/ports-left": Judge(
        _ports_left,
        {"inputs-for-cameras": _all_ports, "used-for-free": _ports_used,
         "own-way-forgotten": lambda plan: float(_ports_left(plan)) + 1},
    ),
    "network/uplink-enough": Verdict(
        lambda plan: sights.sent_out(plan) <= sights.line_takes(plan),
        {"one-viewer-for-all": _one_viewer, "main-for-second": _main_watched},
    ),
    "network/way-length": Verdict(
        _network_way,
        {"feet-for-metres": column("Cameras", "network cable", stretched(FOOT)),
         "metres-for-feet": column("Cameras", "network cable", stretched(1 / FOOT))},
    ),
    "network/clears-uplink": Change(
        "network/uplink-exceeded", sight_faults.NETWORK, _uplink_change,
        lambda plan: sights.line_takes(plan) / sights.sent_out(plan),
    ),
}  # fmt: skip


def titles(rules: Any) -> dict[str, str]:
    """Rule by the title that options print: words of the rule files, nothing that they compute."""
    found = {}
    for rule in rules:
        path = RULES / f"{rule}.yaml"
        if path.exists():
            found[yaml.safe_load(path.read_text(encoding="utf-8"))["title"]] = rule
    for fault in yaml.safe_load((RULES / "quiz" / "faults.yaml").read_text(encoding="utf-8"))["faults"]:
        if fault.get("named") and fault["rule"] in rules:
            found[fault["named"]] = fault["rule"]
    return found


def _spots(topic: str, known: Claims) -> dict[str, Any]:
    judge = Spot(known, titles(known))
    return {f"{topic}/spot-the-fault": judge, f"{topic}/two-faults": judge}


SPOTS: dict[str, Any] = {
    **_spots("power", power_faults.POWER),
    **_spots("storage", store_faults.STORAGE),
    **_spots("channels", channels.CHANNELS),
    **_spots("signal", signals.SIGNAL),
    **_spots("picture", {**signals.PICTURE, **signals.SIGNAL}),
    **_spots("sound", talk.SOUND),
    **_spots("control", talk.CONTROL),
    **_spots("cable", cables.CABLE),
    **_spots("place", places.PLACE),
    **_spots("view", sight_faults.VIEW),
    **_spots("display", sight_faults.DISPLAY),
    **_spots("network", sight_faults.NETWORK),
    **_spots("practice", sight_faults.PRACTICE),
}

JUDGES: dict[str, Any] = {
    **POWER,
    **STORAGE,
    **CABLE,
    **PICTURES,
    **COUNTS,
    **OVER_COAX,
    **PLACES,
    **SIGHTS,
    **NETWORK,
    **SPOTS,
}
