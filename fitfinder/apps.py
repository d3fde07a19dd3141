from django.apps import AppConfig


class FitfinderConfig(AppConfig):
    name = "fitfinder"
