"""The desk on a system without the calls that only POSIX systems have.

The names are those that the Python library reference marks "Availability: Unix" or "not Windows" (modules fcntl, pwd, grp,
resource, termios, tty; functions of os and signal).
What Windows does otherwise, such as a rename over a file that is open, is not tried here.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

PROGRAM = r"""
import asyncio, http.client, json, multiprocessing.connection, os, signal, subprocess, sys, tempfile
import starlette.applications, uvicorn
import uvicorn.protocols.http.h11_impl

GONE = {
    os: "fork forkpty killpg getuid geteuid getgid getegid getpgid setsid fchmod fchown chown lchown mkfifo mknod nice "
        "statvfs fstatvfs uname getloadavg sched_getaffinity wait3 wait4 posix_spawn O_DIRECTORY "
        "O_NOFOLLOW O_NONBLOCK O_CLOEXEC O_SYNC O_DSYNC O_NOCTTY register_at_fork pread pwrite sync fdatasync".split(),
    signal: "SIGHUP SIGKILL SIGALRM SIGUSR1 SIGUSR2 SIGCHLD SIGPIPE SIGSTOP SIGTSTP alarm setitimer pause pthread_sigmask "
            "pthread_kill sigwait siginterrupt SIG_BLOCK SIG_UNBLOCK SIG_SETMASK".split(),
}
for module, names in GONE.items():
    for name in names:
        if hasattr(module, name):
            delattr(module, name)
for name in ("fcntl", "pwd", "grp", "resource", "termios", "tty", "pty", "syslog"):
    sys.modules[name] = None

from pathlib import Path
from coaxwright.desk.serving import Desk
from coaxwright.desk.session import Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

work = Workspace(FolderStore(Path(sys.argv[1])))
work.open(work.store.names()[0])
desk = Desk(Session(work))
desk.start()

def ask(do, **rest):
    line = http.client.HTTPConnection("127.0.0.1", desk.port, timeout=8)
    heads = {"Authorization": f"Bearer {desk.token}", "Content-Type": "application/json", "Origin": desk.origin}
    heads["Sec-Fetch-Site"] = "same-origin"
    line.request("POST", "/ask", json.dumps({"id": 1, "do": do, "version": work.site.version, **rest}), heads)
    answer = json.loads(line.getresponse().read())
    assert answer["ok"], answer
    return answer

for at in ("/site/cameras", "/counter", "/course/practice"):
    assert ask("look", view={"at": at})["fragments"], at
ask("set", cells=[{"path": "/site", "text": "Mended elsewhere"}], name="name")
ask("save")
ask("undo")
ask("save")
desk.stop()
import coaxwright.checking, coaxwright.estate.journal, coaxwright.catalogues.merging, coaxwright.cli.main
with coaxwright.checking._interrupts_held():
    print("held")
with coaxwright.catalogues.merging.locked(Path(sys.argv[1]) / "kept"):
    print("locked")
"""


def test_the_desk_opens_edits_and_saves_without_posix(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(ROOT / "examples" / "cider-press", tmp_path / "press"))
    site = next(folder.glob("*.site.yaml"))
    before = site.read_bytes()
    done = subprocess.run([sys.executable, "-c", PROGRAM, str(folder)], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == ["held", "locked"]
    assert not done.stderr
    assert site.read_bytes() == before
    assert (folder / "kept").is_dir()
    assert not list(folder.glob(".*.tmp"))
