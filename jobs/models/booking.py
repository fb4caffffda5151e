"""Jobs, the budget each took over from its accepted quote, and agreed changes."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import MoneyField, QuantityField, amount_check


class Job(models.Model):
    """Work that was agreed: one accepted revision makes one job.

    `budget` is the accepted option of the frozen quote with the rates of the day,
    stored whole; the money columns repeat its totals for lists.
    """

    class State(models.TextChoices):
        """The life of a job."""

        BOOKED = "booked", _("booked")
        ON_SITE = "on_site", _("on site")
        SNAGGING = "snagging", _("snagging")
        COMPLETE = "complete", _("complete")
        CLOSED = "closed", _("closed")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    number = models.CharField(max_length=20, unique=True)
    revision = models.OneToOneField(
        "quotes.Revision", models.PROTECT, related_name="job"
    )
    client = models.ForeignKey("quotes.Client", models.PROTECT, related_name="jobs")
    title = models.CharField(max_length=160)
    state = models.CharField(max_length=10, choices=State, default=State.BOOKED)
    currency = models.CharField(max_length=3)
    budget = models.JSONField(default=dict, blank=True)
    cost = MoneyField()
    net = MoneyField()
    gross = MoneyField()
    booked_on = models.DateField()
    started_on = models.DateField(null=True, blank=True)
    completed_on = models.DateField(null=True, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Newest first."""

        ordering = ["-pk"]
        indexes = [
            # The table itself is in this order, but its rows are long: pages far down
            # a list pass over keys here.
            models.Index(fields=["-id"], name="job_newest"),
            models.Index(fields=["state", "-id"], name="job_by_state"),
        ]
        constraints = [
            amount_check("cost"),
            amount_check("net"),
            amount_check("gross"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    @property
    def is_open(self) -> bool:
        """Whether work may still be recorded on it."""
        return self.state != self.State.CLOSED


class Variation(models.Model):
    """A change asked for after acceptance; it counts once the client has agreed.

    `lines` hold text, net, tax category and rate, in the words of the invoice.
    """

    class State(models.TextChoices):
        """Proposed, then agreed or declined."""

        PROPOSED = "proposed", _("proposed")
        AGREED = "agreed", _("agreed")
        DECLINED = "declined", _("declined")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    job = models.ForeignKey(Job, models.PROTECT, related_name="variations")
    number = models.CharField(max_length=20, unique=True)
    text = models.CharField(max_length=200)
    lines = models.JSONField(default=list, blank=True)
    cost_class = models.CharField(max_length=20, default="labour")
    cost = MoneyField()
    net = MoneyField()
    state = models.CharField(max_length=10, choices=State, default=State.PROPOSED)
    agreed_by = models.CharField(max_length=160, blank=True)
    agreed_on = models.DateField(null=True, blank=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """Oldest first; what is agreed says by whom and when."""

        ordering = ["pk"]
        constraints = [
            amount_check("cost"),
            amount_check("net"),
            models.CheckConstraint(
                condition=~Q(state="agreed")
                | (~Q(agreed_by="") & Q(agreed_on__isnull=False)),
                name="variation_agreed_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.text}"


class BudgetLine(models.Model):
    """One line of the budget: what was quoted, at cost and at price.

    `quantity` is what the cost pays for: the content of whole packs, hours, or 1 for
    a sum; `needed` is what the work takes of it. `packs` repeats the packs quoted.
    """

    job = models.ForeignKey(Job, models.CASCADE, related_name="budget_lines")
    variation = models.ForeignKey(
        Variation, models.PROTECT, null=True, blank=True, related_name="budget_lines"
    )
    key = models.CharField(max_length=160)
    position = models.PositiveIntegerField(default=0)
    cost_class = models.CharField(max_length=20)
    nature = models.CharField(max_length=20, default="computed")
    text = models.CharField(max_length=300)
    material = models.ForeignKey(
        "materials.Material", models.PROTECT, null=True, blank=True, related_name="+"
    )
    operation = models.CharField(max_length=60, blank=True)
    supplied_by = models.CharField(max_length=10, default="us")
    quantity = QuantityField()
    needed = QuantityField(default=0)
    unit = models.CharField(max_length=20, blank=True)
    pack_count = models.PositiveIntegerField(default=0)
    packs = models.JSONField(default=list, blank=True)
    cost = MoneyField()
    price = MoneyField()
    trimmed_off = MoneyField(null=True, blank=True)
    finished = models.BooleanField(default=False)

    class Meta:
        """As in the quote."""

        ordering = ["position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["job", "key"], name="budget_line_once"),
            amount_check("cost"),
            amount_check("price"),
        ]

    def __str__(self) -> str:
        return self.text
