"""For all tests: hypothesis gives no deadline, since a busy machine is no fault; runaways have guards of their own."""

from __future__ import annotations

import signal

from hypothesis import settings

settings.register_profile("coaxwright", deadline=None)
settings.load_profile("coaxwright")


def pytest_configure() -> None:
    """A run in the background of a shell ignores interruptions, and hands that on: processes under test shall not."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
