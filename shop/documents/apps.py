from django.apps import AppConfig


class DocumentsConfig(AppConfig):
    name = "shop.documents"

    def ready(self) -> None:
        from shop.documents import verbs  # noqa: F401  # fills the ledger's registry
