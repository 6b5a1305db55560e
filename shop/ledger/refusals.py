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
