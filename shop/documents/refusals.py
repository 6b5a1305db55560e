"""Why a paper can't be printed."""

from shop.core.refusals import Refusal

DEBIAN_PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0", "fonts-dejavu-core")


class PdfNotInstalled(Refusal):
    says = "This machine can't make PDFs: {missing}."
    do = (
        "Have somebody run apt-get install "
        + " ".join(DEBIAN_PACKAGES)
        + " on the workshop's machine, then try again. Everything else works without."
    )


class NoTagYet(Refusal):
    says = "There is no tag for {assembly} yet."
    do = "Make its tag once it is inspected."


class ReprintNeedsReason(Refusal):
    rule = 13
    says = "{assembly} has a tag. Another print of it is a record."
    do = "Say why it is needed: lost, damaged, misprinted."
    field = "reason"


class TagReplacedMeanwhile(Refusal):
    says = "Somebody else has printed a tag for {assembly} in the meantime."
    do = "Look at the assembly again and take that one."


class PaperDamaged(Refusal):
    says = "The kept copy of {paper} is {damage}."
    do = "Have the ledger checked and the files restored from a backup. Don't use a copy that isn't proven."


class NothingOnACard(Refusal):
    says = "No piece of {run} is still to be made."
    do = "Look at its records: what is finished needs no job card."


class NothingToSetUp(Refusal):
    rule = 1
    says = (
        "Nobody has written down what goes into {crimper} for die {die_type} and {stop}, or it is out of use."
    )
    do = "Have the arrangement written down under Tools, or take another crimper."


class EvidenceDamaged(Refusal):
    says = "Entry {entry} and what belongs to it don't fit together, or were changed just now."
    do = "Try again. If it is said again, run `manage.py check_ledger`: what is damaged is no evidence."


class EvidenceFileDamaged(Refusal):
    says = "The kept file {name} is {damage}, so the package would not hold."
    do = "Have the ledger checked and the files restored from a backup, then take the package."


class PackageTooLarge(Refusal):
    says = "The package would be larger than 2 GB, or hold more files than a plain ZIP can."
    do = "Take the packages of its assemblies one by one."
