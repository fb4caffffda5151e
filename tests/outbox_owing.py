"""A stand-in for a web worker: owes letters one by one, and can be killed at any point.

`python -m tests.outbox_owing COUNT LOG PAPER...`: letter n is owed under the name
`letter-n`, enclosing one of the papers in turn. A line is written to LOG only after the
transaction is through; started again it repeats what has no line, as a browser would.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path


def main(count: int, log: Path, papers: list[str]) -> None:
    """Owe every letter that the log does not name."""
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "gaugerod.settings")
    django.setup()
    from django.db import IntegrityError, transaction
    from django.utils import timezone

    from materials.models import Person
    from materials.services import Letter, owe_mail

    person = Person.objects.get(username="ada")
    told = set(log.read_text().split()) if log.exists() else set()
    for place in range(count):
        name = f"letter-{place:04d}"
        if name in told:
            continue
        letter = Letter(
            recipient=f"client-{place}@example.org",
            subject=name,
            body="Dear Mrs Okafor",
            paper=papers[place % len(papers)] if papers else "",
            about=name,
            title="Invoice by mail",
            page="",
        )
        try:
            with transaction.atomic():
                owe_mail(letter=letter, person=person, at=timezone.now(), name=name)
        except IntegrityError:
            pass  # Owed before, by one who was killed before writing it down.
        with log.open("a") as lines:
            lines.write(f"{name}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), Path(sys.argv[2]), sys.argv[3:])
