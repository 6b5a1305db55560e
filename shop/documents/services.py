"""Issuing papers: rendered outside the transaction, kept before it commits, recorded in it."""

from django.db import transaction
from django.db.models import QuerySet

from shop.assemblies.models import Assembly, Tag
from shop.assemblies.recalls import require_not_recalled
from shop.assemblies.release import make_tag
from shop.documents import verbs
from shop.documents.keeping import keep
from shop.documents.models import Paper
from shop.documents.pdf import require_pdf
from shop.documents.refusals import NoTagYet, ReprintNeedsReason, TagReplacedMeanwhile
from shop.documents.tag import render_tag
from shop.ledger.services import write_record
from shop.people.access import require
from shop.people.models import User
from shop.people.permissions import Permission
from shop.trace.failures import require_not_failed


def print_tag(*, actor: User, assembly: Assembly, prints_seen: int, reason: str = "") -> Paper:
    """Make the assembly's tag and its paper; a reprint is a tag with the next number, and has a reason.

    `prints_seen` is how many papers of the tag the person knew of, so that asking twice prints once. A
    tag that has no paper yet gets it now. Raises `PdfNotInstalled` before anything is recorded,
    `FailedInService`, `IsRecalled`, `TagReplacedMeanwhile`, `ReprintNeedsReason`, and what `make_tag` raises.
    """
    require(actor, Permission.RELEASE)
    require_pdf()
    _require_fit_for_a_tag(assembly)
    if prints_seen != papers_of(assembly).count():
        raise TagReplacedMeanwhile(assembly=assembly)
    if is_reprint(assembly) and not reason.strip():
        raise ReprintNeedsReason(assembly=assembly)
    tag = newest_tag(assembly)
    if tag is None or hasattr(tag, "paper"):
        tag = make_tag(actor=actor, assembly=assembly)
    return issue_tag_paper(actor=actor, tag=tag, reason=reason.strip())


def issue_tag_paper(*, actor: User, tag: Tag, reason: str = "") -> Paper:
    """Render the tag and keep the very bytes; the same again returns the paper that there is.

    The reason for a reprint stands beside the entry. Raises `TagReplacedMeanwhile`,
    `FailedInService`, `IsRecalled`, `ReprintNeedsReason`, `PdfNotInstalled`.
    """
    require(actor, Permission.RELEASE)
    content = render_tag(tag)
    with transaction.atomic():
        assembly = Assembly.objects.select_for_update(no_key=True).get(pk=tag.assembly_id)
        if newest_tag(assembly) != tag:
            raise TagReplacedMeanwhile(assembly=assembly)
        issued = Paper.objects.filter(tag=tag).first()
        if issued is not None:
            return issued
        _require_fit_for_a_tag(assembly)
        if tag.number > 1 and not reason:
            raise ReprintNeedsReason(assembly=assembly)
        paper = Paper(kind="tag", tag=tag, sha256=keep(content), size=len(content))
        return write_record(
            actor=actor,
            verb=verbs.PAPER_ISSUED,
            record=paper,
            subject=assembly,
            private={"reason": reason},
        )


def _require_fit_for_a_tag(assembly: Assembly) -> None:
    require_not_failed(assembly)
    require_not_recalled(assembly)


def newest_tag(assembly: Assembly) -> Tag | None:
    """The newest print of the assembly's tag."""
    return assembly.tags.order_by("-number").select_related("paper").first()


def newest_tag_paper(assembly: Assembly) -> Paper:
    """The paper of the newest tag that has one. Raises `NoTagYet`."""
    paper = papers_of(assembly).first()
    if paper is None:
        raise NoTagYet(assembly=assembly)
    return paper


def papers_of(assembly: Assembly) -> QuerySet[Paper]:
    """Every paper of the assembly's tag, newest first."""
    return Paper.objects.filter(tag__assembly=assembly).order_by("-tag__number")


def is_reprint(assembly: Assembly) -> bool:
    """Whether the next print of the tag is another than the first, so that it needs a reason."""
    tag = newest_tag(assembly)
    return tag is not None and (tag.number > 1 or hasattr(tag, "paper"))
