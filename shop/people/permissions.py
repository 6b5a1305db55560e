"""Who may do what: the one table that pages and services both ask."""

from enum import StrEnum


class Role(StrEnum):
    """What a person is in the workshop. One person may be several."""

    COUNTER = "counter"
    BENCH = "bench"
    INSPECTOR = "inspector"
    AUDITOR = "auditor"
    OWNER = "owner"


class Permission(StrEnum):
    """An act, or a group of acts, that not everybody may do."""

    READ = "read the workshop's records"
    KEEP_PEOPLE = "keep the list of people"
    SET_POLICY = "set the workshop's policy"
    KEEP_CUSTOMERS = "keep the list of customers"
    KEEP_CATALOGUE = "keep hoses, fittings, ferrules and types of tooling"
    CONFIRM_RATINGS = "confirm a rating against its document"
    CHOOSE_RATING = "choose which rating of a hose governs"
    TYPE_CHARTS = "type a crimp chart"
    ISSUE_CHARTS = "check, issue and withdraw a crimp chart"
    KEEP_TOOLS = "keep crimpers, dies, stops and gauges"
    CALIBRATE = "record a calibration"
    RECEIVE_STOCK = "receive hose, fittings and ferrules"
    CONDEMN = "condemn a lot"
    WRITE_ORDERS = "write orders"
    CONFIRM_ORDERS = "confirm orders"
    MAKE = "cut, crimp and measure"
    DECIDE = "decide about what is held or failed"
    INSPECT = "inspect"
    RELEASE = "tag and release"
    SHIP = "ship and take out of service"
    RECALL = "open a recall"
    FOLLOW_RECALLS = "follow up the members of a recall"
    CLOSE_RECALLS = "close a recall"
    TAKE_REPORTS = "take down what failed in the field"
    AUDIT = "check, seal and export the ledger"
    ERASE = "erase what is known of a person, of a customer or of who reported a failure"
    KEEP_SEALING_KEY = "replace the key that seals the ledger"


_C, _B, _I, _A, _O = Role.COUNTER, Role.BENCH, Role.INSPECTOR, Role.AUDITOR, Role.OWNER

ALLOWED: dict[Permission, frozenset[Role]] = {
    Permission.READ: frozenset(Role),
    Permission.KEEP_PEOPLE: frozenset({_O}),
    Permission.SET_POLICY: frozenset({_O}),
    Permission.KEEP_CUSTOMERS: frozenset({_C, _O}),
    Permission.KEEP_CATALOGUE: frozenset({_C, _I, _O}),
    Permission.CONFIRM_RATINGS: frozenset({_I, _O}),
    Permission.CHOOSE_RATING: frozenset({_O}),
    Permission.TYPE_CHARTS: frozenset({_C, _B, _I, _O}),
    Permission.ISSUE_CHARTS: frozenset({_I, _O}),
    Permission.KEEP_TOOLS: frozenset({_B, _I, _O}),
    Permission.CALIBRATE: frozenset({_I, _O}),
    Permission.RECEIVE_STOCK: frozenset({_C, _B, _O}),
    Permission.CONDEMN: frozenset({_B, _I, _O}),
    Permission.WRITE_ORDERS: frozenset({_C, _O}),
    Permission.CONFIRM_ORDERS: frozenset({_C, _O}),
    Permission.MAKE: frozenset({_B, _I, _O}),
    Permission.DECIDE: frozenset({_I, _O}),
    Permission.INSPECT: frozenset({_I, _O}),
    Permission.RELEASE: frozenset({_I, _O}),
    Permission.SHIP: frozenset({_C, _O}),
    Permission.RECALL: frozenset({_I, _O}),
    Permission.FOLLOW_RECALLS: frozenset({_C, _I, _O}),
    Permission.CLOSE_RECALLS: frozenset({_O}),
    Permission.TAKE_REPORTS: frozenset({_C, _B, _I, _O}),
    Permission.AUDIT: frozenset({_A, _O}),
    Permission.ERASE: frozenset({_O}),
    Permission.KEEP_SEALING_KEY: frozenset({_O}),
}
