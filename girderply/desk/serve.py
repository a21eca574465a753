"""The server of the desk: a loopback address, a browser, and an end with Ctrl-C."""

from __future__ import annotations

import hashlib
import os
import shutil
import socket
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Final

from girderply.desk.addresses import Desk, make_app
from girderply.desk.firm_routes import firm_routes
from girderply.desk.folder import Folder
from girderply.desk.guard import Secrets
from girderply.desk.papers import Deliver
from girderply.desk.routes import girder_routes
from girderply.desk.work_routes import work_routes
from girderply.errors import OutputError

if TYPE_CHECKING:
    import uvicorn

LOOPBACK: Final = "127.0.0.1"
FIRST_PORT: Final = 20_000
PORTS: Final = 12_000  # below those that systems hand out for a moment


@contextmanager
def opened(port: int) -> Iterator[socket.socket]:
    """A socket that only this machine reaches; port 0 takes any that is free.

    Raises:
        OutputError: the port is taken or not allowed.
    """
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":  # a port that a desk has just left is free; elsewhere it means more
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((LOOPBACK, port))
    except (OSError, OverflowError) as fault:
        found.close()
        reason = getattr(fault, "strerror", None) or "it is no port"
        raise OutputError(
            f"port {port} cannot be used: {reason}; leave --port out to take any that is free"
        ) from fault
    with found:
        yield found


def own_port(folder: Folder) -> int:
    """The port that a folder always has, so that what a browser kept for it is found again.

    Where that is taken, by another desk of the folder for one, 0: any that is free.
    """
    digest = hashlib.sha256(str(folder.root).encode("utf-8", "surrogateescape")).digest()
    wish = FIRST_PORT + int.from_bytes(digest[:4]) % PORTS
    try:
        with opened(wish):
            return wish
    except OutputError:
        return 0


def serve(
    folder: Path,
    port: int,
    said: Callable[[str], None],
    show: Callable[[str], None],
    deliver: Deliver | None = None,
) -> None:
    """Serve a folder until Ctrl-C.

    Args:
        folder: with the jobs.
        port: to listen on; 0 for any.
        said: is told the first address once the desk can be reached.
        show: opens it in a browser.
        deliver: issues girders into a folder, as the command does.

    Raises:
        OutputError: no such folder, or the port is taken.
    """
    import uvicorn

    place = Folder.at(folder)
    with opened(port or own_port(place)) as found:
        known = Secrets(found.getsockname()[1])
        desk = Desk(place, known, deliver)
        server = uvicorn.Server(config(make_app(desk, all_routes)))
        found.listen(64)
        said(known.address)
        show(known.address)
        try:
            server.run(sockets=[found])
        finally:
            desk.close()


def all_routes(desk: Desk) -> list[object]:
    """Every address of a desk."""
    return [*girder_routes(desk), *work_routes(desk), *firm_routes(desk)]


def config(app: object) -> uvicorn.Config:
    """How the server is set up: one machine, no header of its own, nothing written down."""
    import uvicorn

    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        host=LOOPBACK,
        http="h11",
        ws="none",
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=64,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=2,
        h11_max_incomplete_event_size=16_384,
    )


def sample_folder() -> Path:
    """Where the sample jobs are: in the installed package, or beside it in a checkout.

    Raises:
        OutputError: they are not installed.
    """
    beside = Path(__file__).resolve().parents[2] / "sample_jobs"
    installed = Path(__file__).resolve().parents[1] / "samples"
    for folder in (beside, installed):
        if (folder / "two-ply-howe.toml").is_file():
            return folder
    raise OutputError("the samples are not here; name a FOLDER")


@contextmanager
def samples() -> Iterator[Path]:
    """A copy of the sample jobs in a folder of its own, gone afterwards unless it was changed.

    Raises:
        OutputError: the samples are not installed.
    """
    source = sample_folder()
    with tempfile.TemporaryDirectory(prefix="girderply-desk-") as home:
        target = Path(home) / "samples"
        target.mkdir()
        for path in sorted(source.glob("*.toml")):
            shutil.copyfile(path, target / path.name)
        yield target
