"""Second opinion on pictures: what settles, what is recorded, loss and reach, and what else travels.

Plain loops over what the parts state. The order of outcomes is that of docs/how-facts-are-computed.md.
"""

from __future__ import annotations

import math
from itertools import pairwise

from .plain import assumption, channels, lets_in, maker, many, mode, mode_text, num, table, yes

WORTH = ["no-picture", "needs-setting", "reduced-width", "asked-down", "full"]


def nominal_fps(fps):
    """29.97 means 30: ITU-R BT.470."""
    if abs(2 * fps - round(2 * fps)) < 1e-9:
        return fps
    for half in range(1, 400):
        if abs(fps * 1.001 - half / 2) < 0.001:
            return half / 2
    return fps


def same(one, other):
    return one[:2] == other[:2] and nominal_fps(one[2]) == nominal_fps(other[2])


def family_of_rate(fps):
    rate = nominal_fps(fps)
    if rate in (12.5, 25, 50):
        return 25
    return 30 if rate in (7.5, 15, 30, 60) else 0


def signals(camera, *, asked=False):
    """Every family and mode that a camera can be switched to (`asked`: or be asked for), in the order of its part."""
    found = []
    for row in camera.get("emits", ()):
        if row.get("only") and not asked:
            continue
        for family in many(row["family"]):
            for each in many(row["mode"]):
                if (family, mode(each)) not in found:
                    found.append((family, mode(each)))
    return found


def sent(camera, switch, country):
    """Family, mode, whether what is written can be sent (None where nothing is written): step 1 of the docs.

    What is written under `set`; else how it leaves the box (of several the country's, else those of neither
    frame family); else its only mode; else open. A factory setting that it cannot be switched to is open.
    """
    switch = switch or {}
    family = switch.get("family")
    wanted = mode(switch["mode"]) if "mode" in switch else None
    if not signals(camera, asked=True) and family is None and wanted is None:
        return None, None, None

    def agreeing(several):
        return [
            one for one in several if family in (None, one[0]) and (wanted is None or same(one[1], wanted))
        ]

    left = agreeing(signals(camera))
    if not left and (family is not None or wanted is not None):
        return family, wanted, False
    able = None if family is None and wanted is None else True
    boxed = agreeing([(row["family"], mode(row["mode"])) for row in many(camera.get("starts_as"))])
    own = [next((one for one in left if one[0] == start[0] and same(one[1], start[1])), None) for start in boxed]
    if None in own and (family is None or wanted is None):
        return family, wanted, able
    own = [one for one in own if one is not None]
    for rates in ((country,), (0,), (0, 25, 30)):
        some = [one for one in own if family_of_rate(one[1][2]) in rates]
        if some:
            own = some
            break
    for several in (own, left):
        if len(several) == 1:
            return *several[0], able
    several = own or left
    families, modes = {one[0] for one in several}, {one[1] for one in several}
    return (families.pop() if len(families) == 1 else None), (modes.pop() if len(modes) == 1 else None), able


def switchable(camera, picture, control):
    """Whether someone can switch it where it hangs: a menu over the coax takes a picture and control."""
    ways = camera.get("switched_by")
    if ways is None:
        return None
    return chain([picture, control]) if set(many(ways)) == {"menu-over-coax"} else bool(many(ways))


