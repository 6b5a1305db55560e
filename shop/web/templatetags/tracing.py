"""From a thing's own page to all that it touched."""

from django import template

from shop.web.quality.lookups.address import lookup_address

register = template.Library()
register.filter("lookup_address", lookup_address)
