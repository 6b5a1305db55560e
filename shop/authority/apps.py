from functools import partial

from django.apps import AppConfig


class AuthorityConfig(AppConfig):
    name = "shop.authority"

    def ready(self) -> None:
        from shop.authority import verbs  # noqa: F401  # fills the ledger's registry
        from shop.authority.models import Authority
        from shop.ledger.checking import noted_rows_that_disagree, register_consistency_check

        register_consistency_check("authorities", partial(noted_rows_that_disagree, Authority))
