"""The whole desk in one HTML file: page, engine and runtime folded together, opened from disk, nothing fetched.

The runtime (Python for WebAssembly, from npm) and the wheels (from PyPI) are looked for in a folder; what is missing is
told with the commands that get it. Nothing is fetched here.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import io
import json
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from importlib.resources.abc import Traversable
from pathlib import Path

from coaxwright.desk.assets import asset
from coaxwright.desk.bytecode import bytecode
from coaxwright.desk.counter.shelf import CATALOGUE
from coaxwright.desk.example import EXAMPLE, OF_CASES
from coaxwright.desk.parcel import packed
from coaxwright.errors import Problem, Refusal
from coaxwright.reading.kept import CODE, stated_code, to_ship
from coaxwright.reading.tables import plain_bodies
from coaxwright.resources import data_root
from coaxwright.rulebook.cache import SHIPPED
from coaxwright.rulebook.loading import checked_files, shipped_key
from coaxwright.rulebook.rule_files import find_rule_files

RUNTIME = "314.0.7"
LIBRARY = "python_stdlib.zip"
RUNTIME_FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", LIBRARY)
_LIBRARY_PLACE = "python314.zip"
WHEELS = ("pydantic", "pydantic_core", "annotated_types", "typing_extensions", "typing_inspection", "pyyaml", "lark")
MORE_WHEELS = ("openpyxl", "et_xmlfile")
"""For workbooks; a file without them writes CSV."""
_PLATFORM = "--platform pyemscripten_2026_0_wasm32 --python-version 3.14 --implementation cp --abi cp314"
COMMANDS = (
    f"npm pack pyodide@{RUNTIME} && tar xzf pyodide-{RUNTIME}.tgz",
    f"pip download --no-deps --only-binary :all: {_PLATFORM} pydantic-core==PIN",
    "pip download --no-deps pydantic annotated-types typing-extensions typing-inspection lark",
    "pip download --no-deps openpyxl et_xmlfile",
    "PYYAML_FORCE_LIBYAML=0 PYYAML_FORCE_CYTHON=0 pip wheel --no-deps --no-binary pyyaml pyyaml",
)
_LEFT_OUT = {
    "cli", "estate.py", "__main__.py", "server.py", "serving.py",
    "guard.py", "single_file.py", "bytecode.py", "bytecode.mjs", "__pycache__", "_kept", "_rules", "_schemas", "_examples",
}  # fmt: skip


_BESIDE = "parts"


def page(runtime: Path, catalogue: Sequence[str] = ()) -> str:
    """The file's text. `runtime` is the folder with what npm and pip brought, `catalogue` are part files to be made ready.

    Raises Refusal for what is missing.
    """
    parts = _parts(runtime, catalogue)
    return _html("".join(_part(name, content) for name, content in parts.items()), "blob:")


def folder(runtime: Path, catalogue: Sequence[str] = ()) -> dict[str, bytes]:
    """The same as a folder for any host that serves files: the page, and its parts beside it, named by what they hold.

    Raises Refusal for what is missing.
    """
    files, tags = {}, []
    for name, content in _parts(runtime, catalogue).items():
        packed = gzip.compress(content, 9, mtime=0)
        place = f"{_BESIDE}/{hashlib.sha256(packed).hexdigest()[:16]}.bin"
        files[place] = packed
        tags.append(f'<script type="text/plain" data-part="{name}" data-from="{place}"></script>\n')
    return {"index.html": _html("".join(tags), "'self' blob:").encode(), **files}


def _parts(runtime: Path, catalogue: Sequence[str]) -> dict[str, bytes]:
    """What is folded in, by name."""
    files = _found(runtime)
    wheels = [files[name] for name in (*WHEELS, *MORE_WHEELS) if name in files]
    parts = {name: files[name].read_bytes() for name in RUNTIME_FILES}
    engine = {**dict(_wheels(wheels)), **dict(_own())}
    compiled = bytecode(parts, engine)
    parts[LIBRARY] = _library(parts[LIBRARY], _below(f"/lib/{_LIBRARY_PLACE}/", compiled))
    parts["engine.bin"] = packed(_instead(engine, _below("/engine/", compiled)))
    if catalogue:
        from coaxwright.catalogues.baked import baked

        parts[CATALOGUE] = baked(catalogue)
    return parts


def _html(data: str, connect: str) -> str:
    """The page around its parts; `connect` is what it may fetch."""
    style, script, host = asset("/desk.css").decode(), asset("/desk.js").decode(), asset("/host.js").decode()
    body = asset("/").decode().partition("<body>")[2].partition("</body>")[0]
    policy = (
        f"default-src 'none'; script-src '{_digest(host)}' '{_digest(script)}' blob: 'wasm-unsafe-eval'; worker-src blob:;"
        f" connect-src {connect}; style-src '{_digest(style)}'; img-src data:; base-uri 'none'; form-action 'none'"
    )
    head = (
        '<meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark">'
        f"<title>Coaxwright desk</title><style>{style}</style>"
    )
    scripts = f"<script>{host}</script>\n<script>{script}</script>"
    return f'<!doctype html>\n<html lang="en">\n<head>{head}</head>\n<body>{body}{data}{scripts}</body>\n</html>\n'


def _digest(text: str) -> str:
    """How a policy names an inline text: by its SHA-256."""
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _part(name: str, content: bytes) -> str:
    packed = base64.b64encode(gzip.compress(content, 9, mtime=0)).decode()
    return f'<script type="text/plain" data-part="{name}">{packed}</script>\n'


def _found(runtime: Path) -> dict[str, Path]:
    """The runtime's files and the wheels, by name. Raises Refusal."""
    there = [path for path in sorted(runtime.rglob("*")) if path.is_file()] if runtime.is_dir() else []
    found = {path.name: path for path in there if path.name in RUNTIME_FILES}
    for path in there:
        name = path.name.split("-")[0].lower()
        if path.suffix == ".whl" and name in (*WHEELS, *MORE_WHEELS):
            found[name] = path
    lacking = [name for name in (*RUNTIME_FILES, *WHEELS) if name not in found]
    if lacking:
        right = "get them there with: " + "; ".join(COMMANDS)
        raise Refusal([Problem(str(runtime), f"lacks {', '.join(lacking)}", right)])
    return found


