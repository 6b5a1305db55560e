"""The people of the workshop."""

from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models

from shop.core.labels import Labelled
from shop.people.permissions import ALLOWED, Permission, Role


def validate_roles(value: Any) -> None:
    """Refuse anything but a list of the names of roles."""
    if not isinstance(value, list) or set(value) - set(Role):
        raise ValidationError(f"Roles are some of: {', '.join(Role)}.")


class User(Labelled, AbstractBaseUser):
    """A person who works with the program.

    The ledger knows people by `number` only: a name may have to be erased one day, a chain of
    hashes can't be.
    """

    KIND_LETTER = "B"
    PRIVATE_FIELDS: ClassVar[frozenset[str]] = frozenset({"name", "username"})
    UNNOTED_FIELDS: ClassVar[frozenset[str]] = frozenset({"password", "pin", "last_login"})

    number = models.PositiveIntegerField(
        "staff number",
        unique=True,
        validators=[MinValueValidator(1, "Staff numbers begin with 1.")],
        error_messages={"unique": "Another person has this staff number."},
    )
    username = models.CharField(
        "sign-in name",
        max_length=60,
        unique=True,
        error_messages={"unique": "Another person has this sign-in name."},
    )
    name = models.CharField(max_length=120)
    roles = models.JSONField(default=list, validators=[validate_roles])
    pin = models.CharField("PIN, hashed", max_length=128, blank=True, editable=False)
    is_active = models.BooleanField("works here", default=True)

    objects = BaseUserManager["User"]()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["number", "name"]

    class Meta:
        verbose_name = "person"
        verbose_name_plural = "people"

    def __str__(self) -> str:
        return self.name

    def may(self, permission: Permission) -> bool:
        """Whether one of the person's roles allows it."""
        return self.is_active and not ALLOWED[permission].isdisjoint(self.roles)

    @property
    def has_pin(self) -> bool:
        """Whether badge and PIN can bring the person to a tablet."""
        return bool(self.pin)

    @property
    def role_words(self) -> str:
        """The roles for reading: 'bench, inspector'."""
        return ", ".join(self.roles)
