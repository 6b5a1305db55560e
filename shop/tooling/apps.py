from django.apps import AppConfig


class ToolingConfig(AppConfig):
    name = "shop.tooling"

    def ready(self) -> None:
        from shop.tooling import verbs  # noqa: F401  # fills the ledger's registry
