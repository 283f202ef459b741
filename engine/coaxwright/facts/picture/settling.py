"""What a camera and a recorder input settle on: full, asked-down, reduced-width, needs-setting, no-picture.

Pure: works on parts and on what was switched or set; knows nothing of cables or of the site's graph. The
order of the outcomes and how a receiver behaves are common practice; which modes an input
takes is the part's own data.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from coaxwright.facts.makers import lets_in
from coaxwright.facts.picture.frames import frame_family, halved, nominal, suits
from coaxwright.facts.picture.settling_words import why_none, why_picture, why_setting, why_unheard
from coaxwright.facts.picture.signals import CAMERA, Acquired, Emitted, Emitter, Intake, Row, Settled, Signal, pairs
from coaxwright.model.common import VideoMode
from coaxwright.model.recorder_parts import Asks

NO_SIGNAL = Signal("", VideoMode(0, 0, 0.0))
"""Stands where a signal is named of a camera that has none: a network camera."""

# What the camera sends


def emitted(emitter: Emitter, set_family: str | None, set_mode: VideoMode | None, video_rate: int) -> Emitted:
    """How the camera is switched: as written, else as it leaves the box, else its only mode, else open.

    What is written in part leaves the rest as it left the box. `video_rate` (25 or 30) chooses between factory
    settings, and never between modes: which of them a camera is in, nobody can tell from the country.
    """

    def agrees(signal: Signal) -> bool:
        return set_family in (None, signal.family) and (set_mode is None or nominal(set_mode) == nominal(signal.mode))

    if not emitter.all and set_family is None and set_mode is None:
        return Emitted(None, None, None, (f"parts/{emitter.part}/emits",))
    choices = [signal for signal in emitter.signals if agrees(signal)]
    if not choices and (set_family is not None or set_mode is not None):
        return Emitted(set_family, set_mode, False, (f"{CAMERA}/set",))
    written = None if set_family is None and set_mode is None else True
    if any(agrees(stray) for stray in emitter.strays) and (set_family is None or set_mode is None):
        return Emitted(set_family, set_mode, written, (f"parts/{emitter.part}/starts_as",))
    starts = _of_country([one for one in emitter.starts if agrees(one)], video_rate)
    for left in (starts, choices):
        if len(left) == 1:
            return Emitted(left[0].family, left[0].mode, written, ())
    return _undecided(starts or choices, written)


def _of_country(starts: list[Signal], video_rate: int) -> list[Signal]:
    """Of several factory settings the country's: its frame family's, else those of neither; all where none is."""
    families = [frame_family(one.mode.fps) for one in starts]
    for wanted in (video_rate, 0):
        if wanted in families:
            return [one for one, family in zip(starts, families, strict=True) if family == wanted]
    return starts


def _undecided(choices: list[Signal], written: bool | None) -> Emitted:
    """Several signals are left: say which of family and mode has to be written."""
    families = {signal.family for signal in choices}
    modes = {signal.mode for signal in choices}
    lacking = [f"{CAMERA}/set/{name}" for name, seen in (("family", families), ("mode", modes)) if len(seen) != 1]
    family = families.pop() if len(families) == 1 else None
    mode = modes.pop() if len(modes) == 1 else None
    return Emitted(family, mode, written, tuple(lacking))


# What one signal comes to


def acquire(emitter: Emitter, intake: Intake, signal: Signal) -> Acquired | None:
    """What the input makes of one signal of the camera with the settings made.

    What a recorder asks for is judged by the same rows as what a camera sends by itself: an ask that they do not
    let in with the settings made is not made. None where `why_unknown` says what is not known.
    """
    row = intake.takes(signal, emitter.maker)
    if row is not None and not row.reduced:
        return Acquired("full", signal, signal.mode.width, signal.mode.height, signal.mode.fps)
    unasked = Acquired("no-picture", signal, 0, 0, 0.0) if row is None else _reduced(signal, None)
    request = _request(emitter, intake, signal)
    if request is None or emitter.heeds_asks is False or nominal(request.sent.mode) == nominal(signal.mode):
        return unasked
    if request.row is None:
        return None if row is not None else unasked
    if emitter.heeds_asks is None:
        return None
    if request.row.reduced:
        return _reduced(request.sent, request.ask)
    mode = request.sent.mode
    return Acquired("asked-down", request.sent, mode.width, mode.height, mode.fps, request.ask)


def why_unknown(emitter: Emitter, intake: Intake, signal: Signal) -> tuple[str, tuple[str, ...]]:
    """In words, and as what to supply: what keeps open what comes of a signal."""
    if emitter.heeds_asks is None:
        because = "it depends on whether the camera changes its mode when asked, which its part does not say"
        return because, (f"parts/{emitter.part}/heeds_asks",)
    request = _request(emitter, intake, signal)
    wanted = "" if request is None else f" {request.sent}"
    because = f"the recorder asks the camera for{wanted}, which none of the rows of this input takes"
    return because, (f"parts/{intake.part}/inputs",)


class Request(NamedTuple):
    """What a recorder asks of a camera: the camera's own signal, and the row that takes it (None: no row does)."""

    ask: Asks
    sent: Signal
    row: Row | None


