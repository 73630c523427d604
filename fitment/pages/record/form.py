"""The form of a record: only what must be said stands open, as choices wherever there are some."""

import re
import secrets
from collections.abc import Iterable, Mapping

from django import forms
from django.http import HttpRequest, QueryDict
from django.utils import timezone

from catalog.codes import End, Measurable, Role
from catalog.selectors.cars import variants_of_axle
from catalog.selectors.parts import part_lines
from fitment.domain.interfaces import AxlePlace
from fitment.errors import TooMuchWork
from fitment.pages.coverage.match_views import nearest_first
from fitment.pages.coverage.row_form import RowForm, is_posted
from fitment.pages.record.kinds import DEFAULTS, JOB_TIME, MEASUREMENT, READINGS, TEST_FIT, RecordKind, summarised
from fitment.pages.record.subject import Memory, RecordSubject, first, instrument
from fitment.pages.shared.forms import DrawnWidget, Segments
from fitment.readers.vocabulary import names
from fitment.services.coverage.recording import known_codes, may_be_fitted, may_be_tried, pieces_measured
from fitment.text.record import (
    DECIDED_HERE,
    HINTS,
    LABELS,
    SEGMENTS,
    TWICE_MEASURED,
    draft_label,
    measured_words,
    place_words,
)

FITTED = "fitted"  # part and revision in one choice
READING = "reading"
MOST_CHOICES = 60  # revisions offered at a joint
_DAYS = ("done_on", "measured_on", "out_on", "back_on")
_TYPED = ("variant", "part", "axle", "location", "component")
_TOKEN = re.compile(r"[0-9A-F]{10}")

Groups = dict[str, list[tuple[str, str]]]


