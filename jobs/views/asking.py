"""What the pages of this app share: finding rows, and refusals as sentences."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import date
from typing import TypeVar

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest
from django.utils import timezone

from jobs import queries
from jobs.models import Invoice, Job
from materials.core.errors import Refusal
from materials.views.access import person_of, show_refusal

Outcome = TypeVar("Outcome")


def job_or_404(request: HttpRequest, number: str) -> Job:
    """Return the job the person may open."""
    job = queries.job_for(person_of(request), number)
    if job is None:
        raise Http404
    return job


def invoice_or_404(request: HttpRequest, uid: uuid.UUID) -> Invoice:
    """Return the invoice the person may open."""
    invoice = queries.invoice_for(person_of(request), str(uid))
    if invoice is None:
        raise Http404
    return invoice


def today() -> date:
    """Return the calendar date where the business is."""
    return queries.local_date(timezone.now())


def tried(form: forms.BaseForm, act: Callable[[], Outcome]) -> Outcome | None:
    """Do what a form asks; a refusal becomes a sentence on it and nothing is lost."""
    try:
        return act()
    except Refusal as refusal:
        show_refusal(form, refusal)
        return None


def told(request: HttpRequest, act: Callable[[], object], done: str) -> bool:
    """Do what a button asks; say what was done, or why not."""
    try:
        act()
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return False
    messages.success(request, done)
    return True
