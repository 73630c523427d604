"""The fields of a record: only what must be said stands open, as choices wherever there are some."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from catalog.codes import End, Measurable, Role
from catalog.models import Axle, Component, Location, Revision, Variant
from catalog.models import Part as PartRow
from catalog.selectors.cars import variants_of_axle
from catalog.selectors.parts import part_lines
from fitment.domain.interfaces import AxlePlace
from fitment.errors import TooMuchWork
from fitment.models import Measurement
from fitment.pages.coverage.entry import Entry
from fitment.pages.coverage.match_views import nearest_first
from fitment.pages.record.kinds import DAYS, DEFAULTS, HINTS, KEYBOARDS, LABELS, READINGS, SEGMENTS, Kind
from fitment.pages.record.memory import Memory, instrument
from fitment.pages.record.subject import Subject, first
from fitment.pages.start.steps import variant_words
from fitment.readers.names import names
from fitment.services.coverage.recording import may_be_fitted, may_be_tried

FITTED = "fitted"  # part and revision in one choice
READING = "reading"
MOST_CHOICES = 60  # revisions offered at a joint
MOST_SUGGESTED = 400  # codes suggested to a field that is typed

Field = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Form:
    """`hidden` fields are settled, `open` must be said, `more` may be; `more_open` where something wrong is there."""

    hidden: list[Field]
    open: list[Field]
    more: list[Field]
    label: str

    @property
    def more_open(self) -> bool:
        return any(field["error"] or field.get("filled") for field in self.more)

    def first_of(self, column: str) -> str:
        """The id of the field at which a column is said."""
        named = next((field for field in (*self.open, *self.more) if column in field["columns"]), None)
        return f"f-{named['name']}" if named else ""


def form_of(kind: Kind, entry: Entry, subject: Subject, memory: Memory, viewer: Role, *, by_code: bool) -> Form:
    """The form as it stands; `by_code`: every column is typed, and nothing is settled."""
    fields = {field["name"]: _dressed(field, kind, entry) for field in entry.fields()}
    if by_code:
        suggest(fields)
    else:
        _narrow(kind, fields, entry, subject, memory, viewer)
    shown = [fields[name] for name in (FITTED, *kind.open) if name in fields]
    if kind.name == "measurement":
        shown.insert(-1, _readings(entry, fields))
    hidden = [field for field in fields.values() if field["kind"] == "hidden"]
    return Form(
        hidden=hidden,
        open=[field for field in shown if field["kind"] != "hidden"],
        more=[fields[name] for name in kind.more],
        label=f"{kind.label}, {_about(subject)}",
    )


def _about(subject: Subject) -> str:
    words = [subject.car.code] if subject.car else []
    if subject.has_place:
        words.append(f"{subject.axle} {subject.location}")
    elif subject.component:
        words.append(subject.component)
    return " ".join(words) or "by code"


def _dressed(field: Field, kind: Kind, entry: Entry) -> Field:
    name = field["name"]
    hint = HINTS.get(name, "")
    ids = [f"f-{name}-hint" if hint else "", f"f-{name}-error" if field["error"] else ""]
    field |= {
        "kind": field.get("kind", "text"), "label": LABELS.get(name, field["label"]), "hint": hint,
        "described_by": " ".join(filter(None, ids)),
        "keyboard": KEYBOARDS.get(name, ""), "columns": (name,),
        "filled": name != kind.day and name not in SEGMENTS and bool(field["value"]),
    }  # fmt: skip
    if name == "ref":
        field["kind"] = "hidden"
    elif name in DAYS:
        field["kind"] = "date"
    elif name in SEGMENTS:
        choices = SEGMENTS[name]
        value = field["value"] or DEFAULTS.get(name, "")
        if value and value not in dict(choices):
            choices = (*choices, (value, value))
        field |= {"kind": "segments", "choices": choices, "value": value}
    elif name == "feature":
        field["choices"] = [(code, Measurable.word_of(code).capitalize()) for code, _ in field["choices"]]
    return field


def _narrow(kind: Kind, fields: dict[str, Field], entry: Entry, subject: Subject, memory: Memory, viewer: Role) -> None:
    """Hides what is settled and turns the rest into choices."""
    settled = {"axle": subject.axle, "location": subject.location, "component": subject.component,
               "variant": subject.car.code if subject.car else ""}  # fmt: skip
    for name, value in settled.items():
        if name in fields and value and not fields[name]["error"]:
            fields[name] |= {"kind": "hidden", "value": entry.values[name] or value}
    if kind.name == "test-fit":
        if subject.car is None:
            fields["variant"] |= _car_choice(subject, entry, memory)
        if not subject.component:
            _suggested(fields["component"], Component.objects.filter(joints__location__code=subject.location))
        fields[FITTED] = _fitted(fields, entry, subject, memory)
    elif kind.name == "job-time":
        fields["parts"] |= _scope(entry, subject, viewer)
        fields["equipment"]["value"] = entry.values["equipment"] or memory.last("equipment") or DEFAULTS["equipment"]
    else:
        feature = entry.values["feature"]
        if not entry.is_posted:
            fields["uncertainty_mm"]["value"] = entry.values["uncertainty_mm"] or memory.last(instrument(feature))
        fields["feature"] |= {"empty": "choose", "choices": _features(subject.component, fields["feature"]["choices"])}


def _car_choice(subject: Subject, entry: Entry, memory: Memory) -> Field:
    """The cars of the axle, the one recorded last chosen where it is among them."""
    rows = variants_of_axle(axle=subject.axle)
    if subject.cars:
        rows = [row for row in rows if row.code in subject.cars] or rows
    codes = {row.code for row in rows}
    value = entry.values["variant"] or next((code for code in memory.cars if code in codes), "")
    groups: dict[str, list[tuple[str, str]]] = {}
    for row in rows:
        groups.setdefault(row.chassis, []).append((row.code, f"{variant_words(row)}: {row.code}"))
    return {"kind": "select", "groups": list(groups.items()), "choices": _lost(value, codes), "value": value}


def _fitted(fields: dict[str, Field], entry: Entry, subject: Subject, memory: Memory) -> Field:
    """Part and revision in one: what is decided for the joint, then what its sizes say; errors of both."""
    tried = may_be_tried(component=subject.component, place=AxlePlace(subject.axle, subject.location))
    groups: dict[str, list[str]] = {}
    if tried.decided:
        groups["Approved or proposed here"] = [f"{part} {letter}" for part, letter in tried.decided]
    for match in nearest_first(tried.matches, ()):
        if (match.part, match.letter) not in tried.decided:
            groups.setdefault(match.verdict.word, []).append(f"{match.part} {match.letter}")
    known = {value for values in groups.values() for value in values}
    part, revision = entry.values["part"], entry.values["revision"]
    value = f"{part} {revision}".strip()
    if not value and memory.last(FITTED) in known:
        value = memory.last(FITTED)
    elif part and not revision:
        value = next((one for one in _of_part(groups, part)), value)
    error = fields["part"]["error"] or fields["revision"]["error"]
    for column in ("part", "revision"):
        fields.pop(column)
    return {
        "name": FITTED, "label": LABELS[FITTED], "kind": "select", "value": value, "error": error, "hint": "",
        "groups": _offered(groups), "choices": _lost(value, known), "empty": "choose",
        "described_by": f"f-{FITTED}-error" if error else "", "columns": ("part", "revision"),
    }  # fmt: skip


def _offered(groups: dict[str, list[str]]) -> list[tuple[str, list[tuple[str, str]]]]:
    """The first of the choices, each with the title of its part."""
    pairs = [(label, value) for label, values in groups.items() for value in values][:MOST_CHOICES]
    lines = part_lines(codes={value.partition(" ")[0] for _, value in pairs})
    found: dict[str, list[tuple[str, str]]] = {}
    for label, value in pairs:
        line = lines.get(value.partition(" ")[0])
        found.setdefault(label, []).append((value, f"{value}, {line.title}" if line and line.title else value))
    return list(found.items())


def _of_part(groups: dict[str, list[str]], part: str) -> Iterable[str]:
    return (value for values in groups.values() for value in values if value.partition(" ")[0] == part)


def _scope(entry: Entry, subject: Subject, viewer: Role) -> Field:
    """The parts that may be on the car, to be ticked; those that the address or the form names are ticked."""
    chosen = entry.values["parts"].split()
    try:
        offered = may_be_fitted(variant=subject.car.code, viewer=viewer) if subject.car else []
    except TooMuchWork:
        offered = []
    codes = {f"{one.part}:{one.end}.{one.location}": one for one in offered}
    titles = part_lines(codes={one.part for one in offered})
    called = names()
    boxes = []
    for value in (*chosen, *(code for code in codes if code not in chosen)):
        one = codes.get(value)
        place = f"{End.word_of(one.end)}, {called.location(one.end or '', one.location or '').lower()}" if one else ""
        title = titles[one.part].title if one and one.part in titles else ""
        boxes.append({"value": value, "code": value.partition(":")[0], "title": title, "place": place or value,
                      "on": value in chosen})  # fmt: skip
    return {"kind": "boxes", "boxes": boxes, "chosen": [box for box in boxes if box["on"]],
            "rest": [box for box in boxes if not box["on"]]}  # fmt: skip


def _features(component: str, choices: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Features with the number of pieces measured so far, so that what is missing is seen."""
    rows = Measurement.objects.filter(component__code=component).values_list("feature", "samples")
    pieces: dict[str, int] = {}
    for feature, samples in rows:
        pieces[feature] = pieces.get(feature, 0) + samples
    return [(code, f"{label}: {pieces[code]} measured" if code in pieces else f"{label}: not measured")
            for code, label in choices]  # fmt: skip


