"""The paper of an offer, kept by content."""

from __future__ import annotations

from django.db import transaction

from materials.models import StoredFile
from materials.services import audit
from quotes.models import Revision


@transaction.atomic
def keep_pdf(*, revision: Revision, stored: StoredFile) -> Revision:
    """Note the PDF of an offered revision; the first one stands."""
    rows = Revision.objects.select_for_update(of=("self",)).select_related("quote")
    row = rows.get(pk=revision.pk)
    if row.pdf_id is None:
        row.pdf = stored
        row.save(update_fields=["pdf"])
        audit(
            action="keep paper",
            subject=f"quote {row.quote.number} {row.letter}",
            person=None,
            kind="program",
            facts={"paper": stored.digest},
        )
    return row
