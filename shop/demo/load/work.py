"""Work for many benches: each person has equal hoses to make, and knows what to send for each step."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from django.db import transaction
from django.http import QueryDict

from shop.assemblies.models import Assembly, End
from shop.assemblies.planning import start_line
from shop.assemblies.points import At, Job, asked_of
from shop.catalogue.models import CrimpSpecification, StopKind
from shop.demo.cabinet import fill_cabinet
from shop.demo.catalogue import Catalogue, write_catalogue
from shop.demo.people import PASSWORD, Cast, begin
from shop.orders.models import Customer, Order, OrderLine
from shop.orders.services import save_customer, save_line, save_order
from shop.people.models import User
from shop.people.permissions import Role
from shop.people.services import save_person
from shop.policy.services import policy_in_force, today
from shop.stock.models import Lot, Piece
from shop.stock.services import receive_hose, receive_lot
from shop.tooling.models import Arrangement, ArrangementPart, Crimper, DieSet, StopPart
from shop.tooling.services import save_arrangement, save_crimper, save_die_set, save_stop_part
from shop.web.bench.forms.making import SetUpForm

Fields = Mapping[str, str | list[str]]
STEPS_OF_ONE = 5  # cut; crimp and measure each end
SET_UPS = 2
LENGTH_MM = Decimal(930)


@dataclass(frozen=True)
class Sending:
    """One step: where it is sent, what, and the ledger's verb for it."""

    path: str
    fields: Fields
    verb: str


@dataclass(frozen=True)
class Shift:
    """What one person does, step by step."""

    person: User
    steps: tuple[Sending, ...]


@dataclass(frozen=True)
class _Stores:
    fittings: Lot
    ferrules: Lot
    reels: list[Piece]


@transaction.atomic
def prepare_shifts(benches: int, steps: int) -> list[Shift]:
    """Build the scratch workshop with so many people at benches, each with so many steps or more to do.

    Two of them cut from one reel. Each has a press of its own: it holds one set-up at a time.
    """
    cast = begin()
    parts = write_catalogue(cast)
    cabinet = fill_cabinet(cast, parts)
    each = math.ceil((steps - SET_UPS) / STEPS_OF_ONE) + 1
    stores = _fill_stores(cast, parts, benches, each)
    customer = save_customer(actor=cast.counter, customer=Customer(number="K1", name="Tidewater Cranes"))
    shifts = []
    for number in range(benches):
        user = User(
            number=100 + number, username=f"bench{number}", name=f"Bench {number}", roles=[Role.BENCH]
        )
        person = save_person(actor=cast.owner, person=user, password=PASSWORD)
        assemblies = _order(cast, parts, customer, each)
        reel = stores.reels[number // 2]
        press = _press(cast, number, assemblies[0].specification(End.A))
        at_hand = " ".join(tool.code for tool in (*press, cabinet.caliper))
        shifts.append(Shift(person, tuple(_steps(assemblies, at_hand, stores, reel))))
    return shifts


def _press(cast: Cast, bench: int, specification: CrimpSpecification) -> tuple[Crimper, DieSet, StopPart]:
    """A press with dies and a stop for that line of a chart."""
    die, stop, actor = specification.die_type, specification.stop_type, cast.bench
    assert stop is not None, "the demo's press for these dies has a stop part"
    new = Crimper(number=f"press 1{bench:02}", stop_kind=StopKind.PART)
    crimper = save_crimper(actor=actor, crimper=new)
    arrangement = Arrangement(crimper=crimper, die_type=die, stop_type=stop)
    save_arrangement(
        actor=actor, arrangement=arrangement, parts=[ArrangementPart(position=1, role="die set")]
    )
    return (
        crimper,
        save_die_set(actor=actor, die_set=DieSet(number=f"1{bench:02}", die_type=die)),
        save_stop_part(actor=actor, stop_part=StopPart(number=f"2{bench:02}", stop_type=stop)),
    )


def _fill_stores(cast: Cast, parts: Catalogue, benches: int, each: int) -> _Stores:
    ends = 2 * benches * each
    metre = Decimal(1000)
    return _Stores(
        receive_lot(actor=cast.counter, lot=Lot(fitting=parts.straight, batch="T1", quantity=ends)),
        receive_lot(actor=cast.counter, lot=Lot(ferrule=parts.ferrule, batch="F1", quantity=ends)),
        receive_hose(
            actor=cast.bench,
            lot=Lot(hose=parts.cascade, batch="R1", made_printed=f"1Q{today().year}"),
            lengths_mm=[2 * each * metre for _ in range(math.ceil(benches / 2))],
        ),
    )


def _order(cast: Cast, parts: Catalogue, customer: Customer, quantity: int) -> list[Assembly]:
    order = save_order(actor=cast.counter, order=Order(customer=customer))
    line = OrderLine(
        order=order,
        hose=parts.cascade,
        fitting_a=parts.straight,
        fitting_b=parts.straight,
        overall_length=LENGTH_MM,
        overall_typed=str(LENGTH_MM),
        pressure_typed="240",
        pressure_unit="bar",
        temperature_c=80,
        fluid=parts.oil,
        quantity=quantity,
    )
    save_line(actor=cast.counter, line=line)
    return start_line(actor=cast.counter, line=line)


def _steps(assemblies: list[Assembly], in_press: str, stores: _Stores, reel: Piece) -> Iterator[Sending]:
    bins = f"{stores.fittings.code} {stores.ferrules.code}"
    first = assemblies[0]
    specification = first.specification(End.A)
    readings = {
        f"reading_{number}": str(specification.target) for number in range(1, specification.readings + 1)
    }
    seen_at_press = {
        end: list(SetUpForm(QueryDict(f"have={in_press}"), assembly=first, end=end).points()) for end in End
    }
    job = Job(first, policy_in_force())
    seen_at_crimp = {end: [point.code for point in asked_of(At.CRIMP, replace(job, end=end))] for end in End}
    seen_at_cut = [point.code for point in asked_of(At.CUT, job)]
    for assembly in assemblies:
        bench = f"/bench/{assembly.code}"
        yield Sending(
            f"{bench}/cut/", {"have": reel.code, "seen": seen_at_cut, "take": "1"}, "assemblies.cut"
        )
        for end in End:
            at = {"end_shown": end.value, "take": "1"}
            if assembly is first:
                yield Sending(
                    f"{bench}/set-up/",
                    at | {"have": in_press, "seen": seen_at_press[end]},
                    "assemblies.set_up",
                )
            yield Sending(
                f"{bench}/crimp/", at | {"have": bins, "seen": seen_at_crimp[end]}, "assemblies.crimped"
            )
            yield Sending(f"{bench}/measure/", {"end_shown": end.value} | readings, "assemblies.measured")
