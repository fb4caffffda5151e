"""Hostile files: refused with a sentence, or kept as nothing but a picture's points."""

from __future__ import annotations

import io
import random
import struct
import time
import zipfile
import zlib
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image, PngImagePlugin

from materials.core.errors import Refusal
from materials.models import StoredFile
from materials.services import keep_file
from materials.services.keeping import KEPT_SIDE, file_bytes
from tests.hostile_pdfs import HOSTILE as PDFS
from tests.hostile_pdfs import INVOICE, PLAIN, bomb
from tests.service.jobs.booked import a_job
from tests.service.office import a_visit, ada, new_key, signed_in

pytestmark = pytest.mark.django_db

CANARY = b"heron-lantern-4711"
MOST_SECONDS = 3


@pytest.fixture(autouse=True)
def _kept_files(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


def picture(kind: str = "JPEG", size: tuple[int, int] = (60, 40), **more: Any) -> bytes:
    out = io.BytesIO()
    more.setdefault("format", kind)
    Image.new(more.pop("mode", "RGB"), size, more.pop("colour", "white")).save(
        out, **more
    )
    return out.getvalue()


def with_tags() -> bytes:
    tags = Image.Exif()
    tags[0x010E] = CANARY.decode()
    tags[0x0112] = 6
    place = tags.get_ifd(0x8825)
    place[1], place[2] = "N", (54.0, 58.0, 12.5)
    place[0x1C] = CANARY
    return picture(exif=tags)


def with_text(kind: str) -> bytes:
    if kind == "PNG":
        notes = PngImagePlugin.PngInfo()
        notes.add_text("Comment", CANARY.decode())
        notes.add_itxt("XML:com.adobe.xmp", CANARY.decode())
        return picture("PNG", pnginfo=notes)
    return picture(kind, xmp=CANARY, icc_profile=CANARY)


def archive() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        packed.writestr("a.php", CANARY)
    return out.getvalue()


def png(width: int, height: int, data: bytes = b"") -> bytes:
    """Return a PNG that claims a size and holds next to nothing."""

    def chunk(name: bytes, body: bytes) -> bytes:
        check = zlib.crc32(name + body)
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", data or zlib.compress(bytes(1_000)))
        + chunk(b"IEND", b"")
    )


def jpeg_of_size(width: int, height: int) -> bytes:
    """Return a JPEG whose header claims another size."""
    data = bytearray(picture())
    at = data.index(b"\xff\xc0") + 5
    data[at : at + 4] = struct.pack(">HH", height, width)
    return bytes(data)


def moving(kind: str, frames: int) -> bytes:
    out = io.BytesIO()
    first, *others = [
        Image.new("RGB", (8, 8), (at % 256, 3, 5)) for at in range(frames)
    ]
    first.save(out, kind, save_all=True, append_images=others)
    return out.getvalue()


SVG = b'<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><script/></svg>'
GIF_SCRIPT = b"GIF89a/*" + b"\0" * 20 + b"*/=1;alert(1)"
SENTENCES = (
    "no JPEG, PNG or WebP photo", "too many pixels", "name ends in", "than 15 MB",
    "holds more than pages", "cannot be read", "Choose a photo", "is empty",
)  # fmt: skip

# Each takes a process of its own; the others are judged in the core's unit test.
SOME_PDFS = ("script in the names", "enclosed program", "locked", "archive behind it",
             "truncated", "noise")  # fmt: skip

