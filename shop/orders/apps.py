from django.apps import AppConfig


class OrdersConfig(AppConfig):
    name = "shop.orders"

    def ready(self) -> None:
        from shop.orders import verbs  # noqa: F401  # fills the ledger's registry
