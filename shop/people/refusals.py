"""Why the people's services say no."""

from shop.core.refusals import Refusal


class NotAllowed(Refusal):
    says = "{name} may not {permission}."
    do = "Ask someone who may: {roles}."


class LastOwner(Refusal):
    says = "{name} is the only owner who works here."
    do = "Make somebody else an owner first, then change this person."
    field = "roles"


class NeedsSecondPerson(Refusal):
    """Rule 8: some acts need a second person."""

    rule = 8
    says = "{name} {did} and can't also {act}."
    do = (
        "Ask a second person; a one-person workshop can say so in its policy, and its papers then say so too."
    )


class PinNotUsable(Refusal):
    says = "That PIN can't be used. {why}"
    do = "Take another one."
    field = "pin"


class NotTheirPin(Refusal):
    says = "Badge and PIN don't go together."
    do = "Scan the badge again and type its PIN. Who has none yet signs in with the password and sets one."
    field = "pin"
