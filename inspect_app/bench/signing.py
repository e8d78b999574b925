"""A report signed with the shop's certificate, and what a signature says of it, where the `sign` extra is installed.

A signature is appended to the report. Whether a certificate can be trusted is nobody's to judge here.
"""

from __future__ import annotations

import importlib.util
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import head_of, issue_drawn
from inspect_app.entries.job import Job
from inspect_app.trade.measuring.refusal import Refusal

if TYPE_CHECKING:
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko.sign.validation import EmbeddedPdfSignature

INSTALL = "the library pyhanko; install it with: pip install 'inspect-app[sign]'."
NOT_INSTALLED = f"Signing needs {INSTALL}"
NOT_CHECKED = f"This PDF is signed; its signature was not checked. That needs {INSTALL}"
UNREADABLE = (
    "This PDF is signed, and its signature cannot be read: the file was changed, or is no PDF any more."
)
SIGNED = b"/ByteRange"
"""What stands in every PDF that is signed."""

FIELD = "Shop"
"""The name of the signature in the PDF."""


def opened(certificate: Path, password: str) -> SimpleSigner:
    """The shop's certificate with its key, ready to sign.

    Args:
        certificate: a file of PKCS #12 (.p12, .pfx).
        password: the file's password.
    Raises:
        Refusal: the library is not installed, or the file cannot be opened with this password.
    """
    if importlib.util.find_spec("pyhanko") is None:
        raise Refusal(NOT_INSTALLED)
    from pyhanko.sign.signers import SimpleSigner

    signer: SimpleSigner | None = None
    with suppress(ValueError):
        signer = SimpleSigner.load_pkcs12_data(certificate.read_bytes(), [], password.encode())
    if signer is None or signer.signing_cert is None:
        raise Refusal(
            f"{certificate} cannot be opened: it is no .p12 file with a key, or the password is wrong."
        )
    return signer


def signed(pdf: bytes, signer: SimpleSigner) -> bytes:
    """A PDF with a signature that certifies it and allows no change after it; its own bytes stay as they are.

    Args:
        pdf: the PDF.
        signer: the shop's certificate.
    """
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.fields import MDPPerm
    from pyhanko.sign.signers import PdfSignatureMetadata, sign_pdf

    about = PdfSignatureMetadata(
        FIELD, md_algorithm="sha256", certify=True, docmdp_permissions=MDPPerm.NO_CHANGES
    )
    out = BytesIO()
    sign_pdf(IncrementalPdfFileWriter(BytesIO(pdf)), about, signer, output=out)
    return out.getvalue()


def signatures_told(pdf: bytes) -> tuple[list[str], list[str]]:
    """What is wrong with the signatures inside a PDF, and what they say; nothing of one that is not signed.

    Args:
        pdf: the PDF.
    """
    if SIGNED not in pdf:
        return [], []
    if importlib.util.find_spec("pyhanko") is None:
        return [], [NOT_CHECKED]
    from pyhanko.pdf_utils.reader import PdfFileReader

    wrong: list[str] = []
    found: list[str] = []
    try:
        for signature in PdfFileReader(BytesIO(pdf)).embedded_signatures:
            fits, sentence = _told(signature)
            (found if fits else wrong).append(sentence)
    except Exception:  # the file came from anywhere, and the library raises anything
        wrong.append(UNREADABLE)
    return wrong, found


def _told(signature: EmbeddedPdfSignature) -> tuple[bool, str]:
    """Whether a signature fits what it is of, and a sentence that says so."""
    from pyhanko.sign.validation import SignatureCoverageLevel, validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    # its own certificate as the root: the sums are checked, and nobody is asked whether it can be trusted
    own = ValidationContext(trust_roots=[signature.signer_cert], allow_fetching=False)
    status = validate_pdf_signature(signature, own)
    named = signature.signer_cert.subject.native
    who = named.get("common_name") or named.get("organization_name") or "somebody unnamed"
    if not (status.intact and status.valid):
        return False, f"The signature of {who} does not fit: this PDF was changed since it was signed."
    if status.coverage is not SignatureCoverageLevel.ENTIRE_FILE:
        return False, f"Something was added after {who} signed; the signature does not cover that."
    return True, (
        f"Signed by {who}, as the certificate itself says, and nothing was changed since. Whether that certificate "
        "can be trusted is not judged here."
    )


def keep_signed(bench: Bench, job: Job, by: str, pdf: bytes) -> None:
    """Keep a signed report, and record it as issued: of the same entries, so the same issue.

    Args:
        bench: the open data folder.
        job: the job.
        by: who signs.
        pdf: the signed report.
    """
    issue_drawn(bench, job, by, head_of(bench, job), pdf)
