"""A desk that is really served, and plain requests to it, for tests that use or attack it."""

from __future__ import annotations

import contextlib
import http.client
import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import uvicorn

from girderply.cli.issue import write_delivery
from girderply.desk.addresses import Desk, make_app
from girderply.desk.folder import Folder
from girderply.desk.guard import Secrets
from girderply.desk.serve import all_routes, config, opened


@dataclass
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def data(self) -> Any:
        return json.loads(self.body)

    @property
    def text(self) -> str:
        return self.body.decode()


@dataclass
class Served:
    """A desk under way."""

    desk: Desk
    folder: Path

    @property
    def known(self) -> Secrets:
        return self.desk.known

    def ask(
        self,
        method: str,
        target: str,
        headers: dict[str, str | None] | None = None,
        body: bytes | None = None,
    ) -> Answer:
        """One request; by default one that our own page would send. None leaves a header out."""
        heads: dict[str, str | None] = {
            "Host": self.known.host,
            "Cookie": f"{self.known.cookie_name}={self.known.cookie}",
        }
        if method == "POST":
            heads |= {"Origin": self.known.origin, "Content-Type": "application/json"}
            heads["Content-Length"] = str(len(body or b""))
        heads |= headers or {}
        line = http.client.HTTPConnection("127.0.0.1", self.known.port, timeout=20)
        try:
            line.putrequest(method, target, skip_host=True, skip_accept_encoding=True)
            for name, value in heads.items():
                if value is not None:
                    line.putheader(name, value)
            line.endheaders()
            with contextlib.suppress(OSError):  # it may be refused before all of it was sent
                line.send(body or b"")
            got = line.getresponse()
            return Answer(got.status, {k.lower(): v for k, v in got.getheaders()}, got.read())
        finally:
            line.close()

    def get(self, target: str, **headers: str | None) -> Answer:
        return self.ask("GET", target, {k.replace("_", "-"): v for k, v in headers.items()})

    def post(self, target: str, data: Any, headers: dict[str, str | None] | None = None) -> Answer:
        return self.ask("POST", target, headers, json.dumps(data).encode())


@contextmanager
def served(folder: Path, port: int = 0) -> Iterator[Served]:
    """Serve a folder while the block runs."""
    with opened(port) as found:
        desk = Desk(Folder.at(folder), Secrets(found.getsockname()[1]), write_delivery)
        server = uvicorn.Server(config(make_app(desk, all_routes)))
        found.listen(64)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [found]}, daemon=True)
        thread.start()
        try:
            yield Served(desk, folder)
        finally:
            server.should_exit = True
            thread.join(10)
            desk.close()
