"""Rows of assemblies and runs, compared with what was recorded of them."""

from collections.abc import Iterator, Sequence
from functools import partial

from shop.assemblies.models import Assembly, ProofTest, Recall, Run
from shop.assemblies.records import with_records
from shop.assemblies.standing import left_as_said, standing_of
from shop.assemblies.testing import damage_of_curve
from shop.ledger.checking import noted_rows_that_disagree, register_consistency_check

BATCH = 500  # assemblies in memory at a time
SHOWN = 5  # keys named in a sentence


def register() -> None:
    """Add the checks of this app to `check_ledger`."""
    register_consistency_check("assemblies.standing", standings_that_disagree)
    register_consistency_check("assemblies.curves", curves_that_are_not_as_kept)
    register_consistency_check("assemblies.recalls", members_that_disagree)
    register_consistency_check("assemblies.assembly", partial(noted_rows_that_disagree, Assembly))
    register_consistency_check("assemblies.run", partial(noted_rows_that_disagree, Run))


def standings_that_disagree() -> Iterator[str]:
    """A sentence for each assembly whose state or open question is not what its records come to."""
    doubtful = Assembly.objects.filter(~left_as_said()).order_by("pk")
    for assembly in with_records(doubtful).iterator(chunk_size=BATCH):
        standing = standing_of(assembly)
        if assembly.state != standing.state:
            yield (
                f"{assembly} is said to be {assembly.state!r}; by its records it is {standing.state.value!r}."
            )
        if assembly.trouble != standing.trouble:
            yield (
                f"{assembly} is said to have the open question {assembly.trouble!r}; "
                f"by its records it is {standing.trouble.value!r}."
            )


def curves_that_are_not_as_kept() -> Iterator[str]:
    """A sentence for each proof test whose kept curve is missing or changed."""
    for test in ProofTest.objects.exclude(curve_sha256="").order_by("entry").iterator():
        if damage := damage_of_curve(test):
            yield f"The kept curve of proof test {test.number} (entry {test.pk}) is {damage}."


def members_that_disagree() -> Iterator[str]:
    """A sentence for each recall whose list of members, or what is known of one, isn't what was recorded."""
    for recall in Recall.objects.order_by("entry"):
        recorded = dict.fromkeys(recall.members, "")
        for more in recall.additions.values_list("members", flat=True):
            recorded |= dict.fromkeys(more, "")
        recorded |= dict(recall.findings.order_by("entry").values_list("assembly_id", "kind"))
        listed = dict(recall.memberships.values_list("assembly_id", "newest"))
        if listed == recorded:
            continue
        wrong = [key for key in sorted(recorded | listed) if recorded.get(key) != listed.get(key)]
        yield f"{recall} says otherwise than was recorded of assemblies with the keys {_first_of(wrong)}."


def _first_of(keys: Sequence[int]) -> str:
    shown = ", ".join(str(key) for key in keys[:SHOWN])
    return shown if len(keys) <= SHOWN else f"{shown} and {len(keys) - SHOWN} more"
