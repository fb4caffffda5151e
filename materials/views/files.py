"""Kept photos and papers, to people who are signed in."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.http import require_safe

from materials.queries import file_for
from materials.services.keeping import file_bytes
from materials.services.price_sheet import CSV, ZIP
from materials.views.access import person_of

ENDINGS = {"application/pdf": "pdf", CSV: "csv", ZIP: "xlsx"}


@require_safe
def kept_file(request: HttpRequest, digest: str) -> HttpResponseBase:
    """Hand out a photo to look at, anything else as a download.

    A photo may stay in the browser, but is asked for each time whether it may still be
    seen; the answer to that costs no bytes.
    """
    stored = file_for(person_of(request), digest)
    if stored is None:
        raise Http404
    is_photo = stored.media_type.startswith("image/")
    tag = quote_etag(stored.digest)
    answer = get_conditional_response(request, etag=tag) if is_photo else None
    if answer is None:
        answer = HttpResponse(file_bytes(stored), content_type=stored.media_type)
    if is_photo:
        answer.headers["ETag"] = tag
        answer.headers["Cache-Control"] = "private, no-cache"
    else:
        ending = ENDINGS.get(stored.media_type, "bin")
        answer.headers["Content-Disposition"] = (
            f'attachment; filename="{stored.digest[:12]}.{ending}"'
        )
    answer.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return answer
