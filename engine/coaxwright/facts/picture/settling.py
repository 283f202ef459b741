"""What a camera and a recorder input settle on: full, asked-down, reduced-width, needs-setting, no-picture.

Pure: works on parts and on what was switched or set; knows nothing of cables or of the site's graph. The
order of the outcomes and how a receiver behaves are common practice; which modes an input
takes is the part's own data.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.facts.makers import lets_in
from coaxwright.facts.picture.frames import halved, nominal, suits
from coaxwright.facts.picture.settling_words import why_none, why_picture, why_setting
from coaxwright.facts.picture.signals import CAMERA, Acquired, Emitted, Emitter, Intake, Settled, Signal, pairs
from coaxwright.model.common import VideoMode
from coaxwright.model.recorder_parts import Asks

NO_SIGNAL = Signal("", VideoMode(0, 0, 0.0))
"""Stands where a signal is named of a camera that has none: a network camera."""

# What the camera sends


def emitted(emitter: Emitter, set_family: str | None, set_mode: VideoMode | None, video_rate: int) -> Emitted:
    """How the camera is switched: as written, else as it leaves the box, else its only choice, else open.

    `video_rate` (25 or 30) chooses between factory settings and leaves out modes of the other frame family.
    """
    choices = [
        signal
        for signal in emitter.signals
        if set_family in (None, signal.family) and (set_mode is None or nominal(set_mode) == nominal(signal.mode))
    ]
    if not emitter.signals and set_family is None and set_mode is None:
        return Emitted(None, None, None, (f"parts/{emitter.part}/emits",))
    if not choices:
        return Emitted(set_family, set_mode, False, (f"{CAMERA}/set",))
    written = None if set_family is None and set_mode is None else True
    start = next(iter(_fitting([one for one in emitter.starts if one in choices], video_rate)), None)
    fitting = _fitting(choices, video_rate)
    chosen = start or (fitting[0] if len(fitting) == 1 else None)
    if chosen is not None:
        return Emitted(chosen.family, chosen.mode, written, ())
    return _undecided(fitting, written)


def _fitting(signals: list[Signal], video_rate: int) -> list[Signal]:
    """Those of the country's frame family or of none; all where that leaves nothing."""
    return [one for one in signals if suits(one.mode.fps, video_rate)] or signals


def _undecided(choices: list[Signal], written: bool | None) -> Emitted:
    """Several signals are left: say which of family and mode has to be written."""
    families = {signal.family for signal in choices}
    modes = {signal.mode for signal in choices}
    lacking = [f"{CAMERA}/set/{name}" for name, seen in (("family", families), ("mode", modes)) if len(seen) > 1]
    family = families.pop() if len(families) == 1 else None
    mode = modes.pop() if len(modes) == 1 else None
    return Emitted(family, mode, written, tuple(lacking))


# What one signal comes to


def acquire(emitter: Emitter, intake: Intake, signal: Signal) -> Acquired | None:
    """What the input makes of one signal of the camera with the settings made.

    None where only the camera's unknown `heeds_asks` decides.
    """
    row = intake.takes(signal, emitter.maker)
    if row is not None and not row.reduced:
        return Acquired("full", signal, signal.mode.width, signal.mode.height, signal.mode.fps)
    ask = _ask_for(emitter, intake, signal)
    if ask is not None and nominal(ask.wanted) == nominal(signal.mode):
        return Acquired("full", signal, signal.mode.width, signal.mode.height, signal.mode.fps)
    if ask is not None and emitter.heeds_asks is None:
        return None
    if ask is not None and emitter.heeds_asks:
        return _asked(emitter, intake, signal, ask)
    if row is not None:
        return _reduced(signal, None)
    return Acquired("no-picture", signal, 0, 0, 0.0)


