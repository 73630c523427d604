"""Forms of the pages: Django forms, many of whose fields are columns of a sheet.

`components/field.html` draws a field. A column's field takes label, help, choices and keyboard from the column,
and refuses a text in the words of the column's kind, as the workbook and the API do. What a service refuses stands at
the fields too (`PageForm.refuse`), and `components/errors.html` says it all on top (`PageForm.summary`):

    form = SheetForm(SHEETS["stances"], ("stance", "reason"), data=request.POST)
    form.choose("stance", [("wanted", "wanted"), ("in_work", "in work")], empty="choose")
    if not form.is_valid():
        render(request, "page.html", {"form": form, "errors": form.summary}, status=422)
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django import forms
from django.forms.widgets import ChoiceWidget

from catalog.charset import one_line
from catalog.scrubbing import scrubbed
from catalog.sheets.kinds import (
    BadCell,
    ChoiceKind,
    ConditionsKind,
    DateKind,
    DecimalKind,
    GroupsKind,
    Kind,
    ListKind,
    PatternKind,
    TextKind,
    WholeKind,
    YesNoKind,
    canonical,
)
from catalog.sheets.sheet import Column, Sheet
from catalog.windows import parse_day

Errors = Iterable[tuple[str, str]]
"""What is wrong, by the name of a field or of something else."""
Choices = Iterable[tuple[str, Any]]
"""Pairs of value and word; a group of choices is its title and such pairs."""

_UNITS = ("mm", "um", "deg", "kg", "km", "mpa", "nm")


class FormField(forms.BoundField):
    """A field in its form: `f-NAME-hint` and `f-NAME-error` say more of the element `f-NAME`."""

    @property
    def aria_describedby(self) -> str | None:
        if self.is_hidden:
            return None
        said = (("hint", self.help_text), ("error", self.errors))
        return " ".join(f"{self.auto_id}-{part}" for part, there in said if there) or None

    def as_widget(
        self, widget: forms.Widget | None = None, attrs: Mapping[str, Any] | None = None, only_initial: bool = False
    ) -> Any:
        return super().as_widget(widget, {"id": self.auto_id, **(attrs or {})}, only_initial)


class _Keeping(ChoiceWidget):
    """A value that is none of the choices stays one of them."""

    def optgroups(self, name: str, value: list[str], attrs: dict[str, Any] | None = None) -> list[Any]:
        groups = super().optgroups(name, value, attrs)
        known = {str(option["value"]) for _, options, _ in groups for option in options}
        lost = [text for text in value if text and text not in known]
        return [*groups, *((None, [self.create_option(name, text, text, True, 0, attrs=attrs)], 0) for text in lost)]


class KeepingSelect(_Keeping, forms.Select):
    """A list to choose from."""


class Segments(_Keeping, forms.RadioSelect):
    """A few choices side by side."""

    template_name = "components/segments.html"


class DrawnWidget(forms.Widget):
    """What a template draws; several inputs of one name."""

    use_fieldset = True

    def __init__(self, template_name: str, **context: Any) -> None:
        super().__init__()
        self.template_name, self.context = template_name, context

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        return {"name": name, **self.context}


class SuggestingInput(forms.TextInput):
    """A text with known values beside it."""

    template_name = "components/suggesting_input.html"

    def __init__(self, attrs: Mapping[str, Any] | None = None, suggestions: Sequence[str] = ()) -> None:
        super().__init__(dict(attrs or {}))
        self.suggestions = suggestions

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        if self.suggestions and attrs:
            attrs = {**attrs, "list": f"{attrs['id']}-list"}
        return {**super().get_context(name, value, attrs), "suggestions": self.suggestions}


class PageForm(forms.Form):
    """A form of a page. `refuse` notes what others than its own fields found wrong."""

    bound_field_class = FormField
    use_required_attribute = False

    def __init__(self, data: Mapping[str, Any] | None = None, *, errors: Errors = (), **more: Any) -> None:
        super().__init__(data, **{"auto_id": "f-%s", "label_suffix": "", **more})
        self.refusals: list[tuple[str, str]] = []
        self.stands_for: dict[str, str] = {}  # by name of what has no field of its own: the field at which it is said
        self.refuse(errors)

    def refuse(self, errors: Errors) -> None:
        """Notes what is wrong; the first that is said of a field stands at it.

        Whoever refuses has looked at the whole, so that what the fields found by themselves is said with it.
        """
        for name, message in errors:
            if not self.refusals:
                self.errors.clear()
                self.cleaned_data = getattr(self, "cleaned_data", {})
            self.refusals.append((name, message))
            field = self.stands_for.get(name, name)
            if field in self.fields and field not in self.errors:
                self.add_error(field, message)

    @property
    def summary(self) -> list[dict[str, str]]:
        """All that is wrong, each leading to its field, as `components/errors.html` takes it."""
        found = self.refusals or [(name, text) for name, texts in self.errors.items() for text in map(str, texts)]
        return [
            {"label": self.label_of(name), "message": message, "href": self._href(self.stands_for.get(name, name))}
            for name, message in found
        ]

    def label_of(self, name: str) -> str:
        """What a field is called where its error is said on top."""
        label = self.fields[name].label if name in self.fields else None
        return str(label or name)

    def _href(self, name: str) -> str:
        return f"#{self[name].auto_id}" if name in self.fields else ""

    def add(
        self, name: str, label: str, *, help_text: str = "", choices: Choices | None = None, empty: str | None = None
    ) -> None:
        """Adds a field of a text, or of a choice, that need not be said."""
        widget = forms.TextInput({"autocomplete": "off"})
        self.fields[name] = forms.CharField(required=False, label=label, help_text=help_text, widget=widget)
        if choices is not None:
            self.choose(name, choices, empty=empty)

    def choose(self, name: str, choices: Choices, *, empty: str | None = None) -> None:
        """Makes a field a list to choose from; `empty` is the word for no choice, where there may be none."""
        first = [] if empty is None else [("", empty)]
        self.fields[name].widget = KeepingSelect(choices=[*first, *choices])

    def suggest(self, name: str, values: Sequence[str]) -> None:
        """Puts known values beside a field that is typed."""
        self.fields[name].widget = SuggestingInput(self.fields[name].widget.attrs, values)

    def hide(self, name: str, value: str) -> None:
        """Settles a field that is not shown."""
        self.fields[name].widget = forms.HiddenInput()
        self.fill(name, value)

    def fill(self, name: str, value: str) -> None:
        """Writes a value into a field."""
        self.initial[name] = value
        if self.is_bound:
            self.data = {**self.data, name: value}

    def replace(self, names: Iterable[str], by: str) -> None:
        """Takes fields out for which another one stands, at which what is wrong with them is said."""
        for name in names:
            self.stands_for[name] = by
            del self.fields[name]
            wrong = self.errors.pop(name, None)
            if wrong and by not in self.errors:
                self.errors[by] = wrong


class ColumnField(forms.CharField):
    """A text that is a cell of a column."""

    def __init__(self, sheet: Sheet, column: Column) -> None:
        self.column = column
        super().__init__(
            required=column.required,
            label=label_of(column.name),
            help_text=_help(sheet, column),
            widget=_widget(column),
        )

    def clean(self, value: str | None) -> str:
        """The canonical text, what an empty cell stands for where it is empty."""
        try:
            return self.column.filled(canonical(self.column.kind, value or ""))
        except BadCell as bad:
            text = f"{bad.wrong}; {bad.right}" if bad.right else bad.wrong
            raise forms.ValidationError(scrubbed(one_line(text))) from bad


class SheetForm(PageForm):
    """A form of columns of a sheet, all or those named, in their order."""

    def __init__(
        self,
        sheet: Sheet,
        names: Iterable[str] | None = None,
        data: Mapping[str, Any] | None = None,
        *,
        errors: Errors = (),
        **more: Any,
    ) -> None:
        super().__init__(data, **more)
        self.sheet = sheet
        for name in sheet.index if names is None else names:
            self.fields[name] = ColumnField(sheet, sheet.column(name))
        self.refuse(errors)

    def label_of(self, name: str) -> str:
        return label_of(name) if name in self.sheet.index else super().label_of(name)


def label_of(name: str) -> str:
    """What a column is called: its name in words, without the unit.

    >>> label_of("bore_min_mm")
    'Bore min'
    """
    words = name.split("_")
    if len(words) > 1 and words[-1] in _UNITS:
        words = words[:-1]
    text = " ".join(words)
    return text[:1].upper() + text[1:]


def _widget(column: Column) -> forms.Widget:
    kind = column.kind
    match kind:
        case ChoiceKind():
            empty = f"{column.default} (nothing stated)" if column.default else "nothing"
            return KeepingSelect(choices=[("", empty), *((one, one.replace("_", " ")) for one in kind.choices)])
        case YesNoKind():
            return KeepingSelect(choices=[("", "nothing"), ("yes", "yes"), ("no", "no")])
        case TextKind():
            return forms.Textarea({"rows": 2})
    attrs = {"autocomplete": "off"}
    # The keyboard for digits has no sign for what is negative.
    if isinstance(kind, DecimalKind) and kind.minimum is not None and kind.minimum >= 0:
        attrs["inputmode"] = "numeric" if isinstance(kind, WholeKind) else "decimal"
    return forms.TextInput(attrs)


def _help(sheet: Sheet, column: Column) -> str:
    """What the column is, whether it is needed, and how a value is written."""
    needed = "needed" if column.required else "part of the key, may be empty" if column.key else ""
    more = "; ".join(filter(None, (needed, _form(column.kind), _reference(sheet, column))))
    return f"{column.help} {more[:1].upper()}{more[1:]}." if more else column.help


def _form(kind: Kind) -> str:
    """How a value is written; a unit stands in the help."""
    match kind:
        case DateKind():
            return "YYYY-MM-DD" if kind.parse is parse_day else "YYYY-MM-DD, YYYY-MM or YYYY"
        case ConditionsKind():
            return "clauses such as engine = E20 | E30; option.TOW = no"
        case GroupsKind():
            return "write a | b; c for a or b, and c"
        case ListKind():
            return "between spaces"
        case PatternKind():
            return kind.right.removeprefix("write ")
    return ""


def _reference(sheet: Sheet, column: Column) -> str:
    """The sheet that a column names a row of."""
    for reference in sheet.references:
        if reference.columns[-1] == column.name and reference.sheet != sheet.name:
            return f"stands in {reference.sheet}"
    many = next((many for many in sheet.many if many.column == column.name), None)
    return f"stand in {many.sheet}" if many else ""
