"""Open an empty business: an owner who may sign in, and nothing else yet."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import transaction

from materials.models import Person


class Command(BaseCommand):
    help = "Make the owner's sign-in of an empty business, once."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--password", required=True)

    @transaction.atomic
    def handle(self, *args: Any, **options: Any) -> None:
        if Person.objects.filter(role=Person.Role.OWNER).exists():
            return
        person = Person(username="owner", role=Person.Role.OWNER, first_name="Owner")
        person.set_password(options["password"])
        person.save()
