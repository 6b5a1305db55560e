from django.apps import AppConfig


class LedgerConfig(AppConfig):
    name = "shop.ledger"
    verbose_name = "ledger"

    def ready(self) -> None:
        from shop.ledger import verbs  # noqa: F401  # registers them
