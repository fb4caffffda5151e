"""Quotes, their frozen revisions, private links and the evidence of acceptance."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import MoneyField, amount_check


class Quote(models.Model):
    """One offer to one client; what was shown is in its revisions."""

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    number = models.CharField(max_length=20, unique=True)
    visit = models.ForeignKey("quotes.Visit", models.PROTECT, related_name="quotes")
    title = models.CharField(max_length=160)
    copied_from = models.ForeignKey(
        "self", models.SET_NULL, null=True, blank=True, related_name="copies"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        """Newest first."""

        ordering = ["-pk"]
        indexes = [models.Index(fields=["-id"], name="quote_newest")]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"


class Revision(models.Model):
    """What was, or will be, shown: frozen whole once it is offered.

    `document` is the frozen quote (lines, prices, texts, drawings, rounding rule,
    program version); `inputs` the visit file it was computed from; `digest` SHA-256
    of the document's canonical JSON. The money columns repeat its totals for lists.
    """

    class State(models.TextChoices):
        """The life of an offer; a changed offer is a new revision."""

        DRAFTING = "drafting", _("drafting")
        OFFERED = "offered", _("offered")
        ACCEPTED = "accepted", _("accepted")
        DECLINED = "declined", _("declined")
        LAPSED = "lapsed", _("lapsed")
        WITHDRAWN = "withdrawn", _("withdrawn")
        REPLACED = "replaced", _("replaced")

    quote = models.ForeignKey(Quote, models.CASCADE, related_name="revisions")
    letter = models.CharField(max_length=2)
    state = models.CharField(max_length=10, choices=State, default=State.DRAFTING)
    visit_version = models.PositiveIntegerField()
    inputs = models.JSONField(default=dict, blank=True)
    document = models.JSONField(default=dict, blank=True)
    digest = models.CharField(max_length=64, blank=True)
    priced_on = models.DateField()
    offered_on = models.DateField(null=True, blank=True)
    holds_until = models.DateField(null=True, blank=True)
    cost = MoneyField()
    net = MoneyField()
    tax = MoneyField()
    gross = MoneyField()
    pdf = models.ForeignKey(
        "materials.StoredFile", models.PROTECT, null=True, blank=True, related_name="+"
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    end_words = models.CharField(max_length=300, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """One letter once; only one revision of a quote stands accepted."""

        ordering = ["quote", "-pk"]
        indexes = [models.Index(fields=["state", "-quote"], name="revision_by_state")]
        constraints = [
            models.UniqueConstraint(fields=["quote", "letter"], name="revision_once"),
            models.UniqueConstraint(
                fields=["quote"],
                condition=Q(state="accepted"),
                name="one_accepted_revision",
            ),
            amount_check("cost"),
            amount_check("net"),
            amount_check("tax"),
            amount_check("gross"),
        ]

    def __str__(self) -> str:
        return f"{self.quote.number} {self.letter}"


class OfferLink(models.Model):
    """A private link to one revision: only the token's SHA-256 is kept.

    Whether it was opened stands in `LinkLook`. The two columns meant for it here are
    sealed with the link, so that nothing may be written into them any more.
    """

    revision = models.ForeignKey(Revision, models.CASCADE, related_name="links")
    token_digest = models.CharField(max_length=64, unique=True)
    sent_to = models.CharField(max_length=160, blank=True)
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)
    first_seen_at = models.DateTimeField(null=True, blank=True)
    times_seen = models.PositiveIntegerField(default=0)
    made_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(
        "materials.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )

    def __str__(self) -> str:
        return f"link to {self.revision}"


class LinkLook(models.Model):
    """When a client opened a private link first and last, and how many times.

    Counted once a minute at most.
    """

    link = models.OneToOneField(OfferLink, models.CASCADE, related_name="look")
    first_at = models.DateTimeField()
    last_at = models.DateTimeField()
    times = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return f"{self.link} opened {self.times} times"


class Acceptance(models.Model):
    """The evidence that a client agreed: who, when, to what exactly, by which way."""

    class Way(models.TextChoices):
        """By the private link, or on the setter's own screen."""

        LINK = "link", _("by the private link")
        ON_SITE = "on_site", _("on the setter's screen")

    uid = models.UUIDField(unique=True, default=uuid.uuid4)
    revision = models.OneToOneField(Revision, models.PROTECT, related_name="acceptance")
    way = models.CharField(max_length=8, choices=Way)
    link = models.ForeignKey(OfferLink, models.PROTECT, null=True, blank=True)
    typed_name = models.CharField(max_length=160)
    drawn_mark = models.TextField(blank=True, help_text=_("strokes, if any"))
    options = models.JSONField(default=list, blank=True)
    document_digest = models.CharField(max_length=64)
    gross = MoneyField()
    evidence = models.JSONField(default=dict, blank=True)
    accepted_at = models.DateTimeField()

    class Meta:
        """The sum agreed to is payable."""

        constraints = [amount_check("gross")]

    def __str__(self) -> str:
        return f"{self.typed_name} accepted {self.revision}"
