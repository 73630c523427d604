"""Lists: pages by cursor, filters by key and relation."""

import pytest

from catalog.codes import Role
from tests import factories

pytestmark = pytest.mark.django_db


def codes(response, *names: str) -> list:
    assert response.status_code == 200, response.content
    rows = response.json()["results"]
    return [row[names[0]] if len(names) == 1 else tuple(row[name] for name in names) for row in rows]


@pytest.fixture
def many(db) -> list[tuple[str, str]]:
    """Seven platforms of three makers, in order."""
    factories.catalogue()
    pairs = [("A", "K1"), ("A", "K2"), ("B", "K1"), ("B", "K2"), ("B", "K3"), ("Ä", "K1"), ("Ä", "K2")]
    for maker, chassis in reversed(pairs):
        factories.platform(chassis, of=maker)
    return pairs


@pytest.mark.parametrize("size", [1, 2, 3, 6, 7, 8])
def test_pages_lead_through_every_row_once_and_back(many, public, size):
    address, pages, seen = f"platforms/?page_size={size}", 0, []
    while address:
        response = public.get(address)
        seen += codes(response, "maker", "chassis")
        back, address = response.json()["previous"], response.json()["next"]
        pages += 1
    assert sorted(seen) == sorted(many)
    assert pages == -(-len(many) // size)
    backwards = codes(response, "maker", "chassis")[::-1]
    while back:
        response = public.get(back)
        backwards += codes(response, "maker", "chassis")[::-1]
        back = response.json()["previous"]
    assert backwards == seen[::-1]


def test_links_are_whole_addresses_with_the_same_query(many, public):
    following = public.get("platforms/?page_size=1&maker=B").json()["next"]
    assert following.startswith("http://localhost/api/v1/platforms/?")
    assert codes(public.get(following), "maker") == ["B"]


def test_a_row_added_meanwhile_shifts_no_page(many, public):
    first = public.get("platforms/?page_size=2")
    factories.platform("K0", of="A")
    factories.next_edition()
    assert codes(public.get(first.json()["next"]), "maker", "chassis") == [("B", "K1"), ("B", "K2")]


@pytest.mark.parametrize("cursor", ["x", "WzAsIkEiXQ", "WzUsIkEiLCJLMSJd", "WzAsMSwyXQ", "%00", "bnVsbA", ""])
def test_a_cursor_this_list_never_gave_is_refused(many, public, cursor):
    response = public.get(f"platforms/?cursor={cursor}")
    assert response.status_code == 400
    assert [error["field"] for error in response.json()["errors"]] == ["cursor"]


@pytest.mark.parametrize("size", ["0", "501", "-1", "ten", "1.5", "", "٣"])
def test_a_page_size_out_of_range_is_refused(many, public, size):
    response = public.get(f"platforms/?page_size={size}")
    assert response.status_code == 400
    assert [error["field"] for error in response.json()["errors"]] == ["page_size"]


def test_the_largest_page(many, public):
    assert len(codes(public.get("platforms/?page_size=500"), "chassis")) == len(many)


def test_letters_of_revisions_go_by_length_first(db, public):
    factories.catalogue()
    for letter in ("AA", "B", "Z", "AB"):
        factories.revision("P1", letter)
    assert codes(public.get("revisions/"), "revision") == ["B", "Z", "AA", "AB"]
    second = public.get(public.get("revisions/?page_size=2").json()["next"])
    assert codes(second, "revision") == ["AA", "AB"]


@pytest.mark.parametrize(
    ("built", "found"),
    [
        ("2016", ["V1", "V2", "V4"]),
        ("2016-02-28", ["V1", "V2", "V4"]),
        ("2016-03", ["V2", "V4"]),
        ("2016-02-29", ["V1", "V2", "V4"]),
        ("2020..", ["V2", "V3"]),
        ("..2014-12", ["V1", "V4"]),
    ],
)
def test_built_meets_closed_windows(db, public, built, found):
    # Closed days, a leap year's February to its 29th (ISO 8601-1, calendar dates).
    factories.catalogue()
    windows = {"V1": ("2014-01-01", "2016-02-29"), "V2": ("2016-02-28", None), "V3": ("2020-01-01", "2021-12-31")}
    windows["V4"] = ("2010-01-01", "2017-01-01")
    for code, (first, last) in windows.items():
        factories.variant(code, built_from=first, built_to=last)
    assert codes(public.get(f"variants/?built={built}"), "variant") == found


FILTERS = [
    ("makers/?wmi=QQA", "maker", ["ALVA"]),
    ("makers/?chassis=QN4", "maker", ["ALVA"]),
    ("platforms/?maker=ALVA", "chassis", ["QN4"]),
    ("platforms/?variant=QN4-25-EST", "chassis", ["QN4"]),
    ("topologies/?end=front", "topology", ["five_link_front"]),
    ("topologies/?location=tension_link.inner", "topology", ["five_link_front"]),
    ("locations/?in_range=yes", "location", ["tension_link.inner"]),
    ("locations/?in_range=no", "location", []),
    ("locations/?axle=FX1", "location", ["tension_link.inner"]),
    ("locations/?component=C1", "location", ["tension_link.inner"]),
    ("axles/?variant=QN4-20-SAL", "axle", ["FX1"]),
    ("axles/?chassis=QN4&component=C1", "axle", ["FX1"]),
    ("axles/?end=rear", "axle", []),
    ("options/?variant=QN4-20-SAL", "option", ["SPORT"]),
    ("options/?variant=QN4-25-EST", "option", []),
    ("variants/?body=estate", "variant", ["QN4-25-EST"]),
    ("variants/?axle=FX1&engine=E20", "variant", ["QN4-20-SAL"]),
    ("variants/?option=SPORT", "variant", ["QN4-20-SAL"]),
    ("variants/?chassis=QN4&built=2018-05", "variant", ["QN4-20-SAL", "QN4-25-EST"]),
    ("components/?axle=FX1&location=tension_link.inner&end=front", "component", ["C1"]),
    ("components/?part=LM-210", "component", ["C1"]),
    ("parts/?duty=road&location=tension_link.inner", "part", ["LM-210"]),
    ("parts/?duty=competition", "part", []),
    ("parts/?component=C1&axle=FX1&end=front", "part", ["LM-210"]),
    ("parts/?end=rear", "part", []),
    ("parts/?technology=spherical&seat=pressed", "part", ["LM-210"]),
    ("revisions/?part=LM-210&status=released", "revision", ["B"]),
    ("revisions/?on_hold=yes", "revision", ["B"]),
    ("revisions/?on_hold=no", "revision", ["A"]),
    ("numbers/?component=C1", "normal", ["TK8046"]),
    ("numbers/?number=tk8046", "normal", ["TK8046"]),
    ("numbers/?number=9", "normal", []),
    ("numbers/?part=LM-210", "normal", ["LM210"]),
    ("operations/?axle=FX1&equipment=lift", "operation", ["arm_off"]),
    ("operations/?needs=raise", "operation", ["arm_off"]),
    ("operations/?hazard=raised_car&skill=1", "operation", ["arm_off"]),
    ("equipment/?kind=tool&home=no", "equipment", ["lift"]),
    ("technologies/?allows_tilt=yes", "technology", ["spherical"]),
    ("technologies/?solid=yes", "technology", []),
]


@pytest.mark.parametrize(("path", "field", "found"), FILTERS)
def test_filters(small, public, path, field, found):
    factories.maker("ALVA", wmi=["QQA", "QQB"])
    assert codes(public.get(path), field) == found


@pytest.mark.parametrize("path", sorted({path.split("?")[0] for path, _, _ in FILTERS}))
def test_every_filter_refuses_what_it_does_not_know(small, public, path):
    names = [one["name"] for one in public.get("schema/").json()["paths"][f"/api/v1/{path}"]["get"]["parameters"]]
    for name in set(names) - {"If-None-Match", "number"}:
        response = public.get(f"{path}?{name}=certainly_nothing")
        assert response.status_code == 400, name
        assert [error["field"] for error in response.json()["errors"]] == [name]


def test_every_row_leads_to_its_detail(small, api):
    client = api(Role.DEVELOPMENT)
    paths = client.get("schema/").json()["paths"]
    lists = [path for path in paths if path.replace("/api/v1", "", 1).count("/") == 2]
    followed = 0
    for path in lists:
        for row in client.get(path).json().get("results", []):
            if "href" in row:
                assert client.get(row["href"]).status_code == 200, row["href"]
                followed += 1
    assert followed >= 15


def test_keys_with_signs_of_an_address(db, public):
    factories.catalogue()
    factories.number("12/3#?", issuer="Nord & Süd/West", component=factories.component("C%1"))
    href = public.get("numbers/").json()["results"][0]["href"]
    assert public.get(href).json()["targets"] == [{"component": "C%1", "part": None, "revision": None, "side": None}]
    assert public.get(public.get("components/").json()["results"][0]["href"]).json()["component"] == "C%1"
