"""The business and who works in it."""

from __future__ import annotations

from django.db.models import QuerySet

from materials.models import Business, Person


def business() -> Business | None:
    """Return the business, or None before it is set up."""
    return Business.objects.filter(pk=1).first()


def people() -> QuerySet[Person]:
    """Return everybody who ever could sign in, by name."""
    return Person.objects.order_by("first_name", "last_name", "pk")
