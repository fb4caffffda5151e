"""Every kind of answer carries its guards: pages, files, redirects and refusals."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponseBase, StreamingHttpResponse
from django.test import Client as Browser
from django.urls import path, reverse
from django.utils import timezone

from gaugerod import urls
from materials.views.access import too_many
from quotes.services import make_link
from tests.service.jobs.test_pages import a_photo
from tests.service.office import (
    a_business,
    a_visit,
    ada,
    an_offer,
    ben,
    new_key,
    signed_in,
)

pytestmark = pytest.mark.django_db


@login_not_required
def breaks(request: HttpRequest) -> HttpResponseBase:
    raise RuntimeError("a fault of the program")


@login_not_required
def streams(request: HttpRequest) -> HttpResponseBase:
    return StreamingHttpResponse([b"one ", b"two"])


@login_not_required
def asked_too_often(request: HttpRequest) -> HttpResponseBase:
    return too_many(request)


# The program's own addresses, and three answers that none of them gives at will.
urlpatterns = [
    *urls.urlpatterns,
    path("breaks/", breaks),
    path("streams/", streams),
    path("too-often/", asked_too_often),
]
handler400, handler403 = urls.handler400, urls.handler403


@pytest.fixture(autouse=True)
def _with_three_more(settings: Any, tmp_path: Any) -> None:
    settings.ROOT_URLCONF = __name__
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def https(settings: Any) -> None:
    """Serve as `GAUGEROD_HTTPS=true` does."""
    settings.HTTPS = settings.SECURE_SSL_REDIRECT = True
    settings.SECURE_HSTS_SECONDS = 31_536_000
    settings.SECURE_HSTS_INCLUDE_SUBDOMAINS = settings.SECURE_HSTS_PRELOAD = True
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")


def a_token(*, days: int = 30) -> str:
    _link, token = make_link(
        revision=an_offer(),
        at=timezone.now() - timedelta(days=days - 30),
        person=ada(),
        key=new_key(),
    )
    return token


def anybody(**more: Any) -> Browser:
    return Browser(raise_request_exception=False, **more)


def kinds_of_answer(**more: Any) -> Iterator[tuple[str, int, Any]]:
    """Give one answer of each kind: what it is, the status it must have, itself."""
    browser, visit = anybody(), a_visit()
    owner = Browser(raise_request_exception=False)
    owner.force_login(ada())
    strict = Browser(enforce_csrf_checks=True)
    token, style = a_token(), "/static/css/screen.css"
    page = owner.get(style, **more)
    photo = owner.post(
        reverse("add-photo", args=[visit.uid]),
        {"photo": a_photo(), "request_key": new_key()},
        **more,
    )
    kept = visit.photos.get().file.digest
    file = owner.get(reverse("kept-file", args=[kept]), **more)
    yield "page", 200, owner.get(reverse("visits"), **more)
    yield "page of a stranger", 200, browser.get(reverse("sign-in"), **more)
    yield "sent to sign in", 302, browser.get(reverse("visits"), **more)
    yield "sent on", 302, photo
    yield "photo", 200, file
    yield (
        "photo again",
        304,
        owner.get(
            reverse("kept-file", args=[kept]),
            headers={"If-None-Match": file.headers["ETag"]},
            **more,
        ),
    )
    yield (
        "file of data",
        200,
        owner.get(reverse("visit-file", args=[visit.uid]), **more),
    )
    yield "paper", 200, owner.get(reverse("cut-list-paper", args=[visit.uid]), **more)
    yield "style sheet", 200, page
    yield (
        "style sheet again",
        304,
        browser.get(
            style, headers={"If-Modified-Since": page.headers["Last-Modified"]}, **more
        ),
    )
    yield "posted to a style sheet", 405, browser.post(style, **more)
    yield "no style sheet", 404, browser.get("/static/none.css", **more)
    yield "private page", 200, browser.get(reverse("offer", args=[token]), **more)
    yield (
        "private paper",
        200,
        browser.get(reverse("offer-paper", args=[token]), **more),
    )
    yield "no private page", 404, browser.get(reverse("offer", args=["none"]), **more)
    yield "wrong host", 400, browser.get("/", **{**more, "HTTP_HOST": "evil.example"})
    yield "form from elsewhere", 403, strict.post(reverse("sign-in"), {}, **more)
    yield "not your page", 403, _bens(visit.uid, **more)
    yield "no page", 404, browser.get("/none/", **more)
    yield "wrong method", 405, owner.delete(reverse("visits"), **more)
    yield "refused form", 422, owner.post(reverse("add-visit"), {"title": ""}, **more)
    yield (
        "too large",
        413,
        owner.post(
            reverse("visits"), **{**more, "CONTENT_LENGTH": str(65 * 1024 * 1024)}
        ),
    )
    yield "too often", 429, browser.get("/too-often/", **more)
    yield "broken", 500, browser.get("/breaks/", **more)
    yield "stream", 200, browser.get("/streams/", **more)


def _bens(uid: object, **more: Any) -> Any:
    return signed_in(ben()).get(reverse("price", args=[uid]), **more)


ALWAYS = {
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
STATIC = ("style sheet", "style sheet again", "posted to a style sheet")
WITH_FORM = "private page"
BARE = (304, 302)
"""Answers whose body nobody reads; the first has no type at all."""


def faults_of(kind: str, answer: Any) -> list[str]:
    """Return in words what an answer lacks."""
    has = answer.headers
    found = [
        f"{name}: {has.get(name)}" for name, value in ALWAYS.items()
        if has.get(name) != value
    ]  # fmt: skip
    policy = has.get("Content-Security-Policy", "")
    if kind in ("photo", "photo again"):
        found += [policy] * (not policy.startswith("sandbox; default-src 'none'"))
    elif not {"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'",
              "object-src 'none'"} <= set(policy.split("; ")):  # fmt: skip
        found.append(f"policy: {policy}")
    if "unsafe" in policy or "http:" in policy:
        found.append(f"policy allows: {policy}")
    private = kind.startswith(("private", "no private"))
    wanted = "strict-origin" if kind == WITH_FORM else "no-referrer"
    if has.get("Referrer-Policy") != (wanted if private else "same-origin"):
        found.append(f"Referrer-Policy: {has.get('Referrer-Policy')}")
    if private and "noindex" not in has.get("X-Robots-Tag", ""):
        found.append("indexed")
    cache = has.get("Cache-Control", "")
    if kind.startswith("photo"):
        found += [cache] * (cache != "private, no-cache")
    elif kind not in STATIC and "no-store" not in cache:
        found.append(f"Cache-Control: {cache}")
    typed = has.get("Content-Type", "")
    if typed.startswith("text/") and "charset" not in typed:
        found.append(f"Content-Type: {typed}")
    if not typed and answer.status_code not in BARE and kind not in STATIC:
        found.append("no Content-Type")
    return found


def read_to_its_end(answer: Any) -> None:
    """Let go of the file behind a static answer."""
    if answer.streaming:
        list(answer.streaming_content)


def test_every_kind_of_answer_is_guarded() -> None:
    a_business()
    wrong = {}
    for kind, status, answer in kinds_of_answer():
        faults = faults_of(kind, answer)
        if answer.status_code != status:
            faults.append(f"status {answer.status_code}")
        read_to_its_end(answer)
        if "Strict-Transport-Security" in answer.headers:
            faults.append("HSTS over plain HTTP")
        if faults:
            wrong[kind] = faults

    assert wrong == {}


@pytest.mark.usefixtures("https")
def test_over_https_every_kind_says_to_stay_there() -> None:
    a_business()
    wrong = {}
    for kind, status, answer in kinds_of_answer(HTTP_X_FORWARDED_PROTO="https"):
        faults = faults_of(kind, answer)
        hsts = answer.headers.get("Strict-Transport-Security")
        if hsts != "max-age=31536000; includeSubDomains; preload":
            faults.append(f"HSTS: {hsts}")
        if answer.status_code != status:
            faults.append(f"status {answer.status_code}")
        read_to_its_end(answer)
        if faults:
            wrong[kind] = faults

    assert wrong == {}


@pytest.mark.usefixtures("https")
def test_the_redirect_to_https_and_a_host_refused_there_are_guarded() -> None:
    answers = {
        "to HTTPS": (301, anybody().get("/visits/")),
        "to HTTPS, of a file": (301, anybody().get("/static/css/screen.css")),
        "wrong host": (400, anybody().get("/", headers={"Host": "evil.example"})),
    }

    for kind, (status, answer) in answers.items():
        assert answer.status_code == status, kind
        assert faults_of(kind, answer) == [], kind
        assert "Strict-Transport-Security" not in answer.headers, kind
        read_to_its_end(answer)


def test_a_refused_page_reads_as_one_of_ours() -> None:
    a_business()
    strict = Browser(enforce_csrf_checks=True)

    refused = strict.post(reverse("sign-in"), {"username": "ada"})
    large = anybody().post("/sign-in/", CONTENT_LENGTH=str(2**40))
    nonsense = anybody().post("/sign-in/", CONTENT_LENGTH="-4")

    assert "did not come from an open page" in refused.content.decode()
    assert "style=" not in refused.content.decode()
    assert "a photo may have 15 MB" in large.content.decode()
    assert nonsense.status_code == 413


def test_a_photo_is_looked_at_again_without_its_bytes_and_only_signed_in() -> None:
    visit = a_visit()
    owner = signed_in(ada())
    owner.post(
        reverse("add-photo", args=[visit.uid]),
        {"photo": a_photo(), "request_key": new_key()},
    )
    address = reverse("kept-file", args=[visit.photos.get().file.digest])
    tag = {"If-None-Match": owner.get(address).headers["ETag"]}

    assert owner.get(address, headers=tag).content == b""
    assert Browser().get(address, headers=tag).status_code == 302
