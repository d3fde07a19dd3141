from django.urls import path

from inventory.transfer import views, views_in_progress, views_out

urlpatterns = [
    path("desk/import/", views.import_sheet, name="import_sheet"),
    path("desk/import/blank.<str:form>", views.import_blank, name="import_blank"),
    path("desk/import/entered/", views.import_entered, name="import_entered"),
    path("desk/import/<int:pk>/", views_in_progress.import_preview, name="import_preview"),
    path("desk/import/<int:pk>/headings/", views_in_progress.import_headings, name="import_headings"),
    path("desk/import/<int:pk>/match/", views_in_progress.import_match, name="import_match"),
    path("desk/import/<int:pk>/ask/", views_in_progress.import_ask, name="import_ask"),
    path("desk/import/<int:pk>/answer/", views_in_progress.import_answer, name="import_answer"),
    path("desk/import/<int:pk>/row/<int:line>/", views_in_progress.import_row, name="import_row"),
    path("desk/import/<int:pk>/drop/", views.import_drop, name="import_drop"),
    path("desk/import/<int:pk>/undo/", views.import_undo, name="import_undo"),
    path("desk/import/<int:pk>/refused.csv", views.import_refused, name="import_refused"),
    path("desk/export.csv", views_out.export_sheet, name="export_sheet"),
    path("desk/export/", views_out.export_book, name="export_book"),
    path("desk/export/workbook.xlsx", views_out.export_workbook, name="export_workbook"),
    path("desk/export/<str:name>.csv", views_out.export_tab, name="export_tab"),
]
