"""Django's registration of the engine, and nothing else."""

from django.apps import AppConfig


class OcclusionConfig(AppConfig):
    name = "occlusion"
    verbose_name = "Occlusion engine"
