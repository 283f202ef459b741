"""The counter on a page without a server, with a catalogue of some 20,000 parts: `python tests/bench/counter_speed.py RUNTIME`.

Makes 60 files of invented parts, bakes them into the folder for static hosts, serves it, opens it in Chromium in a window
of a phone, and types. Told: from opening to the first field; milliseconds from a key to the list, by what is typed; from
a choice to the answer; and memory, as the browser counts it for the page and its worker (JavaScript and WebAssembly),
with the most that the page's process ever held. Aims: 100 ms a key, 150 MB.
"""

from __future__ import annotations

import functools
import glob
import http.server
import shutil
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

sys.path.append(str(Path(__file__).parent))
from catalogue_speed import made

from coaxwright.desk.single_file import folder

TYPED = ("q", "qu", "qua", "quay", "quayside cam", "quayside cam 7", "inv 12", "c", "ca", "invented camera")
TIMES = 5
ASK = """async ([what, rest]) => {
  const begun = performance.now();
  const answer = JSON.parse(await coaxwrightHost.ask(JSON.stringify({ id: 1, do: what, ...rest })));
  return [performance.now() - begun, answer.ok];
}"""


class Isolated(http.server.SimpleHTTPRequestHandler):
    """Serves the folder, so that the browser may measure its memory (cross-origin isolated)."""

    def end_headers(self) -> None:
        """With the two heads that isolate."""
        self.send_header("Cross-Origin-Opener-Policy", "same-origin")
        self.send_header("Cross-Origin-Embedder-Policy", "require-corp")
        super().end_headers()

    def log_message(self, *_: Any) -> None:
        """Nothing."""


def written(runtime: Path, place: Path) -> tuple[str, str, int]:
    """The folder; a camera and a recorder of the catalogue; bytes of the folder."""
    parts = place / "parts"
    parts.mkdir()
    pair = made(parts)
    files = folder(runtime, sorted(glob.glob(str(parts / "*.yaml"))))
    for name, data in files.items():
        (place / "public" / name).parent.mkdir(parents=True, exist_ok=True)
        (place / "public" / name).write_bytes(data)
    return *pair, sum(map(len, files.values()))


def most_held() -> float:
    """MB that the largest process of a page ever held (VmHWM), by what the system counts."""
    found = [0.0]
    for path in Path("/proc").glob("[0-9]*"):
        try:
            if "--type=renderer" in (path / "cmdline").read_text().replace("\0", " "):
                lines = (path / "status").read_text().splitlines()
                found += [int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")]
        except OSError:
            continue
    return max(found)


def told(page: Any, address: str, camera: str, recorder: str) -> None:
    """Open, type, ask, tell."""
    begun = time.perf_counter()
    page.goto(f"{address}#/counter")
    page.wait_for_selector("#q-camera")
    print(f"opened to the first field: {time.perf_counter() - begun:.1f} s; {page.inner_text('.where').splitlines()[-1]}")

    def ask(what: str, **rest: Any) -> float:
        took, fine = page.evaluate(ASK, [what, rest])
        assert fine
        return float(took)

    for words in TYPED:
        taken = [ask("counter-find", kind="camera", text=words) for _ in range(TIMES)]
        print(f"  {words!r:20} {statistics.median(taken):4.0f} ms, the slowest {max(taken):4.0f} ms")
    first = ask("counter-look", camera=camera, recorder=recorder)
    again = [ask("counter-look", camera=camera, recorder=recorder, length=f"{80 + each} m") for each in range(TIMES)]
    print(f"first answer {first:.0f} ms; another length {statistics.median(again):.0f} ms")
    memory = page.evaluate("async () => (await performance.measureUserAgentSpecificMemory()).bytes") / 1e6
    print(f"memory of the page and its worker {memory:.0f} MB; the most its process ever held {most_held():.0f} MB")


def main(runtime: Path) -> None:
    """All of it."""
    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        camera, recorder, size = written(runtime, Path(name))
        print(f"folder {size / 1e6:.1f} MB")
        handler = functools.partial(Isolated, directory=str(Path(name) / "public"))
        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 390, "height": 844})
        page.set_default_timeout(180_000)
        told(page, f"http://127.0.0.1:{server.server_address[1]}/", camera, recorder)
        browser.close()
        server.shutdown()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
