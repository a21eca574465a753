"""Signatures with a certificate made here: the unsigned bytes stay, `verify` tells who signed."""

from __future__ import annotations

import datetime
import io
import sys
from pathlib import Path

import pytest
from command import girderply
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import pkcs12
from made_schedules import sample
from pyhanko.pdf_utils.generic import StreamObject
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pypdf import PdfReader

from girderply.cli.pack import pack_files
from girderply.exchange.signed import SigningError, signatures
from girderply.exchange.signed import sign as signed

DAY = datetime.timedelta(days=1)


def certificate(name: str) -> tuple[bytes, bytes]:
    """PKCS #12 with the passphrase "heron", and the certificate alone: signed by itself."""
    key = ec.generate_private_key(ec.SECP256R1())
    who = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)])
    now = datetime.datetime.now(datetime.UTC)
    uses = dict.fromkeys(
        (
            "key_encipherment",
            "data_encipherment",
            "key_agreement",
            "encipher_only",
            "decipher_only",
        ),
        False,
    )
    made = (
        x509.CertificateBuilder(who, who, key.public_key(), x509.random_serial_number())
        .not_valid_before(now - DAY)
        .not_valid_after(now + DAY)
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_cert_sign=True,
                crl_sign=False,
                **uses,
            ),
            critical=True,
        )
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    locked = serialization.BestAvailableEncryption(b"heron")
    both = pkcs12.serialize_key_and_certificates(b"me", key, made, None, locked)
    return both, made.public_bytes(serialization.Encoding.PEM)


@pytest.fixture(scope="module")
def pdf() -> bytes:
    return pack_files(sample("two-ply-howe"))["delivery.pdf"]


@pytest.fixture(scope="module")
def anna() -> tuple[bytes, bytes]:
    return certificate("Anna Heron, engineer (demo)")


def test_signed_on_the_command_line_and_verified(capsys, tmp_path, pdf, anna):
    both, alone = anna
    for name, content in {"d.pdf": pdf, "me.p12": both, "a.pem": alone, "pass": b"heron\n"}.items():
        (tmp_path / name).write_bytes(content)
    here = [str(tmp_path / "d.pdf"), "--certificate", str(tmp_path / "me.p12")]
    made = girderply(capsys, "sign", *here, "--passphrase-file", str(tmp_path / "pass"))
    out = tmp_path / "d-signed.pdf"
    assert (made.code, made.out.replace("\n", "")) == (0, str(out))
    assert out.read_bytes().startswith(pdf)
    assert len(out.read_bytes()) > len(pdf)
    assert (tmp_path / "d.pdf").read_bytes() == pdf
    field = PdfReader(out).get_fields()["signature-1"]  # another library sees it too
    assert field["/FT"] == "/Sig"
    trusting = girderply(capsys, "verify", str(out), "--trust", str(tmp_path / "a.pem"))
    assert trusting.code == 0
    assert "signed by Common Name: Anna Heron, engineer (demo)\n" in trusting.out
    assert "pages are as they were made; something, such as a signature, was added" in trusting.out
    plain = girderply(capsys, "verify", str(out))
    assert plain.code == 0
    assert "the certificate leads to none trusted here" in plain.out
    again = girderply(capsys, "sign", *here, "--passphrase-file", str(tmp_path / "pass"))
    assert again.code == 2
    assert "exists already" in again.err


def test_two_sign_one_after_the_other(pdf, anna):
    ben = certificate("Ben Reed, supplier (demo)")
    one = signed(pdf, anna[0], "heron")
    two = signed(one, ben[0], "heron")
    assert two.startswith(one)
    found = signatures(two, [anna[1]])
    assert [(s.signer.split(": ")[1], s.intact, s.whole, s.trusted) for s in found] == [
        ("Anna Heron, engineer (demo)", True, False, True),
        ("Ben Reed, supplier (demo)", True, True, False),
    ]


def test_a_byte_changed_under_a_signature_is_told(capsys, tmp_path, pdf, anna):
    whole = bytearray(signed(pdf, anna[0], "heron"))
    whole[pdf.index(b"%%EOF")] ^= 1  # a comment: nothing that a page shows
    path = tmp_path / "d.pdf"
    path.write_bytes(bytes(whole))
    made = girderply(capsys, "verify", str(path))
    assert made.code == 1
    assert "what Common Name: Anna Heron, engineer (demo) signed was changed" in made.err


def test_a_page_changed_after_a_signature_is_told(capsys, tmp_path, pdf, anna):
    """The signature itself stays good: it signs what came before it."""
    writer = IncrementalPdfFileWriter(io.BytesIO(signed(pdf, anna[0], "heron")))
    page = writer.root["/Pages"]["/Kids"][0]
    page["/Contents"] = writer.add_object(StreamObject(stream_data=b"1 g 0 0 500 500 re f"))
    writer.update_container(page)
    out = io.BytesIO()
    writer.write(out)
    path = tmp_path / "d.pdf"
    path.write_bytes(out.getvalue())
    (one,) = signatures(out.getvalue())
    assert (one.intact, one.whole) == (True, False)
    made = girderply(capsys, "verify", str(path))
    assert made.code == 1
    assert "its pages were changed: page 1" in made.err
    assert "added to the file after its last signature" in made.out


@pytest.mark.parametrize(("content", "phrase"), [(b"no key", "heron"), (None, "egret"), (None, "")])
def test_a_certificate_that_cannot_be_used_is_refused_in_words(pdf, anna, content, phrase):
    with pytest.raises(SigningError, match="no PKCS #12 file, or the passphrase is another"):
        signed(pdf, content or anna[0], phrase)


def test_what_is_no_pdf_is_not_signed(anna):
    with pytest.raises(SigningError, match="cannot be signed"):
        signed(b"%PDF-1.7\nnothing", anna[0], "heron")


def test_without_the_library_it_is_said_what_to_install(capsys, tmp_path, pdf, anna, monkeypatch):
    path: Path = tmp_path / "d.pdf"
    path.write_bytes(signed(pdf, anna[0], "heron"))
    monkeypatch.setitem(sys.modules, "pyhanko.sign", None)
    with pytest.raises(SigningError, match=r'pip install "girderply\[sign\]"'):
        signatures(pdf)
    made = girderply(capsys, "verify", str(path))
    assert made.code == 0
    assert "SIGNATURES NOT CHECKED" in made.out
