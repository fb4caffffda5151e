"""Client-made keys, the audit trail and stored files: used by every other service."""

from __future__ import annotations

import hashlib
import io
import json
import re
import struct
import warnings
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import PurePath
from typing import Any

from django.conf import settings
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _
from PIL import Image, ImageFile, ImageOps

from materials.core.chain import Step, digest_of, step_digest
from materials.core.errors import Refusal
from materials.models import AuditEntry, AuditHead, Person, RequestKey, StoredFile
from materials.queries.seals import seals_of
from materials.services.pdf_judge import check_pdf
from materials.services.security import note

_KEY = re.compile(r"[A-Za-z0-9-]{16,64}", re.ASCII)
MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = 50_000_000
MOST_SIDE = 12_000
KEPT_SIDE = 2_560
PICTURES = {"JPEG", "PNG", "WEBP"}
PICTURE_ENDINGS = {"", ".jpg", ".jpeg", ".jpe", ".jfif", ".png", ".webp"}
PDF_ENDINGS = {"", ".pdf"}
# Whatever a reader of pictures trips over in a file made to trip it.
_BROKEN_PICTURE = (
    OSError, ValueError, SyntaxError, TypeError, LookupError, ArithmeticError,
    AttributeError, MemoryError, RuntimeError, EOFError, struct.error, zlib.error,
)  # fmt: skip


@dataclass(slots=True)
class Claim:
    """One key taken: `outcome` is what the first effect left, or empty when new."""

    row: RequestKey

    @property
    def outcome(self) -> str:
        """What the first effect left: usually a primary key; empty when new."""
        return self.row.outcome

    def settle(self, outcome: object) -> None:
        """Note what this effect left, for whoever repeats the request."""
        self.row.outcome = str(outcome)
        self.row.save(update_fields=["outcome"])


def once(
    *, key: str, purpose: str, person: Person | None, payload: Mapping[str, object]
) -> Claim:
    """Take a client-made key inside the transaction of its effect.

    Call first in an atomic service. A repeat of the same request gets the claim with
    the first outcome; the caller returns that instead of acting again.

    Raises: Refusal without a key, or when the key was used for something else.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("once() belongs inside the transaction of its effect.")
    if _KEY.fullmatch(key) is None:
        _note_key("no key", purpose, person)
        raise Refusal(
            _("This form lost its key; open the page again and repeat the entry."),
            field="request_key",
        )
    digest = digest_of({"purpose": purpose, "payload": payload})
    try:
        with transaction.atomic():
            row = RequestKey.objects.create(
                key=key, purpose=purpose, person=person, digest=digest
            )
    except IntegrityError:
        row = RequestKey.objects.get(key=key)
        if row.digest != digest:
            _note_key("other content", purpose, person)
            raise Refusal(
                _(
                    "This form was already sent with other content; "
                    "open the page again to enter something new."
                ),
                field="request_key",
            ) from None
    return Claim(row)


def _note_key(why: str, purpose: str, person: Person | None) -> None:
    who = person.pk if person is not None else None
    note("request key refused", None, who=who, what=purpose, why=why)


@transaction.atomic(savepoint=False)
def audit(
    *,
    action: str,
    subject: str,
    person: Person | None,
    facts: Mapping[str, object] | None = None,
    kind: str = "person",
    seals: Iterable[models.Model] = (),
) -> AuditEntry:
    """Append one step to the trail, chained to the step before.

    Takes a lock on the head row until the transaction ends, so that steps keep one
    order on both databases. `seals` are saved rows whose content the step vouches for.
    """
    head = AuditHead.objects.select_for_update().filter(pk=1).first()
    if head is None:
        head, _made = AuditHead.objects.get_or_create(pk=1)
        head = AuditHead.objects.select_for_update().get(pk=1)
    plain = json.loads(json.dumps(dict(facts or {}), default=str))
    sealed = seals_of(seals)
    step = Step(
        seq=head.seq + 1,
        at=datetime.now(UTC),
        actor=person.pk if person is not None else None,
        actor_kind=kind,
        action=action,
        subject=subject,
        facts=plain | ({"seals": sealed} if sealed else {}),
        previous=head.digest,
    )
    head.seq, head.digest = step.seq, step_digest(step)
    head.save(update_fields=["seq", "digest"])
    return AuditEntry.objects.create(
        seq=step.seq,
        at=step.at,
        actor=person,
        actor_kind=kind,
        action=action,
        subject=subject,
        facts=step.facts,
        previous=step.previous,
        digest=head.digest,
    )


def keep_file(*, upload: UploadedFile[Any], person: Person | None) -> StoredFile:
    """Store a photo or a PDF receipt by content; the same bytes are stored once.

    A picture is judged by its header, turned upright, re-encoded without its tags
    and made no larger than 2,560 px; a PDF is kept as it is and only handed out as a
    download.

    Raises: Refusal for anything else, too large, or not what it says it is.
    """
    try:
        data, media_type = _judged(upload)
    except Refusal as refusal:
        who, size = person.pk if person is not None else None, upload.size
        note("upload refused", None, who=who, why=refusal.sentence, size=size)
        raise
    return _store(data, media_type, upload.name or "", person)


def _judged(upload: UploadedFile[Any]) -> tuple[bytes, str]:
    """Return what is kept of an upload and what it is: a clean picture, or a PDF."""
    if upload.size is None or upload.size > MOST_BYTES:
        raise Refusal(
            _("The file is larger than 15 MB; send a smaller photo."), field="photo"
        )
    data, ending = upload.read(), PurePath(upload.name or "").suffix.lower()
    if data.startswith(b"%PDF-"):
        media_type, endings = "application/pdf", PDF_ENDINGS
        check_pdf(data)
    else:
        media_type, endings = "image/jpeg", PICTURE_ENDINGS
        data = _clean_picture(data)
    if ending not in endings:
        raise Refusal(
            _(
                "The file's name ends in “%(ending)s”, and what is in it is something "
                "else; send it under its own name, or take the photo again."
            )
            % {"ending": ending[:12]},
            field="photo",
        )
    return data, media_type


def keep_bytes(
    *, data: bytes, media_type: str, name: str, person: Person | None
) -> StoredFile:
    """Store bytes this program made itself, such as an issued PDF."""
    return _store(data, media_type, name, person)


def _clean_picture(data: bytes) -> bytes:
    """Return a picture's points alone, as a JPEG: no tag, comment or tail survives.

    Raises: Refusal.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            upright = _upright(data)
    except Refusal:
        raise
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise _too_many_pixels() from error
    except _BROKEN_PICTURE as error:
        raise _no_picture() from error
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=85)
    return out.getvalue()


