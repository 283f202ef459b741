"""What a camera and an input settle on: docs/how-facts-are-computed.md, "The picture a camera and an input settle on"."""

from typing import Any, NamedTuple

from .reading import Open, channels, listed, made_for, mode

PICTURES = ("full", "asked-down", "reduced-width")
#: Frame families by rate, same page; 18 and 20 belong to neither.
FAMILIES = {12.5: 25, 25.0: 25, 50.0: 25, 7.5: 30, 15.0: 30, 30.0: 30, 60.0: 30}


class Sent(NamedTuple):
    """A family and a mode."""

    family: str
    columns: int
    lines: int
    rate: float


class Arrived(NamedTuple):
    """What an input makes of a mode."""

    outcome: str
    sent: Sent
    columns: int

    @property
    def pixels(self) -> int:
        return self.columns * self.sent.lines


class Ends(NamedTuple):
    """Camera part, group of inputs, makers, settings made."""

    camera: dict[str, Any]
    group: dict[str, Any]
    camera_maker: str
    recorder_maker: str
    made: frozenset[str]


def emitted(part: dict[str, Any], menus_only: bool) -> list[Sent]:
    """Modes of a camera; without those that are sent when asked only, where wanted."""
    rows = [row for row in part.get("emits", []) if not (menus_only and row.get("only"))]
    return [
        Sent(family, *mode(text)) for row in rows for family in listed(row["family"]) for text in listed(row["mode"])
    ]


def of_country(starts: list[Sent], country: int) -> list[Sent]:
    """Of several factory settings those of the country's frame family, else those of neither."""
    for family in (country, 0):
        fitting = [start for start in starts if FAMILIES.get(start.rate, 0) == family]
        if fitting:
            return fitting
    return starts


def sends(camera: dict[str, Any], part: dict[str, Any], country: int) -> Sent:
    """What the camera sends; Open where nobody can know."""
    written = camera.get("set") or {}
    menu = emitted(part, menus_only=True)
    starts = [Sent(row["family"], *mode(row["mode"])) for row in listed(part.get("starts_as") or [])]
    starts = [start for start in starts if agrees(start, written)]
    if len(written) < 2 and any(start not in menu for start in starts):
        raise Open
    left = of_country([start for start in starts if start in menu], country)
    return left[0] if len(left) == 1 else _only([one for one in menu if agrees(one, written)])


def family_sent(camera: dict[str, Any], part: dict[str, Any], country: int) -> str | None:
    """The family that the camera sends: written, or that of all that is left."""
    written = camera.get("set") or {}
    if "family" in written:
        return str(written["family"])
    try:
        return sends(camera, part, country).family
    except Open:
        menu = emitted(part, menus_only=True)
        stated = [Sent(row["family"], *mode(row["mode"])) for row in listed(part.get("starts_as") or [])]
        if any(agrees(start, written) and start not in menu for start in stated):
            return None
        starts = of_country([start for start in stated if agrees(start, written)], country)
        left = {one.family for one in starts or [one for one in menu if agrees(one, written)]}
        return left.pop() if len(left) == 1 else None


def agrees(one: Sent, written: dict[str, str]) -> bool:
    """Whether a signal is of the family and mode written under `set`."""
    same_family = written.get("family", one.family) == one.family
    return same_family and ("mode" not in written or mode(written["mode"]) == one[1:])


def cannot_send(camera: dict[str, Any], part: dict[str, Any]) -> bool:
    """Whether something is written under `set` that the camera cannot be switched to."""
    written = camera.get("set") or {}
    return bool(written) and not any(agrees(one, written) for one in emitted(part, menus_only=True))


def _only(fitting: list[Sent]) -> Sent:
    distinct = list(dict.fromkeys(fitting))
    if len(distinct) != 1:
        raise Open
    return distinct[0]


def taken(ends: Ends, sent: Sent, width: str, made: frozenset[str] | None) -> bool:
    """Whether a row takes a mode at a width with the settings made, or under any setting (None)."""
    for row in ends.group["accepts"]:
        if row.get("width", "full") != width or sent.family not in listed(row["family"]):
            continue
        if sent[1:] not in [mode(text) for text in listed(row["mode"])]:
            continue
        fits = made_for(row.get("maker", "any"), ends.recorder_maker, ends.camera_maker)
        if fits and (made is None or "after" not in row or row["after"] in made):
            return True
    return False


