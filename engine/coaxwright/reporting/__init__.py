"""Reports in formats for people and machines: one module per format, all behind `formats.render`."""

from __future__ import annotations
