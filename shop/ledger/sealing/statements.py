"""What a seal states and what a key states of the next, and whether they are signed. No database here.

A statement is canonical JSON (RFC 8785) that begins with what it is for, so that no signature can be
taken for one under something else. Signatures are Ed25519 (RFC 8032), written as hexadecimal digits.
"""

import re
from dataclasses import dataclass
from hashlib import sha256

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from shop.ledger.canonical import canonical

SEAL_CONTEXT = "ferrulebook seal of a ledger, version 1"
KEY_CONTEXT = "ferrulebook next key of seals, version 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sealed:
    """The root of the tree over the entries 1 to `last` of a chain, signed.

    `first` is the entry behind the seal before. Root, public key and signature are hexadecimal digits.
    """

    chain: str
    first: int
    last: int
    root: str
    sealed_at: str
    key: str
    signature: str

    def __str__(self) -> str:
        return f"the seal of {self.sealed_at} over entries 1 to {self.last} of the chain {self.chain}"

    @property
    def statement(self) -> str:
        """What the signature is over."""
        return seal_statement(self.chain, self.first, self.last, self.root, self.sealed_at, self.key)

    def is_signed(self) -> bool:
        """Whether the signature fits the statement and the key."""
        return is_signed(self.key, self.statement, self.signature)


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownKey:
    """The public half of a key, why it was made, and the signature of the one before, if it vouched."""

    number: int
    public_key: str
    reason: str
    vouched: str

    def __str__(self) -> str:
        return f"key {self.number} ({self.fingerprint})"

    @property
    def fingerprint(self) -> str:
        """What people compare: the first 64 bits of the SHA-256 of the public key, hexadecimal.

        Of the digits themselves if they are no key, so that a changed one still has a name.
        """
        return fingerprint_of(self.public_key)

    def is_vouched_for_by(self, before: str) -> bool:
        """Whether the key before, given by its public half, has signed that this one follows."""
        return is_signed(before, key_statement(before, self.number, self.public_key), self.vouched)


def seal_statement(chain: str, first: int, last: int, root: str, sealed_at: str, key: str) -> str:
    """What a seal states."""
    return canonical(
        {
            "context": SEAL_CONTEXT,
            "chain": chain,
            "first": first,
            "last": last,
            "root": root,
            "sealed_at": sealed_at,
            "key": key,
        }
    )


def key_statement(before: str, number: int, public_key: str) -> str:
    """What a key states of the one that follows it in turn."""
    return canonical({"context": KEY_CONTEXT, "before": before, "number": number, "public_key": public_key})


def fingerprint_of(public_key: str) -> str:
    """The first 64 bits of the SHA-256 of the public key's bytes, as 16 hexadecimal digits."""
    raw = bytes.fromhex(public_key) if _is_hex(public_key, 32) else public_key.encode()
    return sha256(raw).hexdigest()[:16]


def is_signed(public_key: str, statement: str, signature: str) -> bool:
    """Whether the signature over the statement was made with the key; what is no key signs nothing."""
    if not (_is_hex(public_key, 32) and _is_hex(signature, 64)):
        return False
    try:
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(public_key))
        key.verify(bytes.fromhex(signature), statement.encode())
    except InvalidSignature:
        return False
    return True


def _is_hex(text: str, length: int) -> bool:
    """Whether the text is the one way to write that many bytes: two small digits for each."""
    return re.fullmatch(rf"[0-9a-f]{{{2 * length}}}", text) is not None
