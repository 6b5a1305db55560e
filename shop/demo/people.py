"""The invented workshop and its people."""

from dataclasses import dataclass

from shop.engineering.crimp import DecisionRule
from shop.people.models import User
from shop.people.permissions import Role
from shop.people.pins import set_pin
from shop.people.services import save_person
from shop.policy.models import LastingMark, Policy, Workshop
from shop.policy.services import start_workshop

OWNER = "marit"
PIN = "2580"  # the middle keys from top to bottom
PASSWORD = "demo"  # noqa: S105  # printed on the screen: there is nothing to protect


@dataclass(frozen=True)
class Cast:
    """One person for each role."""

    owner: User
    counter: User
    bench: User
    inspector: User
    auditor: User


def begin() -> Cast:
    """Start the workshop and write down its people."""
    owner = User(number=1, username=OWNER, name="Marit Osei")
    start_workshop(
        workshop=Workshop(name="Pennant Hose Works", address="4 Slipway Lane", zone="Europe/Lisbon"),
        owner=owner,
        password=PASSWORD,
        # Under this rule a crimp can be inside its limits and yet be held, which is worth seeing.
        policy=Policy(
            decision_rule=DecisionRule.GUARDED_U,
            cut_rules="IP-2 cut length",
            service_months=72,
            bore_pin=True,
            look_again=True,
            lasting_mark=LastingMark.FERRULE,
            mark_method="dot peening",
        ),
    )

    set_pin(actor=owner, person=owner, pin=PIN)

    def person(number: int, name: str, role: Role) -> User:
        user = User(number=number, username=name.split()[0].lower(), name=name, roles=[role.value])
        return set_pin(actor=owner, person=save_person(actor=owner, person=user, password=PASSWORD), pin=PIN)

    return Cast(
        owner=owner,
        counter=person(2, "Teun Abara", Role.COUNTER),
        bench=person(3, "Ilse Novak", Role.BENCH),
        inspector=person(4, "Radu Lindqvist", Role.INSPECTOR),
        auditor=person(5, "Wanda Eze", Role.AUDITOR),
    )
