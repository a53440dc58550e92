"""The background worker beside a server: started with it, started again when it dies, stopped with it."""

from __future__ import annotations

import logging
import subprocess
import sys
import threading
import time

PAUSE = 5.0  # [s] before it is started again
LOOK = 0.5  # [s] between two looks whether it still runs
PATIENCE = 40.0  # [s] for it to finish what it is doing
_COMMAND = (sys.executable, "-m", "riskapi", "worker", "--with-parent")
_LOG = logging.getLogger(__name__)


class Companion:
    """One worker in a process of its own. It ends when this process does, however that ends: the pipe to it breaks."""

    def __init__(self) -> None:
        self._stopping = threading.Event()
        self._process: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._keep, name="companion", daemon=True)

    def start(self) -> None:
        """Start it, and see to it in the background from now on.

        The first start is waited for: a server process forked meanwhile would hold the pipe by which a new process
        says that it runs, and that would never be heard.
        """
        self._process = _started()
        self._thread.start()

    def stop(self) -> None:
        """Ask it to finish, and wait for that."""
        self._stopping.set()
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()
        self._thread.join(PATIENCE)

    def _keep(self) -> None:
        while self._process is not None:
            with self._process as running:
                while running.poll() is None:  # the server collects its children too: never wait for one for ever
                    time.sleep(LOOK)
            if self._stopping.wait(PAUSE):
                return
            _LOG.warning("the background worker ended; it is started again")
            self._process = _started()


def _started() -> subprocess.Popen[bytes]:
    return subprocess.Popen(_COMMAND, stdin=subprocess.PIPE)  # noqa: S603 (a fixed command)
