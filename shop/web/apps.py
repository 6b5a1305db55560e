from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "shop.web"

    def ready(self) -> None:
        from shop.web.door import idle  # noqa: F401  # notes from when on somebody is signed in
