"""`manage.py start_workshop`: begin an empty workshop from the command line."""

from getpass import getpass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.core.refusals import Refusal
from shop.people.models import User
from shop.policy.models import Workshop
from shop.policy.services import start_workshop


class Command(BaseCommand):
    help = "Begins an empty workshop: its name, units, zone, address for tags, and its first owner."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--name", required=True, help="the workshop's name, as it stands on tags")
        parser.add_argument("--owner", required=True, help="the first owner's name")
        parser.add_argument("--username", required=True, help="the name that the owner signs in with")
        parser.add_argument("--password", help="asked for if it is not given")
        parser.add_argument("--staff-number", type=int, default=1)
        parser.add_argument("--length-unit", default="mm", choices=["mm", "in"])
        parser.add_argument("--pressure-unit", default="bar", choices=["bar", "psi", "MPa"])
        parser.add_argument("--zone", default="UTC", help="time zone, such as Europe/Lisbon")
        parser.add_argument("--base-address", default="", help="where tags lead; without it they print DEMO")

    def handle(self, *, name: str, owner: str, username: str, **options: Any) -> None:
        call_command("migrate", verbosity=0)
        password = options["password"] or getpass("Password for the owner: ")
        workshop = Workshop(
            name=name,
            length_unit=options["length_unit"],
            pressure_unit=options["pressure_unit"],
            zone=options["zone"],
            base_address=options["base_address"],
        )
        first = User(number=options["staff_number"], username=username, name=owner)
        try:
            start_workshop(workshop=workshop, owner=first, password=password)
        except Refusal as refusal:
            raise CommandError(str(refusal)) from refusal
        except ValidationError as error:
            raise CommandError("; ".join(error.messages)) from error
        self.stdout.write(f"{name} has its book. Start it with: manage.py serve")
