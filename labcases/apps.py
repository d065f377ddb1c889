"""Registration with Django."""

from django.apps import AppConfig


class LabcasesConfig(AppConfig):
    """The application; registers its start-up checks."""

    name = "labcases"
    verbose_name = "Laboratory cases"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        # Imported for its registration; models and settings are loaded by now.
        from labcases import checks  # noqa: F401, PLC0415
