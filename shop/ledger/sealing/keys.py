"""The private half of the key that signs seals: a file in the data folder, for the server alone.

It stands there unencrypted, since the server signs a seal each day with nobody at hand to type a
passphrase; who can read the folder can read the database as well. Each key has a file of its own name,
so that no crash between two keys leaves the workshop without the one that its ledger knows.
"""

import os
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from django.conf import settings

from shop.ledger.refusals import KeyLost, KeyUnreadable
from shop.ledger.sealing.statements import fingerprint_of

FOLDER = "sealing-keys"


def keys_folder() -> Path:
    """Where the private keys are."""
    return Path(settings.DATA_DIR) / FOLDER


def key_path(public_key: str) -> Path:
    """Where the private half of this key is, if it is here."""
    return keys_folder() / f"{fingerprint_of(public_key)}.pem"


def is_here(public_key: str) -> bool:
    """Whether there is a file for this key."""
    return key_path(public_key).exists()


def make_key() -> str:
    """Make a key, keep its private half where only the server can read it, return the public half."""
    key = Ed25519PrivateKey.generate()
    public_key = key.public_key().public_bytes_raw().hex()
    keys_folder().mkdir(mode=0o700, exist_ok=True)
    descriptor = os.open(key_path(public_key), os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))
        file.flush()
        os.fsync(file.fileno())
    return public_key


def sign(public_key: str, statement: str) -> str:
    """Sign with the private half of this key. Raises `KeyLost`, `KeyUnreadable`."""
    path = key_path(public_key)
    try:
        key = load_pem_private_key(path.read_bytes(), password=None)
    except FileNotFoundError as error:
        raise KeyLost(path=path) from error
    except (OSError, ValueError, TypeError) as error:
        raise KeyUnreadable(path=path, reason=error) from error
    if not isinstance(key, Ed25519PrivateKey) or key.public_key().public_bytes_raw().hex() != public_key:
        raise KeyUnreadable(path=path, reason="it holds another key")
    return key.sign(statement.encode()).hex()


def forget(public_key: str) -> None:
    """Remove the private half of a key that is not to sign any more."""
    key_path(public_key).unlink(missing_ok=True)
