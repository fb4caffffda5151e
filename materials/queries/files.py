"""Reads of kept files. `file_for` is the only way a view gets one by its digest."""

from __future__ import annotations

from django.db.models.fields.reverse_related import ForeignObjectRel

from materials.models import Person, StoredFile

PAPER = "pdf"
"""What the documents of the apps above call the paper that is kept of them."""


def file_for(person: Person, digest: str) -> StoredFile | None:
    """Return a kept file the person may open, or None: foreign and missing are alike.

    Photos and receipts are everybody's. The paper of a quote or an invoice is opened
    on its own page; by its digest it is not for people who see no price, and neither
    is a table of prices.
    """
    stored = StoredFile.objects.filter(digest=digest).first()
    if stored is None or not person.is_active:
        return None
    if person.sees_prices or stored.media_type.startswith("image/"):
        return stored
    is_table = stored.media_type != "application/pdf"
    return None if is_table or _is_paper(stored) else stored


def _is_paper(stored: StoredFile) -> bool:
    """Return whether a document is printed in this file; a query for each kind.

    The documents are the apps' above; this one only knows who points here.
    """
    relations = StoredFile._meta.get_fields(include_hidden=True)
    documents = [
        relation.related_model
        for relation in relations
        if isinstance(relation, ForeignObjectRel) and relation.field.name == PAPER
    ]
    return any(
        model._base_manager.filter(**{PAPER: stored.pk}).exists() for model in documents
    )
