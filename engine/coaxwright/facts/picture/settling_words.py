"""Why camera and input settle as they do, in words that can be read aloud over a counter.

Words only: what is settled is decided in `settling`.
"""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.facts.picture.frames import nominal, spoken
from coaxwright.facts.picture.signals import OVER_COAX, Acquired, Emitter, Intake, Signal
from coaxwright.model.common import VideoMode


def why_picture(emitter: Emitter, intake: Intake, sent: Signal, got: Acquired) -> str:
    """Why this picture arrives from the signal `sent`."""
    if got.outcome == "full":
        return f"the camera sends {sent}, and this input takes that as it is"
    first = f"the camera sends {sent}"
    if got.asked_by is not None and got.signal != sent:
        own = emitter.maker != "" and emitter.maker == intake.maker
        whose = "its own maker's camera" if own else "the camera"
        first = (
            f"the recorder recognises {whose} and by itself has it send {spoken(got.signal.mode)} "
            f"instead of {spoken(sent.mode)}"
        )
    if got.outcome == "asked-down":
        return first
    arrives = f"{got.width}x{got.height}"
    return (
        f"{first}, which this input acquires only at reduced width: every other column is dropped and "
        f"{arrives} arrives; stretched back for display it looks right and holds half the detail across"
    )


def why_unheard(wanted: VideoMode | None) -> str:
    """What to look up where the recorder asks for a mode that the camera's part does not state; empty where it does not."""
    if wanted is None:
        return ""
    return f"; the recorder asks it for {spoken(wanted)}, which its part does not state (if it can: `only: when-asked`)"


def why_setting(emitter: Emitter, signal: Signal, attainable: Acquired, by_setting: tuple[Acquired, str] | None) -> str:
    """What someone has to switch or set before there is a picture, best first."""
    options: list[tuple[tuple[int, int, float], str]] = []
    if attainable.outcome != "no-picture":
        switch = f"switches the camera to {attainable.signal}{_how(emitter, signal)}, which {_comes_to(attainable)}"
        options.append((attainable.worth, switch))
    if by_setting is not None:
        got, name = by_setting
        also = "" if got.signal == signal else f" and switches the camera to {got.signal}"
        options.append((got.worth, f"makes the recorder setting `{name}`{also}, which {_comes_to(got)}"))
    options.sort(key=lambda one: one[0], reverse=True)
    what = ", or ".join(text for _, text in options)
    return f"there is no picture from {signal} as things are; there is one after someone {what}"


def _how(emitter: Emitter, sent: Signal) -> str:
    """By what a camera without a picture is switched, and where it cannot be."""
    if emitter.ways is None:
        return " (its part does not say how it is switched, or whether)"
    if emitter.ways != (OVER_COAX,):
        return f" ({emitter.switched_by})"
    here = "its only menu is over the coax, and here there is no picture to see it in"
    return f" beforehand, on an input that takes {sent} ({here})"


def _comes_to(got: Acquired) -> str:
    size = f"{got.width}x{got.height}"
    if got.outcome == "full":
        return f"gives {size} at full width"
    if got.outcome == "asked-down":
        return f"the recorder then asks down to {size} at {got.fps:g} frames a second"
    return f"gives {size} at reduced width"


def why_none(emitter: Emitter, intake: Intake, signal: Signal | None) -> str:
    """Why nothing that the camera can send gives a picture: maker, mode or family."""
    if not emitter.signals:
        return "the camera sends nothing over coax: it is a network camera"
    families = tuple(dict.fromkeys(one.family for one in emitter.signals))
    common = [name for name in families if name in intake.families]
    if emitter.ways == () and signal is not None and signal.family in common and not _barred(emitter, intake):
        return f"this input does not take {signal}, and nobody can switch the camera: its part states no way to"
    if not common:
        return (
            f"they have no signal family in common: the camera sends {_listed(families)}, "
            f"this input takes {_listed(intake.families)}"
        )
    barred = _barred(emitter, intake)
    if barred:
        shown = signal if signal in barred else barred[0]
        return f"this input takes {shown} only from cameras of {_makers(intake, barred)}"
    return (
        f"they have {_listed(common)} in common but no mode in it: no size and rate that the camera sends "
        "and this input takes"
    )


def _barred(emitter: Emitter, intake: Intake) -> list[Signal]:
    """What the input takes from other makers' cameras only."""
    known = [one for one in emitter.signals if (one.family, nominal(one.mode)) in intake.rows]
    return [one for one in known if intake.takes(one, emitter.maker) is None]


def _makers(intake: Intake, barred: list[Signal]) -> str:
    names = [row.maker for one in barred for row in intake.rows[(one.family, nominal(one.mode))]]
    said = ["its own maker" if name == "own" else name for name in dict.fromkeys(names)]
    return " or ".join(said)


def _listed(families: Iterable[str]) -> str:
    """Families as words: `TVI`, `TVI and AHD`, `TVI, AHD and CVI`."""
    names = [name.upper() for name in families]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
