"""A report in other hands: what is inside its PDF proves its readings without the shop, and changing it is found."""

from __future__ import annotations

import datetime
import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from io import BytesIO
from itertools import count
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner
from PIL import Image

from inspect_app.bench.bench import Bench
from inspect_app.bench.issuing import issue_report, report_file
from inspect_app.bench.proving import Proven, proven
from inspect_app.bench.readings_file import bench_for, record_file
from inspect_app.bench.readings_written import readings_text
from inspect_app.bench.signing import opened, signed
from inspect_app.commands.cli import main
from inspect_app.entries.job import Place
from inspect_app.entries.opening import Nameplate
from inspect_app.job.assess import Assessment
from inspect_app.logbook.chains import Row, link_of
from inspect_app.trade.measuring.refusal import Refusal

DEMO = Path(__file__).parents[2] / "demo_data"
SECONDS = (datetime.datetime(2026, 3, 2, 8, n // 60, n % 60, tzinfo=datetime.UTC) for n in count())


def jpeg() -> bytes:
    file = BytesIO()
    Image.linear_gradient("L").save(file, "JPEG")
    return file.getvalue()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with two jobs, a report issued of each."""
    folder = tmp_path_factory.mktemp("hands") / "shop"
    bench = Bench(folder, now=lambda: next(SECONDS), device="phone")
    for name in ("J-1 Łódź", "J-2"):
        job = bench.open_job(name, "AB")
        job = bench.enter(job, Nameplate({"bore": "100", "rod": "70"}), "AB", "metric").job
        rod = bench.tables.cylinders[job.cylinder].check("rod-diameter")
        assert rod
        job = bench.measure(job, rod, Place("50", "12"), "69.95", "AB", "metric", sure=True).job
        job = bench.take_photo(job, job.id, jpeg(), "seen\u2028so", "AB").job
        issue_report(bench, job, "AB", "metric")
    bench.close()
    return folder


def issued(folder: Path, name: str = "J-1 Łódź") -> bytes:
    """The first report of a job, as the customer has it."""
    bench = Bench(folder, reading=True)
    (job_id,) = (line.id for line in bench.jobs() if line.name == name)
    file = report_file(bench, bench.job(job_id).reports[0].sha256)
    bench.close()
    assert file
    return file.read_bytes()


def inside(pdf: bytes, name: str) -> bytes:
    """A file inside a PDF, as a reader finds it that shares no code with ours."""
    return bytes(pymupdf.open(stream=pdf).embfile_get(name))


def looked(folder: Path, pdf: bytes) -> Proven:
    bench = Bench(folder, reading=True)
    try:
        return proven(bench, pdf)
    finally:
        bench.close()


# ---- the rule


def printed_program(pdf: bytes) -> str:
    """The lines of Python off the report's last page, as a reader copies them."""
    (page,) = [p.get_text() for p in pymupdf.open(stream=pdf) if "import hashlib, json" in p.get_text()]
    lines = page[page.index("import hashlib, json") :].splitlines()
    last = next(n for n, line in enumerate(lines) if line.startswith('print("changed'))
    return "\n".join(line.rstrip() for line in lines[: last + 1])


def run(program: str, entries: bytes, folder: Path) -> str:
    (folder / "entries.jsonl").write_bytes(entries)
    done = subprocess.run(
        [sys.executable, "-I", "-c", program], cwd=folder, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_printed_lines_recompute_the_printed_fingerprint(shop: Path, tmp_path: Path) -> None:
    pdf = issued(shop)
    program = printed_program(pdf)
    assert program == inside(pdf, "recompute.py").decode().strip()
    assert len(program.splitlines()) <= 20
    everything = "".join("".join(page.get_text().split()) for page in pymupdf.open(stream=pdf))
    (fingerprint,) = re.findall(r"Fingerprint([0-9a-f]{64})", everything)
    told = run(program, inside(pdf, "entries.jsonl"), tmp_path)
    assert f"fingerprint {fingerprint}" in told
    assert told.splitlines()[0].startswith("6 entries")
    assert told.endswith("missing: none\n")


@pytest.mark.parametrize("what", ["a body", "an entry left out", "two exchanged"])
def test_the_printed_lines_name_what_was_changed(what: str, shop: Path, tmp_path: Path) -> None:
    pdf = issued(shop)
    lines = inside(pdf, "entries.jsonl").decode().strip("\n").split("\n")
    if what == "a body":
        changed = next(n for n, line in enumerate(lines) if "69.95" in line)
        lines[changed] = lines[changed].replace("69.95", "69.99")
    elif what == "an entry left out":
        del lines[2]
    else:
        lines[1], lines[2] = lines[2], lines[1]
    told = run(printed_program(pdf), "\n".join(lines).encode(), tmp_path)
    assert not told.endswith("missing: none\n")
    if what == "a body":
        assert json.loads(lines[changed])["id"] in told


# ---- the readings


def assessed(file: Path, folder: Path) -> tuple[Assessment, str]:
    bench = bench_for(file, folder)
    job, _ = record_file(file, bench)
    text = readings_text(job, bench.tables.cylinders[job.cylinder])
    said = bench.assess(job)
    bench.close()
    return said, text


def outcome(said: Assessment) -> list[object]:
    findings = [(p.part.id, p.disposition, f) for p in said.parts for c in p.checks for f in c.findings]
    return [(part, what, f.check.id, f.characteristic, f.value, f.u, f.verdict) for part, what, f in findings]


@pytest.mark.parametrize(
    "name", ["linkspan_repair", "tie_rod"]
)  # metric with everything, inch with a drawing
def test_the_readings_inside_a_report_are_judged_alike(name: str, tmp_path: Path) -> None:
    first, text = assessed(DEMO / f"{name}.toml", tmp_path / "first")
    (tmp_path / "again.toml").write_text(text, encoding="utf-8")
    again, same = assessed(tmp_path / "again.toml", tmp_path / "second")
    assert outcome(again) == outcome(first)
    assert len(outcome(first)) > 30
    assert same == text


# ---- manipulations of the paper


def flipped(at: float) -> Callable[[bytes], bytes]:
    def deed(pdf: bytes) -> bytes:
        changed = bytearray(pdf)
        changed[int(len(pdf) * at)] ^= 1
        return bytes(changed)

    return deed


def resaved(deed: Callable[[pymupdf.Document], object]) -> Callable[[bytes], bytes]:
    """What somebody does with an editor of PDFs."""

    def done(pdf: bytes) -> bytes:
        document = pymupdf.open(stream=pdf)
        deed(document)
        return bytes(document.tobytes(garbage=3))

    return done


def overprinted(document: pymupdf.Document) -> None:
    page = document[0]
    page.draw_rect(pymupdf.Rect(40, 100, 500, 140), fill=(1, 1, 1))
    page.insert_text((50, 130), "Reuse")


def taken_out(document: pymupdf.Document) -> None:
    document.embfile_del("entries.jsonl")
    document.xref_set_key(document.pdf_catalog(), "AF", "null")


def exchange(document: pymupdf.Document, entries: bytes) -> None:
    taken_out(document)
    document.embfile_add("entries.jsonl", entries)


def with_entries(change: Callable[[list[Row]], list[Row]]) -> Callable[[pymupdf.Document], None]:
    def deed(document: pymupdf.Document) -> None:
        lines = document.embfile_get("entries.jsonl").decode().strip("\n").split("\n")
        rows = change([Row(**json.loads(line)) for line in lines])
        text = "".join(json.dumps(row._asdict(), ensure_ascii=False) + "\n" for row in rows)
        exchange(document, text.encode())

    return deed


def edited(rows: list[Row]) -> list[Row]:
    return [row._replace(body=row.body.replace("69.95", "69.99")) for row in rows]


def chained_anew(rows: list[Row]) -> list[Row]:
    end, made = "", []
    for row in edited(rows):
        linked = row._replace(previous=end)
        made.append(linked._replace(hash=link_of(linked)))
        end = made[-1].hash
    return made


def appended(pdf: bytes) -> bytes:
    """A page painted over in a part that is appended: the issued bytes stay as they are."""
    document = pymupdf.open(stream=pdf)
    overprinted(document)
    out = BytesIO(pdf)
    document.save(out, incremental=False)
    return pdf + out.getvalue()[-200:] + b"\n%%EOF\n"


AS_THEY_STAND = "6 entries inside this PDF are as they stand"
FOUND: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "a bit of its head": (flipped(0.0001), AS_THEY_STAND),
    "a bit of a photograph": (flipped(0.3), "inside this PDF"),
    "a bit near its end": (flipped(0.99), AS_THEY_STAND),
    "its decision painted over": (resaved(overprinted), AS_THEY_STAND),
    "a page taken out": (resaved(lambda d: d.delete_page(1)), AS_THEY_STAND),
    "its title": (resaved(lambda d: d.set_metadata({"title": "Other"})), AS_THEY_STAND),
    "its fingerprint": (lambda p: re.sub(rb"FINGERPRINT [0-9A-F]", b"FINGERPRINT X", p), AS_THEY_STAND),
    "its entries taken out": (resaved(taken_out), "No entries were found"),
    "a reading inside it": (
        resaved(with_entries(edited)), "Of the 6 entries inside this PDF 1 is not as it stands.*the reading of"),
    "the same, its chain recomputed": (resaved(with_entries(chained_anew)), "2 are not as they stand"),
    "an entry inside it left out": (resaved(with_entries(lambda rows: rows[1:])), "not all of them are there"),
    "something appended": (appended, AS_THEY_STAND),
    "cut off": (lambda p: p[: len(p) // 2], "inside this PDF"),
}  # fmt: skip


@pytest.mark.parametrize("what", FOUND)
def test_a_report_changed_in_other_hands_is_found(what: str, shop: Path) -> None:
    deed, sentence = FOUND[what]
    changed = deed(issued(shop))
    assert changed != issued(shop)
    look = looked(shop, changed)
    assert look.wrong[0].startswith("This PDF is not one that this logbook says was issued")
    assert any(re.search(sentence, said) for said in look.wrong), look.wrong
    assert bool(look.found) == (what == "something appended")


def test_an_appended_part_is_told_apart_from_what_was_issued(shop: Path) -> None:
    pdf = issued(shop)
    first, which, *_ = looked(shop, appended(pdf)).found
    assert first.startswith(f"Up to its byte {len(pdf)} this PDF is a report as it was issued; what follows")
    assert which.startswith("Its beginning: job J-1 Łódź, report 1 of 1.")


def test_entries_of_another_job_inside_it_are_those_of_that_job(shop: Path) -> None:
    other = inside(issued(shop, "J-2"), "entries.jsonl")
    changed = resaved(lambda d: exchange(d, other))(issued(shop))
    assert not looked(shop, changed).found
    assert any(
        AS_THEY_STAND in said for said in looked(shop, changed).wrong
    )  # and the pages are another job's


@pytest.mark.parametrize("junk", [b"", b"%PDF-1.7", b"/Type /EmbeddedFile stream\nno zip", b"\xff" * 999])
def test_what_is_no_report_is_told_and_stops_nothing(junk: bytes, shop: Path) -> None:
    assert "No entries were found inside this PDF." in looked(shop, junk).wrong


# ---- signed


@pytest.fixture(scope="module")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A certificate that is thrown away, of a day in any year the test runs."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "Example Shop")])
    now = datetime.datetime.now(datetime.UTC)
    day = datetime.timedelta(days=1)
    made = x509.CertificateBuilder(
        name, name, key.public_key(), x509.random_serial_number(), now - day, now + day
    )
    usage = x509.KeyUsage(True, True, False, False, False, False, False, False, False)
    cert = made.add_extension(usage, critical=True).sign(key, hashes.SHA256())
    file = tmp_path_factory.mktemp("certificate") / "shop.p12"
    file.write_bytes(
        pkcs12.serialize_key_and_certificates(b"shop", key, cert, None, BestAvailableEncryption(b"pw"))
    )
    return file


def signatures(pdf: bytes) -> Iterator[tuple[bool, bool, bool]]:
    """Of each signature, by the library: unchanged, its certificate's, over the whole file."""
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    for found in PdfFileReader(BytesIO(pdf)).embedded_signatures:
        trusted = ValidationContext(trust_roots=[found.signer_cert], allow_fetching=False)
        status = validate_pdf_signature(found, trusted)
        yield status.intact, status.valid, "ENTIRE_FILE" in str(status.coverage)


def test_a_signed_report_is_the_issued_one_and_a_changed_byte_is_found(shop: Path, certificate: Path) -> None:
    pytest.importorskip("pyhanko")
    pdf = issued(shop)
    with_signature = signed(pdf, opened(certificate, "pw"))
    assert with_signature.startswith(pdf)
    assert list(signatures(with_signature)) == [(True, True, True)]
    changed = bytearray(with_signature)
    changed[len(pdf) // 2] ^= 1
    assert [intact for intact, *_ in signatures(bytes(changed))] == [False]
    found = looked(shop, with_signature).found  # this one nobody recorded
    assert found[0].startswith(f"Up to its byte {len(pdf)} this PDF is a report as it was issued")


def test_verify_says_whose_signature_it_is_and_whether_anything_was_changed_since(
    shop: Path, certificate: Path, tmp_path: Path
) -> None:
    pytest.importorskip("pyhanko")
    with_signature = signed(issued(shop), opened(certificate, "pw"))
    look = looked(shop, with_signature)
    assert look.found[-1] == (
        "Signed by Example Shop, as the certificate itself says, and nothing was changed since. Whether that "
        "certificate can be trusted is not judged here."
    )
    assert not any("signed" in sentence for sentence in look.wrong)
    changed = bytearray(with_signature)
    changed[len(with_signature) // 3] ^= 1
    assert "The signature of Example Shop does not fit: this PDF was changed since it was signed." in (
        looked(shop, bytes(changed)).wrong
    )
    # what is appended leaves the signature whole, and it does not cover it
    file = tmp_path / "signed.pdf"
    file.write_bytes(with_signature)
    document = pymupdf.open(file)
    document[0].add_text_annot((50, 50), "added")
    document.saveIncr()
    added = file.read_bytes()
    assert added.startswith(with_signature)
    assert "Something was added after Example Shop signed; the signature does not cover that." in (
        looked(shop, added).wrong
    )
    # one that does not say it is a signature is none
    assert not any(
        "igned" in s for s in (*looked(shop, issued(shop)).found, *looked(shop, issued(shop)).wrong)
    )


def test_a_signature_that_cannot_be_read_and_one_without_the_library_are_said_to_be_not_checked(
    shop: Path, certificate: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("pyhanko")
    with_signature = signed(issued(shop), opened(certificate, "pw"))
    at = with_signature.rindex(b"/Contents")
    broken = with_signature[: at + 40] + b"zz" * 40 + with_signature[at + 120 :]
    assert any("its signature cannot be read" in s for s in looked(shop, broken).wrong)
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    assert looked(shop, with_signature).found[-1] == (
        "This PDF is signed; its signature was not checked. That needs the library pyhanko; install it with: "
        "pip install 'inspect-app[sign]'."
    )


def test_a_wrong_password_or_no_certificate_is_refused(certificate: Path, tmp_path: Path) -> None:
    pytest.importorskip("pyhanko")
    (tmp_path / "none.p12").write_bytes(b"none")
    for file, password in ((certificate, "other"), (tmp_path / "none.p12", "pw")):
        with pytest.raises(
            Refusal, match=r"cannot be opened: it is no \.p12 file with a key, or the password"
        ):
            opened(file, password)


def test_report_signs_records_what_it_signed_and_asks_for_the_password(
    shop: Path, certificate: Path, tmp_path: Path
) -> None:
    pytest.importorskip("pyhanko")
    out = tmp_path / "signed.pdf"
    command = ["report", "J-2", "-o", str(out), "--data", str(shop), "--sign", str(certificate)]
    refused = CliRunner().invoke(main, command, input="other\n")
    assert refused.exit_code == 2
    assert not out.exists()
    done = CliRunner().invoke(main, command, input="pw\n")
    assert done.exit_code == 0, done.output
    assert "pw" not in done.stdout
    look = looked(shop, out.read_bytes())
    assert look.wrong == ()
    assert look.found[0].startswith("This PDF: job J-2, report 2 of 2.")
    bench = Bench(shop, reading=True)
    (job_id,) = (line.id for line in bench.jobs() if line.name == "J-2")
    first, second = bench.job(job_id).reports
    assert first.head == second.head  # one issue
    bench.close()


def test_without_the_library_signing_is_refused_in_a_sentence(
    certificate: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(Refusal, match=r"install it with: pip install 'inspect-app\[sign\]'"):
        opened(certificate, "pw")
