"""A report signed with the shop's certificate, where the `sign` extra is installed; the signature is appended to it."""

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

NOT_INSTALLED = "Signing needs the library pyhanko; install it with: pip install 'inspect-app[sign]'."
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


def keep_signed(bench: Bench, job: Job, by: str, pdf: bytes) -> None:
    """Keep a signed report, and record it as issued: of the same entries, so the same issue.

    Args:
        bench: the open data folder.
        job: the job.
        by: who signs.
        pdf: the signed report.
    """
    issue_drawn(bench, job, by, head_of(bench, job), pdf)
