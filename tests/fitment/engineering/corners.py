"""Corners for the tests: those of the published values (metres there, millimetres here), and random ones."""

import numpy as np
from hypothesis import strategies as st

from catalog.codes import SpringKind
from fitment.engineering.corner import Corner, LinkLine, Spring
from tests.published import VALUES

STATICS = VALUES["statics"]


def in_mm(point: list[float]) -> tuple[float, float, float]:
    x, y, z = (1000.0 * figure for figure in point)
    return x, y, z


def published(name: str) -> Corner:
    given = STATICS[name]["inputs"]["corner"]
    spring = given["spring"]
    kind = SpringKind.STRUT if spring.get("acts_as") == "strut" else SpringKind(spring["acts_on"])
    return Corner(
        lines=tuple(LinkLine(link["name"], in_mm(link["inner"]), in_mm(link["outer"])) for link in given["links"]),
        spring=Spring(kind, in_mm(spring["top"]), in_mm(spring["low"])),
        contact=in_mm(given["contact"]),
        centre_z=1000.0 * given["wheel"][2],
    )


def _shaken(corner: Corner, seed: int, kind: SpringKind) -> Corner:
    random = np.random.default_rng(seed)

    def shake(point: tuple[float, float, float]) -> tuple[float, float, float]:
        x, y, z = np.add(point, random.uniform(-40, 40, 3))
        return float(x), float(y), float(z)

    lines = tuple(
        LinkLine(line.link, shake(line.inner), shake(line.outer), f"{line.link}.inner", f"{line.link}.outer")
        for line in corner.lines
    )
    spring = Spring(kind, shake(corner.spring.top), shake(corner.spring.low), lines[2].link)
    return Corner(lines, spring, corner.contact, corner.centre_z)


multi_links = st.builds(
    _shaken,
    st.just(published("five_link_braking")),
    st.integers(0, 10_000),
    st.sampled_from([SpringKind.UPRIGHT, SpringKind.LINK]),
)
struts = st.builds(
    _shaken, st.just(published("vertical_strut_braking")), st.integers(0, 10_000), st.just(SpringKind.STRUT)
)
corners = multi_links | struts
