"""girderply sign."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from girderply.cli.talk import clean, product, say
from girderply.errors import OutputError


def sign(
    file: Annotated[Path, typer.Argument(metavar="PDF", help="Such as a pack's delivery.pdf.")],
    certificate: Annotated[
        Path, typer.Option("--certificate", help="Your certificate with its key (PKCS #12).")
    ],
    passphrase_file: Annotated[
        Path | None,
        typer.Option("--passphrase-file", help="File that holds its passphrase; else it is asked."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="The signed file; left out: beside it, -signed.")
    ] = None,
) -> None:
    """Sign a PDF with your own certificate; its bytes stay, the signature stands after them.

    Whoever gets it sees who signed, in a PDF reader or by girderply verify, which also says
    whether sheets and files are still as made. The signature carries the time of this machine.
    Needs pip install "girderply[sign]".

    Example: girderply sign out/RH-101-G1-rev-A/delivery.pdf --certificate me.p12
    """
    from girderply.exchange.atomic import write_bytes
    from girderply.exchange.signed import sign as signed

    target = out or file.with_name(f"{file.stem}-signed{file.suffix}")
    if target.exists():
        raise OutputError(f"{target} exists already; name another file with --out")
    pdf, key = _read(file), _read(certificate)
    write_bytes(target, signed(pdf, key, _passphrase(passphrase_file)))
    say(f"NOTE    {file.name} is as it was; the signed copy begins with the same bytes.")
    product(clean(str(target)) + "\n")


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as fault:
        raise OutputError(f"cannot read {path}: {fault.strerror}") from fault


def _passphrase(path: Path | None) -> str:
    if path is not None:
        return _read(path).decode("utf-8", "replace").rstrip("\r\n")
    return str(typer.prompt("Passphrase of the certificate", default="", hide_input=True,
                            show_default=False, err=True))  # fmt: skip
