"""Where modules of the rooms stand whose checks of pages are used here too."""

from __future__ import annotations

import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path.append(str(TESTS / "report"))
sys.path.append(str(TESTS / "show"))
