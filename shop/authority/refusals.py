"""Why somebody whose role allows it may still not take the step."""

from shop.core.refusals import Refusal


class NotAuthorised(Refusal):
    says = "{name} may not {what} {when}: {why}."
    do = "{ask}"
