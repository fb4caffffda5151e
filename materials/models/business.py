"""The business: one row, what its documents say and how it measures and taxes."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from materials.fields import RateField


class Business(models.Model):
    """The one business of this installation."""

    class System(models.TextChoices):
        """Home measuring system: what a bare number means."""

        IMPERIAL = "imperial", _("feet and inches")
        METRIC = "metric", _("millimetres")

    class TaxBasis(models.TextChoices):
        """Where tax is rounded; fixed per document when it is made."""

        DOCUMENT = "document", _("on the total of each rate")
        LINE = "line", _("on each line")

    class TaxedSales(models.TextChoices):
        """What tax on sales is added to: some places tax goods and not work."""

        EVERYTHING = "everything", _("materials and work")
        MATERIALS = "materials", _("materials only, not work")

    class RackUse(models.TextChoices):
        """What cut plans do with pieces on the rack."""

        LEAVE = "leave", _("leave the rack alone")
        USE = "use", _("use pieces of the rack up")

    name = models.CharField(max_length=120)
    trade_line = models.CharField(max_length=120, blank=True)
    address = models.TextField(blank=True)
    country = models.CharField(max_length=2, help_text=_("ISO 3166 code"))
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    licence_line = models.CharField(max_length=120, blank=True)
    tax_number = models.CharField(max_length=40, blank=True)
    bank_lines = models.TextField(blank=True)
    currency = models.CharField(max_length=3)
    system = models.CharField(max_length=10, choices=System)
    language = models.CharField(max_length=8, default="en-gb")
    time_zone = models.CharField(max_length=60, default="UTC")
    paper = models.CharField(max_length=6, default="a4")
    tax_name = models.CharField(max_length=20, default="VAT")
    sales_tax = RateField(default=0, help_text=_("tax on sales, as a share"))
    sales_tax_on = models.CharField(
        max_length=12, choices=TaxedSales, default=TaxedSales.EVERYTHING
    )
    purchase_tax = RateField(default=0, help_text=_("tax paid on purchases"))
    purchase_tax_recoverable = models.BooleanField(default=True)
    tax_basis = models.CharField(
        max_length=10, choices=TaxBasis, default=TaxBasis.DOCUMENT
    )
    rack_use = models.CharField(max_length=5, choices=RackUse, default=RackUse.LEAVE)
    rack_value = RateField(
        default=0, help_text=_("of the price of its size, when a plan uses a piece")
    )
    rack_stale_days = models.PositiveIntegerField(default=365)
    is_demo = models.BooleanField(default=False)
    set_up_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """One row only: the primary key is always 1."""

        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="business_is_one"),
        ]

    def __str__(self) -> str:
        return self.name
