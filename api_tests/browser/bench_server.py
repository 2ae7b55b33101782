"""The program serving the demo bench on a free port, with a database of its own."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

_SLOWEST_START_S = 300.0
_PROGRAM = str(Path(sys.executable).with_name("mouldwright"))
_LINK = re.compile(r"(http://\S+?)(/sign-in\?code=\S+)")


class BenchServer:
    """``mouldwright serve``, from its start to its end."""

    def __init__(self, folder: Path, *, demo: bool = True) -> None:
        """Keep where its files lie, and whether the demo bench is loaded at its start."""
        self._folder, self._demo = folder, demo
        self.address = self.link = ""

    def start(self) -> None:
        """Start it and wait until it answers."""
        said = self._folder / "said"
        with said.open("w") as out:
            self._process = subprocess.Popen(
                [
                    *(_PROGRAM, "serve", *(["--demo"] if self._demo else []), "--port", "0"),
                    *("--database", f"sqlite:///{self._folder / 'bench.db'}"),
                ],
                stdout=out,
                stderr=subprocess.STDOUT,
            )
        until = time.monotonic() + _SLOWEST_START_S
        while time.monotonic() < until and self._process.poll() is None:
            found = _LINK.search(said.read_text())
            if found and self._answers(found[1]):
                self.address, self.link = found[1], found[1] + found[2]
                return
            time.sleep(0.1)
        self.stop()
        raise AssertionError(f"it did not start:\n{said.read_text()}")

    @staticmethod
    def _answers(address: str) -> bool:
        try:
            with urllib.request.urlopen(f"{address}/v1/health", timeout=30) as answer:
                return answer.status == 200
        except OSError:
            return False

    def stop(self) -> None:
        """Tell it to stop, and end it if it does not."""
        if self._process.poll() is None:
            self._process.send_signal(signal.SIGINT)
        try:
            self._process.wait(120)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
