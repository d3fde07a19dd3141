"""What is open or on order, to take along: as a sheet, or printed."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.orders import order_sheet
from inventory.web.access import buyers_and_keepers


@require_GET
@buyers_and_keepers
def orders_sheet(request, form):
    """The open order list as CSV or XLSX."""
    if form not in order_sheet.FORMS:
        raise Http404("The order list is a sheet as CSV or XLSX.")
    response = HttpResponse(order_sheet.sheet(form=form), content_type=order_sheet.FORMS[form])
    response["Content-Disposition"] = f'attachment; filename="orders.{form}"'
    return response


@require_GET
@buyers_and_keepers
def order_print(request):
    """What is on order, by supplier and order number, to print: all of it, or one order."""
    supplier, number = (request.GET.get(name, "")[:80].strip() for name in ("supplier", "number"))
    context = {
        "place": "buying",
        "orders": order_sheet.on_order(supplier=supplier, number=number),
        "supplier": supplier,
        "today": timezone.localdate(),
    }
    return render(request, "inventory/order_print.html", context)