def _below(place: str, compiled: Mapping[str, bytes]) -> dict[str, bytes]:
    """Of the bytecode what belongs below a place, by its name there."""
    return {name.removeprefix(place): content for name, content in compiled.items() if name.startswith(place)}


def _instead(sources: Mapping[str, bytes], compiled: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files, with bytecode in place of the source where there is some."""
    return {**{name: content for name, content in sources.items() if f"{name}c" not in compiled}, **compiled}


def _library(archive: bytes, compiled: Mapping[str, bytes]) -> bytes:
    """The runtime's own library, not packed within: the whole is packed better, and unpacked by the browser."""
    with zipfile.ZipFile(io.BytesIO(archive)) as was:
        files = {name: was.read(name) for name in was.namelist()}
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive_of_all:
        for name, content in sorted(_instead(files, compiled).items()):
            archive_of_all.writestr(zipfile.ZipInfo(name), content)
    return out.getvalue()


def _wheels(wheels: list[Path]) -> Iterator[tuple[str, bytes]]:
    for path in wheels:
        with zipfile.ZipFile(path) as wheel:
            for name in wheel.namelist():
                if not name.endswith(("/", ".pyi", ".typed")) and ".dist-info/" not in name:
                    yield name, wheel.read(name)


def _own() -> Iterator[tuple[str, bytes]]:
    """The package without what needs a terminal or a socket, its data, and what a first run would otherwise make."""
    yield from _tree(Path(__file__).resolve().parents[1], "coaxwright")
    for kind in ("rules", "schemas"):
        yield from _tree(data_root(kind), f"coaxwright/_{kind}")
    for name in (EXAMPLE, OF_CASES):
        yield from _tree(data_root("examples") / name, f"coaxwright/_examples/{name}")
    files = find_rule_files()
    yield f"coaxwright/_kept/{SHIPPED}.json", to_ship(shipped_key(files), checked_files(files).body)
    for name, content, body in plain_bodies():
        yield f"coaxwright/_kept/{name}.json", to_ship(content, body)
    yield f"coaxwright/_kept/{CODE}.json", json.dumps(stated_code()).encode()


def _tree(folder: Traversable, name: str) -> Iterator[tuple[str, bytes]]:
    for each in folder.iterdir():
        if each.name in _LEFT_OUT:
            continue
        if each.is_dir():
            yield from _tree(each, f"{name}/{each.name}")
        else:
            yield f"{name}/{each.name}", each.read_bytes()
