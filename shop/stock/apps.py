from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "shop.stock"

    def ready(self) -> None:
        from shop.stock import verbs  # noqa: F401  # fills the ledger's registry
        from shop.stock.consistency import register

        register()
