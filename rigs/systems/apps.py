from django.apps import AppConfig


class SystemsConfig(AppConfig):
    name = "rigs.systems"
    label = "systems"

    def ready(self) -> None:
        """Let the catalogue's measured files become balloons."""
        import rigs.systems.describe.radiation  # noqa: F401