def _readings(entry: Entry, fields: dict[str, Field]) -> Field:
    said = entry.request.POST.getlist(READING)[:READINGS] if entry.is_posted else []
    error = fields["mean_mm"]["error"] or fields["samples"]["error"]
    return {
        "name": READING, "label": "Readings", "kind": "readings", "hint": "One box a piece, mm; the mean follows",
        "values": [*said, *[""] * (READINGS - len(said))], "error": error, "columns": (READING,),
        "described_by": " ".join(filter(None, (f"f-{READING}-hint", f"f-{READING}-error" if error else ""))),
    }  # fmt: skip


def suggest(fields: dict[str, Field]) -> None:
    """Known codes beside the fields that are typed, where they are not too many."""
    rows = {
        "variant": Variant.objects.all(), "part": PartRow.objects.all(), "axle": Axle.objects.all(),
        "location": Location.objects.all(), "component": Component.objects.all(),
    }  # fmt: skip
    for name, several in rows.items():
        if name in fields:
            _suggested(fields[name], several)
    if "revision" in fields and fields["part"]["value"]:
        letters = Revision.objects.filter(part__code=fields["part"]["value"]).values_list("letter", flat=True)
        fields["revision"]["suggestions"] = list(letters.order_by("letter"))


def _suggested(field: Field, rows: Any) -> None:
    codes = rows.order_by("code").values_list("code", flat=True).distinct()[: MOST_SUGGESTED + 1]
    found = list(codes)
    field["suggestions"] = found if len(found) <= MOST_SUGGESTED else []


def _lost(value: str, known: Iterable[str]) -> list[tuple[str, str]]:
    """A value that is none of the choices stays one."""
    return [(value, value)] if value and value not in set(known) else []


def scope_from(subject: Subject) -> str:
    """The part and joint of an address as the scope of a job."""
    part = first(subject.query, "part")
    if part and subject.has_place and subject.end:
        return f"{part}:{subject.end}.{subject.location}"
    return part
