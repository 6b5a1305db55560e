"""The tag, the release, and what comes after."""

from shop.assemblies.release.leaving import release, retire, ship
from shop.assemblies.release.tagging import make_tag, tag_address

__all__ = ["make_tag", "release", "retire", "ship", "tag_address"]
