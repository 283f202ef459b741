"""A journey in Firefox: the page is no page of one browser alone. Driven over WebDriver BiDi (W3C), which it speaks itself."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.conftest import FULL
from tests.desk.test_journey import _by_command
from tests.desk.test_single_file import RUNTIME

from coaxwright.desk.single_file import page

HERE = Path(__file__).parent
CLIENTS = Path(os.environ.get("COAXWRIGHT_CLIENTS") or HERE.parents[1] / ".venv" / "clients")
pytestmark = pytest.mark.real("Firefox")
FOLDERS = (CLIENTS / "node_modules", HERE.parents[1] / ".venv" / "clients" / "node_modules")


@pytest.fixture
def journey(tmp_path: Path) -> Callable[..., Any]:
    """Runs the journey at an address; what the page said in its console, and dialogs."""
    firefox, node = shutil.which("firefox-esr") or shutil.which("firefox"), shutil.which("node")
    folder = next((each for each in FOLDERS if (each / "puppeteer-core").is_dir()), None)
    if firefox is None or node is None or folder is None:
        get = "apt-get install firefox-esr; npm install --prefix .venv/clients puppeteer-core"
        pytest.skip(f"no firefox, node or puppeteer-core here: {get}")

    def run(address: str, *which: str) -> Any:
        call = [node, HERE / "firefox.mjs", folder, firefox, address, *which]
        env = {**os.environ, "HOME": str(tmp_path)}
        done = subprocess.run(call, capture_output=True, text=True, check=False, env=env, timeout=240)
        assert (done.returncode, done.stderr) == (0, "")
        return json.loads(done.stdout)

    return run


@pytest.mark.by_default
def test_the_newcomers_journey_in_firefox(start: Callable[..., Any], journey: Callable[[str], Any]) -> None:
    running = start()
    opened = running.site.read_bytes()
    assert journey(running.desk.address) == []
    assert running.site.read_bytes() == _by_command(running.folder, opened)


@pytest.mark.skipif(not FULL, reason="walked in the other browser by default: long form")
def test_counter_and_course_in_firefox(start: Callable[..., Any], journey: Callable[..., Any]) -> None:
    running = start()
    assert journey(running.desk.address, "counter") == []
    assert list(running.folder.glob("tarnwell-turret-5-on-*.site.yaml"))


@pytest.mark.skipif(not FULL, reason="the same journey; from disk it is walked in the other browser: long form")
def test_the_same_from_disk(journey: Callable[[str], Any], tmp_path: Path) -> None:
    if not RUNTIME.is_dir():
        pytest.skip("no runtime here: docs/desk.md tells how to get it into .venv/runtime")
    path = tmp_path / "coaxwright.html"
    path.write_text(page(RUNTIME), encoding="utf-8")
    assert journey(path.as_uri()) == []
