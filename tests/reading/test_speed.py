"""Reading keeps its budget against the plain loader of the YAML library, grows in step, and stays small.

The budget is a ratio within one run, because machines differ. Floors while designing, in us a camera of
twelve lines: plain loader 79, our reading with places 29 to 36.
"""

from __future__ import annotations

import gc
import subprocess
import sys
import time
from collections.abc import Callable

import pytest
import yaml

from coaxwright.reading.yaml_source import parse_document

CAMERA = """\
  cam{number:05d}:
    part: fennick/turret-5
    set: {{family: tvi, mode: 2592x1944@20}}
    video: {{into: rec{group}/{port}, over: [{{cable: rg59-copper, length: {metres} m}}]}}
    power:
      from: psu{group}/{port}
      over:
        - {{cable: dc-0.75mm2, length: {metres} m}}
    sound: {{by: coax}}
    control: {{by: coax}}
    place: {{setting: outdoor, building: slip, reach: hand}}
    wants: {{see: identify, at: 6 m, night: true, sound: true, rate: 12 fps}}
"""


def site_text(cameras: int) -> str:
    """A site of this many cameras, twelve lines each."""
    lines = [
        CAMERA.format(number=number, group=number // 16, port=number % 16 + 1, metres=20 + number % 180)
        for number in range(cameras)
    ]
    return "site: Large\ncameras:\n" + "".join(lines)


def seconds(work: Callable[[], object], runs: int = 3) -> float:
    """The best of some runs, with the collector held off on both sides."""
    best = 1e9
    for _ in range(runs):
        gc.collect()
        gc.disable()
        try:
            start = time.process_time()
            work()
            best = min(best, time.process_time() - start)
        finally:
            gc.enable()
    return best


@pytest.mark.skipif(not yaml.__with_libyaml__, reason="the ratio holds for libyaml")
def test_reading_with_places_does_not_run_away_from_the_plain_loader() -> None:
    text = site_text(600)
    ratio = 9.0
    for _ in range(6):  # other work on the machine can spoil a run, never better it
        plain = seconds(lambda: yaml.load(text, Loader=yaml.CSafeLoader), 1)
        ratio = min(ratio, seconds(lambda: parse_document(text, "f"), 1) / plain)
        if ratio < 1.5:
            return
    pytest.fail(f"{ratio:.2f} times the plain loader: a guard; tests/bench/check_speed.py measures it, at 0.33 to 0.45")


def test_time_grows_with_the_input() -> None:
    few, many = site_text(200), site_text(1600)
    assert seconds(lambda: parse_document(many, "f")) < 8 * 3 * seconds(lambda: parse_document(few, "f"))


PEAK = """
import resource
from coaxwright.reading.yaml_source import parse_document
text = open(0).read()
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
parse_document(text, "f")
print((resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024)
"""


def test_memory_of_ten_thousand_cameras() -> None:
    result = subprocess.run(
        [sys.executable, "-c", PEAK], input=site_text(10_000), text=True, capture_output=True, check=True
    )
    assert float(result.stdout) < 160  # MiB; a hundred thousand then need less than 2.5 GiB
