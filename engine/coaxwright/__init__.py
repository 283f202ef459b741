"""Coaxwright: will these cameras, this recorder, these cables, disks and supplies really work together?"""

from __future__ import annotations

__version__ = "0.1.0"
