from django.urls import path

from inventory.transfer import views

urlpatterns = [
    path("desk/import/", views.import_sheet, name="import_sheet"),
    path("desk/import/<int:pk>/", views.import_preview, name="import_preview"),
    path("desk/import/<int:pk>/refused.csv", views.import_refused, name="import_refused"),
    path("desk/export.csv", views.export_sheet, name="export_sheet"),
]
