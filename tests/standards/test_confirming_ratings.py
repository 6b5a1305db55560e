"""A named person reads the rating in its document and types the figure that stands there (rule 2)."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from shop.catalogue.models import Fitting, Hose
from shop.catalogue.services import confirm_fitting, confirm_hose, save_fitting, save_hose
from shop.engineering.pressures import Pressure, PressureUnit
from shop.people.refusals import NotAllowed
from shop.standards.models import Confirmation, Rated
from shop.standards.refusals import ConfirmedAsItIs, FigureDiffers, NothingToConfirm
from shop.standards.services import (
    confirm_connection,
    confirm_hose_rating,
    save_connection,
    save_hose_rating,
)
from tests import factories
from tests.world import World

Confirm = Callable[..., Confirmation]
Save = Callable[..., Rated]

KINDS = pytest.mark.parametrize(
    ("factory", "name", "confirm", "save"),
    [
        (factories.HoseFactory, "hose", confirm_hose, save_hose),
        (factories.FittingFactory, "fitting", confirm_fitting, save_fitting),
        (factories.HoseRatingFactory, "rating", confirm_hose_rating, save_hose_rating),
        (factories.ConnectionFactory, "connection", confirm_connection, save_connection),
    ],
)


def read(value: str, unit: PressureUnit) -> Pressure:
    """What stands in the document before the person."""
    return Pressure(Decimal(value), unit)


@KINDS
def test_a_figure_found_in_its_document_is_confirmed_by_name(
    world: World, factory: Callable[..., Rated], name: str, confirm: Confirm, save: Save
) -> None:
    part = factory(printed_value="31.5", printed_unit="MPa")
    assert not part.is_confirmed
    confirmation = confirm(
        actor=world.inspector,
        document="data sheet 7, 2025-03, page 2",
        figure=read("31.5", PressureUnit.MPA),
        **{name: part},
    )
    assert confirmation.actor_number == world.inspector.number
    assert (confirmation.printed_value, confirmation.printed_unit) == ("31.5", "MPa")
    assert type(part).objects.get(pk=part.pk).is_confirmed


@KINDS
def test_another_figure_is_refused_without_telling_the_tables(
    world: World, factory: Callable[..., Rated], name: str, confirm: Confirm, save: Save
) -> None:
    part = factory(printed_value="31.5", printed_unit="MPa")
    with pytest.raises(FigureDiffers) as refused:
        confirm(
            actor=world.inspector, document="sheet 7", figure=read("35", PressureUnit.MPA), **{name: part}
        )
    assert refused.value.what.startswith("The document has 35 MPa")
    assert "31.5" not in str(refused.value)
    assert not type(part).objects.get(pk=part.pk).is_confirmed


@KINDS
def test_a_part_without_a_rating_has_nothing_to_confirm(
    world: World, factory: Callable[..., Rated], name: str, confirm: Confirm, save: Save
) -> None:
    part = factory(printed_value="", printed_unit="")
    with pytest.raises(NothingToConfirm):
        confirm(
            actor=world.inspector, document="sheet 7", figure=read("35", PressureUnit.MPA), **{name: part}
        )


@KINDS
def test_a_corrected_figure_is_unconfirmed_again_until_it_is_put_back(
    world: World, factory: Callable[..., Rated], name: str, confirm: Confirm, save: Save
) -> None:
    part = factory(printed_value="31.5", printed_unit="MPa")
    confirm(actor=world.inspector, document="sheet 7", figure=read("31.5", PressureUnit.MPA), **{name: part})
    part.printed_value = "28"
    save(actor=world.counter, **{name: part})
    assert not type(part).objects.get(pk=part.pk).is_confirmed
    part.printed_value = "31.5"
    save(actor=world.counter, **{name: part})
    assert type(part).objects.get(pk=part.pk).is_confirmed


def test_the_same_pressure_in_another_unit_is_not_what_is_printed(world: World) -> None:
    hose = factories.HoseFactory(printed_value="6000", printed_unit="psi")
    with pytest.raises(FigureDiffers):
        confirm_hose(
            actor=world.inspector, hose=hose, document="sheet 7", figure=read("41.5", PressureUnit.MPA)
        )


def test_the_bench_cannot_confirm_a_rating(world: World) -> None:
    with pytest.raises(NotAllowed):
        confirm_hose(
            actor=world.bench,
            hose=factories.HoseFactory(),
            document="sheet 7",
            figure=read("275", PressureUnit.BAR),
        )


def test_the_newest_confirmation_of_the_figure_counts(world: World) -> None:
    [first] = world.hose.confirmations.all()
    second = confirm_hose(
        actor=world.owner,
        hose=world.hose,
        document="data sheet, 2026",
        figure=read("275", PressureUnit.BAR),
    )
    world.hose.refresh_from_db()
    assert world.hose.confirmation == second
    assert second.pk > first.pk


@pytest.mark.parametrize(
    ("changes", "columns"),
    [
        ({"hose_dash": 12}, "for hose size"),
        ({"material": "stainless", "is_one_piece": True}, "material and its ferrule is part of it"),
        ({"designation": "straight X"}, "designation"),
    ],
)
def test_a_confirmed_fitting_never_becomes_another_one(
    world: World, changes: dict[str, object], columns: str
) -> None:
    fitting = Fitting.objects.get(pk=world.fitting.pk)
    for name, value in changes.items():
        setattr(fitting, name, value)
    with pytest.raises(ConfirmedAsItIs) as refused:
        save_fitting(actor=world.counter, fitting=fitting)
    assert refused.value.what == (
        f"{world.fitting} was confirmed against its document as what it is, "
        f"so its {columns} can't be changed."
    )


def test_a_confirmed_fitting_keeps_its_connection_and_a_confirmed_hose_its_size(world: World) -> None:
    fitting, hose = Fitting.objects.get(pk=world.fitting.pk), Hose.objects.get(pk=world.hose.pk)
    fitting.connection, hose.dash = factories.ConnectionFactory(), 12
    with pytest.raises(ConfirmedAsItIs, match="connection"):
        save_fitting(actor=world.counter, fitting=fitting)
    with pytest.raises(ConfirmedAsItIs, match="size"):
        save_hose(actor=world.counter, hose=hose)


def test_a_published_row_and_a_connection_keep_what_they_are_once_confirmed(world: World) -> None:
    row, connection = factories.HoseRatingFactory(), world.fitting.connection
    row.edition = "2015, corrected"
    save_hose_rating(actor=world.counter, rating=row)
    confirm_hose_rating(
        actor=world.inspector, rating=row, document="EN 853:2015", figure=read("27.5", PressureUnit.MPA)
    )
    row.dash, connection.thread = 12, "7/8-14 UNF"
    with pytest.raises(ConfirmedAsItIs):
        save_hose_rating(actor=world.counter, rating=row)
    with pytest.raises(ConfirmedAsItIs, match="thread"):
        save_connection(actor=world.counter, connection=connection)


def test_figures_and_parts_that_nobody_confirmed_may_be_corrected(world: World) -> None:
    fresh = factories.FittingFactory()
    fresh.hose_dash = 12
    assert save_fitting(actor=world.counter, fitting=fresh).hose_dash == 12
    world.fitting.cut_off = Decimal(27)
    assert save_fitting(actor=world.counter, fitting=world.fitting).cut_off == Decimal(27)
