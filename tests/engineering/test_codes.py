import csv
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.codes import (
    ALPHABET,
    CODE_LENGTH,
    check_character,
    group_code,
    new_code,
    normalise,
    read_code,
)
from shop.engineering.errors import EngineeringError, NotUnderstood
from tests.engineering.outside import outside

DIGITS = "0123456789"
LETTERS_AND_DIGITS = DIGITS + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
BODY = "A7K0M9QH01XYZ"
CODE = BODY + check_character(BODY)
CODES = st.builds(
    lambda kind, chance: new_code(kind, chance.choice),
    st.sampled_from([letter for letter in ALPHABET if letter.isalpha()]),
    st.randoms(use_true_random=False),
)


def published() -> list[tuple[str, str]]:
    """Check characters of MOD 37,36, as this library and a second program of it agreed on them."""
    with (Path(__file__).parent / "data/ex_check_characters.csv").open(newline="") as table:
        return [(row["body"], row["check"]) for row in csv.DictReader(table) if row["scheme"] == "MOD 37,36"]


# Check characters that others printed on what they number, as python-stdnum's documentation quotes them.
PRINTED = outside(
    check_character,
    source="numbers printed with their check, quoted in the documentation of python-stdnum",
    independent="assigned by their issuers; no program of this one's",
)


@pytest.mark.parametrize(
    ("number", "alphabet"),
    [
        ("A12425GABC1234002M", LETTERS_AND_DIGITS),  # Global Release Identifier, MOD 37,36
        ("00000001894700008", LETTERS_AND_DIGITS),  # audiovisual number, root and episode
        ("000000018947000000000000D", LETTERS_AND_DIGITS),  # the same with its version
        ("00000000D07A0090Q", LETTERS_AND_DIGITS),
        ("00000000D07A009000000000X", LETTERS_AND_DIGITS),
        ("000000018CFA0000I", LETTERS_AND_DIGITS),
        ("000000018CFA000000000000K", LETTERS_AND_DIGITS),
        ("36574261809", DIGITS),  # German tax number, MOD 11,10
        ("136695976", DIGITS),  # German VAT number
        ("33392005961", DIGITS),  # Croatian identification number
        ("794623", DIGITS),
    ],
)
@PRINTED
def test_printed_numbers_end_in_their_check_character(number: str, alphabet: str) -> None:
    assert check_character(number[:-1], alphabet) == number[-1]


@pytest.mark.parametrize(("body", "check"), published())
def test_over_36_characters_it_is_mod_37_36(body: str, check: str) -> None:
    assert check_character(body, LETTERS_AND_DIGITS) == check


@outside(
    check_character,
    source="example of ISO/IEC 7064 MOD 11,10 as published with python-stdnum",
    independent="a published number with its check",
)
def test_over_ten_digits_it_is_mod_11_10() -> None:
    # Example of ISO/IEC 7064 MOD 11,10 as published with python-stdnum.
    assert check_character("00200667308", DIGITS) == "5"


@outside(
    check_character,
    source="the steps of the hybrid system, written out here",
    independent="another program of the same standard, no library",
)
@given(st.text(ALPHABET, min_size=1, max_size=20))
def test_over_32_characters_it_is_the_hybrid_system_of_the_standard(body: str) -> None:
    # ISO/IEC 7064 hybrid systems, from memory: P = M; S = P + a, modulo M with 0 as M; P = 2 S modulo
    # M + 1; and the check makes P + c leave 1 modulo M.
    size = len(ALPHABET)
    product = size
    for character in body:
        total = (product + ALPHABET.index(character)) % size or size
        product = total * 2 % (size + 1)
    assert check_character(body) == ALPHABET[(1 - product) % size]


def test_the_alphabet_has_32_characters_that_people_do_not_confuse() -> None:
    assert len(set(ALPHABET)) == len(ALPHABET) == 32
    assert not set("ILOU") & set(ALPHABET)


def test_every_single_wrong_character_is_found() -> None:
    # The check has 32 states, and a first character leads to each. From every state different
    # characters lead to different states, and the same character keeps different states apart; so a
    # single wrong character, wherever it is, still shows at the end of a code of any length.
    for fixed in ALPHABET:
        assert len({check_character(fixed + other) for other in ALPHABET}) == 32
        assert len({check_character(other + fixed) for other in ALPHABET}) == 32