def _request(emitter: Emitter, intake: Intake, signal: Signal) -> Request | None:
    """The first thing asked of this camera that it can send and the input takes as it is set.

    Failing that, one that no row of the input takes under any setting: its part contradicts itself.
    """
    stray: Request | None = None
    for ask in intake.asks:
        sent = _signal_at(emitter, signal.family, ask.wanted) if _meant(ask, emitter.maker, intake, signal) else None
        if sent is None:
            continue
        row = intake.takes(sent, emitter.maker)
        if row is not None:
            return Request(ask, sent, row)
        if intake.would_take(sent, emitter.maker) is None:
            stray = stray or Request(ask, sent, None)
    return stray


def _unheard(emitter: Emitter, intake: Intake, signal: Signal) -> VideoMode | None:
    """What the recorder asks of a camera that heeds asks, and its part does not state: the camera may well send it."""
    if not emitter.heeds_asks:
        return None
    asks = (each for each in intake.asks if _meant(each, emitter.maker, intake, signal))
    return next((each.wanted for each in asks if _signal_at(emitter, signal.family, each.wanted) is None), None)


def asked_about(intake: Intake, signal: Signal, camera_maker: str) -> bool:
    """Whether a row of `asks` is about this signal of a camera of that maker, whatever else the camera can send."""
    return any(_meant(ask, camera_maker, intake, signal) for ask in intake.asks)


def _meant(ask: Asks, camera_maker: str, intake: Intake, signal: Signal) -> bool:
    """Whether a row of `asks` is about a camera of that maker and what it sends."""
    families = (ask.family,) if isinstance(ask.family, str) else ask.family
    if signal.family not in families or (ask.seen is not None and nominal(signal.mode) not in _nominal(ask.seen)):
        return False
    return lets_in(ask.maker, camera_maker, intake.maker)


@lru_cache(maxsize=1000)
def _nominal(seen: VideoMode | tuple[VideoMode, ...]) -> frozenset[VideoMode]:
    """The modes of a row at their nominal rates."""
    return frozenset(nominal(mode) for _, mode in pairs("", seen))


def _signal_at(emitter: Emitter, family: str, mode: VideoMode) -> Signal | None:
    """The camera's own signal of that family and mode, sent by itself or on request."""
    wanted = nominal(mode)
    same = (one for one in emitter.all if one.family == family and nominal(one.mode) == wanted)
    return next(same, None)


def _reduced(signal: Signal, ask: Asks | None) -> Acquired:
    mode = signal.mode
    return Acquired("reduced-width", signal, halved(mode.width), mode.height, mode.fps, ask)


def best(emitter: Emitter, intake: Intake, video_rate: int, family: str | None = None) -> Acquired:
    """The best that switching the camera attains: by outcome, then picture elements, then frame rate.

    Of equals the one in the `family` that the camera sends already: one setting less to change.

    Modes of the other countries' frame family count only where nothing else gives a picture. A signal that
    the recorder may or may not ask down counts as not attained.
    """
    return _best_of((acquire(emitter, intake, one) for one in emitter.signals), emitter, video_rate, family)


def _best_of(
    results: Iterable[Acquired | None], emitter: Emitter, video_rate: int, family: str | None
) -> Acquired:
    known = [one for one in results if one is not None and one.outcome != "no-picture"]
    fitting = [one for one in known if suits(one.signal.mode.fps, video_rate)] or known
    nothing = Acquired("no-picture", next(iter(emitter.signals), NO_SIGNAL), 0, 0, 0.0)
    return max(fitting, key=lambda one: (one.worth, one.signal.family == family), default=nothing)


def _after_setting(emitter: Emitter, intake: Intake, signal: Signal) -> tuple[Acquired, str] | None:
    """The best that one recorder setting which is not made yet would bring for one signal, and its name."""
    found = [(got, name) for got, name in _with_settings(emitter, intake, signal) if got is not None]
    pictured = [one for one in found if one[0].outcome != "no-picture"]
    return max(pictured, key=lambda one: one[0].worth, default=None)


def _with_settings(emitter: Emitter, intake: Intake, signal: Signal) -> Iterator[tuple[Acquired | None, str]]:
    for name in intake.unmade:
        yield acquire(emitter, intake.after(name), signal), name


# The answer