def _upright(data: bytes) -> Image.Image:
    """Return a picture read, turned as it was taken, and no larger than is kept."""
    # The engine of papers lets the library take half a picture for a whole one.
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    picture = Image.open(io.BytesIO(data), formats=sorted(PICTURES))
    width, height = picture.size
    if width * height > MOST_PIXELS or max(width, height) > MOST_SIDE:
        raise _too_many_pixels()
    # Some phones put a second view behind the photo; the first is the photo itself.
    if picture.format != "MPO" and getattr(picture, "n_frames", 1) != 1:
        raise _no_picture()
    # A JPEG can be read at a part of its size, which takes as little memory.
    picture.draft("RGB", (KEPT_SIDE, KEPT_SIDE))
    upright = ImageOps.exif_transpose(picture).convert("RGB")
    upright.thumbnail((KEPT_SIDE, KEPT_SIDE))
    return upright


def _too_many_pixels() -> Refusal:
    return Refusal(
        _("The photo has too many pixels; send it at a smaller size."), field="photo"
    )


def _no_picture() -> Refusal:
    return Refusal(
        _("That is no JPEG, PNG or WebP photo and no PDF; take the photo again."),
        field="photo",
    )


@transaction.atomic
def _store(
    data: bytes, media_type: str, name: str, person: Person | None
) -> StoredFile:
    digest = hashlib.sha256(data).hexdigest()
    kept = StoredFile.objects.filter(digest=digest).first()
    if kept is not None:
        return kept
    place = file_place(digest)
    if not default_storage.exists(place):
        default_storage.save(place, io.BytesIO(data))
    kept = StoredFile.objects.create(
        digest=digest,
        media_type=media_type,
        size=len(data),
        original_name=name[-200:],
        kept_by=person,
    )
    audit(
        action="keep file",
        subject=f"file {digest[:12]}",
        person=person,
        kind="person" if person is not None else "program",
        seals=[kept],
    )
    return kept


def file_place(digest: str) -> str:
    """Return where in the media folder the bytes of a digest lie."""
    return f"kept/{digest[:2]}/{digest}"


def file_bytes(stored: StoredFile) -> bytes:
    """Return the bytes of a stored file."""
    path = f"{settings.MEDIA_ROOT}/{file_place(stored.digest)}"
    with open(path, "rb") as handle:
        return handle.read()
