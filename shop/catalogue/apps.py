from django.apps import AppConfig


class CatalogueConfig(AppConfig):
    name = "shop.catalogue"

    def ready(self) -> None:
        from shop.catalogue import verbs  # noqa: F401  # fills the ledger's registry
