"""What may be stated of a car, what is, and what is asked about it. Pure."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from catalog.codes import CarAttribute, DayAttribute, YesNo
from catalog.windows import ALWAYS, Window, write_range


def model_year_window(year: int) -> Window:
    """The build days of a model year: from 2 January of the year before to 31 December.

    (40 CFR 85.2302 and 85.2304: production may begin on 2 January of the year before; from memory.)
    """
    return Window(date(year - 1, 1, 2), date(year, 12, 31))


@dataclass(frozen=True, slots=True)
class Description:
    """A car as far as it is stated; nothing stated is every car.

    `options` and `components` are sorted, `components` by (end, location).
    """

    variant: str | None = None
    maker: str | None = None
    chassis: str | None = None
    designation: str | None = None
    body: str | None = None
    engine: str | None = None
    drivetrain: str | None = None
    steering: str | None = None
    market: str | None = None
    built: tuple[Window, ...] = ()
    registered: tuple[date, ...] = ()
    model_years: tuple[int, ...] = ()
    options: tuple[tuple[str, bool], ...] = ()
    components: tuple[tuple[tuple[str, str], str], ...] = ()

    def texts(self) -> dict[str, str]:
        """The stated attributes of the variant itself, in order."""
        pairs = ((name.value, getattr(self, name)) for name in CarAttribute)
        return {name: value for name, value in pairs if value is not None}

    def day_windows(self) -> dict[str, Window]:
        """The build days each stated parameter leaves; several values of one intersect."""
        windows: dict[str, list[Window]] = {
            DayAttribute.BUILT: list(self.built),
            DayAttribute.REGISTERED: [Window(None, day) for day in self.registered],
            DayAttribute.MODEL_YEAR: [model_year_window(year) for year in self.model_years],
        }
        found: dict[str, Window] = {}
        for name, several in windows.items():
            for window in several:
                found[name] = found.get(name, ALWAYS) & window
        return found

    def window(self) -> Window:
        """The build days that all stated parameters leave together."""
        whole = ALWAYS
        for window in self.day_windows().values():
            whole = whole & window
        return whole

    def names(self) -> list[str]:
        """The parameters of all stated facts, in the order in which contradictions are named."""
        options = [f"option.{code}" for code, _ in self.options]
        components = [f"component.{end}.{location}" for (end, location), _ in self.components]
        return [*self.texts(), *self.day_windows(), *options, *components]

    def parameters(self) -> Iterator[tuple[str, str]]:
        """The description as query parameters, canonical: equal descriptions give equal parameters."""
        yield from self.texts().items()
        for window in self.built:
            yield "built", write_range(window)
        for day in self.registered:
            yield "registered", day.isoformat()
        for year in self.model_years:
            yield "model_year", str(year)
        for code, present in self.options:
            yield f"option.{code}", YesNo.YES if present else YesNo.NO
        for (end, location), component in self.components:
            yield f"component.{end}.{location}", component

    def stated(self) -> dict[str, str | list[str]]:
        """What is stated, as an answer repeats it: a text a parameter, a list where several were given."""
        gathered: dict[str, list[str]] = {}
        for name, value in self.parameters():
            gathered.setdefault(name, []).append(value)
        return {name: values[0] if len(values) == 1 else values for name, values in gathered.items()}


@dataclass(frozen=True, slots=True)
class Question:
    """A question to `fitment/`: the car as far as known and what restricts the answers.

    Empty tuples restrict nothing. `equipment` is `shop`, `home` or codes; None is the default of the asker.
    """

    car: Description = field(default_factory=Description)
    skipped: frozenset[str] = frozenset()
    parts: tuple[str, ...] = ()
    locations: frozenset[str] = frozenset()
    ends: frozenset[str] = frozenset()
    duties: frozenset[str] = frozenset()
    technologies: frozenset[str] = frozenset()
    equipment: str | tuple[str, ...] | None = None
    include_job: bool = False

    def asks_about(self, end: str, location: str) -> bool:
        """Whether an answer at a place is within what is asked."""
        return (not self.ends or end in self.ends) and (not self.locations or location in self.locations)


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """What the catalogue knows, by the parameter it is used in.

    `values` has the values of the attributes of a car; `places` the locations by end; `parts` all codes of
    parts and `public_parts` those that the public may know of.
    """

    values: dict[str, frozenset[str]]
    options: frozenset[str]
    components: frozenset[str]
    places: dict[str, frozenset[str]]
    parts: frozenset[str]
    public_parts: frozenset[str]
    technologies: frozenset[str]
    tools: frozenset[str]

    def locations(self) -> frozenset[str]:
        return frozenset().union(*self.places.values())