PICTURES: dict[str, tuple[str, bytes]] = {
    "place and description in its tags": ("a.jpg", with_tags()),
    "comment": ("a.jpg", picture(comment=CANARY)),
    "profile and packet in a JPEG": ("a.jpg", with_text("JPEG")),
    "texts in a PNG": ("a.png", with_text("PNG")),
    "profile and packet in a WebP": ("a.webp", with_text("WEBP")),
    "archive behind a JPEG": ("a.jpg", picture() + archive()),
    "script behind a JPEG": ("a.jpg", picture() + b"<?php " + CANARY),
    "page behind a PNG": ("a.png", picture("PNG") + b"<script>" + CANARY),
    "archive behind a WebP": ("a.webp", picture("WEBP") + archive()),
    "PDF behind a JPEG": ("a.jpg", picture() + PLAIN + CANARY),
    "page in a JPEG's comment": ("a.jpg", picture(comment=b"<script>" + CANARY)),
    "PNG called a JPEG": ("a.jpg", picture("PNG")),
    "palette with holes": ("a.png", picture("PNG", mode="P", colour=3,
                                            transparency=bytes([3, 0, 9, 200]))),
    "grey of 16 bits": ("a.png", picture("PNG", mode="I;16", colour=9)),
    "printer's colours": ("a.jpg", picture(mode="CMYK", colour=(1, 2, 3, 4))),
    "two views": ("a.jpg", moving("MPO", 2)),
    "larger than is kept": ("a.jpg", picture(size=(5_000, 300))),
    "one point": ("a.png", picture("PNG", size=(1, 1))),
}  # fmt: skip
REFUSED: dict[str, tuple[str, bytes]] = {
    "nothing": ("a.jpg", b""),
    "one byte": ("a.jpg", b"\xff"),
    "drawing with script": ("a.svg", SVG),
    "drawing called a photo": ("a.png", SVG),
    "page of the web": ("a.html", b"<!doctype html><script>alert(1)</script>"),
    "page called a photo": ("a.jpg", b"<html><script>alert(1)</script>"),
    "script": ("a.php", b"<?php system($_GET[0]);"),
    "photo called a script": ("a.php", picture()),
    "photo called a page": ("a.jpg.html", picture()),
    "photo called a PDF": ("a.pdf", picture()),
    "PDF called a photo": ("a.jpg", PLAIN),
    "PDF called a page": ("a.svg", PLAIN),
    "program": ("a.jpg", b"MZ" + bytes(400)),
    "archive": ("a.jpg", archive()),
    "animation that is a script": ("a.gif", GIF_SCRIPT),
    "animation": ("a.gif", picture("GIF")),
    "bitmap": ("a.bmp", picture("BMP")),
    "layers": ("a.tiff", picture("TIFF")),
    "icon": ("a.ico", picture("ICO")),
    "PostScript": ("a.eps", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n"),
    "frames in a PNG": ("a.png", moving("PNG", 3)),
    "frames in a WebP": ("a.webp", moving("WEBP", 40)),
    "169 million points": ("a.png", png(13_000, 13_000)),
    "ten thousand million points": ("a.png", png(100_000, 100_000)),
    "a thread of points": ("a.png", png(12_001, 1)),
    "2^31 points a side": ("a.png", png(2**31 - 1, 2**31 - 1)),
    "a JPEG of 65,000 a side": ("a.jpg", jpeg_of_size(65_000, 65_000)),
    "no width": ("a.png", png(0, 10)),
    "a bomb in its points": ("a.png", png(20, 20, zlib.compress(bytes(40_000_000)))),
    "truncated JPEG": ("a.jpg", picture(size=(400, 300))[:700]),
    "truncated PNG": ("a.png", picture("PNG", (400, 300))[:60]),
    "truncated WebP": ("a.webp", picture("WEBP", (400, 300))[:40]),
    "a head alone": ("a.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF\x00"),
    "more than 15 MB": ("a.jpg", picture() + bytes(15 * 1024 * 1024)),
    "a PDF that unpacks without end": ("a.pdf", bomb()),
    **{f"PDF: {kind}": ("a.pdf", PDFS[kind]) for kind in SOME_PDFS},
}
# A bomb in a PNG's points is cut off where its size ends.
REFUSED_OR_CLEAN = {"a bomb in its points"}


def sent(name: str, data: bytes) -> str:
    """Send a file as a photo of a visit; return what the page says then."""
    visit, owner = a_visit(), signed_in(ada())
    began = time.monotonic()
    answer = owner.post(
        reverse("add-photo", args=[visit.uid]),
        {"photo": SimpleUploadedFile(name, data), "request_key": new_key()},
    )
    taken = time.monotonic() - began
    assert answer.status_code == 302
    page = owner.get(answer.headers["Location"])
    assert page.status_code == 200
    assert taken < MOST_SECONDS * (5 if data.startswith(b"%PDF") else 1)
    return str(page.content.decode())


def test_the_corpus_is_large_enough() -> None:
    assert len(PICTURES) + len(REFUSED) + len(PDFS) - len(SOME_PDFS) >= 80


@pytest.mark.parametrize("kind", sorted(PICTURES))
def test_a_picture_is_kept_as_its_points_alone(kind: str) -> None:
    sent(*PICTURES[kind])

    stored = StoredFile.objects.get()
    data = file_bytes(stored)
    assert stored.media_type == "image/jpeg"
    assert CANARY not in data
    assert data.startswith(b"\xff\xd8")
    assert data.endswith(b"\xff\xd9")
    assert data.count(b"\xff\xd9") == 1
    kept = Image.open(io.BytesIO(data))
    kept.load()
    assert kept.format == "JPEG"
    assert not kept.getexif()
    assert set(kept.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert max(kept.size) <= KEPT_SIDE


@pytest.mark.parametrize("kind", sorted(REFUSED))
def test_anything_else_is_refused_in_a_sentence(kind: str) -> None:
    page = sent(*REFUSED[kind])

    if kind in REFUSED_OR_CLEAN and StoredFile.objects.exists():
        assert len(file_bytes(StoredFile.objects.get())) < 10_000
        return
    assert not StoredFile.objects.exists()
    assert any(one in page for one in SENTENCES)
    if "points" in kind and kind not in REFUSED_OR_CLEAN:
        assert "too many pixels" in page


@pytest.mark.parametrize("data", [PLAIN, INVOICE])
def test_a_plain_pdf_is_kept_as_it_is_and_handed_out_shut_in(data: bytes) -> None:
    sent("Receipt.PDF", data)

    stored = StoredFile.objects.get()
    assert file_bytes(stored) == data
    answer = signed_in(ada()).get(reverse("kept-file", args=[stored.digest]))
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"].startswith("attachment;")
    assert answer.headers["Content-Security-Policy"].startswith("sandbox")


NAMES = [
    "../../../../etc/cron.d/heron.jpg", "..\\..\\windows\\heron.jpg", "/etc/passwd.jpg",
    "a\r\nSet-Cookie: heron=1.jpg", "a\nheron.jpg", "\u202egpj.exe.jpg", "\0.jpg",
    "%2e%2e%2fheron.jpg", "a" * 5_000 + ".jpg", '"><svg onload=1>.jpg', "CON.jpg",
    ".jpg", "a;heron.jpg", "a\x1b[2J.jpg", "' OR 1=1 --.jpg", "{{7*7}}.jpg",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_name_leads_nowhere_and_breaks_no_line(name: str, tmp_path: Any) -> None:
    """The body is made by hand: a client of ours would have mended the name."""
    visit, owner = a_visit(), signed_in(ada())
    edge = "-----heron"
    body = b"".join(
        [
            f'--{edge}\r\nContent-Disposition: form-data; name="request_key"\r\n\r\n'
            f"{new_key()}\r\n--{edge}\r\nContent-Disposition: form-data; "
            'name="photo"; filename="'.encode(),
            name.encode(),
            b'"\r\nContent-Type: image/jpeg\r\n\r\n',
            picture(),
            f"\r\n--{edge}--\r\n".encode(),
        ]
    )
    answer = owner.post(
        reverse("add-photo", args=[visit.uid]),
        body,
        content_type=f"multipart/form-data; boundary={edge}",
    )

    # A head of a part longer than 1,024 bytes is not read at all.
    assert answer.status_code == (400 if len(name) > 1_000 else 302)
    if answer.status_code == 400:
        return
    for stored in StoredFile.objects.all():
        assert stored.original_name.isprintable()
        assert not {"/", "\\"} & set(stored.original_name)
        assert (tmp_path / "kept" / stored.digest[:2] / stored.digest).exists()
    page = owner.get(answer.headers["Location"])
    assert "Set-Cookie: heron" not in str(page.headers)
    assert "<svg onload" not in page.content.decode()
    assert list(tmp_path.rglob("*heron*")) == []


def test_a_photo_refused_beside_a_form_loses_nothing_that_was_typed() -> None:
    job = a_job()
    answer = signed_in(ada()).post(
        reverse("record-purchase", args=[job.number]),
        {
            "photo": SimpleUploadedFile("a.svg", SVG),
            "reference": "till 4711",
            "request_key": new_key(),
        },
    )

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "till 4711" in page
    assert "no JPEG, PNG or WebP photo" in page


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_damaged_anywhere_it_is_refused_or_kept_clean(kind: str) -> None:
    chance = random.Random(4711)
    whole = with_tags() if kind == "JPEG" else with_text(kind)
    kept = refused = 0
    for _ in range(120):
        data = bytearray(whole)
        for _ in range(chance.randint(1, 6)):
            data[chance.randrange(2, len(data))] = chance.randrange(256)
        if chance.random() < 0.3:
            del data[chance.randrange(len(data)) :]
        upload = SimpleUploadedFile("a", bytes(data))
        try:
            stored = keep_file(upload=upload, person=ada())
        except Refusal:
            refused += 1
        else:
            kept += 1
            assert CANARY not in file_bytes(stored)

    assert kept
    assert refused
