from django.apps import AppConfig


class StandardsConfig(AppConfig):
    name = "shop.standards"

    def ready(self) -> None:
        from shop.standards import verbs  # noqa: F401  # fills the ledger's registry