class RecordForm(RowForm):
    """A row of a kind of record. `token` is of this form: sent twice, its row has one reference.

    Some fields stand for several columns (part and revision), some columns for several fields (readings, parts).
    """

    def __init__(self, request: HttpRequest, kind: RecordKind, subject: RecordSubject) -> None:
        self.kind, self.subject = kind, subject
        source = request.POST if is_posted(request, kind.sheet) else request.GET
        given = {kind.day: timezone.localdate().isoformat()}
        if kind is JOB_TIME:
            given["parts"] = " ".join(request.GET.getlist("parts")) or _scope(subject)
        typed = request.POST.get("token", "") or source.get("ref", "").strip().removeprefix(f"{kind.prefix}-")
        again = source is request.POST and _TOKEN.fullmatch(typed)
        self.token = typed if again else secrets.token_hex(5).upper()
        self.readings = request.POST.getlist(READING)[:READINGS] if source is request.POST else []
        parsed, wrong = self._parsed(source)
        super().__init__(request, kind.sheet, kind.columns, given, parsed=parsed)
        for name, field in self.fields.items():
            field.label, field.help_text = LABELS.get(name, field.label), HINTS.get(name, "")
            if name in _DAYS:
                field.widget.input_type = "date"
            elif name in SEGMENTS:
                field.widget = Segments(choices=SEGMENTS[name])
                self.fill(name, self.values[name] or DEFAULTS.get(name, ""))
        if kind is MEASUREMENT:
            self.choose("feature", [(one, one.word.capitalize()) for one in Measurable], empty="nothing")
        if wrong:
            self.refuse([("mean_mm", wrong)])
            self.status = 422

    def _parsed(self, source: QueryDict) -> tuple[dict[str, str], str]:
        """Columns that are made of other fields, and what is wrong with the readings."""
        kind = self.kind
        parsed = {"ref": f"{kind.prefix}-{self.token}"} if kind.prefix else {}
        if kind is JOB_TIME and (parts := " ".join(filter(None, source.getlist("parts")))):
            parsed["parts"] = parts
        if kind is TEST_FIT and FITTED in source:
            parsed["part"], _, parsed["revision"] = str(source[FITTED]).strip().partition(" ")
        if kind is MEASUREMENT and any(text.strip() for text in self.readings):
            if any(source.get(name, "").strip() for name in ("mean_mm", "samples", "spread_mm")):
                return parsed, TWICE_MEASURED
            try:
                parsed |= summarised(self.readings)
            except ValueError as fault:
                return parsed, str(fault)
        return parsed, ""

    def lay_out(self, memory: Memory, viewer: Role, *, by_code: bool) -> None:
        """Hides what is settled and makes choices of the rest; `by_code`: every column is typed, nothing is settled."""
        if self.kind.prefix:
            self.hide("ref", self.values["ref"])
        if by_code:
            self._suggest()
        else:
            self._narrow(memory, viewer)
        if self.kind is MEASUREMENT:
            self._add_readings()

    @property
    def open(self) -> list[forms.BoundField]:
        """The fields that must be said."""
        columns = list(self.kind.open)
        if self.kind is MEASUREMENT:
            columns.insert(-1, READING)
        return [self[name] for name in (FITTED, *columns) if name in self.fields and not self[name].is_hidden]

    @property
    def more(self) -> list[forms.BoundField]:
        return [self[name] for name in self.kind.more]

    @property
    def more_open(self) -> bool:
        """Whether something is wrong, or said, among the fields that need not be said."""
        unsaid = (self.kind.day, *SEGMENTS)
        return any(field.errors or (field.name not in unsaid and field.value()) for field in self.more)

    @property
    def draft_label(self) -> str:
        subject = self.subject
        place = (subject.axle, subject.location) if subject.has_place else (subject.component,)
        return draft_label(self.kind.label, subject.car.code if subject.car else "", place)

    def _narrow(self, memory: Memory, viewer: Role) -> None:
        subject = self.subject
        settled = {
            "axle": subject.axle,
            "location": subject.location,
            "component": subject.component,
            "variant": subject.car.code if subject.car else "",
        }
        for name, value in settled.items():
            if name in self.fields and value and name not in self.errors:
                self.hide(name, self.values[name] or value)
        if self.kind is TEST_FIT:
            if subject.car is None:
                self._choose_car(memory)
            if not subject.component:
                self.suggest("component", known_codes("component", location=subject.location))
            self._choose_fitted(memory)
        elif self.kind is JOB_TIME:
            self._tick_parts(viewer)
            self.fill("equipment", self.values["equipment"] or memory.last("equipment") or DEFAULTS["equipment"])
        else:
            if not self.is_posted:
                known = memory.last(instrument(self.values["feature"]))
                self.fill("uncertainty_mm", self.values["uncertainty_mm"] or known)
            pieces = pieces_measured(subject.component)
            features = [(one, measured_words(one.word, pieces.get(one, 0))) for one in Measurable]
            self.choose("feature", features, empty="choose")

    def _suggest(self) -> None:
        """Known codes beside the fields that are typed, where they are not too many."""
        for name in _TYPED:
            if name in self.fields:
                self.suggest(name, known_codes(name))
        if "revision" in self.fields and self.values["part"]:
            self.suggest("revision", known_codes("revision", part=self.values["part"]))

    def _choose_car(self, memory: Memory) -> None:
        """The cars of the axle, the one recorded last chosen where it is among them."""
        rows = variants_of_axle(axle=self.subject.axle)
        if self.subject.cars:
            rows = [row for row in rows if row.code in self.subject.cars] or rows
        codes = {row.code for row in rows}
        groups: Groups = {}
        for row in rows:
            groups.setdefault(row.chassis, []).append((row.code, f"{row}: {row.code}"))
        self.choose("variant", groups.items(), empty="choose")
        self.fill("variant", self.values["variant"] or next((code for code in memory.cars if code in codes), ""))

    def _choose_fitted(self, memory: Memory) -> None:
        """Part and revision in one: what is decided for the joint, then what its sizes say; errors of both."""
        subject = self.subject
        tried = may_be_tried(component=subject.component, place=AxlePlace(subject.axle, subject.location))
        groups: dict[str, list[str]] = {}
        if tried.decided:
            groups[DECIDED_HERE] = [f"{part} {letter}" for part, letter in tried.decided]
        for match in nearest_first(tried.matches, ()):
            if (match.part, match.letter) not in tried.decided:
                groups.setdefault(match.verdict.word, []).append(f"{match.part} {match.letter}")
        known = [value for values in groups.values() for value in values]
        part, revision = self.values["part"], self.values["revision"]
        value = f"{part} {revision}".strip()
        if not value and memory.last(FITTED) in known:
            value = memory.last(FITTED)
        elif part and not revision:
            value = next((one for one in known if one.partition(" ")[0] == part), value)
        self.add(FITTED, LABELS[FITTED], choices=_offered(groups).items(), empty="choose")
        self.fill(FITTED, value)
        self.replace(("part", "revision"), FITTED)

    def _tick_parts(self, viewer: Role) -> None:
        """The parts that may be on the car, to be ticked; those that the address or the form names are ticked."""
        chosen = self.values["parts"].split()
        car = self.subject.car
        try:
            offered = may_be_fitted(variant=car.code, viewer=viewer) if car else []
        except TooMuchWork:
            offered = []
        codes = {f"{one.part}:{one.end}.{one.location}": one for one in offered}
        lines = part_lines(codes={one.part for one in offered})
        boxes = []
        for value in (*chosen, *(code for code in codes if code not in chosen)):
            one = codes.get(value)
            title = lines[one.part].title if one and one.part in lines else ""
            joint = names().location(one.end or "", one.location or "") if one else ""
            place = place_words(End.word_of(one.end), joint) if one else value
            boxes.append({"value": value, "code": value.partition(":")[0], "title": title, "place": place})
        count = len(chosen)
        widget = DrawnWidget("components/part_boxes.html", chosen=boxes[:count], rest=boxes[count:])
        self.fields["parts"].widget = widget

    def _add_readings(self) -> None:
        values = [*self.readings, *[""] * (READINGS - len(self.readings))]
        self.add(READING, LABELS[READING], help_text=HINTS[READING])
        self.fields[READING].widget = DrawnWidget("components/readings.html", values=values)
        for error in [*self.errors.get("mean_mm", []), *self.errors.get("samples", [])][:1]:
            self.add_error(READING, error)


def _offered(groups: Mapping[str, Iterable[str]]) -> Groups:
    """The first of the choices, each with the title of its part."""
    pairs = [(label, value) for label, values in groups.items() for value in values][:MOST_CHOICES]
    lines = part_lines(codes={value.partition(" ")[0] for _, value in pairs})
    found: Groups = {}
    for label, value in pairs:
        line = lines.get(value.partition(" ")[0])
        found.setdefault(label, []).append((value, f"{value}, {line.title}" if line and line.title else value))
    return found


def _scope(subject: RecordSubject) -> str:
    """The part and joint of an address as the scope of a job."""
    part = first(subject.query, "part")
    if part and subject.has_place and subject.end:
        return f"{part}:{subject.end}.{subject.location}"
    return part
