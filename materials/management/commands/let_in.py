"""Let somebody try to sign in again who was shut out, from the server itself."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from materials import services
from materials.models import Person


class Command(BaseCommand):
    help = "Forget the wrong tries at a sign-in name."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the sign-in name")

    def handle(self, *args: Any, **options: Any) -> None:
        person = Person.objects.filter(username=options["name"]).first()
        if person is None:
            raise CommandError(f"Nobody signs in as “{options['name'][:60]}”.")
        services.let_in(person=person, by=None)
        self.stdout.write(f"{person} may try to sign in again.")
