"""Building the whole demo in an empty database."""

from django.db import transaction

from shop.demo.cabinet import fill_cabinet, fill_stores
from shop.demo.catalogue import write_catalogue
from shop.demo.field import fail_in_the_field
from shop.demo.people import begin
from shop.demo.work import Demo, do_the_work


@transaction.atomic
def build_demo() -> None:
    """Everything or nothing: a demo that was interrupted begins again."""
    cast = begin()
    parts = write_catalogue(cast)
    demo = Demo(cast, parts, fill_cabinet(cast, parts), fill_stores(cast, parts))
    do_the_work(demo)
    fail_in_the_field(demo)
