"""For all tests: hypothesis gives no deadline, since a busy machine is no fault; runaways have guards of their own."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("coaxwright", deadline=None)
settings.load_profile("coaxwright")
