"""Series of numbers, invoices, their lines while drafts, and payments."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from jobs.models.booking import Job, Variation
from materials.fields import (
    MoneyField,
    QuantityField,
    RateField,
    amount_check,
    price_check,
)


class Series(models.Model):
    """The last number given out for a kind of document and year.

    The row is locked and counted up in the transaction that makes the document, so a
    series has no gap; `last_on` keeps dates in the order of numbers.
    """

    kind = models.CharField(max_length=20)
    year = models.PositiveIntegerField()
    last = models.PositiveIntegerField(default=0)
    last_on = models.DateField(null=True, blank=True)

    class Meta:
        """One row for a kind and year."""

        constraints = [
            models.UniqueConstraint(fields=["kind", "year"], name="series_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.year}: {self.last}"


def is_open() -> Q:
    """Return when an invoice is open: money is to come, or to go back as too much."""
    waiting = Q(state__in=["issued", "part_settled"])
    too_much = Q(due__lt=models.F("paid") + models.F("credited"))
    return (waiting | too_much) & ~Q(kind="credit") & ~Q(state="draft")


class Invoice(models.Model):
    """An invoice or credit note; frozen whole once it is issued.

    A draft has no number. `document` is what was issued, `digest` SHA-256 of its
    canonical JSON; the money columns repeat its sums. `paid` and `credited` are sums
    of payments and credit notes, kept under the lock of this row.
    """

    class Kind(models.TextChoices):
        """What is asked for."""

        DEPOSIT = "deposit", _("deposit")
        STAGE = "stage", _("stage payment")
        VARIATION = "variation", _("variation")
        FINAL = "final", _("final account")
        CREDIT = "credit", _("credit note")

    class State(models.TextChoices):
        """Draft, then issued; settled as it is paid or credited."""

        DRAFT = "draft", _("draft")
        ISSUED = "issued", _("issued")
        PART_SETTLED = "part_settled", _("part settled")
        SETTLED = "settled", _("settled")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, models.PROTECT, related_name="invoices")
    kind = models.CharField(max_length=10, choices=Kind)
    type_code = models.CharField(max_length=3)
    number = models.CharField(max_length=20, unique=True, null=True, blank=True)
    state = models.CharField(max_length=12, choices=State, default=State.DRAFT)
    title = models.CharField(max_length=200)
    share = RateField(null=True, blank=True)
    variation = models.ForeignKey(
        Variation, models.PROTECT, null=True, blank=True, related_name="invoices"
    )
    credits = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="credit_notes"
    )
    reason = models.CharField(max_length=200, blank=True)
    document = models.JSONField(default=dict, blank=True)
    digest = models.CharField(max_length=64, blank=True)
    net = MoneyField()
    tax = MoneyField()
    gross = MoneyField()
    prepaid = MoneyField()
    due = MoneyField()
    paid = MoneyField()
    credited = MoneyField()
    issued_on = models.DateField(null=True, blank=True)
    due_on = models.DateField(null=True, blank=True)
    open_due_on = models.GeneratedField(
        expression=models.Case(
            models.When(is_open(), then=models.F("due_on")), default=None
        ),
        output_field=models.DateField(null=True),
        db_persist=True,
        help_text=_("when it is due while it is not even: the database says so"),
    )
    issued_at = models.DateTimeField(null=True, blank=True)
    issued_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    pdf = models.ForeignKey(
        "materials.StoredFile", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Newest first; numbered exactly when issued; credits name their invoice."""

        ordering = ["-pk"]
        indexes = [
            models.Index(fields=["-id"], name="invoice_newest"),
            models.Index(fields=["state", "-id"], name="invoice_by_state"),
            models.Index(fields=["open_due_on", "id"], name="invoice_still_open"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    state="draft",
                    number__isnull=True,
                    issued_on__isnull=True,
                    digest="",
                )
                | (
                    ~Q(state="draft")
                    & ~Q(digest="")
                    & Q(
                        number__isnull=False,
                        issued_on__isnull=False,
                        due_on__isnull=False,
                    )
                ),
                name="invoice_numbered_when_issued",
            ),
            models.CheckConstraint(
                condition=Q(kind="credit", credits__isnull=False)
                | (~Q(kind="credit") & Q(credits__isnull=True)),
                name="credit_names_its_invoice",
            ),
            models.CheckConstraint(
                condition=Q(gross=models.F("net") + models.F("tax")),
                name="invoice_gross_adds_up",
            ),
            models.CheckConstraint(
                condition=Q(due=models.F("gross") - models.F("prepaid")),
                name="invoice_due_adds_up",
            ),
            models.CheckConstraint(
                condition=Q(credited__lte=models.F("due")),
                name="invoice_not_credited_beyond",
            ),
            *(
                amount_check(name)
                for name in (
                    "net",
                    "tax",
                    "gross",
                    "prepaid",
                    "due",
                    "paid",
                    "credited",
                )
            ),
        ]

    def __str__(self) -> str:
        return self.number or f"draft {self.title}"

    @property
    def is_draft(self) -> bool:
        """Whether it may still be changed or thrown away."""
        return self.state == self.State.DRAFT

    @property
    def is_credit(self) -> bool:
        """Whether its amounts are to be taken off."""
        return self.kind == self.Kind.CREDIT


class InvoiceLine(models.Model):
    """One line of a draft; after issue the document speaks."""

    invoice = models.ForeignKey(Invoice, models.CASCADE, related_name="lines")
    position = models.PositiveIntegerField(default=0)
    key = models.CharField(max_length=160)
    group = models.CharField(max_length=160, blank=True)
    text = models.CharField(max_length=300)
    detail = models.CharField(max_length=300, blank=True)
    quantity = QuantityField(default=1)
    unit = models.CharField(max_length=20, default="LS")
    price = MoneyField()
    category = models.CharField(max_length=3)
    rate = RateField(default=0)

    class Meta:
        """In order; a price is never below nothing."""

        ordering = ["position", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["invoice", "key"], name="invoice_line_once"
            ),
            models.CheckConstraint(
                condition=Q(price__gte=0), name="invoice_price_not_below"
            ),
            price_check("price"),
        ]

    def __str__(self) -> str:
        return self.text


class Payment(models.Model):
    """Money that came in for an invoice, or went back (an amount below nothing)."""

    class Way(models.TextChoices):
        """How it came."""

        TRANSFER = "transfer", _("bank transfer")
        CARD = "card", _("card")
        CASH = "cash", _("cash")
        CHEQUE = "cheque", _("cheque")
        REFUND = "refund", _("paid back")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="payments")
    paid_on = models.DateField()
    amount = MoneyField()
    way = models.CharField(max_length=10, choices=Way, default=Way.TRANSFER)
    reference = models.CharField(max_length=80, blank=True)
    request_key = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Oldest first; never nothing."""

        ordering = ["paid_on", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(amount=0), name="payment_is_some"),
            models.CheckConstraint(
                condition=Q(way="refund", amount__lt=0)
                | (~Q(way="refund") & Q(amount__gt=0)),
                name="payment_sign_fits_way",
            ),
            amount_check("amount"),
        ]

    def __str__(self) -> str:
        return f"{self.paid_on} {self.amount}"