@pytest.mark.parametrize("place", range(CODE_LENGTH))
def test_a_wrong_character_at_any_place_is_told(place: int) -> None:
    for wrong in ALPHABET.replace(CODE[place], ""):
        with pytest.raises(NotUnderstood, match="One character of this code is wrong"):
            read_code(CODE[:place] + wrong + CODE[place + 1 :])


def test_of_exchanged_neighbours_all_but_2_in_992_are_found() -> None:
    # After each of the 32 states: 32 x 31 ordered pairs of different characters.
    missed = sum(
        check_character(first + a + b) == check_character(first + b + a)
        for first in ALPHABET
        for a, b in permutations(ALPHABET, 2)
    )
    assert missed == 2 * 32


def test_of_check_characters_exchanged_with_their_neighbour_as_many_are_found() -> None:
    codes = [first + last + check_character(first + last) for first in ALPHABET for last in ALPHABET]
    exchanged = [code[0] + code[2] + code[1] for code in codes if code[1] != code[2]]
    missed = [code for code in exchanged if check_character(code[:-1]) == code[-1]]
    assert (len(missed), len(exchanged)) == (2, 992)


@given(CODES)
def test_a_new_code_reads_back(code: str) -> None:
    assert len(code) == CODE_LENGTH == 14
    assert read_code(code).text == code
    assert read_code(code).kind == code[0]
    assert read_code(group_code(code).lower()).text == code


def test_a_new_code_is_chosen_by_a_secret_generator() -> None:
    assert len({new_code("A") for _ in range(1000)}) == 1000


@pytest.mark.parametrize("kind", ["", "O", "I", "1", "a", "AB", "é"])
def test_the_kind_is_one_letter_of_the_alphabet(kind: str) -> None:
    with pytest.raises(EngineeringError):
        new_code(kind)


def test_o_and_0_and_i_l_and_1_are_taken_alike() -> None:
    assert normalise("abO0-iIlL1. o") == "AB00111110"


@pytest.mark.parametrize(
    ("text", "named"), [("ABCU", "U"), ("AB#C", "#"), ("ABßC", "ß"), ("ABﬆ", "ﬆ"), ("AB_C", "_")]
)
def test_a_character_of_no_code_is_named(text: str, named: str) -> None:
    with pytest.raises(NotUnderstood, match=f"“{named}” is in no code"):
        normalise(text)


@pytest.mark.parametrize(
    "text",
    [
        CODE,
        f" {group_code(CODE)}\n",
        CODE.lower(),
        CODE.replace("0", "O").replace("1", "I"),
        f"HTTPS://HOSE.EXAMPLE/T/{CODE}",
        f"https://hose.example/t/{group_code(CODE)}/?from=tag#top",
        f"hose.example/{CODE}",
        f"http://[broken/{CODE}",
    ],
)
def test_a_code_is_read_as_typed_or_as_the_end_of_an_address(text: str) -> None:
    code = read_code(text)
    assert (code.kind, code.text) == ("A", CODE)


@pytest.mark.parametrize(
    ("text", "count"), [("", 0), (CODE[:-1], 13), (CODE + "A", 15), ("https://hose.example/", 0)]
)
def test_a_code_of_another_length_is_told(text: str, count: int) -> None:
    with pytest.raises(NotUnderstood, match=f"has 14 characters and this has {count}"):
        read_code(text)


def test_a_code_that_begins_with_a_digit_is_none_of_ours() -> None:
    body = "0" * 13
    with pytest.raises(NotUnderstood, match="begin with a letter"):
        read_code(body + check_character(body))


@pytest.mark.parametrize("body", ["", "ABU", "abc"])
def test_what_is_not_in_the_alphabet_has_no_check_character(body: str) -> None:
    with pytest.raises(EngineeringError):
        check_character(body)


def test_a_code_is_printed_in_groups_of_four() -> None:
    assert group_code("ABCDEFGHJKMNPQ") == "ABCD-EFGH-JKMN-PQ"
