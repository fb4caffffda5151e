"""Kept photos and papers, to people who are signed in."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from materials.models import StoredFile
from materials.services.keeping import file_bytes


@require_GET
def kept_file(request: HttpRequest, digest: str) -> HttpResponse:
    """Hand out a photo to look at, anything else as a download."""
    stored = get_object_or_404(StoredFile, digest=digest)
    response = HttpResponse(file_bytes(stored), content_type=stored.media_type)
    if not stored.media_type.startswith("image/"):
        response.headers["Content-Disposition"] = (
            f'attachment; filename="{stored.digest[:12]}.pdf"'
        )
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    response.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response
