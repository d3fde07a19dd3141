"""The form that asks of an incomplete piece what is missing, and nothing else."""

from inventory.models import Kind, Tool
from inventory.models.kinds import COLLETS
from inventory.pieces.fields import FIELD_OF
from inventory.pieces.form import PieceForm


class MissingForm(PieceForm):
    """A piece's lacking details. Anything beside them stays as it is; what is left empty stays missing."""

    def __init__(self, data=None, *, tool: Tool, **kwargs):
        super().__init__(data, tool=tool, kind=Kind(tool.kind), **kwargs)
        lacking = {self._field_of(tool, column) for column in tool.lacking}
        self.fields = {name: field for name, field in self.fields.items() if name in lacking}
        for field in self.fields.values():
            field.required = False

    @staticmethod
    def _field_of(tool: Tool, column: str) -> str:
        return "series" if column == "mounts_in" and tool.kind in COLLETS else FIELD_OF[column]

    @property
    def is_empty(self) -> bool:
        return not any(self.data.get(name, "").strip() for name in self.fields)

    def add_error(self, field, error):
        # A rule of the whole piece may speak of a field that is not asked here.
        super().add_error(field if field is None or field in self.fields else None, error)

    def clean(self):
        self.cleaned_data.update(tag=self.tool.tag, condition=self.tool.condition)
        if "series" in self.fields and not self.cleaned_data.get("series"):
            # PieceForm asks for it; here it may stay missing.
            del self.fields["series"]
        return super().clean()
