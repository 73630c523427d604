"""How many queries each address takes, cold and warm, as committed in `query_counts.json`; more rows, no more queries.

`UPDATE_QUERY_COUNTS=1` writes the file anew; a reviewer sees what became dearer.
"""

import json
import os
from pathlib import Path

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from api.caching import kept_answers
from catalog.codes import Role
from fitment.readers.editions import forget
from tests import factories

pytestmark = pytest.mark.django_db
FILE = Path(__file__).with_name("query_counts.json")
COUNTS = json.loads(FILE.read_text())
PATHS = [
    "makers/", "makers/ALVA/", "platforms/", "platforms/ALVA/QN4/", "topologies/", "topologies/five_link_front/",
    "locations/", "locations/five_link_front/tension_link.inner/", "axles/", "axles/FX1/", "options/",
    "options/SPORT/", "variants/", "variants/?chassis=QN4&built=2018-05", "variants/QN4-20-SAL/", "components/",
    "components/C1/", "parts/", "parts/?duty=road&location=tension_link.inner", "parts/LM-210/", "revisions/",
    "revisions/LM-210/B/", "numbers/", "numbers/HOUSE/LM210/", "operations/", "operations/FX1/arm_off/",
    "equipment/", "equipment/lift/", "hazards/", "technologies/", "fitment/?variant=QN4-20-SAL",
    "fitment/?chassis=QN4&part=LM-210", "fitment/?variant=QN4-20-SAL&include=job", "parts/LM-210/cars/", "schema/",
    "job/?variant=QN4-20-SAL&part=LM-210",
]  # fmt: skip
DEVELOPMENT = [
    "components/C1/matches/", "axles/FX1/loads/", "coverage/", "coverage/platforms/", "coverage/work/",
    "coverage/sizes/", "coverage/FX1/tension_link.inner/C1/",
]  # fmt: skip
COUNTED = [
    *((role, path) for role in (Role.PUBLIC, Role.DEVELOPMENT) for path in PATHS),
    *((Role.DEVELOPMENT, path) for path in DEVELOPMENT),
]


def queries(client, path: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert client.get(path).status_code == 200
    return len(seen)


def cold(client, path: str) -> int:
    kept_answers.forget()
    forget()
    return queries(client, path)


@pytest.mark.parametrize(("role", "path"), COUNTED)
def test_counts(small, api, path, role):
    client = api(role)
    client.get("makers/")  # the token's last use is written once
    found = {"cold": cold(client, path), "warm": queries(client, path)}
    key = f"{role} {path}"
    if os.environ.get("UPDATE_QUERY_COUNTS"):
        FILE.write_text(json.dumps({**json.loads(FILE.read_text()), key: found}, indent=1, sort_keys=True) + "\n")
        return
    assert found == COUNTS[key], "see the docstring when this is meant"


def test_nothing_else_stands_in_the_file():
    assert set(COUNTS) == {f"{role} {path}" for role, path in COUNTED}


def test_a_warm_public_answer_takes_one_query(small, public):
    for path in ("variants/", "fitment/?variant=QN4-20-SAL", "parts/LM-210/cars/"):
        public.get(path)
        assert queries(public, path) == 1  # which edition is it?


GROWING = [path for path in PATHS if path.count("/") == 1 and "?" not in path and path != "schema/"]


@pytest.mark.parametrize("path", [*GROWING, "axles/FX1/", "fitment/?chassis=QN4", "parts/LM-210/cars/"])
def test_more_rows_take_no_more_queries(small, api, path):
    client = api(Role.DEVELOPMENT)
    client.get("makers/")
    before = cold(client, path)
    for number in range(5):
        axle = factories.axle(f"X{number}")
        factories.joint(f"K{number}", on=axle, at=factories.location())
        factories.variant(f"V{number}", front_axle=axle, options="SPORT TOW", platform=factories.platform(f"P{number}"))
        factories.variant(f"W{number}", front_axle=factories.axle(), options="SPORT", body=f"body{number}")
        factories.joint(f"K{number}", alternative=True)
        factories.decision(factories.revision(f"N-{number}", change="new"), on=f"K{number}")
        factories.hold(factories.revision(f"N-{number}"))
        factories.number(f"90{number}", component=factories.component(f"K{number}"))
        factories.operation(f"o{number}", on=axle)
        factories.maker(f"M{number}")
        factories.equipment(f"tool{number}")
        factories.hazard(f"hazard{number}")
        factories.technology(f"tech{number}")
    factories.next_edition()
    assert cold(client, path) == before
