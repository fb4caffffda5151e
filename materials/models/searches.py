"""Deeper searches for cutting plans: the problem, and the plan that was found."""

from __future__ import annotations

from django.db import models


class BoardSearch(models.Model):
    """One cutting problem of boards, searched once for whoever meets it again.

    `digest` is the problem's; surfaces, names and prices are not part of it. `record`
    is empty until the search has ended; `before` and `after` are new sheets.
    """

    digest = models.CharField(max_length=64, unique=True)
    problem = models.TextField()
    record = models.TextField(blank=True)
    before = models.PositiveIntegerField(default=0)
    after = models.PositiveIntegerField(default=0)
    asked_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """A search that ended says when."""

        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(record="", ended_at__isnull=True)
                | (~models.Q(record="") & models.Q(ended_at__isnull=False)),
                name="board_search_ended_with_a_plan",
            ),
            models.CheckConstraint(
                condition=models.Q(after__lte=models.F("before")),
                name="board_search_no_dearer",
            ),
        ]

    def __str__(self) -> str:
        return self.digest[:12]
