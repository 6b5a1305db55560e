"""The one question before each act: may this person do it?"""

from shop.people.models import User
from shop.people.permissions import ALLOWED, Permission
from shop.people.refusals import NotAllowed


def require(actor: User, permission: Permission) -> None:
    """Raise `NotAllowed` unless the actor may; the first line of every service."""
    if not actor.may(permission):
        roles = ", ".join(sorted(ALLOWED[permission]))
        raise NotAllowed(name=actor.name, permission=permission.value, roles=roles)
