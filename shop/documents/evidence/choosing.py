"""Which entries of the ledger go into a package, and which of the texts beside them."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from django.db.models import Q

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
from shop.trace.gathering import Gathered, gather

BATCH = 500  # keys asked for at a time
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
    """The keys of all entries that go in. The number of queries grows with a recall's members."""
    if isinstance(about, Recall):
        members = Assembly.objects.filter(recalls__recall=about).order_by("pk")
        keys = _of_recall(about)
    else:
        members = Assembly.objects.filter(pk=about.pk)
        keys = set()
    customers: set[int] = set()
    for assembly in members.iterator(chunk_size=BATCH):
        found = gather(assembly)
        keys |= keys_of(found) | _checks_of_tools(found)
        keys |= _about(subjects_of(found.assembly))
        customers.add(found.assembly.run.line.order.customer_id)
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


def _checks_of_tools(found: Gathered) -> set[int]:
    """The last look at each tool before the set-ups and the first one after the crimps on it."""
    keys: set[int] = set()
    for set_up in found.set_ups:
        last = max((crimp.pk for crimp in found.crimps if crimp.set_up_id == set_up.pk), default=set_up.pk)
        for of_tool in _tools_of(set_up):
            checks = ToolCheck.objects.filter(of_tool).order_by("pk").values_list("pk", flat=True)
            before, after = checks.filter(pk__lt=set_up.pk).last(), checks.filter(pk__gt=last).first()
            keys |= {key for key in (before, after) if key is not None}
    return keys


def _tools_of(set_up: SetUp) -> list[Q]:
    tools = [Q(crimper=set_up.crimper_id), Q(die_set=set_up.die_set_id)]
    return tools if set_up.stop_part_id is None else [*tools, Q(stop_part=set_up.stop_part_id)]


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
