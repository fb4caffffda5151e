"""The engine's process, kept warm beside this one, and what ends it.

One for each process that prints, used by one thread at a time. It is replaced after
200 papers, and after any paper that broke a limit or the engine itself.
"""

from __future__ import annotations

import atexit
import logging
import os
import signal
import subprocess
import sys
import threading
from dataclasses import dataclass
from typing import IO

from django.utils.translation import gettext as _

from materials.core.errors import Refusal
from materials.printing import engine

logger = logging.getLogger(__name__)

WAIT_SECONDS = 90
"""How long a paper waits for those before it."""

_START = "from materials.printing.engine import main; main({seconds}, {memory})"
_KEPT = ("PATH", "HOME", "LANG", "TMPDIR", "XDG_CACHE_HOME", "FONTCONFIG_FILE")
"""All that the engine is told of the environment: no address and no secret."""


class FontsMissing(Refusal):
    """The fonts were not prepared; the engine would crash without any."""

    code = "fonts_missing"


class PaperRefused(Refusal):
    """A paper was not made: it took too much, or the engine did not survive it."""

    code = "paper_refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a paper may take, and how many one process makes.

    `cpu` seconds of computing: the longest of this program's own take about one.
    `wall` seconds from asking to answer; a process's first paper loads the engine too.
    `memory` bytes of address space.
    """

    cpu: int = 20
    wall: int = 60
    memory: int = 1_000_000_000
    renders: int = 200


class Renderer:
    """A handle on the engine's process; started at the first paper."""

    def __init__(self, limits: Limits | None = None) -> None:
        self.limits = limits or Limits()
        self._lock = threading.Lock()
        self._forget()

    def _forget(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._owner = 0
        self._made = 0

    @property
    def pid(self) -> int | None:
        """The engine's process, for whoever watches it; None before the first paper."""
        return self._process.pid if self._process is not None else None

    def pdf(self, html: str) -> bytes:
        """Return a document as PDF bytes.

        Raises: FontsMissing; PaperRefused, with a sentence, when a limit was broken.
        """
        if not self._lock.acquire(timeout=WAIT_SECONDS):
            raise PaperRefused(
                _("Other papers are being made; wait a minute and ask again.")
            )
        try:
            return self._asked(html)
        finally:
            self._lock.release()

    def _asked(self, html: str) -> bytes:
        process = self._running()
        late = threading.Event()

        def end() -> None:
            late.set()
            process.kill()

        watch = threading.Timer(self.limits.wall, end)
        watch.start()
        try:
            status, data = _exchange(process, html.encode("utf-8"))
        except (OSError, EOFError):
            self.stop()
            raise PaperRefused(self._death(process.returncode, late)) from None
        finally:
            watch.cancel()
        return self._judged(status, data)

    def _judged(self, status: bytes, data: bytes) -> bytes:
        self._made += 1
        if status == engine.DONE:
            if self._made >= self.limits.renders:
                self.stop()
            return data
        self.stop()
        if status == engine.FONTS:
            raise FontsMissing(
                _("The font %(name)s is not there; run: manage.py prepare_fonts")
                % {"name": data.decode("utf-8", "replace")}
            )
        if status == engine.MEMORY:
            raise PaperRefused(_too_large())
        logger.error("The PDF engine refused: %s", data.decode("utf-8", "replace"))
        raise PaperRefused(
            _("The paper could not be made; the server's log says why. Ask again.")
        )

    def _running(self) -> subprocess.Popen[bytes]:
        if self._owner != os.getpid():
            # After a fork the process belongs to the parent, which still talks to it.
            self._forget()
        if self._process is not None and self._process.poll() is None:
            return self._process
        self.stop()
        self._owner = os.getpid()
        limits = self.limits
        start = _START.format(seconds=limits.cpu, memory=limits.memory)
        self._process = subprocess.Popen(  # noqa: S603 - this program's own words
            [sys.executable, "-c", start],
            cwd=engine.STATIC.parent,
            env={name: os.environ[name] for name in _KEPT if name in os.environ},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        return self._process

    def stop(self) -> None:
        """End the engine's process, if this process started it."""
        process, owner = self._process, self._owner
        self._forget()
        if process is None or owner != os.getpid():
            return
        process.kill()
        for stream in (process.stdin, process.stdout):
            try:
                if stream is not None:
                    stream.close()
            except OSError:
                logger.debug("The engine's pipe was closed already.")
        process.wait()

    def _death(self, code: int | None, late: threading.Event) -> str:
        if late.is_set() or code == -signal.SIGXCPU:
            return _(
                "This paper took longer than a paper may (%(seconds)s seconds of "
                "computing) and was stopped; take lines or drawings out and ask again."
            ) % {"seconds": self.limits.cpu}
        logger.error("The PDF engine ended with code %s.", code)
        return _("The PDF engine ended while it made this paper; ask for it again.")


def _exchange(process: subprocess.Popen[bytes], asked: bytes) -> tuple[bytes, bytes]:
    """Send one document and read the answer; raises when the process dies of it."""
    to, back = process.stdin, process.stdout
    if to is None or back is None:
        raise EOFError
    to.write(engine.LENGTH.pack(len(asked)) + asked)
    to.flush()
    status = _exactly(back, 1)
    (length,) = engine.LENGTH.unpack(_exactly(back, engine.LENGTH.size))
    return status, _exactly(back, length)


def _exactly(stream: IO[bytes], count: int) -> bytes:
    data = stream.read(count)
    if len(data) < count:
        raise EOFError
    return data


def _too_large() -> str:
    return _(
        "This paper needed more memory than a paper may and was stopped; "
        "take lines or drawings out, then ask again."
    )


RENDERER = Renderer()
"""The one of this process."""
atexit.register(RENDERER.stop)
