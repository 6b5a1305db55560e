"""Each reason why a line is refused, with the sentence that says what to do."""

from decimal import Decimal

import pytest

from shop.core.refusals import Doubt, Refusal
from shop.orders import refusals
from shop.orders.duties import Duty
from shop.orders.models import OrderLine
from shop.orders.services import cancel_line, confirm_line, save_line
from shop.people.refusals import NotAllowed
from tests import factories
from tests.world import World


def refused(world: World, kind: type[Refusal], **changes: object) -> Refusal:
    """The refusal that the line runs into; the line is not written."""
    with pytest.raises(kind) as raised:
        save_line(actor=world.counter, line=world.line(**changes))
    assert not OrderLine.objects.exists()
    return raised.value


def test_a_fitting_for_another_size_of_hose(world: World) -> None:
    larger = factories.FittingFactory(series=world.series, hose_dash=10)
    refusal = refused(world, refusals.WrongSizeForHose, fitting_b=larger)
    assert refusal.what == f"{larger} is for hose size -10; {world.hose} is size -8."
    assert refusal.what_to_do == "Choose a fitting for hose size -8 at end B."


@pytest.mark.parametrize("duty", [duty for duty in Duty if duty.is_refused])
def test_a_duty_that_is_not_for_this_program(world: World, duty: Duty) -> None:
    refusal = refused(world, refusals.DutyRefused, duty=duty)
    assert refusal.what == f"Assemblies for {duty.label} are not made with this program."
    assert refusal.field == "duty"


def test_a_fluid_hotter_than_the_hose_is_made_for(world: World) -> None:
    refusal = refused(world, refusals.TooHot, temperature_c=101)
    assert refusal.what == f"{world.hose} is for use up to 100 °C; the fluid is at 101 °C."
    assert "not derated" in refusal.what_to_do


def test_the_highest_temperature_itself_is_taken(world: World) -> None:
    assert save_line(actor=world.counter, line=world.line(temperature_c=100)).can_be_confirmed


def test_a_fluid_colder_than_the_hose_is_made_for(world: World) -> None:
    refusal = refused(world, refusals.TooCold, temperature_c=-41)
    assert refusal.what == f"{world.hose} is for use down to -40 °C; the fluid is at -41 °C."


def test_a_standard_that_allows_less_heat_than_the_maker(world: World) -> None:
    standard = factories.HoseRatingFactory(temperature_min_c=None, temperature_max_c=90)
    hose = factories.HoseFactory(standard=standard)
    refusal = refused(world, refusals.TooHot, hose=hose, temperature_c=95)
    assert refusal.what == f"{standard} is for use up to 90 °C; the fluid is at 95 °C."


def test_a_fluid_that_the_hose_is_not_approved_for(world: World) -> None:
    ester = factories.FluidFactory(name="phosphate ester")
    refusal = refused(world, refusals.FluidNotApproved, fluid=ester)
    assert refusal.what == f"{world.hose} is not approved for phosphate ester."
    assert refusal.field == "fluid"


def test_a_pressure_above_the_rating_names_what_governs(world: World) -> None:
    weak = factories.FittingFactory(series=world.series, printed_value="3000", printed_unit="psi")
    refusal = refused(world, refusals.PressureAboveRating, fitting_b=weak, pressure_typed="210")
    assert refusal.what == (
        "210 bar with surges is above the rating of 3000 psi (206 bar): "
        f"the fitting at end B ({weak}) governs."
    )
    assert refusal.what_to_do == (
        "Choose a stronger fitting at end B, or ask the customer to limit the pressure."
    )


def test_a_pressure_equal_to_the_rating_is_taken(world: World) -> None:
    assert save_line(actor=world.counter, line=world.line(pressure_typed="275")).can_be_confirmed


def test_an_assembly_too_short_is_told_the_shortest_that_does(world: World) -> None:
    # Twice 25 mm cut-off, twice 30 mm insertion, two diameters of 23 mm between the ferrules.
    refusal = refused(
        world, refusals.AssemblyTooShort, overall_length=Decimal("155.9"), overall_typed="155.9"
    )
    assert refusal.what == (
        "An overall length of 155.9 mm leaves less than 46 mm of free hose between the ferrules."
    )
    assert refusal.what_to_do == "With these ends the overall length is at least 156 mm."
    shortest = world.line(overall_length=Decimal(156), overall_typed="156")
    assert save_line(actor=world.counter, line=shortest).cut_length == Decimal(106)


