"""Let somebody try to sign in again who was shut out, from the server itself."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from materials import services
from materials.models import Person
from materials.services import second_factor


class Command(BaseCommand):
    help = "Forget the wrong tries at a sign-in name."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the sign-in name")
        parser.add_argument(
            "--without-second-factor",
            action="store_true",
            help="remove app, passkeys and recovery codes: all of them are lost",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        person = Person.objects.filter(username=options["name"]).first()
        if person is None:
            raise CommandError(f"Nobody signs in as “{options['name'][:60]}”.")
        if options["without_second_factor"]:
            second_factor.remove_all(person=person)
        services.let_in(person=person, by=None)
        self.stdout.write(f"{person} may try to sign in again.")
