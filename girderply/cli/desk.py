"""girderply desk."""

from __future__ import annotations

import os
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.talk import product, say


def desk(
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="[FOLDER]", help="Folder with job files. Default: the samples."),
    ] = None,
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Port to listen on; 0: any free one.")
    ] = 0,
    no_open: Annotated[
        bool, typer.Option("--no-open", help="Say the address and open no browser.")
    ] = False,
) -> None:
    """Work on girders in the browser: drawing, findings and papers follow every change.

    Only this machine is served. Without a FOLDER a copy of the samples is shown, to try things
    on. Every change goes into the job file at once. Ctrl-C ends it.

    Example: girderply desk jobs
    """
    from girderply.cli.issue import write_delivery
    from girderply.desk.serve import samples, serve

    show = _nothing if no_open else _browse
    if folder is not None:
        serve(folder, port, _say_address, show, write_delivery)
        return
    with samples() as copy:
        say(f"NOTE    a copy of the samples, gone at the end: {copy}")
        serve(copy, port, _say_address, show, write_delivery)


def _say_address(address: str) -> None:
    product(address + "\n")
    say("TIP     Only this machine can reach it. Ctrl-C ends it.")


def _nothing(_: str) -> None:
    """No browser is wanted."""


def _browse(address: str, browse: Callable[[str], bool] = webbrowser.open) -> None:
    """Open the address, or say that there is no browser."""
    if os.name == "posix" and not (os.environ.get("DISPLAY") or os.environ.get("BROWSER")
                                   or os.environ.get("WAYLAND_DISPLAY") or _is_mac()):  # fmt: skip
        opened = False
    else:
        try:
            opened = browse(address)
        except (webbrowser.Error, OSError):
            opened = False
    if not opened:
        say("NOTE    no browser could be opened; open the address above in one by hand.")


def _is_mac() -> bool:
    import sys

    return sys.platform == "darwin"
