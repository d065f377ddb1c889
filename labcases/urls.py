"""Every address of the application, grouped by resource."""

from django.urls import path

from labcases.views import health

urlpatterns = [
    path("healthz", health.healthz, name="healthz"),
]
