from django.apps import AppConfig


class PolicyConfig(AppConfig):
    name = "shop.policy"

    def ready(self) -> None:
        from shop.policy import verbs  # noqa: F401  # fills the ledger's registry
