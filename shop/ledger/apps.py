from django.apps import AppConfig
from django.core import checks
from django.db.models.signals import post_migrate


class LedgerConfig(AppConfig):
    name = "shop.ledger"
    verbose_name = "ledger"

    def ready(self) -> None:
        from shop.ledger import verbs  # noqa: F401  # registers them
        from shop.ledger.checks import check_records, check_triggers
        from shop.ledger.triggers import install_after_migrate

        checks.register(check_records, checks.Tags.models)
        checks.register(check_triggers, checks.Tags.database)
        post_migrate.connect(install_after_migrate)
