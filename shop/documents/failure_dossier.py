"""The dossier about a failure: one PDF, and one folder with the photos and lists that belong to it."""

import csv
import io
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import IO, Any

from django.conf import settings

from shop.documents.evidence.choosing import Asked
from shop.documents.evidence.packing import packing
from shop.documents.evidence.sheets import Row, Section, Words, assembly_sheet
from shop.documents.pdf import render_pdf
from shop.drawings.readings import draw_readings
from shop.policy.models import Workshop
from shop.policy.services import get_workshop
from shop.tooling.photos import kept_photo
from shop.trace.cautions import AFTER_A_FAILURE
from shop.trace.dossier import Reported
from shop.trace.failures import Investigation
from shop.trace.failures.siblings import Siblings

HEADS = ("shared", "of", "others", "failed", "in service", "retired", "recalled", "scrapped", "here")
READINGS = ("drawing", "when", "mean mm", "passed", "this one")


@dataclass(frozen=True)
class FailureDossier:
    """What the PDF says. People, customers and own words stand in it only if they were asked for."""

    workshop: Workshop
    found: Investigation
    reported: Section
    answered: Section
    siblings: tuple[tuple[str, ...], ...]
    drawings: tuple[Row, ...]  # title and SVG
    record: tuple[Section, ...]
    heads: tuple[str, ...] = HEADS
    cautions: tuple[str, ...] = AFTER_A_FAILURE


def failure_dossier(found: Investigation, *, names: bool) -> FailureDossier:
    """The dossier; `names` puts people and customers in by name, and what they wrote."""
    asked = Asked(people=names, customers=names)
    say = Words(get_workshop(), asked)
    sheet = assembly_sheet(found.record.assembly, asked)
    return FailureDossier(
        workshop=say.workshop,
        found=found,
        reported=Section("As reported", tuple(_reported(found, say))),
        answered=Section("Who answered", tuple(_answered(found, say))),
        siblings=tuple(_sibling_row(one, say) for one in found.siblings),
        drawings=tuple((drawing.title, draw_readings(drawing)) for drawing in found.readings),
        record=sheet.sections,
    )


def render_failure_dossier(found: Investigation, *, names: bool) -> bytes:
    """The dossier as PDF, A4. Raises `PdfNotInstalled`."""
    dossier = failure_dossier(found, names=names)
    return render_pdf("documents/failure_dossier.html", {"dossier": dossier, "found": found})


def pack_failure_folder(found: Investigation, *, names: bool) -> IO[bytes]:
    """A ZIP of the dossier, the photos, the readings and the siblings by each factor; who reads it closes it.

    Photos show what somebody chose to show, so they go in with names only. Raises `PdfNotInstalled`,
    `PhotoDamaged` and `PackageTooLarge`.
    """
    say = Words(get_workshop(), Asked(people=names, customers=names))
    pdf = render_failure_dossier(found, names=names)
    photos = [kept_photo(sha256) for sha256 in found.report.photo_hashes] if names else []
    file = tempfile.TemporaryFile(dir=settings.DATA_DIR)  # noqa: SIM115  # who reads it closes it
    try:
        with packing(file) as folder:
            folder.add("dossier.pdf", [pdf])
            for number, photo in enumerate(photos, start=1):
                folder.add(f"photos/{number}.jpg", [photo])
            if names and found.report.photos and not photos:
                folder.add("photos/erased.txt", [f"Photos: {found.reported.photos}.\n".encode()])
            folder.add("readings.csv", _csv(READINGS, _readings(found)))
            folder.add("siblings.csv", _csv(HEADS, (_sibling_row(one, say) for one in found.siblings)))
            for number, one in enumerate(found.siblings, start=1):
                rows = one.rows(found.record.assembly)
                name = f"siblings/{number:02}-{one.link.name.replace('_', '-')}.csv"
                folder.add(name, _csv(("serial", "code", "outcome"), rows))
    except BaseException:
        file.close()
        raise
    file.seek(0)
    return file


def _reported(found: Investigation, say: Words) -> Iterator[Row]:
    for reported in (found.reported, *found.others):
        yield from _one_report(reported, say)


def _one_report(reported: Reported, say: Words) -> Iterator[Row]:
    report = reported.written.record
    hours = "not known" if report.hours_in_service is None else f"{report.hours_in_service} h"
    yield report.printed_code, f"{report.get_mode_display()}, {report.get_origin_display()}"
    yield "Failed on", f"{report.failed_on or 'not known'}; hours in service: {hours}"
    yield "Somebody hurt", report.get_hurt_display()
    yield "What was seen", say.own(reported.seen) or "nothing was said"
    yield "Photos", reported.photos
    for finding in reported.findings:
        yield "Found", f"{finding.what}: {say.own(finding.reason)}; {say.who(finding.told)}"


def _answered(found: Investigation, say: Words) -> Iterator[Row]:
    for reported in (found.reported, *found.others):
        code = reported.written.record.printed_code
        yield f"Report {code}", say.who(reported.written.told)
        yield "Can be asked", say.own(reported.contact) or "nobody was named"
        for finding in reported.findings:
            yield "Looked at it", say.who(finding.told)
    people = ", ".join(say.person(person) for person in found.record.people)
    yield "Had a hand in it", people


def _sibling_row(one: Siblings, say: Words) -> tuple[str, ...]:
    """Who made them is named only where people are asked for."""
    thing = str(one.thing)
    if one.is_person and not say.asked.people:
        thing = f"staff number {getattr(one.thing, one.link.key)}"
    others = (one.in_service, one.retired, one.recalled, one.scrapped, one.here)
    return (one.link.words, thing, str(one.every), _failed_words(one), *(str(count) for count in others))


def _failed_words(one: Siblings) -> str:
    """How many failed, by mode: '3: pinhole 2, kinked 1'."""
    modes = ", ".join(f"{mode.label} {count}" for mode, count in sorted(one.failed_by_mode.items()))
    return f"{one.failed}: {modes}" if modes else "0"


def _readings(found: Investigation) -> Iterator[tuple[Any, ...]]:
    for drawing in found.readings:
        for reading in drawing.readings:
            passed, own = ("yes" if is_so else "no" for is_so in (reading.passes, reading.is_own))
            yield f"{drawing.title}; {drawing.time_label}", reading.at, reading.mean_mm, passed, own


def _csv(heads: Iterable[str], rows: Iterable[Iterable[Any]]) -> Iterator[bytes]:
    """The lines of a CSV, one after the other."""
    for row in chain([heads], rows):
        line = io.StringIO()
        csv.writer(line).writerow(row)
        yield line.getvalue().encode()
