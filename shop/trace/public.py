"""What everybody may know who holds a tag in hand: state first, then what it is (rule 14).

No customer, no person, no lot, no other assembly.
"""

import datetime
from dataclasses import dataclass

from shop.assemblies.models import Assembly
from shop.assemblies.standing import PublicState, public_state
from shop.drawings.assembly import AssemblyDrawing
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.engineering.lengths import LengthUnit
from shop.orders.drawing import drawing_of_resolution
from shop.trace.identity import Identity, identity_of


@dataclass(frozen=True, slots=True)
class PublicRecord:
    """The assembly for strangers. Rating, temperature and date are those of its tag, if it has one."""

    code: str
    printed_code: str
    serial: int
    state: PublicState
    identity: Identity
    drawing: AssemblyDrawing
    rating: str
    temperature: str
    made: str


def public_record_of(code_text: str, *, today: datetime.date, unit: LengthUnit) -> PublicRecord | None:
    """The public record under that code; None if no assembly has it.

    Codes of other kinds are looked for among assemblies too, so that nobody learns from the answer, or
    from how long it takes, whether such a thing exists.
    """
    try:
        code = read_code(code_text).text
    except NotUnderstood:
        return None
    assembly = Assembly.objects.filter(code=code).select_related("run__resolution__hose__standard").first()
    if assembly is None:
        return None
    tag = assembly.tags.order_by("-number").first()
    return PublicRecord(
        code=assembly.code,
        printed_code=assembly.printed_code,
        serial=assembly.serial,
        state=public_state(assembly, today),
        identity=identity_of(assembly, unit),
        drawing=drawing_of_resolution(assembly.resolution, unit),
        rating="" if tag is None else tag.rating_words,
        temperature="" if tag is None else tag.temperature_words,
        made="" if tag is None else tag.made,
    )
