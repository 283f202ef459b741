"""Processes that share work: they leave interruptions to who asked, and end when that process does, however it ended."""

from __future__ import annotations

import os
import signal
import threading
from multiprocessing import parent_process
from multiprocessing.connection import wait


def settle_in() -> None:
    """To be called first in a worker: Ctrl-C is for the process that asked, which ends the workers."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    """End this process once its parent is no more: then the pipe (the handle, on Windows) between them is ready.

    A killed parent can tell nobody anything, and a worker that waits for work would wait for ever.
    """
    wait([sentinel])
    os._exit(1)
