"""A mail server for tests: takes letters on a local port and writes down what came.

What it answers depends on the address: `refused@` is refused for good, `later@` for
now, `cut@` loses its line after the letter was handed over.
"""

from __future__ import annotations

import random
import socketserver
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes, policy
from email.message import EmailMessage


class _Talk(socketserver.StreamRequestHandler):
    """One connection, as much of RFC 5321 as a client needs."""

    server: Sink

    def handle(self) -> None:
        self._say("220 sink")
        to = ""
        while line := self.rfile.readline():
            word = line[:4].upper()
            if word == b"QUIT":
                self._say("221 bye")
                return
            if word == b"RCPT":
                to = line.split(b"<")[1].split(b">")[0].decode("ascii")
                self._say(_ANSWERS.get(to.partition("@")[0], "250 ok"))
            elif word == b"DATA":
                self._say("354 go on")
                self.server.keep(self._letter())
                if to.startswith("cut@"):
                    return
                self._say("250 taken")
            else:
                self._say("250 ok")

    def _letter(self) -> bytes:
        lines = []
        while (line := self.rfile.readline()) != b".\r\n":
            lines.append(line.removeprefix(b".") if line.startswith(b"..") else line)
        return b"".join(lines)

    def _say(self, text: str) -> None:
        self.wfile.write(f"{text}\r\n".encode())


_ANSWERS = {"refused": "550 no such person", "later": "451 come again later"}


class Sink(socketserver.ThreadingTCPServer):
    """The server: `letters` in order of arrival."""

    allow_reuse_address = True
    daemon_threads = True

    def __init__(self, *, slowly: bool = False) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.letters: list[EmailMessage] = []
        self.slowly = slowly

    @property
    def port(self) -> int:
        return int(self.server_address[1])

    def keep(self, data: bytes) -> None:
        """Write a letter down before it is acknowledged."""
        letter = message_from_bytes(data, policy=policy.default)
        self.letters.append(letter)
        if self.slowly:
            time.sleep(random.uniform(0.0, 0.4))


@contextmanager
def sink(*, slowly: bool = False) -> Iterator[Sink]:
    """Serve in this process for as long as the block runs.

    `slowly`: some time passes between keeping a letter and saying so.
    """
    with Sink(slowly=slowly) as server:
        threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True).start()
        yield server
        server.shutdown()