def _ask_for(emitter: Emitter, intake: Intake, signal: Signal) -> Asks | None:
    """The first thing that the recorder asks of this camera and that the camera can send."""
    for ask in intake.asks:
        families = (ask.family,) if isinstance(ask.family, str) else ask.family
        seen = None if ask.seen is None else [mode for _, mode in pairs("", ask.seen)]
        if (
            signal.family in families
            and lets_in(ask.maker, emitter.maker, intake.maker)
            and (seen is None or nominal(signal.mode) in map(nominal, seen))
            and _signal_at(emitter, signal.family, ask.wanted) is not None
        ):
            return ask
    return None


def _signal_at(emitter: Emitter, family: str, mode: VideoMode) -> Signal | None:
    """The camera's own signal of that family and mode."""
    wanted = nominal(mode)
    same = (one for one in emitter.signals if one.family == family and nominal(one.mode) == wanted)
    return next(same, None)


def _asked(emitter: Emitter, intake: Intake, signal: Signal, ask: Asks) -> Acquired:
    """The camera sends what was asked for; the recorder takes that at full width unless its rows differ.

    A row that holds only after a setting adds to what the recorder takes: it takes nothing away.
    """
    sent = _signal_at(emitter, signal.family, ask.wanted) or signal
    row = intake.takes(sent, emitter.maker)
    if row is not None and row.reduced and row.after is None:
        return _reduced(sent, ask)
    return Acquired("asked-down", sent, sent.mode.width, sent.mode.height, sent.mode.fps, ask)


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
    """What a recorder setting that is not made yet would bring for one signal, and its name."""
    row = intake.would_take(signal, emitter.maker)
    if row is None or row.after is None:
        return None
    if row.reduced:
        return _reduced(signal, None), row.after
    return Acquired("full", signal, signal.mode.width, signal.mode.height, signal.mode.fps), row.after


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
        lacking = (f"parts/{emitter.part}/heeds_asks",)
        because = "it depends on whether the camera changes its mode when asked, which its part does not say"
        return Settled(None, because, sends, None, 0, 0, 0.0, "", attainable, taken, lacking)
    if got.outcome != "no-picture":
        because = why_picture(emitter, intake, signal, got)
        return Settled(got.outcome, because, sends, got.signal, got.width, got.height, got.fps, "", attainable, taken)
    return _without_picture(emitter, intake, sends, signal, attainable, video_rate, taken)


def _undecidable(emitter: Emitter, intake: Intake, sends: Emitted, attainable: Acquired, taken: bool | None) -> Settled:
    """The camera's signal is not known: open, unless no signal of it could ever give a picture."""
    hopeless = attainable.outcome == "no-picture" and sends.can is not False
    hopeless = hopeless and all(
        acquire(emitter, intake, one) is not None and _after_setting(emitter, intake, one) is None
        for one in emitter.signals
    )
    if hopeless:
        because = why_none(emitter, intake, None)
        return Settled("no-picture", because, sends, None, 0, 0, 0.0, "", attainable, taken)
    because = "nobody said how the camera is switched, and it can send more than one signal"
    if sends.can is False:
        because = "the camera cannot be switched to the signal written for it"
    return Settled(None, because, sends, None, 0, 0, 0.0, "", attainable, taken, sends.lacking)


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
    by_setting = _after_setting(emitter, intake, signal)
    if by_setting is None and attainable.outcome == "no-picture":
        by_setting = _best_with_setting(emitter, intake, video_rate)
    if by_setting is None and attainable.outcome == "no-picture":
        because = why_none(emitter, intake, signal)
        return Settled("no-picture", because, sends, signal, 0, 0, 0.0, "", attainable, taken)
    because = why_setting(emitter, signal, attainable, by_setting)
    setting = by_setting[1] if by_setting else ""
    return Settled("needs-setting", because, sends, signal, 0, 0, 0.0, setting, attainable, taken)


def _best_with_setting(emitter: Emitter, intake: Intake, video_rate: int) -> tuple[Acquired, str] | None:
    """The best that takes both: a recorder setting, and another signal of the camera."""
    found = [one for each in emitter.signals if (one := _after_setting(emitter, intake, each)) is not None]
    fitting = [one for one in found if suits(one[0].signal.mode.fps, video_rate)] or found
    return max(fitting, key=lambda one: one[0].worth, default=None)
