from django.apps import AppConfig


class PeopleConfig(AppConfig):
    name = "shop.people"

    def ready(self) -> None:
        from shop.people import verbs  # noqa: F401  # fills the ledger's registry
