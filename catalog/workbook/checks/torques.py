"""Torques that their threads can bear: T = K d F against ISO 898-1 (catalog.bolts)."""

from catalog.bolts import TorqueCheck, check_torque
from catalog.sheets.sheet import Key, Row
from catalog.workbook.draft import Draft
from catalog.workbook.faults import Findings


def check_torques(draft: Draft, findings: Findings, /) -> None:
    """Of new and changed fasteners, and of what revisions change at fasteners."""
    sheet = draft.sheets["fasteners"]
    touched = set()
    for key, row in draft.touched_rows("fasteners"):
        touched.add(key)
        _judge(
            draft,
            findings,
            "fasteners",
            key,
            _torque(sheet.get(row, "torque_nm"), row, sheet.get(row, "angle_deg"), sheet.get),
        )
    changes = draft.sheets["fastener_changes"]
    rows = dict(draft.touched_rows("fastener_changes"))
    for axle, operation, fastener in touched:
        rows |= draft.rows("fastener_changes").where(axle=axle, operation=operation, fastener=fastener)
    for key, row in rows.items():
        found = draft.rows("fasteners").find(key[2:])
        if found is not None and changes.get(row, "torque_nm"):
            angle = changes.get(row, "angle_deg") or sheet.get(found, "angle_deg")
            check = _torque(changes.get(row, "torque_nm"), found, angle, sheet.get)
            _judge(draft, findings, "fastener_changes", key, check)


def _torque(torque: str, fastener: Row, angle: str, get) -> TorqueCheck:  # type: ignore[no-untyped-def]
    return check_torque(
        thread=get(fastener, "thread"), grade=get(fastener, "grade"), head=get(fastener, "head"),
        torque_nm=float(torque) if torque else None, angle_deg=float(angle) if angle else None,
    )  # fmt: skip


def _judge(draft: Draft, findings: Findings, name: str, key: Key, check: TorqueCheck) -> None:
    if check.state == "refused":
        draft.fault(
            findings.faults,
            name,
            key,
            "torque_nm",
            f"even dry it would pull {_kn(check.preload_n)}, above the ultimate {_kn(check.limit_n)}",
            "look for a typing error in torque, thread or grade",
        )
    elif check.state == "warning":
        draft.fault(
            findings.warnings,
            name,
            key,
            "torque_nm",
            f"the preload of {_kn(check.preload_n)} (K = 0.2) is above the proof load of {_kn(check.limit_n)}",
            "look at torque, thread and grade again",
        )
    elif check.state == "unchecked":
        draft.fault(
            findings.warnings,
            name,
            key,
            "torque_nm",
            f"the torque is unchecked, {check.missing} missing or not known",
            f"fill {check.missing} to have it checked",
        )


def _kn(newtons: float | None) -> str:
    return f"{(newtons or 0) / 1000:.1f} kN"
