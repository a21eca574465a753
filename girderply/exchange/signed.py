"""Signatures of a PDF: put after its own bytes, and read back.

[ISO 32000-2, 12.8; ETSI EN 319 142-1] A signature is added to the end of the file, so that what
was made before stays as it was, byte for byte, at its beginning.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from girderply.errors import GirderplyError

if TYPE_CHECKING:
    from collections.abc import Iterator

MISSING: Final = 'signatures need another library: pip install "girderply[sign]"'


class SigningError(GirderplyError, ValueError):
    """A file or a certificate with which nothing can be signed or checked."""


@dataclass(frozen=True, slots=True)
class Signature:
    """One signature of a PDF.

    Attributes:
        signer: name in the certificate.
        intact: what it signs is as it was, and the certificate's key signed it.
        whole: it signs the file to its end; else something was added after it.
        trusted: its certificate leads to one that the caller trusts.
    """

    signer: str
    intact: bool
    whole: bool
    trusted: bool


def sign(pdf: bytes, certificate: bytes, passphrase: str = "") -> bytes:
    """Sign a PDF; the signature carries the clock, all else follows from what is given.

    Args:
        pdf: as it is; a signature that it has stays good.
        certificate: a PKCS #12 file with the signer's key.
        passphrase: of that file; empty for none.

    Returns:
        The same bytes, and the signature after them.

    Raises:
        SigningError: the library is missing, or one of the two cannot be read.
    """
    signers = _library().signers
    with _quiet():
        signer = _signer(signers, certificate, passphrase)
        try:
            from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

            writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
            number = len(writer.prev.embedded_signatures) + 1
            how = signers.PdfSignatureMetadata(field_name=f"signature-{number}")
            made: Any = signers.sign_pdf(writer, how, signer=signer)
        except Exception as fault:  # a broken PDF raises whatever its reader runs into
            raise SigningError(f"it cannot be signed: {type(fault).__name__}: {fault}") from fault
    signed = bytes(made.getbuffer())
    if not signed.startswith(pdf):
        raise SigningError("the signature would change what was made before it")
    return signed


def _signer(signers: Any, certificate: bytes, passphrase: str) -> Any:
    words = "the certificate cannot be read: it is no PKCS #12 file, or the passphrase is another"
    try:
        signer = signers.SimpleSigner.load_pkcs12_data(
            certificate, other_certs=[], passphrase=passphrase.encode() or None
        )
    except Exception as fault:  # whatever a broken file makes its reader run into
        raise SigningError(words) from fault
    if signer is None:
        raise SigningError(words)
    return signer


def signatures(pdf: bytes, trusted: Sequence[bytes] = ()) -> tuple[Signature, ...]:
    """The signatures of a PDF, from the first to the last; nothing is fetched from anywhere.

    Args:
        pdf: as it is.
        trusted: certificates (PEM or DER) that are trusted.

    Raises:
        SigningError: the library is missing, or a file cannot be read.
    """
    _library()
    from pyhanko.keys import load_certs_from_pemder_data
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko_certvalidator import ValidationContext

    with _quiet():
        try:
            roots = [c for data in trusted for c in load_certs_from_pemder_data(data)]
        except Exception as fault:  # what is no certificate raises whatever its parser runs into
            raise SigningError("a trusted certificate cannot be read: PEM or DER") from fault
        try:
            known = ValidationContext(trust_roots=roots, allow_fetching=False)
            every = PdfFileReader(io.BytesIO(pdf), strict=False).embedded_regular_signatures
            return tuple(_read(one, known) for one in every)
        except Exception as fault:  # a broken PDF raises whatever its reader runs into
            raise SigningError(f"its signatures cannot be read: {type(fault).__name__}") from fault


def _read(one: Any, known: Any) -> Signature:
    from pyhanko.sign.validation import SignatureCoverageLevel, validate_pdf_signature

    status = validate_pdf_signature(one, known, skip_diff=True)
    return Signature(
        signer=str(status.signing_cert.subject.human_friendly),
        intact=bool(status.intact and status.valid),
        whole=status.coverage is SignatureCoverageLevel.ENTIRE_FILE,
        trusted=bool(status.trusted),
    )


def _library() -> Any:
    try:
        import pyhanko.sign as library
    except ImportError as fault:
        raise SigningError(MISSING) from fault
    return library


@contextmanager
def _quiet() -> Iterator[None]:
    """Its own talk of certificates goes nowhere; what came of it is told by this module."""
    loggers = [logging.getLogger(name) for name in ("pyhanko", "pyhanko_certvalidator")]
    before = [logger.disabled for logger in loggers]
    for logger in loggers:
        logger.disabled = True
    try:
        yield
    finally:
        for logger, was in zip(loggers, before, strict=True):
            logger.disabled = was
