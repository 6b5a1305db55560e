"""The codes on tags and labels: a kind letter, 12 random characters, a check character.

32 characters that people don't confuse: no I, L, O or U. The check is the hybrid system of ISO/IEC 7064
(modulus M + 1, M) with M = 32, as MOD 37,36 and MOD 11,10 are for 36 and 10 characters.
"""

import secrets
from collections.abc import Callable
from dataclasses import dataclass

from stdnum.iso7064 import mod_37_36

from shop.engineering.errors import EngineeringError, NotUnderstood

ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
RANDOM_CHARACTERS = 12  # of 5 bits: 60 bits, so that nobody finds a code by trying
CODE_LENGTH = 1 + RANDOM_CHARACTERS + 1
GROUP = 4
_VALID = frozenset(ALPHABET)
_READ_AS = {"O": "0", "I": "1", "L": "1"}
_SEPARATORS = frozenset("-‐‑–.")


@dataclass(frozen=True, slots=True)
class Code:
    """A code that was read: the letter of its kind, and all 14 characters without separators."""

    kind: str
    text: str


def normalise(text: str) -> str:
    """Upper case without spaces, hyphens and dots; O read as 0, I and L as 1.

    Raises `NotUnderstood` naming the first character that no code has.
    """
    tidy = []
    for typed in text:
        if typed.isspace() or typed in _SEPARATORS:
            continue
        character = _READ_AS.get(typed.upper(), typed.upper())
        if character not in _VALID:
            raise _not_understood(f"“{typed}” is in no code. Compare it with the tag and type it again.")
        tidy.append(character)
    return "".join(tidy)


def check_character(body: str, alphabet: str = ALPHABET) -> str:
    """The check character after `body`: ISO/IEC 7064 hybrid system, modulus M + 1 and M.

    Over the alphabet of the codes (M = 32) every single wrong character is found, and of the exchanges
    of two neighbours all but 2 in 992 (0.2 %). Raises `EngineeringError` if the body is empty or has a
    character outside the alphabet.
    """
    if not body or not set(body) <= set(alphabet):
        raise EngineeringError(
            f"“{body}” can't have a check character.", argument="code", allowed=alphabet, got=body
        )
    return str(mod_37_36.calc_check_digit(body, alphabet=alphabet))


def new_code(kind: str, choose: Callable[[str], str] = secrets.choice) -> str:
    """A new random code of the kind, one letter of the alphabet. Raises `EngineeringError` for another.

    `choose` picks one character of a string.
    """
    if not _is_kind(kind):
        raise EngineeringError(
            f"“{kind}” is not the letter of a kind of code.", argument="kind", allowed="one letter", got=kind
        )
    body = kind + "".join(choose(ALPHABET) for _ in range(RANDOM_CHARACTERS))
    return body + check_character(body)


def read_code(text: str) -> Code:
    """Read a code as typed, or a whole address whose last part it is.

    Raises `NotUnderstood` if it can't be one, or if its check character says that it was mistyped.
    """
    code = normalise(_last_part(text.strip()))
    if len(code) != CODE_LENGTH:
        raise _not_understood(
            f"A code has {CODE_LENGTH} characters and this has {len(code)}. Compare it with the tag and "
            "type it again."
        )
    if check_character(code[:-1]) != code[-1]:
        raise _not_understood(
            "One character of this code is wrong, or two have changed places. Compare it with the tag and "
            "type it again."
        )
    if not _is_kind(code[0]):
        raise _not_understood("This is not one of the workshop's codes: they begin with a letter.")
    return Code(code[0], code)


def group_code(code: str) -> str:
    """For print and for reading aloud: ABCD-EFGH-JKMN-PQ."""
    return "-".join(code[start : start + GROUP] for start in range(0, len(code), GROUP))


def _last_part(text: str) -> str:
    path = text.partition("#")[0].partition("?")[0]
    _, scheme, address = path.partition("://")
    if scheme:
        path = address.partition("/")[2]  # a host's name is no code, whatever its letters
    return path.rstrip("/").rpartition("/")[2]


def _is_kind(kind: str) -> bool:
    return len(kind) == 1 and kind in ALPHABET and kind.isalpha()


def _not_understood(sentence: str) -> NotUnderstood:
    return NotUnderstood(sentence, argument="code", allowed="ABCD-EFGH-JKMN-PQ, with or without hyphens")
