"""`/healthz`, `/readyz`, `/metrics`, and the identifier of a request."""

import re

import pytest
from django.db import DatabaseError

from config import monitoring


def test_healthz_asks_no_database(client):
    answer = client.get("/healthz")  # without the `db` fixture a query would fail
    assert (answer.status_code, answer.json()) == (200, {"status": "ok"})


@pytest.mark.django_db
def test_readyz_is_ready_at_the_last_migration(client):
    assert client.get("/readyz").json() == {"status": "ok", "database": "ok", "migrations": "ok"}


@pytest.mark.django_db
def test_readyz_names_missing_migrations(client, monkeypatch):
    monkeypatch.setattr(
        monitoring, "_shipped_migrations", lambda: frozenset({("catalog", "9999_x"), ("fitment", "9999_y")})
    )
    answer = client.get("/readyz")
    assert (answer.status_code, answer.json()["migrations"]) == (503, "2 to apply")


def test_readyz_says_when_the_database_does_not_answer(client, monkeypatch):
    def fail():
        raise DatabaseError("connection to server at 10.0.0.1 failed: password=geheim")

    monkeypatch.setattr(monitoring, "pending_migrations", fail)
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json() == {"status": "unavailable", "database": "no answer"}


@pytest.mark.django_db
def test_metrics_do_not_exist_without_a_token(client):
    assert client.get("/metrics").status_code == 404


@pytest.mark.django_db
def test_metrics_are_for_who_knows_the_token(client, settings):
    settings.METRICS_TOKEN = "known"
    assert client.get("/metrics").status_code == 401
    assert client.get("/metrics", headers={"Authorization": "Bearer other"}).status_code == 401
    client.get("/healthz")
    answer = client.get("/metrics", headers={"Authorization": "Bearer known"})
    assert answer.status_code == 200
    text = answer.content.decode()
    assert re.search(r'^jointbook_requests_total\{method="GET",route="healthz",status="200"\} [1-9]', text, re.M)
    assert re.search(r"^jointbook_jobs_waiting 0(\.0)?$", text, re.M)


def test_every_answer_has_its_own_identifier(client):
    first, second = (client.get("/healthz")["X-Request-Id"] for _ in range(2))
    assert re.fullmatch("[0-9a-f]{32}", first)
    assert first != second


def test_an_identifier_is_taken_from_a_trusted_proxy_alone(client, settings):
    given = {"X-Request-Id": "from-the-proxy-1"}
    assert client.get("/healthz", headers=given)["X-Request-Id"] != "from-the-proxy-1"
    settings.TRUSTED_PROXIES = ["127.0.0.1"]
    assert client.get("/healthz", headers=given)["X-Request-Id"] == "from-the-proxy-1"
    assert client.get("/healthz", headers={"X-Request-Id": "a\tb"})["X-Request-Id"] != "a\tb"


def test_a_line_in_the_log_names_path_status_and_time_but_no_query(client, caplog):
    with caplog.at_level("INFO", logger="jointbook.requests"):
        client.get("/nowhere-at-all?secret=1", headers={"Accept": "text/html"})
    [line] = [record.getMessage() for record in caplog.records if record.name == "jointbook.requests"]
    assert re.fullmatch(r"GET /nowhere-at-all 404 \d+ ms", line)
