"""Variants, options, axles and platforms that agree with one another."""

from collections import defaultdict

from catalog.sheets.sheet import Key
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings


def check_options(draft: Draft, findings: Findings, /) -> None:
    """A group is required throughout or not at all; a variant has an option as standard or on request."""
    if not draft.is_touched("options") and not draft.is_touched("variants"):
        return
    get = draft.sheets["options"].get
    groups: dict[str, list[Key]] = defaultdict(list)
    for key, row in draft.rows("options").items():
        groups[get(row, "group")].append(key)
    for key in groups.pop("", []):
        if get(draft.rows("options")[key], "required") == "yes":
            draft.fault(
                findings.faults,
                "options",
                key,
                "required",
                "an option without a group is required",
                "give it a group, or write no; what every car has is a standard option",
            )
    for group, keys in groups.items():
        _check_group(draft, findings, group, sorted(keys))
    group_of = {key[0]: get(row, "group") for key, row in draft.rows("options").items()}
    everywhere = draft.is_touched("options")
    rows = draft.rows("variants").items() if everywhere else draft.touched_rows("variants")
    of = draft.sheets["variants"].get
    for key, row in rows:
        _check_variant(draft, findings, key, of(row, "options").split(), of(row, "standard_options").split(), group_of)


def _check_group(draft: Draft, findings: Findings, group: str, keys: list[Key]) -> None:
    get, rows = draft.sheets["options"].get, draft.rows("options")
    # What stands longest is taken as right, so that the fault is at the row of the file.
    first = min(keys, key=lambda key: (draft.row_number("options", key) or 0, key))
    wanted = get(rows[first], "required")
    for key in keys:
        if get(rows[key], "required") != wanted:
            draft.fault(
                findings.faults,
                "options",
                key,
                "required",
                f"the group {group} is required: {wanted} at {first[0]}, and not so here",
                f"write {wanted} at every option of the group, or change all of them",
            )


def _check_variant(
    draft: Draft, findings: Findings, key: Key, options: list[str], standard: list[str], group_of: dict[str, str]
) -> None:
    for option in options:
        if option in standard:
            draft.fault(
                findings.faults,
                "variants",
                key,
                "options",
                f"'{option}' is an option and standard too",
                "name it in options or in standard_options, not in both",
            )
    seen: dict[str, str] = {}
    for option in standard:
        group = group_of.get(option, "")
        if group and group in seen:
            draft.fault(
                findings.faults,
                "variants",
                key,
                "standard_options",
                f"'{seen[group]}' and '{option}' are both standard and of the group {group}",
                "options of one group exclude each other; keep one",
            )
        seen.setdefault(group, option)


def check_axles(draft: Draft, findings: Findings, /) -> None:
    """An axle is of the end of its topology, and a variant's front axle is a front axle."""
    axles, topologies = draft.sheets["axles"], draft.sheets["topologies"]
    of_axles = draft.is_touched("axles") or draft.is_touched("topologies")
    for key, row in draft.rows("axles").items() if of_axles else ():
        end, code = axles.get(row, "end"), axles.get(row, "topology")
        topology = draft.rows("topologies").find((code,))
        other = topologies.get(topology, "end") if topology else ""
        if other and end and other != end:
            wrong = f"the topology {code} is of the {other} end, the axle of the {end}"
            draft.fault(findings.faults, "axles", key, "topology", wrong, "choose a topology of the axle's end")
    variants = draft.sheets["variants"]
    for key, row in draft.rows("variants").items() if of_axles else draft.touched_rows("variants"):
        for column, end in (("front_axle", "front"), ("rear_axle", "rear")):
            found = draft.rows("axles").find((variants.get(row, column),))
            other = axles.get(found, "end") if found else ""
            if other and other != end:
                wrong = f"'{variants.get(row, column)}' is a {other} axle"
                draft.fault(findings.faults, "variants", key, column, wrong, f"name an axle whose end is {end}")


def check_platforms(draft: Draft, findings: Findings, /) -> None:
    """No platform comes, over its predecessors, after itself."""
    if not draft.is_touched("platforms"):
        return
    get, rows = draft.sheets["platforms"].get, draft.rows("platforms")
    for key, _row in draft.touched_rows("platforms"):
        seen, at = [key], key
        while (before := get(rows[at], "predecessor")) and (at := (at[0], before)) in rows:
            if at in seen:
                if at == key:
                    chain = " < ".join(other[1] for other in [*seen, at])
                    draft.fault(
                        findings.faults,
                        "platforms",
                        key,
                        "predecessor",
                        f"the predecessors lead back to it ({chain})",
                        "name the platform that came before",
                    )
                break
            seen.append(at)


def check_locations(draft: Draft, findings: Findings, /) -> None:
    """One location code at one end of the car means the same link, link end and role on every topology."""
    if not draft.is_touched("locations") and not draft.is_touched("topologies"):
        return
    get, rows = draft.sheets["locations"].get, draft.rows("locations")
    ends = {key[0]: draft.sheets["topologies"].get(row, "end") for key, row in draft.rows("topologies").items()}
    meanings: dict[tuple[str, str], Key] = {}
    order = sorted(rows, key=lambda key: (draft.row_number("locations", key) or 0, key))
    for key in order:
        end = ends.get(key[0])
        if not end:
            continue
        first = meanings.setdefault((end, key[1]), key)
        for column in ("link", "link_end", "role"):
            here, there = get(rows[key], column), get(rows[first], column)
            # One that is empty could not be read, and is named as such.
            if here and there and here != there:
                draft.fault(
                    findings.faults,
                    "locations",
                    key,
                    column,
                    f"'{key[1]}' has the {column} '{here}' here and '{there}' on {first[0]}",
                    f"one code at the {end} end means the same everywhere: write {there}, or another code",
                )