class Pair:
    """One camera part before one group of inputs of a recorder part."""

    def __init__(self, camera_id, camera, recorder_id, recorder, group, made):
        self.camera, self.group, self.made = camera, group, made
        self.mine, self.theirs = maker(camera_id, camera), maker(recorder_id, recorder)

    def row(self, one, *, made):
        """The best row that takes a signal: settings made, or (`made` false) one that is not made yet."""
        best = None
        for row in self.group["accepts"]:
            if one[0] not in many(row["family"]) or not any(same(one[1], mode(m)) for m in many(row["mode"])):
                continue
            after = row.get("after")
            if made and not (after is None or after in self.made):
                continue
            if not made and after is None:
                continue
            if not lets_in(row.get("maker", "any"), self.mine, self.theirs):
                continue
            key = (row.get("width", "full") == "reduced", after is not None)
            if best is None or key < best[0]:
                best = (key, row)
        return None if best is None else best[1]

    def could_ever_take(self, one):
        return self.row(one, made=True) is not None or self.row(one, made=False) is not None

    def asked_for(self, one):
        """What the recorder has a camera that heeds send instead: the first ask whose mode its own rows take.

        Without one: the first whose mode they take under no setting at all, marked so.
        """
        contrary = None
        for ask in many(self.group.get("asks")):
            if one[0] not in many(ask["family"]) or not lets_in(ask.get("maker", "own"), self.mine, self.theirs):
                continue
            if "seen" in ask and not any(same(one[1], mode(m)) for m in many(ask["seen"])):
                continue
            for other in signals(self.camera, asked=True):
                if other[0] == one[0] and same(other[1], mode(ask["wanted"])):
                    if self.row(other, made=True) is not None:
                        return other, True
                    if contrary is None and not self.could_ever_take(other):
                        contrary = other
                    break
        return contrary, False

    def gets(self, one):
        """(outcome, signal, columns, lines, fps); None where the parts do not say."""

        def at_half(other):
            return ("reduced-width", other, other[1][0] // 2, other[1][1], other[1][2])

        row = self.row(one, made=True)
        if row is not None and row.get("width", "full") != "reduced":
            return ("full", one, *one[1])
        plain = ("no-picture", one, 0, 0, 0.0) if row is None else at_half(one)
        other, taken = self.asked_for(one)
        heeds = yes(self.camera.get("heeds_asks"))
        if other is None or heeds is False or same(other[1], one[1]):
            return plain
        if not taken:
            return plain if row is None else None
        if heeds is None:
            return None
        half = self.row(other, made=True).get("width", "full") == "reduced"
        return at_half(other) if half else ("asked-down", other, *other[1])

    def unmade(self):
        names = [row["after"] for row in self.group["accepts"] if row.get("after")]
        return [name for name in dict.fromkeys(names) if name not in self.made]

    def afters(self, one):
        """What each setting that is not made would bring: (what it gets, name of the setting)."""
        found, made = [], self.made
        for name in self.unmade():
            self.made = [*made, name]
            found.append((self.gets(one), name))
        self.made = made
        return found

    def after(self, one):
        """The best of them with a picture; None where there is none."""
        top = None
        for got, name in self.afters(one):
            if got is not None and got[0] != "no-picture":
                key = (WORTH.index(got[0]), got[2] * got[3], got[4])
                if top is None or key > top[0]:
                    top = key, (got, name)
        return None if top is None else top[1]

    def best(self, country, family):
        got = [each for each in map(self.gets, signals(self.camera)) if each and each[0] != "no-picture"]
        got = [each for each in got if family_of_rate(each[1][1][2]) in (0, country)] or got
        found = ("no-picture", None, 0, 0, 0.0)
        top = None
        for each in got:
            worth = (WORTH.index(each[0]), each[2] * each[3], each[4], each[1][0] == family)
            if top is None or worth > top:
                top, found = worth, each
        return found


LINK = [
    "outcome",
    "settled_mode",
    "width",
    "height",
    "acquired_fps",
    "setting_needed",
    "switchable",
    "pixels",
    "frame_family",
    "best_outcome",
    "best_family",
    "best_mode",
    "best_pixels",
    "family",
    "family_taken",
    "emitted_mode",
    "emitted_width",
    "emitted_height",
    "emitted_fps",
    "emits_set_mode",
]


def settle(pair, switch, country):
    """The facts of a link about its picture, and the signal on the cable."""
    facts = dict.fromkeys(LINK)
    family, wanted, able = sent(pair.camera, switch, country)
    facts["family"], facts["emits_set_mode"] = family, able is not False
    if wanted is not None:
        facts["emitted_mode"] = mode_text(wanted)
        facts["emitted_width"], facts["emitted_height"], facts["emitted_fps"] = wanted
    if pair.group is None:
        return facts, None
    if family is not None:
        facts["family_taken"] = any(family in many(row["family"]) for row in pair.group["accepts"])
    best = pair.best(country, family)
    facts["best"] = best
    return _settle(facts, pair, (family, wanted, able), best, country)


def attained(facts, camera, control):
    """What switching attains where somebody can switch; no more than there is where nobody can; else open.

    `control`: whether control over the coax gets from this input to the camera, a picture given.
    """
    outcome, best = facts["outcome"], facts.pop("best", None)
    if best is None:
        return
    facts["switchable"] = can = switchable(camera, None if outcome is None else pictured(outcome), control)
    now = (-1, 0, 0.0) if outcome is None else (WORTH.index(outcome), facts["pixels"], facts["acquired_fps"])
    gains = best[0] != "no-picture" and (WORTH.index(best[0]), best[2] * best[3], best[4]) > now
    if gains and can is None:
        return
    if can is False:
        facts["best_outcome"], facts["best_pixels"] = "no-picture", 0
        if pictured(outcome):
            facts.update(best_outcome=outcome, best_pixels=facts["pixels"])
            facts.update(best_family=facts["family"], best_mode=facts["emitted_mode"])
        return
    facts["best_outcome"], facts["best_pixels"] = best[0], best[2] * best[3]
    if best[0] != "no-picture":
        facts["best_family"], facts["best_mode"] = best[1][0], mode_text(best[1][1])


def _settle(facts, pair, sends, best, country):
    family, wanted, able = sends
    if family is None or wanted is None or able is False:
        hopeless = best[0] == "no-picture" and able is not False
        for one in signals(pair.camera):
            every = [pair.gets(one), *(got for got, _ in pair.afters(one))]
            hopeless = hopeless and all(got is not None and got[0] == "no-picture" for got in every)
        if hopeless:
            facts.update(outcome="no-picture", width=0, height=0, acquired_fps=0.0, pixels=0, setting_needed="")
        return facts, None
    return _known(facts, pair, (family, wanted), best, country)


def unsure(pair, one):
    """Whether nobody knows what comes of a signal, as things are or after a recorder setting."""
    return pair.gets(one) is None or any(got is None for got, _ in pair.afters(one))


def _known(facts, pair, one, best, country):
    got = pair.gets(one)
    if got is None:
        return facts, None
    outcome, signal, wide, high, fps = got
    setting = ""
    if outcome == "no-picture":
        never = pair.camera.get("switched_by") is not None and not many(pair.camera["switched_by"])
        best = ("no-picture", None, 0, 0, 0.0) if never else best
        after, top = pair.after(one), None
        if not never and after is None and best[0] == "no-picture":
            found = [each for each in map(pair.after, signals(pair.camera)) if each]
            found = [each for each in found if family_of_rate(each[0][1][1][2]) in (0, country)] or found
            for each in found:
                key = (WORTH.index(each[0][0]), each[0][2] * each[0][3], each[0][4])
                if top is None or key > top:
                    after, top = each, key
        if after is not None or best[0] != "no-picture":
            outcome = "needs-setting"
        elif any(unsure(pair, each) for each in [one, *([] if never else signals(pair.camera))]):
            return facts, None
        setting = after[1] if after else ""
    facts.update(outcome=outcome, width=wide, height=high, acquired_fps=fps, pixels=wide * high)
    facts.update(settled_mode=mode_text(signal[1]), frame_family=family_of_rate(signal[1][2]), setting_needed=setting)
    return facts, signal


def pictured(outcome):
    return outcome in ("full", "asked-down", "reduced-width")


# The way


def loss_of(points, mhz):
    """dB/100 m between the points of a table, on log-log paper; None beyond its ends."""
    points = [(num(f), num(a)) for f, a in points or ()]
    for f, a in points:
        if f == mhz:
            return a
    for (f1, a1), (f2, a2) in pairwise(points):
        if f1 < mhz < f2:
            slope = (math.log(a2) - math.log(a1)) / (math.log(f2) - math.log(f1))
            return math.exp(math.log(a1) + slope * (math.log(mhz) - math.log(f1)))
    return None


def figures(signal, stated=()):
    """Top frequency, loss limit and its spread of a signal: as stated first, as in the table else; None where nobody says."""
    rows = [row for row in table("signal-modes") if signal and row["family"] == signal[0] and same(mode(row["mode"]), signal[1])]
    own = [each for each in stated if signal and each["family"] == signal[0] and same(mode(each["mode"]), signal[1])]
    row, mine = rows[0] if rows else {}, own[0] if own else {}
    top = num(mine.get("top_frequency", row.get("top_frequency")))
    if top is None:
        return None, None, None, None
    if "loss_limit" in mine:
        return (top, *[num(mine["loss_limit"])] * 3)
    limit = row.get("loss_limit")
    return top, num(limit), num(row.get("limit_low", limit)), num(row.get("limit_high", limit))


def medium(cable):
    for name in ("coax", "pair", "network", "line", "power"):
        if name in cable["carries"]:
            return name
    return None


def any_of(answers):
    """Yes where one is; else not known where one is not; else no."""
    return True if True in answers else None if None in answers else False


REACHES = ("reach", "reach_low", "reach_high")


def way(owner, over, parts, boxes, mhz, limits):
    """Facts of the way of a link, with its pieces by number."""
    names = ["metres", "joints", "loss", *REACHES, "mixed_media", "impedance_wrong", "clad_steel", "isolated"]
    facts = dict.fromkeys([*names, "blocks_sound", "blocks_control", "blocks_firmware"])
    facts["top_frequency"], facts["loss_limit"], facts["hops"] = mhz, limits[0], None if over is None else []
    if over is None:
        return facts
    joint = assumption("joint-loss")
    metres, runs, joints, lost = 0.0, 0.0, 0, 0.0
    was_run = False
    for hop in over:
        piece = box_piece(hop, parts, boxes, mhz, joint) if "box" in hop else run_piece(hop, parts, mhz, joint)
        splice = was_run and piece["is_run"]
        was_run = piece["is_run"]
        joints += int(hop.get("joints", 0)) + splice + piece["is_box"]
        lost = None if lost is None else lost + splice * joint
        piece.update(loss_before=lost, splice=splice)
        lost = None if None in (lost, piece["loss"]) else lost + piece["loss"]
        metres = None if None in (metres, piece["metres"]) else metres + piece["metres"]
        runs += piece.pop("stretch") or 0.0
        facts["hops"].append(piece)
    facts.update(joints=joints, metres=metres)
    if mhz is not None and lost is not None:
        facts["loss"] = lost
        if runs > 0 and metres > 0:
            for name, limit in zip(REACHES, limits, strict=True):
                facts[name] = None if limit is None else max(0.0, metres * (limit - (lost - runs)) / runs)
    facts.update(shape(over, parts, boxes))
    return facts


NOT_OF_HOPS = ["does", "top_frequency", "frequency_max", "loss_before_least", "path_metres", "family", "families"]
NOT_OF_HOPS += ["family_passed", "category", "frequency_covered", "medium", "reach", "loss_before", "loss_of_type"]


def box_piece(hop, parts, boxes, mhz, joint):
    part_id = boxes[hop["box"]]["part"]
    part = parts[part_id]
    facts = dict.fromkeys(NOT_OF_HOPS)
    facts.update(is_box=True, is_run=False, loss_was_measured=False, name=hop["box"])
    facts.update(part=part_id, metres=0.0, does=part["does"], stretch=0.0)
    facts["loss"] = box_loss(part, mhz, joint)
    for what in ("sound", "control", "firmware"):
        passes = yes(part.get(f"passes_{what}"))
        facts[f"blocks_{what}"] = (False if part["does"] == "joint" else None) if passes is None else not passes
    return facts


def run_piece(hop, parts, mhz, joint):
    cable, length = parts[hop["cable"]], num(hop.get("length"))
    facts = dict.fromkeys(NOT_OF_HOPS)
    facts.update(is_box=False, is_run=True, name=hop["cable"], part=hop["cable"], metres=length, medium=medium(cable))
    facts.update(blocks_sound=False, blocks_control=False, blocks_firmware=False)
    was = hop.get("measured") or {}
    facts["loss_was_measured"] = "loss" in was
    if "loss" in was:
        bare = None if length is None else run_loss(cable, hop, length, mhz)
        facts["loss_of_type"] = None if bare is None else bare + int(hop.get("joints", 0)) * joint
        facts["stretch"] = facts["loss"] = None if length is None else measured_loss(cable, hop, was, mhz)
        return facts
    facts["stretch"] = None if length is None else run_loss(cable, hop, length, mhz)
    facts["loss"] = None if facts["stretch"] is None else facts["stretch"] + int(hop.get("joints", 0)) * joint
    return facts


def measured_loss(cable, hop, was, mhz):
    """What was measured holds joints and all; for another frequency the curve says in which proportion it changes."""
    if mhz is None:
        return None
    share = 1.0
    if num(was["loss_at"]) != mhz:
        now, then = (loss_of(cable.get("attenuation"), each) for each in (mhz, num(was["loss_at"])))
        if now is None or then is None:
            return None
        share = now / then
    cold = num(was.get("temperature"))
    return num(was["loss"]) * share * warmed(cable, degrees(hop)) / warmed(cable, 20 if cold is None else cold)


def degrees(hop):
    degc = num(hop.get("temperature"))
    return assumption("conductor-temperature") if degc is None else degc


def pieces(link, parts):
    """What the pieces of a way do at the frequency and in the family of the picture."""
    hops = link["hops"] or []
    if not any(hop["is_box"] or hop["medium"] in ("pair", "network") for hop in hops):
        for hop in hops:
            hop["loss_before"] = None
        return
    for hop in hops:
        part, mhz = parts[hop["part"]], link["top_frequency"]
        before, hop["loss_before"] = hop["loss_before"], None
        if hop["is_box"]:
            hop.update(top_frequency=mhz, frequency_max=num(part.get("frequency_max")), reach=num(part.get("reach")))
            if part["does"] == "amplifier":
                hop.update(loss_before=before, loss_before_least=num(part.get("gain_max_input")))
            if "families" in part:
                own = link["family"]
                hop["families"] = ", ".join(each.upper() for each in many(part["families"]))
                hop.update(family=own and own.upper(), family_passed=None if own is None else own in many(part["families"]))
            if "reach" in part:
                hop["path_metres"] = link["metres"]
        elif hop["medium"] in ("pair", "network"):
            hop.update(top_frequency=mhz, category=part.get("category"))
            row = next((row for row in table("pair-categories") if row["category"] == hop["category"]), None)
            if row is not None:
                hop["frequency_max"] = num(row["frequency_max"])
                hop["frequency_covered"] = None if mhz is None else mhz <= hop["frequency_max"]


def run_loss(cable, hop, length, mhz):
    if mhz is None:
        return None
    per = loss_of(cable.get("attenuation"), mhz)
    if per is None:
        return None
    return length / 100 * per * warmed(cable, degrees(hop))


def warmed(cable, degc):
    """How many times the loss at 20 degC there is."""
    kind = "coax" if "coax" in cable["carries"] else "pair"
    usual = assumption(f"{kind}-loss-temperature-coefficient") * (degc - 20)
    if kind == "pair" and yes(cable.get("screened")):
        usual = 0.002 * (degc - 20)  # TIA-568-C.2 clause 6.4.7
    elif kind == "pair" and degc > 40:
        usual += (0.006 - assumption("pair-loss-temperature-coefficient")) * (degc - 40)
    return 1 + usual


def box_loss(part, mhz, joint):
    loss, gain, most = num(part.get("loss")), num(part.get("gain")), num(part.get("frequency_max"))
    if mhz is None or (most is not None and mhz > most) or (part["does"] == "amplifier" and gain is None):
        return None
    if loss is None and gain is None:
        return joint if part["does"] == "joint" else None
    return (loss or 0.0) - (gain or 0.0)


def shape(over, parts, boxes):
    """What the pieces say without their lengths."""
    ohms, clad, blocks = [], [], {"sound": [], "control": [], "firmware": []}
    here, mixed, isolated = "coax", False, False
    for hop in over:
        if "cable" in hop:
            cable = parts[hop["cable"]]
            kind = "pair" if medium(cable) == "network" else medium(cable)
            mixed, here = mixed or kind != here, kind
            wanted, slack = (75, 3.75) if kind == "coax" else (100, 15)
            own = num(cable.get("impedance"))
            ohms.append(None if own is None else abs(own - wanted) > slack)
            if kind == "coax":
                clad.append(None if cable.get("centre") is None else cable["centre"] == "copper-clad-steel")
            continue
        part = parts[boxes[hop["box"]]["part"]]
        isolated = isolated or part["does"] == "isolator"
        takes, gives = part.get("takes", "coax"), part.get("gives", "coax")
        if takes == here:
            here = gives
        elif yes(part.get("either_way")) and gives == here:
            here = takes
        else:
            mixed, here = True, gives
        for name, found in blocks.items():
            passes = yes(part.get(f"passes_{name}"))
            found.append((False if part["does"] == "joint" else None) if passes is None else not passes)
    return {
        "mixed_media": mixed or here != "coax", "isolated": isolated, "impedance_wrong": any_of(ohms),
        "clad_steel": any_of(clad), **{f"blocks_{name}": any_of(found) for name, found in blocks.items()},
    }  # fmt: skip


# What else travels


def chain(answers):
    """No where one says no; else not known where one is not; else yes."""
    return False if False in answers else None if None in answers else True


def first_no(answers, causes):
    """The code of the first that says no; `none` where all say yes; not known where the chain is not."""
    if False in answers:
        return causes[answers.index(False)]
    return None if None in answers else "none"


def family_cause(families, device):
    """What is wrong where a family is not taken: the device takes none at all, or not this one."""
    return "family" if families is not None and many(families) else device


def in_family(families, family):
    if families is None:
        return None
    if not many(families):
        return False
    return None if family is None else family in many(families)


def below(part, *names):
    for name in names:
        part = None if part is None else part.get(name)
    return part


def over_coax(camera_id, camera, recorder_id, recorder, number, family):
    """Sound, control, firmware, talk-back, sorted motion as far as the two devices go: an answer and its code."""
    mine, theirs = maker(camera_id, camera), maker(recorder_id, recorder)
    taking = channels(below(recorder, "sound", "coax_channels"))
    sorting = channels(recorder.get("sorted_motion"))
    firm = recorder.get("firmware_over_coax")
    return {
        "sound": answered([
            yes(below(camera, "sound", "microphone")), in_family(below(camera, "sound", "over_coax"), family),
            in_family(below(recorder, "sound", "coax_families"), family), None if taking is None else number in taking,
            lets_in(below(recorder, "sound", "coax_maker") or "any", mine, theirs),
        ], ["camera", family_cause(below(camera, "sound", "over_coax"), "camera"),
            family_cause(below(recorder, "sound", "coax_families"), "recorder"), "input", "maker"]),
        "control": answered([
            in_family(below(camera, "control", "over_coax"), family),
            in_family(below(recorder, "control", "coax_families"), family),
            lets_in(below(recorder, "control", "coax_maker") or "any", mine, theirs),
        ], [family_cause(below(camera, "control", "over_coax"), "camera"),
            family_cause(below(recorder, "control", "coax_families"), "recorder"), "maker"]),
        "firmware": answered([
            in_family(camera.get("firmware_over_coax"), family), in_family(below(firm, "families"), family),
            firm is None or lets_in(firm.get("maker", "own"), mine, theirs),
        ], [family_cause(camera.get("firmware_over_coax"), "camera"),
            family_cause(below(firm, "families"), "recorder"), "maker"]),
        "talk_back": answered([
            yes(below(camera, "sound", "loudspeaker")), in_family(below(camera, "sound", "talk_back_coax"), family),
            in_family(below(recorder, "sound", "talk_back_families"), family),
        ], ["camera", family_cause(below(camera, "sound", "talk_back_coax"), "camera"),
            family_cause(below(recorder, "sound", "talk_back_families"), "recorder")]),
        "sorted_motion": answered([None if sorting is None else number in sorting], ["input"]),
    }  # fmt: skip


def answered(answers, causes):
    return chain(answers), first_no(answers, causes)


def talents(camera, family):
    """What the camera itself does over the coax in the family that it is switched to."""
    return {
        "sends_sound": in_family(below(camera, "sound", "over_coax"), family),
        "takes_control": in_family(below(camera, "control", "over_coax"), family),
        "takes_firmware": in_family(camera.get("firmware_over_coax"), family),
    }
