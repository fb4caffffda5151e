"""What must still be done outside the database: mail to send, papers to make."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _


class Outgoing(models.Model):
    """One mail, paper or search, promised in the transaction of what it announces.

    `key` is unique: one promise is kept once. A mail's Message-ID is made of `uid` and
    stays the same however often it is sent. `seed` makes the token of a private link,
    which takes the mark's place in `body` while it is sent: the token itself is never
    stored. `paper` names what is made,
    looked for or enclosed, as `maker:primary key`. `due_at` is
    when it is tried next; while somebody works on it, when they are taken for dead.
    """

    class Kind(models.TextChoices):
        """A letter to one address, a PDF to be kept, or a search for a plan."""

        MAIL = "mail", _("mail")
        PAPER = "paper", _("paper")
        SEARCH = "search", _("search")

    class State(models.TextChoices):
        """Waiting and working go on by themselves; unknown and failed need a person."""

        WAITING = "waiting", _("waiting")
        WORKING = "working", _("on its way")
        DONE = "done", _("done")
        UNKNOWN = "unknown", _("unknown")
        FAILED = "failed", _("not sent")
        GIVEN_UP = "given_up", _("given up")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    key = models.CharField(max_length=100, unique=True)
    kind = models.CharField(max_length=6, choices=Kind)
    state = models.CharField(max_length=8, choices=State, default=State.WAITING)
    about = models.CharField(max_length=60)
    title = models.CharField(max_length=80)
    page = models.CharField(max_length=200, blank=True)
    paper = models.CharField(max_length=40, blank=True)
    recipient = models.CharField(max_length=254, blank=True)
    subject = models.CharField(max_length=200, blank=True)
    body = models.TextField(blank=True)
    seed = models.CharField(max_length=64, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    unsure = models.PositiveSmallIntegerField(default=0)
    due_at = models.DateTimeField()
    claim = models.UUIDField(null=True, blank=True)
    handing_over = models.BooleanField(default=False)
    why = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Oldest first; only what is being worked on is claimed."""

        ordering = ["pk"]
        indexes = [
            models.Index(
                fields=["due_at"],
                condition=Q(state__in=["waiting", "working"]),
                name="outgoing_to_do",
            ),
            models.Index(fields=["paper", "-id"], name="outgoing_of_paper"),
            models.Index(fields=["state", "-id"], name="outgoing_by_state"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(state="working", claim__isnull=False)
                | (~Q(state="working") & Q(claim__isnull=True)),
                name="outgoing_claimed_while_working",
            ),
            models.CheckConstraint(
                condition=Q(kind="mail", recipient__gt="", subject__gt="", body__gt="")
                | Q(kind__in=["paper", "search"], recipient="", paper__gt=""),
                name="outgoing_mail_has_an_address",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title}, {self.about}"
