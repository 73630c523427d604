"""Variants, options, axles and platforms that agree with one another."""

from collections import defaultdict

from catalog.codes import End, YesNo
from catalog.sheets.sheet import Key
from catalog.workbook.draft import Draft


def check_options(draft: Draft) -> None:
    """A group is required throughout or not at all; a variant has an option as standard or on request."""
    if not draft.is_changed("options") and not draft.is_changed("variants"):
        return
    get = draft.sheets["options"].get
    groups: dict[str, list[Key]] = defaultdict(list)
    for key, row in draft.rows("options").items():
        groups[get(row, "group")].append(key)
    for key in groups.pop("", []):
        if get(draft.rows("options")[key], "required") == YesNo.YES:
            right = "give it a group, or write no; what every car has is a standard option"
            draft.error("options", key, "required", "an option without a group is required", right)
    for group, keys in groups.items():
        _check_group(draft, group, keys)
    group_of = {key[0]: get(row, "group") for key, row in draft.rows("options").items()}
    every = draft.is_changed("options")
    of = draft.sheets["variants"].get
    for key, row in draft.rows("variants").items() if every else draft.changed_rows("variants"):
        _check_variant(draft, key, of(row, "options").split(), of(row, "standard_options").split(), group_of)


def _check_group(draft: Draft, group: str, keys: list[Key]) -> None:
    get, rows = draft.sheets["options"].get, draft.rows("options")
    first, *others = draft.in_file_order("options", keys)
    wanted = get(rows[first], "required")
    for key in sorted(others):
        if get(rows[key], "required") != wanted:
            wrong = f"the group {group} is required: {wanted} at {first[0]}, and not so here"
            right = f"write {wanted} at every option of the group, or change all of them"
            draft.error("options", key, "required", wrong, right)


def _check_variant(draft: Draft, key: Key, options: list[str], standard: list[str], group_of: dict[str, str]) -> None:
    for option in options:
        if option in standard:
            right = "name it in options or in standard_options, not in both"
            draft.error("variants", key, "options", f"'{option}' is an option and standard too", right)
    seen: dict[str, str] = {}
    for option in standard:
        group = group_of.get(option, "")
        if group and group in seen:
            wrong = f"'{seen[group]}' and '{option}' are both standard and of the group {group}"
            right = "options of one group exclude each other; keep one"
            draft.error("variants", key, "standard_options", wrong, right)
        seen.setdefault(group, option)


def check_axles(draft: Draft) -> None:
    """An axle is of the end of its topology, and a variant's front axle is a front axle."""
    axles, topologies, variants = (draft.sheets[name] for name in ("axles", "topologies", "variants"))
    every = draft.is_changed("axles") or draft.is_changed("topologies")
    for key, row in draft.rows("axles").items() if every else ():
        end, code = axles.get(row, "end"), axles.get(row, "topology")
        topology = draft.rows("topologies").find((code,))
        other = topologies.get(topology, "end") if topology else ""
        if other and end and other != end:
            wrong = f"the topology {code} is of the {other} end, the axle of the {end}"
            draft.error("axles", key, "topology", wrong, "choose a topology of the axle's end")
    for key, row in draft.rows("variants").items() if every else draft.changed_rows("variants"):
        for end in End:
            column = f"{end}_axle"
            axle = variants.get(row, column)
            found = draft.rows("axles").find((axle,))
            other = axles.get(found, "end") if found else ""
            if other and other != end:
                draft.error("variants", key, column, f"'{axle}' is a {other} axle", f"name an axle whose end is {end}")


def check_platforms(draft: Draft) -> None:
    """No platform comes, over its predecessors, after itself."""
    get, rows = draft.sheets["platforms"].get, draft.rows("platforms")
    for key, _row in draft.changed_rows("platforms"):
        seen, at = [key], key
        while (before := get(rows[at], "predecessor")) and (at := (at[0], before)) in rows:
            if at == key:
                chain = " < ".join(other[1] for other in [*seen, at])
                wrong = f"the predecessors lead back to it ({chain})"
                draft.error("platforms", key, "predecessor", wrong, "name the platform that came before")
            if at in seen:
                break
            seen.append(at)


def check_locations(draft: Draft) -> None:
    """One location code at one end of the car means the same link, link end and role on every topology."""
    if not draft.is_changed("locations") and not draft.is_changed("topologies"):
        return
    get, rows = draft.sheets["locations"].get, draft.rows("locations")
    ends = {key[0]: draft.sheets["topologies"].get(row, "end") for key, row in draft.rows("topologies").items()}
    meanings: dict[tuple[str, str], Key] = {}
    for key in draft.in_file_order("locations", rows):
        end = ends.get(key[0])
        if not end:
            continue
        first = meanings.setdefault((end, key[1]), key)
        for column in ("link", "link_end", "role"):
            here, there = get(rows[key], column), get(rows[first], column)
            # One that is empty could not be read, and is named as such.
            if here and there and here != there:
                wrong = f"'{key[1]}' has the {column} '{here}' here and '{there}' on {first[0]}"
                right = f"one code at the {end} end means the same everywhere: write {there}, or another code"
                draft.error("locations", key, column, wrong, right)
