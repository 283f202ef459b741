"""The page's own files: the script is typed and short, nothing comes from elsewhere, and the server's half answers alone."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "engine" / "coaxwright" / "desk" / "page"
SCRIPTS = ("desk.js", "host.js")
TSC = ROOT / ".venv" / "axe" / "node_modules" / "typescript" / "bin" / "tsc"


@pytest.mark.real("the compiler of TypeScript")
def test_the_script_is_type_checked() -> None:
    if shutil.which("node") is None or not TSC.exists():
        pytest.skip("no typescript here: npm install --prefix .venv/axe typescript")
    call = ["node", TSC, "--noEmit", "--allowJs", "--checkJs", "--strict", "--target", "es2022", "--module", "es2022", "--lib"]
    for name in SCRIPTS:
        done = subprocess.run([*call, "es2023,dom,dom.iterable", PAGE / name], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stdout) == (0, ""), name


def test_the_script_is_short_and_takes_no_back_door() -> None:
    scripts = [(PAGE / name).read_text(encoding="utf-8") for name in SCRIPTS]
    assert sum(len(each.splitlines()) for each in scripts) <= 1500
    assert all(each.startswith("// @ts-check") for each in scripts)
    script = "\n".join(scripts).replace("http://inside.invalid/", "")
    back_doors = ("eval(", "new Function", "document.write", "insertAdjacentHTML", "outerHTML", "@ts-ignore")
    for word in (*back_doors, "http://", "https://", "cookie"):
        assert word not in script, word
    assert script.count("innerHTML") == 1


@pytest.mark.parametrize("name", ["desk.html", "desk.css", *SCRIPTS, "icon.svg"])
def test_nothing_comes_from_elsewhere(name: str) -> None:
    text = (PAGE / name).read_text(encoding="utf-8")
    text = text.replace("http://www.w3.org/2000/svg", "").replace("http://inside.invalid/", "")
    assert not re.search(r"(?:https?:)?//[a-z0-9-]+\.[a-z]|@import|url\(", text)


def test_the_frame_holds_no_script_and_no_style_of_its_own() -> None:
    html = (PAGE / "desk.html").read_text(encoding="utf-8")
    assert re.findall(r"<script[^>]*>([^<]*)<", html) == [""]
    assert "<style" not in html
    assert not re.search(r"\son[a-z]+=|\sstyle=", html)


def test_colours_are_tokens() -> None:
    css = (PAGE / "desk.css").read_text(encoding="utf-8")
    tokens = ("--", ":root", "@media print", "@media (prefers-color-scheme")
    rules = [line for line in css.splitlines() if not line.startswith(tokens)]
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b", re.sub(r"#[a-z][a-z-]*", "", "\n".join(rules)))


def test_the_server_is_imported_by_the_desk_alone() -> None:
    """What the desk shows is made without a socket: it is the same in one file, without a server."""
    program = (
        "import sys; import coaxwright.desk.session; from coaxwright.cli.main import run; run(['--version']);"
        "print([name for name in ('starlette', 'uvicorn', 'anyio', 'asyncio') if name in sys.modules])"
    )
    import sys

    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
