"""What the pages say of deeper searches: could be asked for, under way, ended."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from materials.core.plans.board_records import digest_of
from materials.core.plans.records import MaterialPlan
from materials.core.working import count_text
from materials.queries import searches_of, searches_under_way
from quotes.models import Revision, Visit

OPEN = "open"
LOOKING = "looking"
ENDED = "ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchNote:
    """How far the search is, and what it found where it found something.

    `state` is `OPEN` where a search could be asked for, `LOOKING` while one is under
    way, `ENDED` where one ended without an answer and could be asked for again, empty
    where there is nothing to look for any more.
    """

    state: str = ""
    found: tuple[str, ...] = ()


def search_note(plans: Sequence[MaterialPlan]) -> SearchNote:
    """Return what to say of a visit's board plans: two queries, none without any."""
    asked = [plan for plan in plans if plan.is_open or plan.was_searched]
    rows = searches_of([digest_of(plan.problem) for plan in asked])
    waited = [digest for digest, row in rows.items() if not row.record]
    going = searches_under_way(waited)
    states, found = set(), []
    for plan in asked:
        digest = digest_of(plan.problem)
        row = rows.get(digest)
        if plan.is_open:
            known = LOOKING if digest in going or (row and row.record) else ENDED
            states.add(known if row else OPEN)
        if plan.was_searched and row and row.after < row.before:
            words = {"now": count_text(row.after, "new sheet"), "n": row.before}
            found.append(
                _("A longer search found this plan: %(now)s, the first took %(n)d.")
                % words
            )
    state = next((one for one in (OPEN, LOOKING, ENDED) if one in states), "")
    return SearchNote(state=state, found=tuple(found))


def quotes_before_search(visit: Visit, plans: Sequence[MaterialPlan]) -> list[str]:
    """Return a sentence for each open quote whose board plan a search has bettered.

    A quote keeps the plan it was made with; this says that today's price has another.
    """
    today = {digest_of(plan.problem): plan for plan in plans if plan.was_searched}
    if not today:
        return []
    open_states = (Revision.State.DRAFTING, Revision.State.OFFERED)
    rows = Revision.objects.filter(quote__visit=visit, state__in=open_states)
    said = []
    for row in rows.select_related("quote").order_by("pk"):
        kept = row.inputs.get("plans", {})
        if any(kept.get(digest, plan.record) != plan.record
               for digest, plan in today.items()):  # fmt: skip
            said.append(
                _(
                    "After %(quote)s %(letter)s was priced a longer search found a "
                    "better board plan. It is in the price above; the quote stays as "
                    "it is until you price it again."
                )
                % {"quote": row.quote.number, "letter": row.letter}
            )
    return said
