from django.apps import AppConfig


class TestAppConfig(AppConfig):
    name = "tests.ledger.testapp"
    label = "drawer"

    def ready(self) -> None:
        from tests.ledger.testapp import verbs  # noqa: F401  # registers them