def arrives(ends: Ends, sent: Sent, made: frozenset[str], heeds: bool) -> Arrived | None:
    """The first row of the table of outcomes that holds as things are, or None: no picture."""
    if taken(ends, sent, "full", made):
        return Arrived("full", sent, sent.columns)
    strays = False
    for wanted in asked(ends, sent) if heeds else []:
        if taken(ends, wanted, "full", made):
            return Arrived("asked-down", wanted, wanted.columns)
        if taken(ends, wanted, "reduced", made):
            return Arrived("reduced-width", wanted, wanted.columns // 2)
        strays |= not taken(ends, wanted, "full", None) and not taken(ends, wanted, "reduced", None)
    if strays and taken(ends, sent, "reduced", made):
        raise Open
    return Arrived("reduced-width", sent, sent.columns // 2) if taken(ends, sent, "reduced", made) else None


def asked(ends: Ends, sent: Sent) -> list[Sent]:
    """Modes that the recorder asks for when it sees this one, and that the camera has."""
    found = []
    for row in ends.group.get("asks", []):
        wanted = Sent(sent.family, *mode(row["wanted"]))
        seen = [mode(text) for text in listed(row["seen"])] if "seen" in row else [sent[1:]]
        known = made_for(row.get("maker", "own"), ends.recorder_maker, ends.camera_maker)
        if (
            known
            and sent.family in listed(row["family"])
            and sent[1:] in seen
            and wanted in emitted(ends.camera, False)
        ):
            found.append(wanted)
    return found


def arrives_surely(ends: Ends, sent: Sent, made: frozenset[str]) -> Arrived | None:
    """The same where the part may not say whether the camera heeds asks: Open wherever that decides."""
    heeds = ends.camera.get("heeds_asks")
    if heeds is not None:
        return arrives(ends, sent, made, heeds)
    with_it, without = arrives(ends, sent, made, True), arrives(ends, sent, made, False)
    if with_it != without:
        raise Open
    return with_it


def arrives_if_known(ends: Ends, sent: Sent) -> Arrived | None:
    """What the input makes of a mode; what nobody knows counts as not attained."""
    try:
        return arrives_surely(ends, sent, ends.made)
    except Open:
        return None


def could(ends: Ends, sent: Sent, made: frozenset[str]) -> bool | None:
    """Whether a mode gives a picture; None where nobody knows what comes of it."""
    try:
        return arrives_surely(ends, sent, made) is not None
    except Open:
        return None


def any_of(answers: list[bool | None]) -> bool | None:
    """Three-valued or."""
    return True if True in answers else None if None in answers else False


def all_of(answers: list[bool | None]) -> bool | None:
    """Three-valued and."""
    return False if False in answers else None if None in answers else True


def made_sets(ends: Ends) -> list[frozenset[str]]:
    """The settings as made, and with any one more."""
    others = {row["after"] for row in ends.group["accepts"] if "after" in row} - ends.made
    return [ends.made, *(ends.made | {other} for other in sorted(others))]


def settle(ends: Ends, camera: dict[str, Any], country: int) -> Arrived | str:
    """Outcome: what arrives, or `needs-setting`, or `no-picture`."""
    if cannot_send(camera, ends.camera):
        raise Open
    menu = emitted(ends.camera, menus_only=True)
    possible = any_of([could(ends, one, made) for one in menu for made in made_sets(ends)])
    if possible is False:
        return "no-picture"
    sent = sends(camera, ends.camera, country)
    as_is = arrives_surely(ends, sent, ends.made)
    if as_is is not None:
        return as_is
    by_setting = any_of([could(ends, sent, made) for made in made_sets(ends)[1:]])
    by_person = possible if ends.camera.get("switched_by") != [] else False
    answer = any_of([by_setting, by_person])
    if answer is None:
        raise Open
    return "needs-setting" if answer else "no-picture"


def switched_without_picture(part: dict[str, Any]) -> bool | None:
    """Whether a person can switch it where there is no picture to see a menu in."""
    ways = part.get("switched_by")
    return None if ways is None else any(way != "menu-over-coax" for way in ways)


def best(ends: Ends, now: Arrived, country: int, switchable: bool | None) -> Arrived:
    """Best attainable by switching, where there is a picture now."""
    if switchable is False:
        return now
    found = [one for one in (arrives_if_known(ends, sent) for sent in emitted(ends.camera, True)) if one]
    home = [one for one in found if FAMILIES.get(one.sent.rate, country) == country]
    first = max(home or found, key=lambda one: rank(one, now))
    if switchable is None and rank(first, now)[:3] > rank(now, now)[:3]:
        raise Open
    return first


def rank(one: Arrived, now: Arrived) -> tuple[float, ...]:
    """By outcome, picture elements, frame rate; of equals the one that keeps the family."""
    return (-PICTURES.index(one.outcome), one.pixels, one.sent.rate, one.sent.family == now.sent.family)


def group_of(recorder: dict[str, Any], channel: int) -> dict[str, Any] | None:
    """The group of inputs that a channel is in."""
    return next((group for group in recorder["inputs"] if channel in channels(group["channels"])), None)
