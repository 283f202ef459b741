"""Questions of what camera and input come to, and of what is recorded."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from .. import pictures
from ..faults import channels, signals
from ..judging import Change, Judge, Result, Verdict, misread, scaled
from ..plan import Plan, number
from .ways import (
    about,
    as_acquired,
    ordered,
    switched,
)


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


def _rate(plan: Plan) -> Result:
    return _recorded(plan).rate


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


def _columns(plan: Plan) -> Result:
    return float(pictures.settled(plan, about(plan, r"picture of (\S+) does")).mode.width)


def _columns_sent(plan: Plan) -> Result:
    return float(pictures.sent(plan, about(plan, r"picture of (\S+) does"))[1].width)


def _columns_name(plan: Plan) -> str:
    return about(plan, r"picture of (\S+) does")


def _elements(plan: Plan, name: str) -> float:
    return pictures.demand(pictures.recorded(plan, name))


def _size_first(plan: Plan, name: str) -> tuple[int, float]:
    """Picture elements of a recorded frame; of equal ones by the share of what arrives that is recorded."""
    mode = pictures.recorded(plan, name)
    return mode.width * mode.height, mode.rate / pictures.settled(plan, name).mode.rate


def _all_columns(plan: Plan) -> bool:
    """Whether what is acquired has as many columns as what is sent. Raises Missing."""
    name = about(plan, r"column that (\S+) sends")
    taken = pictures.settled(plan, name)
    return taken.mode.width == pictures.sent(plan, name)[1].width


def _asked_of_any(plan: Plan) -> Plan:
    """Asking expected whoever made the camera, of whatever it can send."""
    name = about(plan, r"column that (\S+) sends")
    seen = re.search(r"(\S+) of cameras of its own maker that send (\S+)", plan.needed_of_box("asks for a mode"))
    family, mode = pictures.sent(plan, name)
    if seen is None or pictures.mode_of(seen[2]) != mode:
        return plan
    return plan.put("Cameras", name, "switched to", f"{family} {seen[1]}")


def _slow_one(plan: Plan) -> str:
    return about(plan, r"^(\S+) is recorded at")


def _rate_change(plan: Plan, text: str) -> Plan:
    return switched(plan, _slow_one(plan), text)


def _still_slow(after: Plan) -> bool:
    name = _slow_one(after)
    return pictures.recorded(after, name).rate < number(after.need("Cameras", name, "recorded rate wanted"))


def _acquired_suffices(plan: Plan, text: str) -> bool:
    """What arrives after the change would be fast enough; what is recorded is not."""
    after, name = _rate_change(plan, text), _slow_one(plan)
    wanted = number(after.need("Cameras", name, "recorded rate wanted"))
    return pictures.settled(after, name).mode.rate >= wanted and _still_slow(after)


def _set_suffices(plan: Plan, text: str) -> bool:
    """The rate that is set would be fast enough; what is recorded is not."""
    after, name = _rate_change(plan, text), _slow_one(plan)
    wanted = number(after.need("Cameras", name, "recorded rate wanted"))
    return number(after.need("Cameras", name, "recorded rate set")) >= wanted and _still_slow(after)


def _halved_change(plan: Plan, text: str) -> Plan:
    return switched(plan, about(plan, r"^(\S+) sends"), text)


def _share_kept(plan: Plan) -> float:
    """Columns acquired over columns sent."""
    name = about(plan, r"^(\S+) sends")
    return pictures.settled(plan, name).mode.width / pictures.sent(plan, name)[1].width


def _framed(plan: Plan) -> pictures.Mode:
    return pictures.recorded(plan, about(plan, r"recorded of (\S+?)\?"))


def _frame_elements(plan: Plan) -> Result:
    return _framed(plan).width * _framed(plan).height / 1e6


def _frame_sent(plan: Plan) -> Result:
    name = about(plan, r"recorded of (\S+?)\?")
    if pictures.settled(plan, name).outcome != "reduced":
        raise AssertionError("nothing is reduced")
    mode = pictures.sent(plan, name)[1]
    return mode.width * mode.height / 1e6


PICTURES: dict[str, Any] = {
    "picture/frame-elements": Judge(
        _frame_elements,
        {
            "full-for-reduced": _frame_sent,
            "columns-squared": lambda plan: _framed(plan).width ** 2 / 1e6,
            "lines-for-columns": lambda plan: _framed(plan).height ** 2 / 1e6,
            "reduced-for-full": scaled(_frame_elements, 0.5),
            "halved-both-ways": scaled(_frame_elements, 0.25),
        },
    ),
    "signal/columns-acquired": Judge(
        _columns,
        {
            "full-for-reduced": _columns_sent,
            "lines-for-columns": lambda plan: float(pictures.settled(plan, _columns_name(plan)).mode.height),
            "reduced-for-full": scaled(_columns, 0.5),
        },
    ),
    "signal/full-width": Verdict(_all_columns, {"asked-without-kinship": _asked_of_any}),
    "signal/clears-reduced": Change(
        "signal/reduced-width", {**signals.SIGNAL, **channels.CHANNELS}, _halved_change, _share_kept
    ),
    "picture/order-by-elements": Judge(
        lambda plan: ordered(plan, _elements),
        {
            "order-turned-round": lambda plan: ordered(plan, lambda of, name: -_elements(of, name)),
            "by-rate-alone": lambda plan: ordered(plan, lambda of, name: pictures.recorded(of, name).rate),
            "by-frame-size": lambda plan: ordered(plan, _size_first),
            "acquired-for-recorded": lambda plan: ordered(
                plan, lambda of, name: pictures.demand(pictures.settled(of, name).mode)
            ),
        },
    ),
    "picture/clears-rate": Change(
        "picture/rate-below-wanted",
        {**signals.PICTURE, **signals.SIGNAL, **channels.CHANNELS},
        _rate_change,
        lambda plan: pictures.recorded(plan, _slow_one(plan)).rate,
        {"acquired-for-recorded": _acquired_suffices, "set-rate-for-recorded": _set_suffices},
    ),
    "signal/what-settles": Judge(
        _settles,
        {"sent-for-settled": _on("asked", _as_sent), "full-for-reduced": _on("reduced", _as_sent),
         "asked-without-kinship": _kin_mode, "asked-overlooked": _on("asked", misread(_settles, _heedless)),
         "halved-both-ways": _halved_twice},
    ),
    "picture/recorded-rate": Judge(
        _rate,
        {"acquired-for-recorded": lambda plan: pictures.settled(plan, _subject(plan)).mode.rate,
         "set-rate-for-recorded": lambda plan: pictures.sent(plan, _subject(plan))[1].rate,
         "smaller-row": _smaller_row, "rate-halved": scaled(_rate, 0.5)},
    ),
    "picture/what-is-recorded": Judge(
        lambda plan: str(_recorded(plan)),
        {"acquired-for-recorded": lambda plan: str(pictures.settled(plan, _subject(plan)).mode),
         "sent-for-settled": _rate_with_frame_sent,
         "set-rate-for-recorded": lambda plan: str(pictures.sent(plan, _subject(plan))[1]),
         "columns-dropped-again": _columns_again},
    ),
    "picture/fast-enough": Verdict(_fast_enough, {"acquired-for-recorded": as_acquired}),
}  # fmt: skip
