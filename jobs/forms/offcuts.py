"""Forms of the rack and a job: a piece that is kept, a piece that is taken."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.forms.actuals import LineChoice, day_field, lines_of
from jobs.models import BudgetLine, Job
from jobs.services import OffcutEntry
from materials.core.lengths import NOTHING, Length
from materials.forms.rack import KEPT_KINDS, WIDTH_LEFT
from materials.forms.values import LengthInput, MoneyInput
from materials.models import Offcut, Person
from materials.presenters.rack import piece_words


class OffcutForm(forms.Form):
    """A piece for the rack."""

    line = LineChoice(BudgetLine.objects.none(), label=_("From"))
    height = LengthInput(label=_("Length"))
    width = LengthInput(label=_("Width"), required=False, help_text=WIDTH_LEFT)
    value = MoneyInput(
        label=_("Worth"), required=False,
        help_text=_("empty: its share of what the goods were quoted to cost"),
    )  # fmt: skip
    place = forms.CharField(label=_("Where it lies"), max_length=80, required=False)
    lot = forms.CharField(label=_("Lot"), max_length=60, required=False)
    on = day_field(_("On"))

    def __init__(
        self, *args: Any, job: Job, system: str, person: Person, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.system = system
        if not person.sees_prices:
            del self.fields["value"]
        for name in ("width", "height"):
            self.fields[name].system = system  # type: ignore[attr-defined]
        self.fields["line"].queryset = lines_of(job, "materials").filter(  # type: ignore[attr-defined]
            material__kind__in=KEPT_KINDS
        )

    def entry(self) -> OffcutEntry:
        """Return the piece as entered."""
        data = self.cleaned_data
        return OffcutEntry(
            width=Length.parse(data["width"], system=self.system)
            if data["width"]
            else NOTHING,
            height=Length.parse(data["height"], system=self.system),
            value=data.get("value"),
            place=data["place"],
            lot=data["lot"],
        )


class RackForm(forms.Form):
    """A piece from the rack."""

    offcut = forms.ModelChoiceField(Offcut.objects.none(), label=_("Piece"))
    on = day_field(_("On"))

    def __init__(self, *args: Any, job: Job, system: str, **options: Any) -> None:
        super().__init__(*args, **options)
        choice = self.fields["offcut"]
        # What the job has reserved comes first; what others have is not offered.
        choice.queryset = (  # type: ignore[attr-defined]
            Offcut.objects.filter(
                state=Offcut.State.ON_RACK, reserved_for__in=("", job.number)
            )
            .select_related("material")
            .order_by("-reserved_for", "material__kind", "material__name", "pk")
        )
        choice.label_from_instance = (  # type: ignore[attr-defined]
            lambda row: piece_words(row, system)
        )