def settle(emitter: Emitter, intake: Intake, sends: Emitted, video_rate: int) -> Settled:
    """What camera and input settle on, for a camera switched as `sends` says; `lacking` what is open."""
    attainable = best(emitter, intake, video_rate, sends.family)
    taken = None if sends.family is None else sends.family in intake.families
    if sends.family is None or sends.mode is None or sends.can is False:
        return _undecidable(emitter, intake, sends, attainable, taken)
    signal = Signal(sends.family, sends.mode)
    got = acquire(emitter, intake, signal)
    if got is None:
        because, lacking = why_unknown(emitter, intake, signal)
        return Settled(None, because, sends, None, 0, 0, 0.0, "", attainable, taken, lacking, emitter.ways)
    if got.outcome != "no-picture":
        unheard = _unheard(emitter, intake, signal) if got.outcome == "reduced-width" and got.asked_by is None else None
        because = why_picture(emitter, intake, signal, got) + why_unheard(unheard)
        size = got.width, got.height, got.fps
        return Settled(got.outcome, because, sends, got.signal, *size, "", attainable, taken, (), emitter.ways)
    return _without_picture(emitter, intake, sends, signal, attainable, video_rate, taken)


def _undecidable(emitter: Emitter, intake: Intake, sends: Emitted, attainable: Acquired, taken: bool | None) -> Settled:
    """The camera's signal is not known: open, unless no signal of it could ever give a picture."""
    hopeless = attainable.outcome == "no-picture" and sends.can is not False
    hopeless = hopeless and all(
        (got := acquire(emitter, each, one)) is not None and got.outcome == "no-picture"
        for one in emitter.signals
        for each in (intake, *map(intake.after, intake.unmade))
    )
    if hopeless:
        because = why_none(emitter, intake, None)
        return Settled("no-picture", because, sends, None, 0, 0, 0.0, "", attainable, taken, (), emitter.ways)
    because = "nobody said how the camera is switched, and it can send more than one signal"
    if any(path.endswith("/starts_as") for path in sends.lacking):
        stray = emitter.strays[0]
        because = f"the factory setting stated for the camera, {stray}, is not among the modes that it is switched to"
    if sends.can is False:
        because = "the camera cannot be switched to the signal written for it"
    return Settled(None, because, sends, None, 0, 0, 0.0, "", attainable, taken, sends.lacking, emitter.ways)


def _without_picture(
    emitter: Emitter,
    intake: Intake,
    sends: Emitted,
    signal: Signal,
    attainable: Acquired,
    video_rate: int,
    taken: bool | None,
) -> Settled:
    """Nothing arrives now: is there something that a person can switch or set?"""
    if emitter.ways == ():
        attainable = Acquired("no-picture", signal, 0, 0, 0.0)
    by_setting = _after_setting(emitter, intake, signal)
    if by_setting is None and attainable.outcome == "no-picture" and emitter.ways != ():
        by_setting = _best_with_setting(emitter, intake, video_rate)
    if by_setting is None and attainable.outcome == "no-picture":
        unknown = next(_unknown_ways(emitter, intake, signal), None)
        if unknown is not None:
            because, lacking = why_unknown(emitter, *unknown)
            return Settled(None, because, sends, None, 0, 0, 0.0, "", attainable, taken, lacking, emitter.ways)
        because = why_none(emitter, intake, signal) + why_unheard(_unheard(emitter, intake, signal))
        return Settled("no-picture", because, sends, signal, 0, 0, 0.0, "", attainable, taken, (), emitter.ways)
    because = why_setting(emitter, signal, attainable, by_setting) + why_unheard(_unheard(emitter, intake, signal))
    setting = by_setting[1] if by_setting else ""
    return Settled("needs-setting", because, sends, signal, 0, 0, 0.0, setting, attainable, taken, (), emitter.ways)


def _unknown_ways(emitter: Emitter, intake: Intake, signal: Signal) -> Iterator[tuple[Intake, Signal]]:
    """Settings of the recorder and signals of the camera that somebody could switch to, of which nobody knows what comes."""
    signals = (signal,) if emitter.ways == () else (signal, *emitter.signals)
    for each in (intake, *map(intake.after, intake.unmade)):
        yield from ((each, one) for one in signals if acquire(emitter, each, one) is None)


def _best_with_setting(emitter: Emitter, intake: Intake, video_rate: int) -> tuple[Acquired, str] | None:
    """The best that takes both: a recorder setting, and another signal of the camera."""
    found = [one for each in emitter.signals if (one := _after_setting(emitter, intake, each)) is not None]
    fitting = [one for one in found if suits(one[0].signal.mode.fps, video_rate)] or found
    return max(fitting, key=lambda one: one[0].worth, default=None)