def test_the_hoses_own_least_length_goes_before_the_policys(world: World) -> None:
    stiff = factories.HoseFactory(least_between_ferrules=Decimal(200))
    refusal = refused(
        world, refusals.AssemblyTooShort, hose=stiff, overall_length=Decimal(300), overall_typed="300"
    )
    assert "less than 200 mm of free hose" in refusal.what


def test_metres_are_not_supposed_where_a_unit_was_typed(world: World) -> None:
    refused(world, refusals.AssemblyTooShort, overall_length=Decimal("0.953"), overall_typed="0.953 mm")


def test_a_bare_fraction_of_an_inch_was_no_metres(world: World) -> None:
    doubt = refused(world, refusals.AssemblyTooShort, overall_length=Decimal("38.1"), overall_typed="1 1/2")
    assert "38.1 mm" in doubt.what


def test_a_bare_number_of_inches_may_have_been_metres(world: World) -> None:
    refusal = refused(
        world, refusals.LengthLooksLikeMetres, overall_length=Decimal("24.13"), overall_typed="0.95"
    )
    assert refusal.what_to_do == "If metres are meant, type 0.95 m: that is 950 mm."


@pytest.mark.parametrize(
    ("kind", "says", "changes"),
    [
        (
            refusals.VeryLongAssembly,
            "50000.001 mm is 50.000001 m of hose.",
            {"overall_length": Decimal("50000.001"), "overall_typed": "50000.001"},
        ),
        (
            refusals.VeryHighPressure,
            "701 bar is far above what hydraulic hose is made for.",
            {"pressure_typed": "701"},
        ),
        (refusals.VeryMany, "201 assemblies are very many on one line.", {"quantity": 201}),
    ],
)
def test_what_is_probably_a_slip_is_asked_about(
    world: World, kind: type[Doubt], says: str, changes: dict[str, object]
) -> None:
    strong = {"printed_value": "800", "printed_unit": "bar"}
    fitting = factories.FittingFactory(connection=factories.ConnectionFactory(**strong), **strong)
    parts = {"hose": factories.HoseFactory(**strong), "fitting_a": fitting, "fitting_b": fitting}
    doubt = refused(world, kind, **parts, **changes)
    assert doubt.what == says
    sure = frozenset({doubt.code})
    save_line(actor=world.counter, line=world.line(**parts, **changes), sure=sure)
    assert OrderLine.objects.count() == 1


def test_a_confirmed_line_is_not_changed(world: World) -> None:
    line = world.written_line()
    confirm_line(actor=world.counter, line=line)
    line.quantity = 5
    with pytest.raises(refusals.LineIsBeingMade):
        save_line(actor=world.counter, line=line)
    with pytest.raises(refusals.LineIsBeingMade):
        cancel_line(actor=world.counter, line=line)
    line.refresh_from_db()
    assert (line.quantity, line.cancelled) == (1, False)


def test_a_line_that_was_confirmed_or_cancelled_meanwhile_is_not_written_over(world: World) -> None:
    line, other = world.written_line(), world.written_line()
    seen, other_seen = OrderLine.objects.get(pk=line.pk), OrderLine.objects.get(pk=other.pk)
    cancel_line(actor=world.counter, line=line)
    confirm_line(actor=world.counter, line=other)
    for service in (save_line, cancel_line):
        with pytest.raises(refusals.LineCancelled):
            service(actor=world.counter, line=seen)
        with pytest.raises(refusals.LineIsBeingMade):
            service(actor=world.counter, line=other_seen)
    line.refresh_from_db()
    assert line.cancelled


def test_a_cancelled_line_stays_cancelled(world: World) -> None:
    line = cancel_line(actor=world.counter, line=world.written_line())
    for service in (save_line, cancel_line, confirm_line):
        with pytest.raises(refusals.LineCancelled):
            service(actor=world.counter, line=line)


def test_the_bench_writes_no_orders(world: World) -> None:
    with pytest.raises(NotAllowed):
        save_line(actor=world.bench, line=world.line())
