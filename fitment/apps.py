from django.apps import AppConfig


class FitmentConfig(AppConfig):
    name = "fitment"
    default_auto_field = "django.db.models.BigAutoField"
