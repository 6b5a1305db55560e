"""Why the ledger's services say no."""

from shop.core.refusals import Refusal


class HappenedInTheFuture(Refusal):
    says = "{happened_at:%Y-%m-%d %H:%M} UTC has not come yet."
    do = "Give the time when it happened, or leave it empty if it happened just now."
    field = "happened_at"


class NothingToErase(Refusal):
    says = "There is no private text of {subject} that could be erased."
    do = "Look up its history: it may have been erased already."


class NotABackup(Refusal):
    says = "{path} can't be restored: {reason}."
    do = "Choose a file that `manage.py backup` made on this kind of database."


class WorkshopInTheWay(Refusal):
    says = "There is {contents} here, which restoring would replace."
    do = "Keep a copy of it first. Then say --replace."


class FileInTheWay(Refusal):
    says = "{path} is already there."
    do = "Choose another name: a backup never replaces an older one."


class NothingToResume(Refusal):
    says = "There is no check to go on with: {reason}."
    do = "Run the check from the beginning, without --resume."


class HeadsUnreadable(Refusal):
    says = "The copy of the ledger's heads outside the database, {path}, can't be understood: {reason}."
    do = "Keep it under another name and find out who wrote it. The next entry begins a new one."


class ToolMissing(Refusal):
    says = "{program} is not installed, without which this database can't be copied."
    do = "Install Debian's package postgresql-client."


class CopyFailed(Refusal):
    says = "{program} could not copy the database: {reason}"
    do = "Nothing was changed. Put that right and try again."


class NothingToSeal(Refusal):
    says = "Nothing was recorded since the newest seal."
    do = "Seal again once something was."


class SealedMeanwhile(Refusal):
    says = "Somebody sealed the ledger or changed its key at the same moment."
    do = "Look at the newest seal, and at the key, before you go on."


class ChainDamaged(Refusal):
    says = "Entry {number} of the chain {site} is missing or has no hash: what is damaged is not sealed."
    do = "Run `manage.py check_ledger`, which names what was changed, and bring back a backup."


class SealDamaged(Refusal):
    says = "The {seal} is not as it was made, so nothing can go on from it."
    do = "Run `manage.py check_ledger`, which names what was changed, and bring back a backup."


class KeyLost(Refusal):
    says = "The private key that signs seals is not where it belongs, {path}."
    do = "Bring the file back from a backup. If there is none, an owner makes a new key: Quality, Seals."


class KeyUnreadable(Refusal):
    says = "The private key that signs seals, {path}, can't be used: {reason}."
    do = "Bring the file back from a backup. If there is none, an owner makes a new key: Quality, Seals."


class NoKeyYet(Refusal):
    says = "There is no key yet that could be replaced."
    do = "Seal the ledger: the first seal makes it."


class KeyIsHere(Refusal):
    says = "The key is not lost: it is where it belongs."
    do = "Replace it in turn, or say that it may be in other hands."
    field = "reason"


class NotASealFile(Refusal):
    says = "{path} holds no exported seals: {reason}."
    do = "Choose a file that came from the page of the seals, or the text of the square on a printed seal."


class NotSealedYet(Refusal):
    says = "Entry {number} of the chain {site} is under no seal yet."
    do = "Seal the ledger first."
