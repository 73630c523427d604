"""Lists of makers, platforms, options and cars."""

from django import forms
from django.db.models import Q, QuerySet

from api.filters.base import Built, Filters, Word, WordField, YesNo, rows_of
from catalog.models import Axle, Maker, Option, Platform, Variant
from catalog.nearest import unknown

makers, platforms, variants, options, axles = map(rows_of, (Maker, Platform, Variant, Option, Axle))


class WmiField(WordField):
    """One of the identifiers that stand in lists."""

    def validate(self, value: str) -> None:
        lists = Maker.objects.values_list("wmi", flat=True)
        known = {code for codes in lists for code in codes} if value else set()
        if value and value not in known:
            raise forms.ValidationError(unknown("identifier", value, known))


class Wmi(Word):
    """Makers with an identifier in their list."""

    def __init__(self, field_name: str, *, text: str) -> None:
        super().__init__(field_name, makers, text=text)

    @property
    def field(self) -> WmiField:
        return WmiField(known=makers, column="wmi", role=self.parent.role, required=False)

    def filter(self, qs: QuerySet[Maker], value: str) -> QuerySet[Maker]:
        return qs.filter(wmi__contains=[value]) if value else qs


class MakerFilters(Filters):
    maker = Word("code", makers, text="The maker's code.")
    chassis = Word("platforms__chassis", platforms, "chassis", text="Makers of this chassis.", distinct=True)
    wmi = Wmi("wmi", text="A world manufacturer identifier (ISO 3780).")


class PlatformFilters(Filters):
    maker = Word("maker__code", makers, text="Its maker.")
    chassis = Word("chassis", platforms, "chassis", text="The chassis code.")
    predecessor = Word("predecessor__chassis", platforms, "chassis", text="Platforms that follow this chassis.")
    variant = Word("variants__code", variants, text="The platform of this car.")
    built = Built()


class OptionFilters(Filters):
    option = Word("code", options, text="The option's code.")
    group = Word("group", options, "group", text="Options that exclude each other.")
    required = YesNo("required", text="Whether a car always has one of the group.")
    variant = Word("variant_rows__variant__code", variants, text="Options that this car can have.")


class VariantFilters(Filters):
    variant = Word("code", variants, text="The variant's code.")
    maker = Word("platform__maker__code", makers, text="Its maker.")
    chassis = Word("platform__chassis", platforms, "chassis", text="Its chassis.")
    designation = Word("designation", variants, "designation", text="Its designation.")
    body = Word("body", variants, "body", text="Its body.")
    engine = Word("engine", variants, "engine", text="Its engine.")
    drivetrain = Word("drivetrain", variants, "drivetrain", text="Its driven wheels.")
    steering = Word("steering", variants, "steering", text="Its steering side.")
    market = Word("market", variants, "market", text="Its market.")
    built = Built()
    front_axle = Word("front_axle__code", axles, text="Its front axle.")
    rear_axle = Word("rear_axle__code", axles, text="Its rear axle.")
    axle = Word("front_axle__code", axles, text="Either axle.", method="with_axle")
    option = Word("option_rows__option__code", options, text="Cars that can have this option, or always have.")

    def with_axle(self, rows: QuerySet[Variant], name: str, value: str) -> QuerySet[Variant]:
        return rows.filter(Q(front_axle__code=value) | Q(rear_axle__code=value))
