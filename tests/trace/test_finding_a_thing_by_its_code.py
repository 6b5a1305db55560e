"""One box takes every code of the workshop."""

from collections.abc import Callable

import pytest
from django.apps import apps

from shop.assemblies.models import Assembly
from shop.core.labels import Labelled
from shop.engineering.codes import ALPHABET, group_code, new_code
from shop.trace.lookup import find_labelled, labelled_kinds
from shop.trace.refusals import CodeMistyped, CodeUnknown
from tests import factories
from tests.assemblies.bench import plan
from tests.rules import deeds
from tests.world import World

KINDS: dict[str, Callable[[World], Labelled]] = {
    "A": plan,
    "B": lambda world: world.bench,
    "C": lambda world: world.crimper,
    "D": lambda world: world.die_set,
    "F": lambda world: deeds.reported(world),
    "G": lambda world: world.caliper,
    "K": lambda world: world.ferrule_lot,
    "M": lambda world: factories.PressureGaugeFactory(),
    "N": lambda world: factories.CheckPieceFactory(),
    "P": lambda world: world.reel,
    "R": lambda world: world.order,
    "S": lambda world: world.stop_part,
}


@pytest.mark.parametrize("letter", KINDS)
def test_it_finds_each_kind_by_its_code(world: World, letter: str) -> None:
    thing = KINDS[letter](world)
    assert thing.code[0] == letter
    assert find_labelled(thing.code) == thing


def test_every_kind_with_a_label_is_known_by_a_letter_of_its_own() -> None:
    labelled = [model for model in apps.get_models() if issubclass(model, Labelled)]
    assert set(labelled_kinds().values()) == set(labelled)
    assert set(labelled_kinds()) == set(KINDS)
    assert all(len(letter) == 1 and letter in ALPHABET for letter in labelled_kinds())


def test_it_takes_a_code_as_people_read_it(world: World) -> None:
    assembly = plan(world)
    mistakable = assembly.code.replace("0", "O").replace("1", "l").lower()
    for text in (mistakable, assembly.printed_code, f" {group_code(assembly.code).lower()} "):
        assert find_labelled(text) == assembly


def test_it_takes_the_whole_address_of_a_tag(world: World) -> None:
    assembly = plan(world)
    for address in (
        "HTTPS://HOSE.EXAMPLE/T/{}",
        "https://hose.example/t/{}/",
        "HTTPS://HOSE.EXAMPLE/T/{}?X=1",
    ):
        assert find_labelled(address.format(assembly.code)) == assembly


@pytest.mark.parametrize("place", [1, 7, 13])
def test_it_says_that_a_code_is_mistyped(world: World, place: int) -> None:
    code = plan(world).code
    other = ALPHABET[(ALPHABET.index(code[place]) + 1) % len(ALPHABET)]
    with pytest.raises(CodeMistyped, match="One character of this code is wrong"):
        find_labelled(code[:place] + other + code[place + 1 :])


@pytest.mark.parametrize("text", ["", "42", "hose 7", "A" * 40, "%"])
def test_it_says_that_something_is_no_code(world: World, text: str) -> None:
    with pytest.raises(CodeMistyped):
        find_labelled(text)


@pytest.mark.parametrize("letter", ["A", "K", "Z"])
def test_it_says_that_a_code_is_not_in_this_book(world: World, letter: str) -> None:
    with pytest.raises(CodeUnknown):
        find_labelled(new_code(letter))


def test_a_code_of_one_kind_does_not_find_another(world: World) -> None:
    assembly = plan(world)
    Assembly.objects.filter(pk=assembly.pk).update(code=new_code("D"))
    assembly.refresh_from_db()
    with pytest.raises(CodeUnknown):
        find_labelled(assembly.code)
