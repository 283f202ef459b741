"""A client of the Language Server Protocol of our own: JSON-RPC over a program's standard input and output.

Written from the specification (Language Server Protocol 3.17, base protocol: headers, then JSON); it shares no code with
any server. Places are zero-based lines and UTF-16 code units, as the specification has them by default.
"""

from __future__ import annotations

import json
import queue
import subprocess
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import Any

WAIT = 240.0
"""Seconds after which a server that says nothing counts as hung; nothing is measured by it."""


class Client:
    """A server under test. Use as a context."""

    def __init__(self, command: Sequence[str], root: Path, settings: Any = None, environment: Any = None) -> None:
        self.root, self.settings = root, settings or {}
        self.process = subprocess.Popen(
            list(command), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=root, env=environment
        )
        self._number, self._answers, self.notified = 0, {}, queue.Queue()
        self._came = threading.Condition()
        self.diagnostics: dict[str, list[dict[str, Any]]] = {}
        self.asked: list[str] = []
        threading.Thread(target=self._read, daemon=True).start()
        self._errors = threading.Thread(target=self._drain, daemon=True)
        self.stderr = b""
        self._errors.start()

    def __enter__(self) -> Client:
        ask = {
            "processId": None, "rootUri": self.root.as_uri(),
            "workspaceFolders": [{"uri": self.root.as_uri(), "name": "root"}],
            "capabilities": {
                "workspace": {"configuration": True, "applyEdit": True, "workspaceEdit": {"documentChanges": True}},
                "textDocument": {
                    "publishDiagnostics": {"relatedInformation": True},
                    "hover": {"contentFormat": ["markdown"]},
                    "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix"]}}},
                },
            },
        }  # fmt: skip
        self.capabilities = self.ask("initialize", ask)["capabilities"]
        self.tell("initialized", {})
        if self.settings:
            self.tell("workspace/didChangeConfiguration", {"settings": self.settings})
        return self

    def __exit__(self, *error: object) -> None:
        try:
            self.ask("shutdown", None)
            self.tell("exit", None)
            self.process.wait(20)
        finally:
            self.process.kill()
            self.process.wait()

    def ask(self, method: str, params: Any) -> Any:
        """Send a request and wait for its result; AssertionError for an error."""
        self._number += 1
        number = self._number
        self._send({"id": number, "method": method, "params": params})
        with self._came:
            came = self._came.wait_for(lambda: number in self._answers or self.process.poll() is not None, WAIT)
        assert came, f"no answer to {method}"
        assert number in self._answers, f"the server ended: {self.stderr.decode(errors='replace')[-2000:]}"
        answer = self._answers.pop(number)
        assert "error" not in answer, answer["error"]
        return answer.get("result")

    def tell(self, method: str, params: Any) -> None:
        """Send a notification."""
        self._send({"method": method, "params": params})

    def open(self, path: Path, text: str | None = None, version: int = 1) -> str:
        """Open a document, with the text of the file unless another is given; returns its URI."""
        uri = path.as_uri()
        told = path.read_text(encoding="utf-8") if text is None else text
        self.diagnostics.pop(uri, None)
        self.tell("textDocument/didOpen", {"textDocument": {"uri": uri, "languageId": "yaml", "version": version, "text": told}})
        return uri

    def change(self, uri: str, text: str, version: int) -> None:
        """Replace the whole text of an open document."""
        with self._came:
            self.diagnostics.pop(uri, None)
        document = {"uri": uri, "version": version}
        self.tell("textDocument/didChange", {"textDocument": document, "contentChanges": [{"text": text}]})

    def told(self, uri: str) -> list[dict[str, Any]]:
        """The diagnostics of a document since it was opened or changed; waits for them."""
        with self._came:
            came = self._came.wait_for(lambda: uri in self.diagnostics or self.process.poll() is not None, WAIT)
        assert came, f"no diagnostics for {uri}"
        assert uri in self.diagnostics, f"the server ended: {self.stderr.decode(errors='replace')[-2000:]}"
        return self.diagnostics[uri]

    def _send(self, message: dict[str, Any]) -> None:
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self.process.stdin is not None
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(data), data))
        self.process.stdin.flush()

    def _drain(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.stderr += line

    def _read(self) -> None:
        stream = self.process.stdout
        assert stream is not None
        while True:
            length = 0
            while (line := stream.readline().strip()) or not length:
                if line.lower().startswith(b"content-length:"):
                    length = int(line.split(b":")[1])
                elif not line and self.process.poll() is not None:
                    with self._came:
                        self._came.notify_all()
                    return
            self._take(json.loads(stream.read(length)))

    def _take(self, message: dict[str, Any]) -> None:
        if "method" in message and "id" in message:
            self.asked.append(message["method"])
            items = message.get("params", {}).get("items", []) if message["method"] == "workspace/configuration" else None
            result = [self.settings.get(each.get("section"), {}) for each in items] if items is not None else None
            self._send({"id": message["id"], "result": result})
            return
        with self._came:
            if message.get("method") == "textDocument/publishDiagnostics":
                self.diagnostics[message["params"]["uri"]] = message["params"]["diagnostics"]
            elif "id" in message:
                self._answers[message["id"]] = message
            self._came.notify_all()
