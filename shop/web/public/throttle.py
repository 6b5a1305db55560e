"""How many reports of failures are taken from anybody, so that nobody fills the book with them."""

from shop.core.refusals import Refusal
from shop.web.counted import count, counted

OF_A_DEVICE = 5
OF_ALL = 60
HOUR_S = 60 * 60
_DEVICE, _ALL = "failures-of-a-device", "failures-of-all"


class TooManyReports(Refusal):
    says = "Many reports came in during the last hour, so this page takes no more for now."
    do = "Ring the workshop and tell them. Until then keep the hose out of use."


def require_few_reports(address: str) -> None:
    """Raise `TooManyReports` if too many came from that device, or from all together."""
    if counted(_DEVICE, address) >= OF_A_DEVICE or counted(_ALL) >= OF_ALL:
        raise TooManyReports


def count_report(address: str) -> None:
    """Remember that one came."""
    count(_DEVICE, address, seconds=HOUR_S)
    count(_ALL, seconds=HOUR_S)
