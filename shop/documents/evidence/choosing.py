"""Which entries of the ledger go into a package, and which of the texts beside them."""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from shop.assemblies import verbs as assembly_verbs
from shop.assemblies.models import Assembly, Recall, RecallClosing, SetUp
from shop.ledger.facts import subject_of
from shop.ledger.models import Entry, PrivateText
from shop.orders import verbs as order_verbs
from shop.orders.models import Customer
from shop.people import verbs as people_verbs
from shop.people.models import User
from shop.tooling.models import ToolCheck
from shop.trace.dossier import keys_of, subjects_of
from shop.trace.gathering import Gathered, gather_all

BATCH = 500  # keys asked for at a time
GATHERED_AT_ONCE = 100  # assemblies, each with all that it was made from, with and by
OF_PEOPLE = frozenset({people_verbs.PERSON_SAVED.name})
OF_CUSTOMERS = frozenset(
    verb.name
    for verb in (order_verbs.CUSTOMER_SAVED, assembly_verbs.RECALL_ANSWERED, assembly_verbs.CONCEDED)
)


@dataclass(frozen=True)
class Asked:
    """What leaves the workshop beside the entries themselves."""

    people: bool = False
    customers: bool = False

    @property
    def words(self) -> bool:
        """Whether what somebody wrote in words of his own goes in: it may name either."""
        return self.people and self.customers

    def takes_texts_of(self, verb: str) -> bool:
        """Whether the texts beside entries of this verb go in."""
        if verb in OF_PEOPLE:
            return self.people
        return self.customers if verb in OF_CUSTOMERS else self.words


def entries_about(about: Assembly | Recall, asked: Asked) -> set[int]:
    """The keys of all entries that go in. A recall's members are read a hundred at a time."""
    if isinstance(about, Recall):
        members = list(about.memberships.values_list("assembly", flat=True))
        keys = _of_recall(about)
    else:
        members = [about.pk]
        keys = set()
    customers: set[int] = set()
    looks = _Looks()
    for batch in in_batches(members, GATHERED_AT_ONCE):
        gathered = gather_all(batch)
        for found in gathered:
            keys |= keys_of(found) | looks.around(found)
            customers.add(found.assembly.run.line.order.customer_id)
        keys |= _about({subject for found in gathered for subject in subjects_of(found.assembly)})
    if asked.people:
        keys |= _of_people(keys)
    if asked.customers:
        keys |= _about(subject_of(customer) for customer in Customer.objects.filter(pk__in=customers))
    return keys | _erasing(keys)


def in_batches(keys: Iterable[int], size: int = BATCH) -> Iterator[list[int]]:
    """The keys in lists of at most so many."""
    rest = iter(keys)
    while batch := list(islice(rest, size)):
        yield batch


def _of_recall(recall: Recall) -> set[int]:
    keys = {recall.pk, *RecallClosing.objects.filter(recall=recall).values_list("pk", flat=True)}
    for many in (recall.additions, recall.findings, recall.answers):
        keys |= set(many.values_list("pk", flat=True))
    return keys | _about([subject_of(recall)])


class _Looks:
    """The looks at tools: the keys of each tool's are read once, as many members were made with it."""

    def __init__(self) -> None:
        self._at: dict[tuple[str, int], list[int]] = {}

    def around(self, found: Gathered) -> set[int]:
        """The last look at each tool before the set-ups and the first one after the crimps on it."""
        keys: set[int] = set()
        for set_up in found.set_ups:
            crimped = [crimp.pk for crimp in found.crimps if crimp.set_up_id == set_up.pk]
            last = max(crimped, default=set_up.pk)
            for tool in _tools_of(set_up):
                looks = self._looks_at(tool)
                before, after = bisect_left(looks, set_up.pk), bisect_right(looks, last)
                keys.update(looks[max(before - 1, 0) : before])
                keys.update(looks[after : after + 1])
        return keys

    def _looks_at(self, tool: tuple[str, int]) -> list[int]:
        if tool not in self._at:
            looks = ToolCheck.objects.filter(**dict([tool])).order_by("pk")
            self._at[tool] = list(looks.values_list("pk", flat=True))
        return self._at[tool]


def _tools_of(set_up: SetUp) -> list[tuple[str, int]]:
    """The tools that it was set up with, each as the column of a look at it and its key."""
    tools = [("crimper", set_up.crimper_id), ("die_set", set_up.die_set_id)]
    return tools if set_up.stop_part_id is None else [*tools, ("stop_part", set_up.stop_part_id)]


def _about(subjects: Iterable[str]) -> set[int]:
    return set(Entry.objects.filter(subject__in=list(subjects)).values_list("pk", flat=True))


def _of_people(keys: Collection[int]) -> set[int]:
    """How each person who did or wrote down one of these was entered in the list of people."""
    numbers: set[int] = set()
    for batch in in_batches(keys):
        rows = Entry.objects.filter(pk__in=batch).values_list("actor_number", "done_by")
        numbers |= {number for row in rows for number in row if number is not None}
    subjects = [subject_of(person) for person in User.objects.filter(number__in=numbers)]
    saved = Entry.objects.filter(subject__in=subjects, verb__in=OF_PEOPLE)
    return set(saved.values_list("pk", flat=True))


def _erasing(keys: Collection[int]) -> set[int]:
    """The entries that say that texts of these were erased."""
    acts: set[int] = set()
    for batch in in_batches(keys):
        erased = PrivateText.objects.filter(entry__in=batch).exclude(erased_by=None)
        acts |= set(erased.values_list("erased_by", flat=True))
    return acts
