"""What everybody may know who holds a tag in hand: state first, then what it is (rule 14).

No customer, no person, no lot, no other assembly.
"""

import datetime
from dataclasses import dataclass, replace

from shop.assemblies.models import Assembly
from shop.assemblies.recalls import open_recalls_of
from shop.assemblies.standing import PublicState, not_for_use, public_state
from shop.drawings.assembly import AssemblyDrawing
from shop.engineering.age import AgeLimit
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.engineering.lengths import LengthUnit
from shop.orders.drawing import drawing_of_resolution
from shop.trace.failures import has_failed
from shop.trace.identity import Identity, identity_of
from shop.trace.service_life import service_limit

SHOWN = (
    "run__resolution__policy",
    "run__resolution__hose__standard",
    *(f"run__resolution__fitting_{end}__{part}" for end in "ab" for part in ("series", "connection")),
    *(f"run__resolution__specification_{end}__ferrule" for end in "ab"),
)


@dataclass(frozen=True, slots=True)
class PublicRecord:
    """The assembly for strangers. Rating, temperature and date are those of its tag, if it has one.

    `replace_by` is the last day in service; None if there is none, or if it is not for use anyhow.
    """

    code: str
    printed_code: str
    serial: int
    state: PublicState
    identity: Identity
    drawing: AssemblyDrawing
    rating: str
    temperature: str
    made: str
    replace_by: datetime.date | None


def public_record_of(code_text: str, *, today: datetime.date, unit: LengthUnit) -> PublicRecord | None:
    """The public record under that code; None if no assembly has it.

    Codes of other kinds are looked for among assemblies too, so that nobody learns from the answer, or
    from how long it takes, whether such a thing exists.
    """
    try:
        code = read_code(code_text).text
    except NotUnderstood:
        return None
    try:
        assembly = Assembly.objects.select_related(*SHOWN).get(code=code)
    except Assembly.DoesNotExist:
        return None
    tag = assembly.tags.order_by("-number").first()
    limit = service_limit(assembly, tag)
    return PublicRecord(
        code=assembly.code,
        printed_code=assembly.printed_code,
        serial=assembly.serial,
        state=_state(assembly, limit, today),
        identity=identity_of(assembly, unit),
        drawing=drawing_of_resolution(assembly.resolution, unit),
        rating="" if tag is None else tag.rating_words,
        temperature="" if tag is None else tag.temperature_words,
        made="" if tag is None else tag.made,
        replace_by=None if limit is None else limit.last_day,
    )


def _state(assembly: Assembly, limit: AgeLimit | None, today: datetime.date) -> PublicState:
    """What a recall says comes first: it is the news for whoever has a hose that was right when it left.

    That somebody reported a failure says nothing here: anybody could mark a hose so. What the workshop
    found out about it does.
    """
    state = public_state(assembly, today)
    if not state.do_not_use and has_failed(assembly):
        return not_for_use("It has failed.")
    if not state.do_not_use and open_recalls_of(assembly):
        return not_for_use("It is recalled: it may have a weakness that can hurt you.")
    return _with_age(state, limit, today)


def _with_age(state: PublicState, limit: AgeLimit | None, today: datetime.date) -> PublicState:
    """The state, which a day to be replaced may turn into DO NOT USE, and never back."""
    if limit is None or state.do_not_use:
        return state
    if limit.allows(today):
        return replace(state, sentence=f"{state.sentence} To be replaced by {limit.last_day}.")
    return not_for_use(f"It is past its day to be replaced, {limit.last_day}.")
